import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput

RAIN = ";".join(["60"] * 12)
ROOF = {"latitude": "50", "monthly_rain": RAIN, "roof_area": "50", "roof": "metal", "demand": "60"}


def tank(**given):
    return {item["name"]: item for item in as_json(run("rain-tank", {**ROOF, **given}))}


def test_a_roof_gives_its_rain_but_for_losses():
    # 720 mm on 50 m2 are 36 m3; 92 % of it less half a millimetre of each rain
    found = tank()["rain from the roof in a year"]
    assert found["low"] < found["answer"] < found["high"]
    assert 0.75 * 36_000 < found["answer"] < 0.92 * 36_000
    assert "not for drinking" in found["cautions"][0]


def test_a_rougher_roof_and_a_larger_flush_bring_less():
    best = tank()["rain from the roof in a year"]["answer"]
    assert tank(roof="flat gravel")["rain from the roof in a year"]["answer"] < best
    assert tank(first_flush="3")["rain from the roof in a year"]["answer"] < best


def test_a_larger_tank_serves_more_and_chances_are_told():
    small, large = tank(tank="500"), tank(tank="3 m3")
    name = "demand that the tank serves"
    assert small[name]["answer"] < large[name]["answer"] <= 100
    assert large[name]["low"] <= large[name]["answer"] <= large[name]["high"]
    assert "% of the years" in " ".join(large[name]["working"])
    assert small["water spilled in a year"]["answer"] > large["water spilled in a year"]["answer"]


def test_the_tank_that_serves_it_does_so_when_asked_again():
    size = tank(reliability="80")["tank that serves it over all years"]["answer"]
    again = tank(tank=f"{size:.0f}")["demand that the tank serves"]["working"]
    served = next(line for line in again if line.startswith("Over all years"))
    assert "80%" in served
    surer = tank(reliability="95")["tank that serves it over all years"]["answer"]
    assert surer > size


def test_a_season_may_run_over_the_new_year():
    south = tank(latitude="-35", first_day="10-01", last_day="03-31", tank="2000")
    year = tank(latitude="-35", tank="2000")
    name = "demand that the tank serves"
    assert south[name]["answer"] > year[name]["answer"]


def test_more_than_the_roof_brings_is_served_by_no_tank():
    found = tank(demand="500")["tank that serves it over all years"]
    assert found["answer"] == "none does"
    assert "no tank serves 90%" in found["working"][-1]


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"tank": "0"}, "found a tank of 0 l; expected more than 0 l"),
        ({"tank": "-5"}, "a tank of -5 l"),
        ({"first_day": "05-01"}, "both ends of the season"),
        ({"monthly_rain": "1;2;3"}, "twelve depths"),
        ({"monthly_rain": RAIN.replace("60", "-60")}, "no rain below 0 mm"),
        ({"roof_area": "0"}, "0.1 to 100000"),
        ({"roof": "thatch"}, "one of metal"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(given, words):
    with pytest.raises(BadInput, match=words) as bad:
        tank(**given)
    assert len(bad.value.problems) == 1


def test_units_of_the_trade_are_read():
    metric = tank(tank="3785")
    us = tank(tank="1000 gal", roof_area="538.2 ft2")
    name = "demand that the tank serves"
    assert us[name]["answer"] == pytest.approx(metric[name]["answer"], rel=0.01)
