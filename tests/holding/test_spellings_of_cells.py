"""Every way of writing a cell that is taken, and what it is taken for."""

from datetime import date, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.holding.cells import (
    CellError,
    Reading,
    as_text,
    choice,
    day,
    guard,
    quantity,
    tidy,
    yes_no,
)

TOLD_COMMA = Reading(decimal=",")
TOLD_POINT = Reading(decimal=".")
DAY_FIRST = Reading(dates="day first")
US = Reading(us=True)


NOTHING_TOLD = Reading()


def metres(cell, reading=NOTHING_TOLD):
    return quantity(cell, reading, lambda value: 0 <= value <= 500, "m")


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ("3", "3"),
        (" 3,5 ", "3.5"),
        ("3.5", "3.5"),
        ("0,125", "0.125"),
        (".5", "0.5"),
        ("1/2", "0.5"),
        ("1 1/2", "1.5"),
        ("½", "0.5"),
        ("1½", "1.5"),
        ("1 ¾", "1.75"),
        ("1 1⁄2", "1.5"),
        ("3 ft", "0.9144"),
        ("3ft.", "0.9144"),
        ("3 Feet", "0.9144"),
        ("3'6\"", "1.0668"),
        ("3 ft 6 in", "1.0668"),
        ("12 in", "0.3048"),
        ("1 1/2 ft", "0.4572"),
        ("90 cm", "0.9"),
        ("90\u00a0cm", "0.9"),
        ("90\u202fcm", "0.9"),
        ("\u20091,2\u2009m", "1.2"),
        ("4 yd", "3.6576"),
        ("1 200 mm", "1.2"),
        ("1\u202f200 mm", "1.2"),
        ("'+3", "3"),
        ("2.5E1", "25"),
        ("٣", "3"),
        (4, "4"),
        (4.5, "4.5"),
    ],
)
def test_a_length(cell, value):
    assert metres(cell) == Fraction(value)


@pytest.mark.parametrize(
    ("cell", "unit", "value"),
    [
        ("2 kg", "kg", "2"),
        ("3 lb", "kg", "1.36077711"),
        ("8 oz", "kg", "0.226796185"),
        ("250 g", "kg", "0.25"),
        ("-14", "degC", "-14"),
        ("−14 °C", "degC", "-14"),
        ("5 °F", "degC", "-15"),
        ("85 %", "share", "0.85"),
        ("1 h", "min", "60"),
        ("1 h 20 min", "min", "80"),
        ("1.234,5", "kg", "1234.5"),
        ("1,234.5", "kg", "1234.5"),
        ("1.234.567", "kg", "1234567"),
        ("1234.567", "kg", "1234.567"),
        ("1 234 567", "kg", "1234567"),
        ("1.2340", "kg", "1.234"),
        ("5 m2", "m2", "5"),
        ("100 sq ft", "m2", "9.290304"),
    ],
)
def test_another_quantity(cell, unit, value):
    assert quantity(cell, Reading(), lambda _: True, unit) == Fraction(value)


def test_a_gallon_is_known_only_where_us_units_are_told():
    assert quantity("2 gal", US, lambda _: True, "l") == Fraction("7.570823568")
    with pytest.raises(CellError, match="us gal, imp gal"):
        quantity("2 gal", Reading(), lambda _: True, "l")


def test_a_point_before_three_digits_is_read_by_the_sign_told_or_by_what_is_possible():
    def any_mass(cell, reading):
        return quantity(cell, reading, lambda _: True, "kg")

    assert any_mass("1.234", TOLD_POINT) == Fraction("1.234")
    assert any_mass("1.234", TOLD_COMMA) == 1234
    assert any_mass("1,234", TOLD_COMMA) == Fraction("1.234")
    assert metres("1.234") == Fraction("1.234"), "no bed is 1234 m long"
    with pytest.raises(CellError, match="one way only"):
        any_mass("1.234", Reading())
    with pytest.raises(CellError, match="one way only"):
        any_mass("12,345", Reading())


def test_the_other_decimal_sign_is_refused_where_one_is_told():
    with pytest.raises(CellError, match=r'the decimal sign "\."'):
        metres("3,5", TOLD_POINT)


@pytest.mark.parametrize(
    "cell",
    ["", "x", "3-5", "3–5", "1,2,3", "12,34.5", "3 ft 2 kg", "3 in 6 ft", "--3", "1/0", "nan"],
)
def test_what_is_no_length(cell):
    with pytest.raises(CellError):
        metres(cell)


@pytest.mark.parametrize("cell", [date(2026, 2, 1), True, float("nan"), float("inf")])
def test_a_sheet_cell_that_is_no_number(cell):
    with pytest.raises(CellError, match="a number"):
        metres(cell)


@pytest.mark.parametrize(
    ("cell", "reading"),
    [
        ("2026-04-03", Reading()),
        ("2026/4/3", Reading()),
        ("2026-04-03T00:00:00", Reading()),
        ("3.4.2026", Reading()),
        ("03.04.2026", Reading()),
        ("3. 4. 2026", Reading()),
        ("3/4/2026", DAY_FIRST),
        ("03-04-2026", DAY_FIRST),
        ("4/3/2026", US),
        ("04/03/2026", Reading(dates="month first")),
        (date(2026, 4, 3), Reading()),
        (datetime(2026, 4, 3), Reading()),
    ],
)
def test_the_third_of_april(cell, reading):
    assert day(cell, reading) == date(2026, 4, 3)


def test_a_date_with_slashes_that_fits_one_way_needs_nothing_told():
    assert day("25/04/2026", Reading()) == day("04/25/2026", Reading()) == date(2026, 4, 25)
    assert day("03/03/2026", Reading()) == date(2026, 3, 3)
    assert day("29.2.2028", Reading()) == date(2028, 2, 29)


def test_an_order_told_outranks_the_units():
    assert day("3/4/2026", Reading(dates="day first", us=True)) == date(2026, 4, 3)


@pytest.mark.parametrize(
    ("cell", "reading"),
    [
        ("3/4/2026", Reading()),
        ("04/25/2026", DAY_FIRST),
        ("25/04/2026", US),
        ("29.2.2027", Reading()),
        ("3.4.26", Reading()),
        ("April 3", Reading()),
        ("46115", Reading()),
        (46115, Reading()),
        (datetime(2026, 4, 3, 10, 30), Reading()),
    ],
)
def test_what_is_no_day(cell, reading):
    with pytest.raises(CellError):
        day(cell, reading)


@pytest.mark.parametrize(
    ("cell", "value"),
    [("yes", True), ("X", True), (True, True), ("1", True), ("No", False), (0, False), ("?", None)],
)
def test_yes_and_no(cell, value):
    assert yes_no(cell) is value


def test_a_word_is_known_whatever_its_capitals_and_underscores():
    assert choice(" Half_Shade ", ("full sun", "half shade")) == "half shade"
    with pytest.raises(CellError, match="did you mean full sun"):
        choice("ful sun", ("full sun", "half shade"))


def test_text_keeps_its_letters_and_loses_stray_spaces():
    assert tidy("\ufeff  Me\u0300re de\u00a0Me\u0301nage \n") == "Mère de Ménage"
    assert as_text(7.0) == "7"
    assert as_text("007") == "007"


@given(st.text(st.characters(exclude_categories=["Cc", "Cs"])))
def test_a_guarded_text_is_read_back_as_it_was_and_is_no_formula(text):
    kept = tidy(text)
    assert tidy(guard(kept)) == kept
    assert not guard(kept).startswith(("=", "+", "-", "@"))
