import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput

PLACE = {"crop": "brookroot", "latitude": "50", "last_frost": "10 May", "first_frost": "5 Oct"}


def windows(given, plants):
    return {answer.name: answer for answer in run("sow-window", given, plants)}


def near(shown, wanted, days=4):
    month, day = (int(part) for part in shown.split("-"))
    wanted_month, wanted_day = (int(part) for part in wanted.split("-"))
    return abs((month - wanted_month) * 30.4 + day - wanted_day) <= days


def test_weeks_are_counted_from_the_remembered_frosts(plants):
    found = windows(PLACE, plants)
    assert near(found["sow under cover"].low, "03-15")  # 8 weeks before 10 May
    assert near(found["sow under cover"].high, "04-05")  # 5 weeks before
    assert near(found["plant out"].low, "05-17")  # 1 week after
    assert near(found["last sowing in the bed"].value, "07-27")  # 10 weeks before 5 October


def test_the_risk_of_a_killing_night_falls_through_the_window(plants):
    found = windows(PLACE, plants)
    risk = found["chance of a killing night after: sow in the bed"]
    assert 0.1 < risk.high <= 1
    assert risk.value == risk.high > risk.low >= 0
    assert risk.low < 0.1  # four weeks after the middle last frost few years have one more
    told = as_json([found["sow in the bed"]], plants)
    assert any("such a night comes in" in line for line in told["working"])
    assert any("on three mornings" in line for line in told["working"])


def test_the_day_to_go_by_for_tender_plants_lies_behind_the_middle_frost(plants):
    found = windows(PLACE, plants)
    safe = found["killing night later in 10% of years"].value
    assert "05-12" < safe < "06-15"
    assert near(safe, found["sow in the bed"].high, days=25)


def test_the_same_garden_half_a_year_on_in_the_south(plants):
    south = windows(
        PLACE | {"latitude": "-50", "last_frost": "10 Nov", "first_frost": "5 Apr"}, plants
    )
    assert near(south["plant out"].low, "11-17")
    assert near(south["last sowing in the bed"].value, "01-25")


def test_where_frost_is_not_known_warmth_decides(plants):
    (answer,) = run("sow-window", {"crop": "brookroot", "latitude": "3", "no_frost": "yes"}, plants)
    assert (answer.low, answer.high) == ("01-01", "12-31")
    told = as_json([answer], plants)
    assert any("warmth decides" in line for line in told["working"])
    assert any("dry season" in line for line in told["cautions"])


def test_a_guess_from_the_position_alone_says_so(plants):
    found = windows({"crop": "brookroot", "latitude": "50"}, plants)
    told = as_json([found["plant out"]], plants)
    assert any("Nothing but the position is known" in line for line in told["cautions"])


def test_a_crop_without_weeks_is_refused(plants):
    with pytest.raises(BadInput, match="weeks about the frosts"):
        run("sow-window", PLACE | {"crop": "bitterbean"}, plants)
