from perennate.catalogue.figures import FACTS, FIGURES
from perennate.catalogue.own_values import with_own_values
from perennate.catalogue.page import crop_page
from perennate.catalogue.reader import load_catalogue
from perennate.terms import Estimate, text
from perennate.words.say import say

CATALOGUE = load_catalogue()


def test_a_page_shows_each_figure_with_where_it_comes_from() -> None:
    page = crop_page(CATALOGUE.crops["potato"], CATALOGUE)
    energy = next(row for row in page.figures if row.name == "energy")
    assert (energy.value, energy.unit, energy.basis) == (77, "kcal/100g", "published")
    assert energy.citation.startswith("USDA Agricultural Research Service 2016")
    assert len(page.figures) + len(page.missing) == len(FIGURES)
    assert [row.name for row in page.figures] == [n for n in FIGURES if n not in page.missing]


def test_a_page_of_every_crop_can_be_put_into_words() -> None:
    names = {crop.key: crop.common_name for crop in CATALOGUE.crops.values()}
    for crop in CATALOGUE.crops.values():
        page = crop_page(crop, CATALOGUE)
        labels = [row.label for row in page.figures] + [row.label for row in page.facts]
        for sentence in (*labels, *page.hazards):
            assert say(sentence, names=names)
        assert all(row.citation for row in page.figures)


def test_every_figure_and_fact_has_a_name_in_words() -> None:
    for code in [f"catalogue.figure.{n}" for n in FIGURES] + [f"catalogue.fact.{n}" for n in FACTS]:
        assert say(text(code))


def test_a_crop_with_no_hazard_on_record_is_not_called_safe() -> None:
    (said,) = crop_page(CATALOGUE.crops["kale"], CATALOGUE).hazards
    assert "does not make it safe" in say(said)


def test_a_stand_in_is_shown_as_such() -> None:
    page = crop_page(CATALOGUE.crops["pepper_sweet"], CATALOGUE)
    base = next(row for row in page.figures if row.name == "temp_base")
    assert base.basis == "memory"
    assert "stand-in" in base.note


def test_an_own_figure_shows_its_own_source_and_not_the_shipped_remark() -> None:
    own = Estimate(3.0, 2.0, 4.0, "kg/m2", "own records", "own records")
    changed = with_own_values(CATALOGUE, [("kale", "yield", own)])
    page = crop_page(changed.crops["kale"], changed)
    row = next(row for row in page.figures if row.name == "yield")
    assert (row.value, row.citation, row.note) == (3.0, "own records", "")
