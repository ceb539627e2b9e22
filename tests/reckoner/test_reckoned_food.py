import json

import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput

ONE = {"people": "female 25 55 moderate", "diet": "brookroot 100", "lost": "0", "paths": "0"}


def answers(given, plants):
    return {answer.name: answer for answer in run("ground-to-feed", ONE | given, plants)}


def test_the_worked_example_of_a_woman_of_55_kg(plants):
    # FAO/WHO/UNU 2004, 5.4.1: 2 410 kcal a day. Brookroot bears 4 kg/m2 x 0.8 x 1000 kcal/kg.
    # Two fifths of it, so as to stay under the most that people eat of one crop.
    area = answers({"share": "40"}, plants)["beds"].value
    assert area == pytest.approx(0.4 * 2408 * 365 / 3200, rel=1e-3)


def test_no_crop_is_counted_beyond_what_people_eat(plants):
    found = answers({}, plants)
    # 500 kg a year at most: 400 000 kcal of the 879 000 wanted.
    assert found["energy covered"].value == pytest.approx(400_000 / (2408 * 365), rel=1e-3)
    assert found["beds"].value == pytest.approx(500 / 4)
    told = as_json([found["beds"]], plants)
    assert any("More Brookroot would be asked for than people eat" in c for c in told["cautions"])


def test_losses_paths_and_low_yields_take_more_ground(plants):
    usual = answers({"share": "30"}, plants)
    lossy = answers({"share": "30", "lost": "20", "paths": "25"}, plants)
    assert lossy["beds"].value == pytest.approx(usual["beds"].value / 0.8)
    assert lossy["ground with paths"].value == pytest.approx(lossy["beds"].value / 0.75)
    low = answers({"share": "30", "yields": "low"}, plants)
    assert low["beds"].value == pytest.approx(usual["beds"].value * 2)


def test_the_spread_is_that_of_gardens(plants):
    beds = answers({"share": "30"}, plants)["beds"]
    assert beds.low < beds.value / 1.8
    assert beds.high > beds.value * 1.8


def test_what_is_not_covered_is_said_and_nobody_is_called_fed(plants):
    told = as_json(run("ground-to-feed", ONE, plants), plants)
    words = json.dumps(told)
    assert "B12" in words
    assert "vitamin D" in words
    assert "fed" not in words.replace("breast-feeding", "").split()
    names = [item["name"] for item in told]
    assert {"energy covered", "protein covered", "vitamin C covered"} <= set(names)
    assert "iron covered" not in names  # not known of this crop, so not compared


def test_protein_is_held_against_the_safe_level_of_a_plant_diet(plants):
    found = answers({"share": "40"}, plants)
    grams = 0.4 * 2408 / 100 * 5  # 5 g with each 100 kcal
    assert found["protein covered"].value == pytest.approx(grams / (0.83 * 55 / 0.8), rel=1e-3)


def test_people_may_come_as_json_and_in_pounds(plants):
    typed = '[{"sex": "female", "age": 25, "weight": "121.25 lb", "activity": "moderate"}]'
    same = answers({"people": typed}, plants)["beds"].value
    assert same == pytest.approx(answers({}, plants)["beds"].value, rel=1e-3)


def test_a_crop_that_must_be_made_safe_counts_only_once_it_is(plants):
    given = {"diet": "brookroot 90; bitterbean 10"}
    with pytest.raises(BadInput, match="soak for a week"):
        run("ground-to-feed", ONE | given, plants)
    found = answers(given | {"processed": "Bitterbean"}, plants)
    assert found["beds of bitterbean"].value > 0
    cautions = as_json([found["beds"]], plants)["cautions"]
    assert any(line.startswith("Bitterbean: bitter alkaloids") for line in cautions)


@pytest.mark.parametrize(
    ("given", "columns"),
    [
        ({"diet": "brookroot; moonwort 10; brookroot 1,234"}, ["diet"] * 3),
        ({"diet": "brookroot 0"}, ["diet"]),
        (
            {"people": "female 25; male 200 70 light; it 30 70 light; male 30 70 lazy"},
            ["people"] * 4,
        ),
        ({"people": "[{"}, ["people"]),
        ({"people": "male 0 5 light"}, ["people"]),
        ({"processed": "moonwort"}, ["processed"]),
    ],
)
def test_every_fault_is_named_at_once(plants, given, columns):
    with pytest.raises(BadInput) as bad:
        run("ground-to-feed", ONE | given, plants)
    assert [problem.column for problem in bad.value.problems] == columns


def test_ages_without_intakes_are_not_compared(plants):
    given = {"people": "male 15 60 light"}
    names = set(answers(given, plants))
    assert "vitamin C covered" not in names
    assert "protein covered" in names
