import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import sun

DAYS = st.integers(1, 365)
LATITUDES = st.floats(-89.9, 89.9)


def test_fao56_example_8_radiation_outside_the_air_at_20_south_on_3_september() -> None:
    """Allen and others 1998, FAO-56, example 8."""
    assert float(sun.relative_distance(246)) == pytest.approx(0.985, abs=0.0005)
    assert float(sun.declination(246)) == pytest.approx(0.120, abs=0.0005)
    assert float(sun.sunset_hour_angle(-20, 246)) == pytest.approx(1.527, abs=0.0005)
    assert float(sun.extraterrestrial_radiation(-20, 246)) == pytest.approx(32.2, abs=0.1)


def test_fao56_example_9_daylight_hours_of_the_same_day() -> None:
    """Allen and others 1998, FAO-56, example 9."""
    assert float(sun.daylight_hours(-20, 246)) == pytest.approx(11.7, abs=0.05)


@pytest.mark.parametrize(
    ("place", "latitude", "day", "ra", "tolerance"),
    [
        ("FAO-56 example 10, Rio de Janeiro", -22.9, 135, 25.1, 0.05),
        ("FAO-56 example 18, Uccle", 50.8, 187, 41.09, 0.02),
        ("FAO-56 example 20, Lyon", 45.72, 196, 40.55, 0.02),
        ("McMahon and others 2013, Alice Springs", -23.7951, 202, 23.6182, 0.01),
    ],
)
def test_radiation_of_other_printed_examples(
    place: str, latitude: float, day: int, ra: float, tolerance: float
) -> None:
    assert float(sun.extraterrestrial_radiation(latitude, day)) == pytest.approx(ra, abs=tolerance)


@pytest.mark.parametrize(
    ("place", "latitude", "day", "hours", "tolerance"),
    [
        ("FAO-56 example 10, Rio de Janeiro", -22.9, 135, 10.9, 0.05),
        ("FAO-56 example 18, Uccle", 50.8, 187, 16.1, 0.05),
        ("McMahon and others 2013, Alice Springs", -23.7951, 202, 10.7431, 0.002),
    ],
)
def test_daylight_of_other_printed_examples(
    place: str, latitude: float, day: int, hours: float, tolerance: float
) -> None:
    assert float(sun.daylight_hours(latitude, day)) == pytest.approx(hours, abs=tolerance)


@pytest.mark.parametrize(
    ("latitude", "hours"),
    [
        (0, (12.12, 12.11, 12.12, 12.11, 12.12)),
        (20, (11.04, 12.11, 13.34, 12.13, 10.92)),
        (40, (9.62, 12.14, 15.02, 12.17, 9.32)),
        (50, (8.52, 12.16, 16.37, 12.21, 8.07)),
        (60, (6.66, 12.20, 18.87, 12.28, 5.87)),
    ],
)
def test_cbm_day_length_of_five_days(latitude: float, hours: tuple[float, ...]) -> None:
    """Forsythe and others 1995, CBM model, days 15, 80, 172, 266, 355, sun 0.8333 degrees below
    (worked out apart from this code with the published constants)."""
    days = [15, 80, 172, 266, 355]
    assert sun.day_length_cbm(latitude, days) == pytest.approx(hours, abs=0.01)


def test_the_two_day_lengths_are_not_the_same_thing() -> None:
    days = np.arange(1, 366)
    for latitude in (30.0, 50.0):
        longer = sun.day_length_cbm(latitude, days) - sun.daylight_hours(latitude, days)
        assert longer.min() > 7 / 60
        assert longer.max() < 26 / 60


def test_polar_day_and_night() -> None:
    assert float(sun.daylight_hours(75, 172)) == 24.0
    assert float(sun.daylight_hours(75, 355)) == 0.0
    assert float(sun.day_length_cbm(-75, 355)) == 24.0
    assert float(sun.day_length_cbm(-75, 172)) == 0.0
    assert float(sun.extraterrestrial_radiation(80, 355)) == 0.0
    assert float(sun.extraterrestrial_radiation(90, 172)) > 40.0


@given(latitude=LATITUDES, day=DAYS)
def test_both_hemispheres_share_the_day_between_them(latitude: float, day: int) -> None:
    here = float(sun.daylight_hours(latitude, day))
    there = float(sun.daylight_hours(-latitude, day))
    assert here + there == pytest.approx(24.0, abs=1e-6)


@given(latitude=LATITUDES, day=DAYS)
def test_radiation_is_never_negative_and_never_beyond_the_brightest_place(
    latitude: float, day: int
) -> None:
    assert 0.0 <= float(sun.extraterrestrial_radiation(latitude, day)) < 50.0


@pytest.mark.parametrize(("latitude", "day"), [(91.0, 1), (float("nan"), 1), (0.0, 0), (0.0, 367)])
def test_it_refuses_what_is_no_place_or_day(latitude: float, day: int) -> None:
    with pytest.raises(ValueError, match="must lie between"):
        sun.day_length_cbm(latitude, day)
