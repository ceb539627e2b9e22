"""The sun's course against pvlib, and shade against geometry that can be done by hand."""

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.science import sun
from perennate.science.sun_hours import (
    Horizon,
    Standing,
    clear_beam,
    declination_spencer,
    sun_hours,
    sun_position,
)

DAYS = np.arange(1, 366)
PLACES = [(52.0, 5.0), (-33.0, 151.0), (5.0, -70.0), (70.0, 20.0), (0.0, 0.0), (-78.0, 0.0)]
JUNE_21, DECEMBER_21, MARCH_21 = 172, 355, 80


def test_the_declination_is_that_of_pvlib() -> None:
    assert declination_spencer(DAYS) == pytest.approx(
        np.degrees(pvlib.solarposition.declination_spencer71(DAYS)), abs=1e-9
    )


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_the_sun_stands_where_the_solar_position_algorithm_of_pvlib_has_it(
    latitude: float, longitude: float
) -> None:
    """Reda and Andreas 2004 in pvlib, each third hour of each tenth day of a year, by the clock;
    half a degree is two minutes of the sun's way."""
    times = pd.date_range("2023-01-01", "2023-12-31 21:00", freq="3h", tz="UTC")
    times = times[times.dayofyear % 10 == 0]
    theirs = pvlib.solarposition.get_solarposition(times, latitude, longitude, method="nrel_numpy")
    day = times.dayofyear.to_numpy() + times.hour.to_numpy() / 24.0
    late = pvlib.solarposition.equation_of_time_spencer71(day)
    solar = times.hour.to_numpy() + longitude / 15.0 + late / 60.0
    elevation, azimuth = sun_position(latitude, day, solar)
    assert elevation == pytest.approx(theirs["elevation"].to_numpy(), abs=0.5)
    turn = (azimuth - theirs["azimuth"].to_numpy() + 180.0) % 360.0 - 180.0
    # near the zenith a small way on the sky is a wide turn of the compass
    assert np.abs(turn * np.cos(np.radians(elevation))).max() < 0.5


@pytest.mark.parametrize("latitude", [-60.0, -33.0, 0.0, 20.0, 52.0, 65.0])
def test_open_ground_has_the_geometric_day_length_of_another_model(latitude: float) -> None:
    """Forsythe and others 1995, CBM model with the sun's centre on the horizon, within two steps
    and what the declinations differ by (FAO-56 is up to a degree off in September)."""
    found = sun_hours(latitude, DAYS)
    assert found.hours == pytest.approx(sun.day_length_cbm(latitude, DAYS, 0.0), abs=0.2)
    assert found.hours.tolist() == found.possible.tolist()
    assert found.beam_share == pytest.approx(1.0)
    assert (found.last - found.first) == pytest.approx(found.hours, abs=1e-9)


def test_polar_day_and_night() -> None:
    found = sun_hours(75.0, [JUNE_21, DECEMBER_21])
    assert found.hours.tolist() == [24.0, 0.0]
    assert found.beam_share[0] == pytest.approx(1.0)
    assert np.isnan(found.beam_share[1])
    assert np.isnan(found.first[1])
    round_the_sky = Horizon(0, 360, 50.0)
    assert sun_hours(75.0, [JUNE_21], [round_the_sky]).hours.tolist() == [0.0]


def test_a_wall_to_the_south_shades_the_north_in_winter_and_not_in_summer() -> None:
    """At 50 north the noon sun stands 16.6 degrees high in December and 63.4 in June; a wall as
    far off as it is high reaches to 45."""
    wall = Standing(height_m=3, distance_m=3, direction=180, width_m=60)
    north = sun_hours(50.0, [DECEMBER_21, JUNE_21], [wall])
    assert north.hours[0] < 0.5
    noon, _ = sun_position(50.0, [DECEMBER_21, JUNE_21], 12.0)
    assert noon == pytest.approx([16.6, 63.4], abs=0.1)
    assert north.hours[1] > 11.0
    assert north.beam_share[0] < 0.05 < 0.8 < north.beam_share[1]
    south = sun_hours(-50.0, [DECEMBER_21, JUNE_21], [wall])
    assert south.hours[1] == pytest.approx(south.possible[1], abs=0.1)


