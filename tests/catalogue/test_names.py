import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.catalogue.names import find_crop, plain_name, suggestions
from perennate.catalogue.reader import load_catalogue

CATALOGUE = load_catalogue()


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("tomato", "tomato"),
        ("Lycopersicon esculentum", "tomato"),
        ("solanum LYCOPERSICUM", "tomato"),
        ("cilantro", "cilantro"),
        ("Coriander", "cilantro"),
        ("aubergine", "eggplant"),
        ("mâche", "corn_salad"),
        ("MACHE", "corn_salad"),
        ("frisee", "endive"),
        ("Miner’s lettuce", "miners_lettuce"),
        ("Symphytum x uplandicum", "comfrey"),
        ("Symphytum × uplandicum", "comfrey"),
        ("Brassica oleracea Italica", "broccoli"),
        ("  swede ", "rutabaga"),
        ("broad-bean", "fava_fresh"),
    ],
)
def test_a_crop_is_found_by_any_of_its_names(name: str, key: str) -> None:
    found = find_crop(CATALOGUE, name)
    assert found is not None
    assert found.key == key


@pytest.mark.parametrize("name", ["Кориандр", "", "  ", "triffid", "×"])
def test_an_unknown_name_finds_nothing(name: str) -> None:
    assert find_crop(CATALOGUE, name) is None


def test_a_species_of_many_forms_is_ambiguous_and_its_forms_are_offered() -> None:
    assert find_crop(CATALOGUE, "Phaseolus vulgaris") is None
    assert suggestions(CATALOGUE, "Phaseolus vulgaris") == (
        "bean_snap_bush",
        "bean_snap_pole",
        "bean_dry",
    )


def test_a_slip_of_the_pen_is_answered_with_what_may_be_meant() -> None:
    assert "tomato" in suggestions(CATALOGUE, "tomatoe")
    assert "lettuce_leaf" in suggestions(CATALOGUE, "lettuce")
    assert suggestions(CATALOGUE, "Кориандр") == ()
    assert suggestions(CATALOGUE, "") == ()


@given(st.sampled_from(sorted(CATALOGUE.crops)), st.sampled_from(["NFC", "NFD"]), st.booleans())
def test_common_names_lead_home_in_any_case_and_normal_form(
    key: str, form: str, upper: bool
) -> None:
    name = unicodedata.normalize(form, CATALOGUE.crops[key].common_name)
    found = find_crop(CATALOGUE, name.upper() if upper else name)
    assert found is CATALOGUE.crops[key]


@given(st.text())
def test_comparing_a_compared_name_changes_nothing(name: str) -> None:
    assert plain_name(plain_name(name)) == plain_name(name)


@given(st.text())
def test_any_text_at_all_may_be_asked_for(name: str) -> None:
    found = find_crop(CATALOGUE, name)
    assert found is None or found.key in CATALOGUE.crops
    assert set(suggestions(CATALOGUE, name)) <= set(CATALOGUE.crops)
