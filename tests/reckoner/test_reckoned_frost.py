import pytest

from perennate.reckoner import as_json, run
from perennate.reckoner.year_days import day_of, shown
from perennate.terms import BadInput


def dates(given, plants):
    return {answer.name: answer for answer in run("frost-dates", given, plants)}


LAST_5 = "last frost, later in 50% of years"
LAST_1 = "last frost, later in 10% of years"
FIRST_1 = "first frost, earlier in 10% of years"


def test_normal_dates_by_hand(plants):
    # Day 110 of the year is 20 April; with 12 days of spread one year in ten lies past 125.4.
    found = dates({"last_frost": "20 April", "spread": "12"}, plants)
    assert found[LAST_5].value == "04-20"
    assert found[LAST_1].value == shown(125.4) == "05-05"


def test_frost_in_some_years_only_moves_the_date(plants):
    # Frost in 60 % of years, mean day 40, spread 15: the 10 % date is day 54.5.
    given = {"last_frost": "02-09", "spread": "15", "share_of_years": "60"}
    assert day_of((2, 9)) == 40
    assert dates(given, plants)[LAST_1].value in (shown(54), shown(55))
    rare = dates(given | {"share_of_years": "5"}, plants)[LAST_1]
    assert rare.value == "none"
    assert "Only 5% of the years" in " ".join(as_json([rare], plants)["working"])


def test_a_late_date_is_not_a_typical_one(plants):
    typical = dates({"last_frost": "05-15"}, plants)
    late = dates({"last_frost": "05-15", "date_is": "late"}, plants)
    assert late[LAST_1].value == "05-15"
    assert late[LAST_5].value < typical[LAST_5].value == "05-15"


def test_the_convention_is_said_with_every_date(plants):
    for item in as_json(run("frost-dates", {"last_frost": "05-15"}, plants), plants):
        assert "chance is always that of harm" in item["working"][0]


def test_the_southern_year_runs_over_new_year(plants):
    found = dates({"last_frost": "10 Oct", "first_frost": "5 May"}, plants)
    assert found["frost-free days at 50%"].value == 207
    assert found["frost-free days at 10%"].value == 207 - 31
    assert found[FIRST_1].value == "04-20"


def test_a_season_that_frost_may_close_altogether_has_no_days(plants):
    given = {"last_frost": "1 Jul", "first_frost": "20 Jul", "spread": "20"}
    assert dates(given, plants)["frost-free days at 10%"].value == 0


def test_no_frost_is_an_answer_and_not_a_date(plants):
    (answer,) = run("frost-dates", {"no_frost": "yes"}, plants)
    assert answer.value == "none"
    tropical = run("frost-dates", {"latitude": "5"}, plants)
    assert [answer.value for answer in tropical] == ["none"]


def test_from_the_position_alone_the_dates_are_a_broad_guess(plants):
    found = dates({"latitude": "52", "elevation": "100"}, plants)
    assert "04-01" < found[LAST_5].value < found[LAST_1].value < "06-15"
    assert found[LAST_5].low < found[LAST_5].value < found[LAST_5].high
    assert "guess" in " ".join(as_json([found[LAST_5]], plants)["working"])


def test_normals_bring_dates_for_either_hemisphere(plants):
    low = "-4;-3;0;3;7;11;13;12;9;5;1;-2"
    high = "3;4;9;14;19;22;24;24;19;13;7;4"
    north = dates({"latitude": "50", "monthly_min": low, "monthly_max": high}, plants)
    turned = [";".join(months.split(";")[6:] + months.split(";")[:6]) for months in (low, high)]
    south = dates({"latitude": "-50", "monthly_min": turned[0], "monthly_max": turned[1]}, plants)
    assert "04" <= north[LAST_5].value[:2] <= "05"
    assert "10" <= south[LAST_5].value[:2] <= "11"


@pytest.mark.parametrize(
    ("given", "column"),
    [
        ({}, "last_frost"),
        ({"last_frost": "5/10"}, "last_frost"),
        ({"last_frost": "05-10", "no_frost": "yes"}, "no_frost"),
        ({"latitude": "91"}, "latitude"),
        (
            {"latitude": "50", "monthly_min": "1;2;3", "monthly_max": "1 2 3 4 5 6 7 8 9 10 11 12"},
            "monthly_min",
        ),
    ],
)
def test_what_cannot_be_reckoned_is_named(plants, given, column):
    with pytest.raises(BadInput) as bad:
        run("frost-dates", given, plants)
    assert [problem.column for problem in bad.value.problems] == [column]
