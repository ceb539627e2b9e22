"""What the air asks for, and what a crop wants from the tap."""

import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput

# FAO-56 (Allen and others 1998), example 18: Uccle, 6 July, 3.9 mm/day (3.88 before rounding).
UCCLE = {
    "tmin": "12.3",
    "tmax": "21.5",
    "latitude": "50.8",
    "day": "6 July",
    "elevation": "100",
    "sunshine": "9.25",
    "humidity_most": "84",
    "humidity_least": "63",
    "wind": "10 km/h",
    "wind_height": "10",
}
BED = {
    "crop": "tomato",
    "start": "20 May",
    "end": "30 Sep",
    "length": "10",
    "latitude": "48",
    "monthly_min": "-3;-2;1;4;8;12;14;13;10;6;2;-1",
    "monthly_max": "3;5;10;15;19;23;25;25;20;14;8;4",
    "monthly_rain": "50;45;45;50;70;75;70;65;55;50;55;55",
}


def demand(given):
    return {answer.name: answer for answer in run("reference-evapotranspiration", given)}


def need(given):
    return {answer.name: answer for answer in run("water-need", BED | given)}


def said(answer):
    told = as_json([answer])
    return " ".join(told["working"] + told["cautions"])


def test_the_example_of_uccle():
    found = demand(UCCLE)
    assert found["Penman-Monteith"].value == 3.88
    assert found["Penman-Monteith"].low is None
    assert "from the hours of sunshine" in said(found["Penman-Monteith"])


def test_what_was_not_read_is_said_and_the_wind_spread():
    """FAO-56, example 20: 4.56 mm/day with estimates, -7 % and +6 % with 1 and 3 m/s."""
    lyon = {"tmin": "14.8", "tmax": "26.6", "latitude": "45.72", "day": "15 July"}
    found = demand(lyon | {"elevation": "200"})["Penman-Monteith"]
    assert found.value == pytest.approx(4.56, abs=0.01)
    assert found.low == pytest.approx(4.56 * 0.93, abs=0.05)
    assert found.high == pytest.approx(4.56 * 1.06, abs=0.05)
    for part in ("lowest temperature stands", "2 m/s is taken", "range of temperature"):
        assert part in said(found)
    hargreaves = demand(lyon)["Hargreaves, from temperature alone"]
    assert hargreaves.value == 5.03
    assert hargreaves.low < hargreaves.value < hargreaves.high


def test_sun_in_watts_is_turned_into_megajoules():
    plain = demand(UCCLE | {"radiation": "20"})["Penman-Monteith"].value
    watts = demand(UCCLE | {"radiation": "231.48 W/m2"})["Penman-Monteith"].value
    assert watts == pytest.approx(plain, abs=0.01)


@pytest.mark.parametrize(
    ("given", "column", "expected"),
    [
        ({"tmax": "5"}, "tmax", "exchanged"),
        ({"humidity_least": "90"}, "humidity_least", "exchanged"),
        ({"humidity_most": "120"}, "humidity_most", "from 0 to 100"),
        ({"radiation": "45"}, "radiation", "clear sky"),
        ({"radiation": "-1"}, "radiation", "from 0"),
        ({"sunshine": "20"}, "sunshine", "the day's length"),
        ({"latitude": "95"}, "latitude", "-90 to 90"),
        ({"wind": "60"}, "wind", "0 to 40"),
        ({"day": "31 June"}, "day", "month-day"),
    ],
)
def test_a_day_that_cannot_be_is_refused(given, column, expected):
    with pytest.raises(BadInput) as bad:
        demand(UCCLE | given)
    (problem,) = bad.value.problems
    assert problem.column == column
    assert expected in problem.expected


def test_what_is_asked_lies_between_rain_and_tap():
    found = need({})
    asked, given = found["asked by crop and soil"], found["to water"]
    assert 350 < asked.value < 650  # a tomato's season by the tables of FAO-33: 400 to 600 mm
    assert given.low < given.value < given.high < asked.value
    litres = found["to water the bed"]
    assert litres.value == pytest.approx(given.value * 12.0, abs=1.0)
    months = [name for name in found if name.startswith("to water in ")]
    assert months == [f"to water in {m}" for m in ("May", "June", "July", "August", "September")]
    assert max(months, key=lambda name: found[name].value) in (
        "to water in July",
        "to water in August",
    )


def test_no_rain_means_that_the_tap_brings_all_of_it():
    dry = need({"monthly_rain": "0 0 0 0 0 0 0 0 0 0 0 0"})
    reach = 110.0  # what the ground held on the first day may be used up on the last
    assert dry["asked by crop and soil"].value - dry["to water"].value < reach


def test_mulch_and_net_save_and_are_told():
    open_bed = need({})
    mulched = need({"mulch": "organic"})
    assert mulched["to water"].value < open_bed["to water"].value
    assert "with 5 cm of mulch" in " ".join(open_bed)
    assert "with 5 cm of mulch" not in " ".join(mulched)
    same = open_bed["to water the bed with 5 cm of mulch"].value
    assert mulched["to water the bed"].value == same
    shaded = need({"cover": "shade"})["to water the bed"].value
    assert shaded == open_bed["to water the bed under a shade net"].value
    thin = need({"mulch": "organic", "mulch_depth": "2"})["to water"].value
    assert mulched["to water"].value < thin < open_bed["to water"].value


def test_under_a_greenhouse_no_rain_counts():
    house = need({"cover": "greenhouse"})
    assert house["asked by crop and soil"].value < need({})["asked by crop and soil"].value
    assert house["to water"].value > 0.6 * house["asked by crop and soil"].value


def test_the_southern_year_is_the_same_half_a_year_apart():
    turned = {
        name: ";".join(BED[name].split(";")[6:] + BED[name].split(";")[:6])
        for name in ("monthly_min", "monthly_max", "monthly_rain")
    }
    south = need(turned | {"latitude": "-48", "start": "18 Nov", "end": "31 Mar"})
    assert south["asked by crop and soil"].value == pytest.approx(
        need({})["asked by crop and soil"].value, rel=0.1
    )


def test_a_stand_in_is_named_and_the_guess_of_rain_is_said():
    found = need({"crop": "chervil", "end": "30 June", "monthly_rain": "50 " * 12})
    assert "stand for it" in said(found["to water"])
    guessed = run(
        "water-need",
        {"crop": "tomato", "start": "20 May", "length": "10", "latitude": "48"},
    )
    assert "rain is guessed" in said(guessed[1])


@pytest.mark.parametrize(
    ("given", "column"),
    [
        ({"end": "22 May"}, "end"),
        ({"monthly_rain": "1 2 3"}, "monthly_rain"),
        ({"monthly_rain": "50;45;-45;50;70;75;70;65;55;50;55;55"}, "monthly_rain"),
        ({"soil": "moon dust"}, "soil"),
        ({"cover": "umbrella"}, "cover"),
        ({"length": "0"}, "length"),
    ],
)
def test_what_cannot_be_reckoned_is_refused(given, column):
    with pytest.raises(BadInput) as bad:
        need(given)
    assert [problem.column for problem in bad.value.problems] == [column]


@pytest.mark.parametrize(
    "crop",
    ["asparagus", "cover_white_clover", "potato", "radish", "rice_upland", "rosemary", "taro"],
)
def test_crops_of_every_habit_have_a_need(crop):
    found = need({"crop": crop, "end": "15 Aug"})
    assert 100 < found["asked by crop and soil"].value < 500
    assert found["to water"].low <= found["to water"].value <= found["to water"].high