def test_the_southern_hemisphere_mirrors_the_northern() -> None:
    days = np.array([10, 60, 172, 230, 300])
    declination = declination_spencer(DAYS)
    like = [DAYS[np.abs(declination + declination_spencer(day)).argmin()] for day in days]
    north = sun_hours(40.0, like, [Horizon(120, 200, 22.0)])
    south = sun_hours(-40.0, days, [Horizon(340, 60, 22.0)])
    assert south.hours == pytest.approx(north.hours, abs=0.15)
    assert np.any(south.hours < south.possible - 1.0)


def test_zenith_sun_of_the_tropics_is_hidden_by_no_wall() -> None:
    walls = [Standing(2, 1, direction, 10) for direction in (0, 90, 180, 270)]
    found = sun_hours(0.0, [MARCH_21], walls)
    # tan 26.6 degrees is one half: the sun is above 63.4 for 2 x 26.6/15 hours
    assert found.hours[0] == pytest.approx(2 * 26.57 / 15, abs=0.15)
    assert found.first[0] == pytest.approx(12 - 26.57 / 15, abs=0.1)


def test_the_end_of_a_long_wall_stands_lower_than_its_middle() -> None:
    wall = Standing(height_m=2, distance_m=2, direction=180, width_m=20)
    assert wall.height(np.array([180.0])) == pytest.approx(45.0)
    # at 60 degrees aside it is four metres off
    assert wall.height(np.array([120.0])) == pytest.approx(np.degrees(np.arctan(0.5)))
    assert wall.height(np.array([95.0])).tolist() == [0.0]


def test_a_horizon_may_run_over_north() -> None:
    hill = Horizon(300, 60, 20.0)
    assert hill.height(np.array([350.0, 10.0, 180.0])).tolist() == [20.0, 20.0, 0.0]


def test_a_tree_bare_in_winter_lets_light_through_then() -> None:
    bare = [0.6] * 4 + [0.1] * 6 + [0.6] * 2
    tree = Standing(12, 8, 180, 8, passes=bare)
    solid = Standing(12, 8, 180, 8)
    with_tree = sun_hours(50.0, [DECEMBER_21, JUNE_21], [tree])
    behind_solid = sun_hours(50.0, [DECEMBER_21, JUNE_21], [solid])
    hidden = behind_solid.possible - behind_solid.hours
    assert with_tree.hours == pytest.approx(behind_solid.hours + hidden * [0.6, 0.1])


@settings(max_examples=40)
@given(
    st.floats(-89, 89),
    st.integers(1, 366),
    st.floats(0, 360),
    st.floats(0, 360),
    st.floats(0, 89),
    st.floats(0, 1),
)
def test_an_obstacle_never_brings_sun(
    latitude: float, day: int, start: float, end: float, elevation: float, passes: float
) -> None:
    open_ground = sun_hours(latitude, [day], [], 20.0)
    shaded = sun_hours(latitude, [day], [Horizon(start, end, elevation, passes)], 20.0)
    higher = Horizon(start, end, min(elevation + 5.0, 89.9), passes)
    assert 0.0 <= shaded.hours[0] <= open_ground.hours[0] <= 24.0
    assert sun_hours(latitude, [day], [higher], 20.0).hours[0] <= shaded.hours[0] + 1e-9
    assert not shaded.beam_share[0] > 1.0 + 1e-9


def test_low_sun_brings_less_than_its_height_alone() -> None:
    assert clear_beam([-5.0, 0.0]).tolist() == [0.0, 0.0]
    assert clear_beam([90.0])[0] == pytest.approx(0.7, abs=0.001)
    assert clear_beam([10.0])[0] < 0.7 * np.sin(np.radians(10.0)) / 2


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Horizon(10, 400, 20),
        lambda: Horizon(10, 40, 90),
        lambda: Horizon(10, 40, 20, passes=2),
        lambda: Horizon(10, 40, 20, passes=[0.1, 0.2]),
        lambda: Standing(2, 0, 180, 3),
        lambda: Standing(2, 1, 365, 3),
        lambda: sun_hours(50.0, [367]),
        lambda: sun_hours(91.0, [1]),
        lambda: sun_hours(50.0, [1], (), 7.0),
    ],
)
def test_what_cannot_stand_is_refused(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"not|must|share|divide"):
        wrong()  # type: ignore[operator]
