import pytest

from perennate.reckoner import as_json, run
from perennate.terms import BadInput


def test_the_methods_differ_where_nights_fall_below_the_base(plants):
    # McMaster and Wilhelm 1997: mean 12, base 10 gives 2 by the mean, 5 with floored extremes.
    given = {"tmin": "4", "tmax": "20", "base": "10"}
    by = {
        method: run("degree-days", given | {"method": method}, plants)[0].value
        for method in ("mean", "floored", "sine")
    }
    assert by["mean"] == 2
    assert by["floored"] == 5
    assert 2 < by["sine"] < 5


def test_low_and_high_are_the_least_and_most_of_the_methods(plants):
    (answer,) = run("degree-days", {"tmin": "4", "tmax": "20", "base": "10", "days": "10"}, plants)
    assert (answer.low, answer.high) == (20, 50)


def test_base_and_ceiling_come_with_the_crop(plants):
    (answer,) = run(
        "degree-days",
        {"crop": "brookroot", "tmin": "20", "tmax": "40", "method": "floored"},
        plants,
    )
    assert answer.value == (20 + 25) / 2 - 5
    assert set(answer.sources) >= {"handbook", "memory", "degree-days"}


def test_sweet_corn_in_fahrenheit_with_its_limits(plants):
    # Oregon State University EM 9305: limits 50 and 86 F; a day of 60 to 90 F brings 23 F d.
    given = {"tmin": "60 F", "tmax": "90 F", "base": "50 F", "upper": "86 F", "method": "floored"}
    (answer,) = run("degree-days", given, plants)
    assert answer.value == pytest.approx(23 / 1.8)
    told = as_json([answer], plants)
    assert "In Fahrenheit degree days: 23" in " ".join(told["working"])
    assert told["unit"] == "degC d"


@pytest.mark.parametrize(
    ("given", "column"),
    [
        ({"tmin": "20", "tmax": "10", "base": "5"}, "tmax"),
        ({"tmin": "10", "tmax": "20"}, "base"),
        ({"tmin": "10", "tmax": "20", "base": "10", "upper": "8"}, "upper"),
        ({"tmin": "10 ft", "tmax": "20", "base": "10"}, "tmin"),
    ],
)
def test_impossible_days_are_refused(plants, given, column):
    with pytest.raises(BadInput) as bad:
        run("degree-days", given, plants)
    assert [problem.column for problem in bad.value.problems] == [column]
