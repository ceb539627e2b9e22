"""A position is taken in the ways in which maps and people write it, and never guessed at."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.holding import place_hint, read_position
from perennate.terms import BadInput


@pytest.mark.parametrize(
    ("written", "latitude", "longitude"),
    [
        ("47.1 N, 8.6 E", 47.1, 8.6),
        ("47°06'N 8°36'E", 47.1, 8.6),
        ("47° 6' 36\" N, 8° 36' 0\" E", 47.11, 8.6),
        ("47º06′N, 8º36′E", 47.1, 8.6),
        ("-33,9 151,2", -33.9, 151.2),
        ("−33.9, 151.2", -33.9, 151.2),
        ("33.9°S, 151.2°E", -33.9, 151.2),
        ("33,9 S; 151,2 E", -33.9, 151.2),
        ("47,1, 8,6", 47.1, 8.6),
        ("47, 8", 47.0, 8.0),
        ("47.1,8.6", 47.1, 8.6),
        ("47.1 -8.6", 47.1, -8.6),
        ("47.1 / 8.6", 47.1, 8.6),
        ("N47.1 E8.6", 47.1, 8.6),
        ("n 47.1, w 8.6", 47.1, -8.6),
        ("8.6 E 47.1 N", 47.1, 8.6),
        ("+47.1+008.6", 47.1, 8.6),
        ("geo:47.1,8.6", 47.1, 8.6),
        ("lat: 47.1, lon: -8.6", 47.1, -8.6),
        ("47.1 north 8.6 west", 47.1, -8.6),
        ("  47.1\u00a0N\t8.6\u202fE\n", 47.1, 8.6),
        ("0 0", 0.0, 0.0),
        ("-90 180", -90.0, 180.0),
        ("47.1", 47.1, None),
        ("33,9 S", -33.9, None),
        ("47°06 N", 47.1, None),
        ("-0,5 36,8", -0.5, 36.8),
    ],
)
def test_it_is_read_as_it_is_meant(written, latitude, longitude):
    assert read_position(written) == (latitude, longitude)


@pytest.mark.parametrize(
    "written",
    [
        "",
        "   ",
        "Nook Lane 4",
        "47,8",  # one or two?
        "1,234",
        "47.1° 8.6",  # minutes or a second coordinate?
        "47,1,8,6",
        "91",
        "8.6 E",
        "151.2, -33.9",  # the other way round
        "47.1 N 8.6 N",
        "47.1 N 8.6 O",  # east in one language, west in another
        "47.1 N 181 E",
        "47°75'N",
        "47.1°30'N",
        "12 13 14",
        "471",
        "9" * 5000,
        "1 " * 5000,
        "nan nan",
        "47.1 N, 8.6 E, 300 m",
        "\x00",
    ],
)
def test_what_is_ambiguous_or_none_is_refused(written):
    with pytest.raises(BadInput) as bad:
        read_position(written)
    (problem,) = bad.value.problems
    assert (problem.file, problem.row, problem.column) == ("answers", None, "position")
    assert len(problem.found) < 90


@given(st.integers(-9000, 9000), st.integers(-18000, 18000), st.booleans())
def test_hundredths_of_degrees_come_back_with_signs_or_letters(north, east, comma):
    latitude, longitude = north / 100, east / 100
    signed = f"{latitude:.2f} {longitude:.2f}"
    lettered = f"{abs(latitude):.2f} {'NS'[north < 0]} {abs(longitude):.2f} {'EW'[east < 0]}"
    for written in (signed, lettered):
        written = written.replace(".", ",") if comma else written
        assert read_position(written) == (latitude, longitude)


@given(st.text(max_size=40))
def test_any_text_is_a_position_or_a_problem(written):
    try:
        latitude, longitude = read_position(written)
    except BadInput as bad:
        shown = [problem.column for problem in bad.problems]
    else:
        shown = ["position"]
        assert abs(latitude) <= 90
        assert longitude is None or abs(longitude) <= 180
    assert shown == ["position"]


def test_a_hint_of_a_place_is_what_its_latitude_and_height_give():
    north, south, high = place_hint(47, 300), place_hint(-37, 50), place_hint(47, 1300)
    assert (north.warmest_month, north.coldest_month) == (7, 1)
    assert (south.warmest_month, south.coldest_month) == (1, 7)
    assert north.warmest_c - high.warmest_c == pytest.approx(6.5, abs=0.11)
    assert north.spread_k > 1
    assert place_hint(0, 0).warmest_c - place_hint(0, 0).coldest_c < 3
    with pytest.raises(ValueError, match="latitude"):
        place_hint(91, 0)
