import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.catalogue.reader import load_catalogue
from perennate.reckoner import as_json, run
from perennate.terms import BadInput

CROPS = sorted(load_catalogue().crops)


def told(**given):
    items = as_json(run("seed-drying", given))
    return {item["name"]: item for item in items} if isinstance(items, list) else items


def said(answer):
    return " ".join([*answer["working"], *answer["cautions"]])


def test_beans_from_the_shed_into_a_jar():
    found = told(crop="bean_dry", seed="200 g", moisture="14", target="8")
    assert found["water to remove"]["answer"] == pytest.approx(13.04, abs=0.005)
    assert found["weight when dry"]["answer"] == pytest.approx(186.96, abs=0.005)
    # The jar ends at 27 % humidity, where gel holds 10 + 12 (26.8 - 22.5) / 17.5 % of its mass.
    gel = found["desiccant"]
    assert gel["answer"] == pytest.approx(13.04 / 0.1293, abs=0.5)
    assert gel["high"] == pytest.approx(2 * gel["answer"], rel=1e-4)
    assert found["dry enough to freeze"]["answer"] == "yes"
    assert found["warmest air to dry in"]["answer"] == 38


def test_without_a_target_seed_is_dried_to_what_a_tight_pack_allows():
    found = told(crop="tomato", humidity="50", temperature="20")
    assert found["moisture now"]["answer"] == pytest.approx(9.12, abs=0.01)
    assert found["moisture now"]["high"] == pytest.approx(10.62, abs=0.01)
    assert found["target moisture"]["answer"] == 5.5
    assert "moisture-tight pack" in said(found["target moisture"])


def test_a_crop_without_such_a_rule_is_dried_to_what_gel_leaves():
    found = told(crop="sunflower")
    assert "25 % humidity" in said(found["target moisture"])
    assert "ends at 25 % humidity" in said(found["desiccant"])


def test_beads_take_the_same_share_in_any_air_and_must_not_be_wetted():
    found = told(crop="bean_dry", seed="100", moisture="12", target="7", desiccant="beads")
    beads = found["desiccant"]
    assert beads["answer"] == pytest.approx(5.376 / 0.20, abs=0.01)
    assert "they grow hot" in said(beads)
    assert "crack when they soak" in said(beads)


def test_seed_not_dry_enough_for_the_freezer_is_told():
    found = told(crop="wheat_winter", moisture="14", target="11")
    assert found["dry enough to freeze"]["answer"] == "no"


def test_dry_seed_is_shut_in_as_it_is():
    found = told(crop="tomato", moisture="5")
    assert set(found) == {"moisture now", "target moisture"}
    assert "shut it in" in said(found["target moisture"])


def test_cobalt_and_ovens_are_warned_of():
    found = told(crop="tomato")
    assert "cobalt, which is harmful" in said(found["desiccant"])
    assert "Never in an oven" in said(found["warmest air to dry in"])


def test_seed_that_must_not_dry_is_not_dried():
    found = told(species="Castanea sativa")
    assert found["answer"] == "not reckoned"
    assert "dies when it dries" in said(found)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"crop": "tomato", "target": "3"}, "air of 6 % humidity"),
        ({"crop": "tomato", "moisture": "9", "humidity": "50"}, "found both"),
        ({"crop": "calendula"}, "what oil its seed holds is not known here"),
        ({"crop": "calendula", "moisture": "10", "target": "6"}, "expected beads"),
        ({"crop": "tomato", "humidity": "90"}, "a number from 10 to 70 %"),
    ],
)
def test_what_cannot_be_reckoned_is_refused(given, words):
    with pytest.raises(BadInput, match=words):
        run("seed-drying", given)


@pytest.mark.parametrize("crop", CROPS)
def test_every_crop_is_answered_or_refused_with_a_reason(crop):
    try:
        answers = as_json(run("seed-drying", {"crop": crop}))
    except BadInput as bad:
        (_one_clear_problem,) = bad.problems
        return
    for item in answers if isinstance(answers, list) else [answers]:
        assert item["working"]
        assert item["sources"]


@given(st.floats(1, 5000), st.floats(9, 20), st.floats(5.5, 8.9))
def test_weight_and_water_add_up(seed, have, target):
    found = told(crop="pea_dry", seed=f"{seed:.3f}", moisture=f"{have:.3f}", target=f"{target:.3f}")
    whole = found["water to remove"]["answer"] + found["weight when dry"]["answer"]
    assert whole == pytest.approx(float(f"{seed:.3f}"), rel=1e-4)
