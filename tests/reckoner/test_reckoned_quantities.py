import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.reckoner.quantities import (
    UnreadableError,
    read_month_day,
    read_number,
    read_quantity,
)


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("1,5", 1.5),
        ("1.5", 1.5),
        ("0,125", 0.125),
        ("-2,25", -2.25),
        ("−3", -3),
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("12345,678", 12345.678),
    ],
)
def test_numbers_with_a_point_or_a_comma(typed, number):
    assert read_number(typed) == pytest.approx(number)


@pytest.mark.parametrize("typed", ["1,234", "12,345", "1,2,3", "", "x", "1..2", "5-10", "2E5"])
def test_what_is_read_two_ways_or_not_at_all_is_refused(typed):
    with pytest.raises(UnreadableError):
        read_number(typed)


@pytest.mark.parametrize(
    ("typed", "unit", "number"),
    [
        ("3 ft", "m", 0.9144),
        ("3ft", "cm", 91.44),
        ("12 in", "cm", 30.48),
        ('6"', "cm", 15.24),
        ("5 ft 6 in", "m", 1.6764),
        ("90 cm", "m", 0.9),
        ("0,9", "m", 0.9),
        ("61 F", "degC", 16.111),
        ("16 °C", "degC", 16),
        ("-4 °F", "degC", -20),
        ("2 weeks", "days", 14),
        ("10 lb", "kg", 4.5359),
        ("90 %", "%", 90),
        ("35", "years", 35),
    ],
)
def test_quantities_in_their_unit_or_another_of_the_kind(typed, unit, number):
    assert read_quantity(typed, unit) == pytest.approx(number, abs=1e-3)


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("3 kg", "m"),
        ("3 furlongs", "m"),
        ("ft 3", "m"),
        ("3 4 m", "m"),
        ("5 m 2 m", "m"),
        ("60 F 5 F", "degC"),
        ("4 m", ""),
        ("", "m"),
    ],
)
def test_a_unit_of_another_kind_is_refused(typed, unit):
    with pytest.raises(UnreadableError):
        read_quantity(typed, unit)


@given(st.floats(0.001, 9999).map(lambda number: round(number, 2)))
def test_a_point_and_a_comma_mean_the_same_with_two_decimals(number):
    typed = f"{number:.2f}"
    assert read_number(typed) == read_number(typed.replace(".", ","))


@pytest.mark.parametrize(
    "typed", ["05-10", "10 May", "May 10", "may 10th", "2026-05-10", "10.5.", "10.05.2026"]
)
def test_days_without_a_year(typed):
    assert read_month_day(typed) == (5, 10)


@pytest.mark.parametrize("typed", ["5/10", "30 Feb", "13-40", "10", "10 Foo", ""])
def test_a_day_that_is_none_or_is_read_two_ways_is_refused(typed):
    with pytest.raises(UnreadableError):
        read_month_day(typed)


def test_the_leap_day_is_a_day():
    assert read_month_day("29 Feb") == (2, 29)
