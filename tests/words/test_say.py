"""Codes put into words: sentences, numbers, units, crop names."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.terms import text
from perennate.words import convert, plain, say, show, symbol, templates


@pytest.mark.usefixtures("made_words")
def test_a_sentence_shows_dates_as_iso_and_units_with_their_sign() -> None:
    assert say(text("made.remedy", day=date(2028, 2, 29))) == "Move it to 2028-02-29."
    assert say(text("made.soil_warm", degrees=7.5)).startswith("Go when the soil has 7.5 °C")


@pytest.mark.usefixtures("made_words")
def test_a_reader_of_us_units_sees_feet_and_fahrenheit() -> None:
    assert "45.5 °F" in say(text("made.soil_warm", degrees=7.5), units="us")
    assert say(text("made.short_of_ground", area=10.0), units="us") == (
        "Ground is short by 108 sq ft."
    )


@pytest.mark.usefixtures("made_words")
def test_crops_are_called_by_their_common_name_and_without_one_by_their_opened_key() -> None:
    told = text("made.frost", crop="broad_bean", share=0.083)
    assert say(told, names={"broad_bean": "Broad bean"}) == (
        "Frost may take Broad bean: 8% of years."
    )
    assert say(told) == "Frost may take broad bean: 8% of years."


@pytest.mark.usefixtures("made_words")
def test_names_with_braces_and_percent_signs_stay_as_typed() -> None:
    assert say(text("made.for_aim", aim="{odd} %s 香菜")) == "For {odd} %s 香菜."


def test_an_unknown_code_and_a_missing_place_are_refused() -> None:
    with pytest.raises(KeyError, match=r"no sentence for the code 'no\.such'"):
        say(text("no.such"))
    with pytest.raises(KeyError, match="that was not given"):
        say(text("line.week"))
    with pytest.raises(KeyError, match="language"):
        say(text("line.week", day="x"), language="xx")


@pytest.mark.parametrize("gravity", ["grave", "mind", "note"])
def test_every_gravity_has_its_word(gravity: str) -> None:
    assert f"gravity.{gravity}" in templates()


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (61.0, "61"),
        (0.045612, "0.0456"),
        (1234.5678, "1235"),
        (9.999, "10"),
        (-0.0001, "-0.0001"),
        (0.0, "0"),
        (-0.0, "0"),
        (1e-7, "0.0000001"),
        (float("nan"), "unknown"),
        (float("inf"), "unknown"),
    ],
)
def test_numbers_have_three_figures_and_never_an_exponent(value: float, shown: str) -> None:
    assert plain(value) == shown


@given(st.floats(min_value=-1e9, max_value=1e9, allow_nan=False))
def test_what_is_shown_is_within_half_a_percent_of_the_number(value: float) -> None:
    shown = plain(value)
    assert "e" not in shown
    assert abs(float(shown) - value) <= 0.00501 * abs(value)


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        # NIST Special Publication 811 (2008), appendix B.8: factors exact by definition
        (0.3048, "m", (1.0, "ft")),
        (2.54, "cm", (1.0, "in")),
        (0.09290304, "m2", (1.0, "sq ft")),
        (0.45359237, "kg", (1.0, "lb")),
        (28.349523125, "g", (1.0, "oz")),
        (3.785411784, "l", (1.0, "US gal")),
        (100.0, "degC", (212.0, "degF")),
        (-40.0, "degC", (-40.0, "degF")),
    ],
)
def test_us_units_are_those_of_the_standard(
    value: float, unit: str, expected: tuple[float, str]
) -> None:
    number, shown = convert(value, unit, "us")
    assert (round(number, 12), shown) == expected
    assert convert(value, unit, "metric") == (value, unit)


def test_a_difference_of_temperature_is_never_shifted_by_32() -> None:
    assert convert(10.0, "K", "us") == (18.0, "degF")
    assert convert(100.0, "degC d", "us") == (180.0, "degF d")


def test_units_are_shown_by_their_signs() -> None:
    assert show(2.5, "m2") == "2.5 m²"
    assert show(12.0, "1/m2") == "12/m²"
    assert show(3.0, "plants", "us") == "3 plants"
    assert symbol("1") == ""


@pytest.mark.parametrize(
    ("weeks", "told"),
    [
        (1, "1 week from May on is out of reach of any harvest or store of leek"),
        (1.0, "1 week from May on is out of reach of any harvest or store of leek"),
        (3, "3 weeks from May on are out of reach of any harvest or store of leek"),
        (0, "0 weeks from May on are out of reach of any harvest or store of leek"),
    ],
)
def test_a_word_goes_with_its_number(weeks: float, told: str) -> None:
    assert say(text("aim.out_of_reach", weeks=weeks, first="May", crop="leek")) == told


@pytest.mark.usefixtures("made_words")
def test_days_are_shown_as_the_output_writes_them() -> None:
    told = text("made.remedy", day=date(2028, 2, 29))
    assert say(told, dates="day") == "Move it to 29 Feb 2028."
    assert say(told, dates="iso") == "Move it to 2028-02-29."


def test_one_of_a_thing_is_shown_in_the_singular_and_a_share_in_percent() -> None:
    assert show(1.0, "pieces") == "1 piece"
    assert show(31.0, "seeds") == "31 seeds"
    assert show(0.25, "share") == "25%"
    assert show(0.117, "share of energy") == "12% of energy"
    assert convert(0.12, "share", "us") == (12.0, "%")
