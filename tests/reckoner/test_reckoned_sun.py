import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput
from perennate.words import say

SUMMARY = "sun a day in the growing half year"


def answers(given, plants):
    return {answer.name: answer for answer in run("sun-hours", given, plants)}


def test_open_ground_has_the_whole_day(plants):
    found = answers({"latitude": "52"}, plants)
    assert len(found) == 13
    assert found["sun on 06-21"].value == pytest.approx(16.5, abs=0.1)
    assert found["sun on 12-21"].value == pytest.approx(7.5, abs=0.1)
    assert found[SUMMARY].low <= found[SUMMARY].value <= found[SUMMARY].high


def test_a_wall_to_the_south_takes_the_winter_sun(plants):
    found = answers({"latitude": "52", "standing": "3 m / 3 m / S / 40 m"}, plants)
    assert found["sun on 12-21"].value == 0
    assert found["sun on 06-21"].value > 10
    told = say(found["sun on 12-21"].working[-1])
    assert "none comes full" in told


def test_feet_and_letters_are_read_and_several_things_add_up(plants):
    metres = answers({"latitude": "40", "standing": "3.048/6.096/180/9.144"}, plants)
    feet = answers({"latitude": "40", "standing": "10 ft / 20 ft / s / 30 ft"}, plants)
    assert feet[SUMMARY].value == metres[SUMMARY].value
    more = answers(
        {
            "latitude": "40",
            "standing": "10 ft/20 ft/S/30 ft; 8/5/WSW/6/40 %",
            "horizon": "60/120/10",
        },
        plants,
    )
    assert more[SUMMARY].value < feet[SUMMARY].value


def test_a_decimal_comma_is_read_and_one_that_may_be_thousands_is_asked_about(plants):
    comma = answers({"latitude": "40", "standing": "2,5/6/S/9"}, plants)[SUMMARY]
    assert (
        comma.value == answers({"latitude": "40", "standing": "2.5/6/S/9"}, plants)[SUMMARY].value
    )
    with pytest.raises(BadInput, match="without a comma"):
        answers({"latitude": "40", "standing": "3,048/6/S/9"}, plants)


def test_shade_has_its_name(plants):
    def called(horizon):
        answer = answers({"latitude": "50", "horizon": horizon}, plants)[SUMMARY]
        return " ".join(say(told) for told in answer.working)

    assert "full sun" in called("60/120/10")
    assert "half shade" in called("0/360/42")
    assert ": shade" in called("0/360/58")


def test_the_southern_summer_lies_about_the_new_year(plants):
    north = answers({"latitude": "45"}, plants)[SUMMARY]
    south = answers({"latitude": "-45"}, plants)[SUMMARY]
    assert south.value == pytest.approx(north.value, abs=0.2)
    assert answers({"latitude": "-45", "standing": "3/2/N/30"}, plants)["sun on 06-21"].value == 0


def test_polar_night_and_day_and_the_zenith_of_the_tropics(plants):
    polar = answers({"latitude": "75"}, plants)
    assert polar["sun on 06-21"].value == 24
    assert polar["sun on 12-21"].value == 0
    assert "does not rise" in say(polar["sun on 12-21"].working[-1])
    tropics = answers({"latitude": "0", "standing": "2/2/S/50"}, plants)
    assert tropics["sun on 03-21"].value > 11


def test_cloud_is_not_counted_and_that_is_said(plants):
    told = as_json(run("sun-hours", {"latitude": "52"}, plants), plants)[0]
    assert any("Cloud" in caution for caution in told["cautions"])
    assert any("Spencer" in source for source in told["sources"])


@pytest.mark.parametrize(
    ("given", "columns"),
    [
        ({}, ["latitude"]),
        ({"latitude": "52", "standing": "3/3/S"}, ["standing"]),
        ({"latitude": "52", "standing": "3/0/S/4"}, ["standing"]),
        ({"latitude": "52", "standing": "3/3/up/4; tall"}, ["standing", "standing"]),
        ({"latitude": "52", "horizon": "120/200/95"}, ["horizon"]),
        ({"latitude": "52", "standing": "3/3/S/4/200 %", "horizon": "1"}, ["standing", "horizon"]),
    ],
)
def test_what_cannot_stand_is_named(plants, given, columns):
    with pytest.raises(BadInput) as bad:
        run("sun-hours", given, plants)
    assert [problem.column for problem in bad.value.problems] == columns
