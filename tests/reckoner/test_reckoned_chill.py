import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput
from perennate.words import say

LOW = "-2;-1;2;5;9;12;14;14;10;7;2;-1"
HIGH = "4;6;11;15;20;23;26;25;20;14;8;5"
NORTH = {"latitude": "48", "monthly_min": LOW, "monthly_max": HIGH}


def half_a_year_on(months):
    each = months.split(";")
    return ";".join(each[6:] + each[:6])


def answers(given, plants):
    return {answer.name: answer for answer in run("chill", given, plants)}


def test_every_count_is_given_with_its_spread(plants):
    found = answers(NORTH, plants)
    assert list(found) == [
        "chill portions",
        "Utah units",
        "chilling hours, 0 to 7.2 °C",
        "chilling hours, up to 7.2 °C",
    ]
    for answer in found.values():
        assert answer.low <= answer.value <= answer.high
    assert 60 < found["chill portions"].value < 140
    with_frost = found["chilling hours, up to 7.2 °C"]
    assert with_frost.value > found["chilling hours, 0 to 7.2 °C"].value


def test_the_southern_winter_runs_over_the_middle_of_the_year(plants):
    south = NORTH | {
        "latitude": "-48",
        "monthly_min": half_a_year_on(LOW),
        "monthly_max": half_a_year_on(HIGH),
    }
    mirrored, north = answers(south, plants), answers(NORTH, plants)
    assert mirrored["chill portions"].value == pytest.approx(north["chill portions"].value, rel=0.1)
    assert "from 04-" in " ".join(say(told) for told in mirrored["Utah units"].working)


def test_wanted_chill_is_met_later_in_nine_winters_than_in_five(plants):
    found = answers(NORTH | {"wanted": "50"}, plants)
    half = found["met in 5 winters of 10 by"].value
    nearly_all = found["met in 9 winters of 10 by"].value
    assert found["winters that bring it"].value == 100
    assert half[:2] in ("12", "01", "02")
    order = [half.replace("12-", "00-"), nearly_all.replace("12-", "00-")]
    assert order == sorted(order)
    assert order[0] != order[1]


def test_the_tropics_bring_little_or_none(plants):
    found = answers({"latitude": "3", "wanted": "20"}, plants)
    assert found["chill portions"].high <= 1
    assert found["winters that bring it"].value == 0
    assert found["met in 5 winters of 10 by"].value == "never"


def test_a_count_is_not_exchanged_for_another(plants):
    told = as_json(run("chill", NORTH | {"wanted": "800", "count": "hours"}, plants), plants)
    for answer in told:
        if answer["cautions"]:
            assert "cannot be turned into another" in answer["cautions"][0]
    assert any("Weinberger" in source for source in told[2]["sources"])


@pytest.mark.parametrize(
    ("given", "columns"),
    [
        ({}, ["latitude"]),
        ({"latitude": "95", "wanted": "-3"}, ["latitude", "wanted"]),
        (NORTH | {"count": "days"}, ["count"]),
        (NORTH | {"monthly_min": "1;2"}, ["monthly_min"]),
    ],
)
def test_what_cannot_be_reckoned_is_named(plants, given, columns):
    with pytest.raises(BadInput) as bad:
        run("chill", given, plants)
    assert [problem.column for problem in bad.value.problems] == columns
