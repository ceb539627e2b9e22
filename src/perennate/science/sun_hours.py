"""Where the sun stands by the hour, and how long it reaches a bed past what stands about it.

Angles in degrees; azimuth from north by east (90 is east, 180 south), elevation above the horizon.
Hours are solar time: the sun crosses the meridian at 12. South negative, days of the year 1 to 366.
The sun counts while its centre is above the level horizon, without refraction, as in
`sun.daylight_hours`.

References
----------
.. [1] Spencer, J.W. (1971), Fourier series representation of the position of the sun, Search
   2(5):172.
.. [2] Iqbal, M. (1983), An Introduction to Solar Radiation, Academic Press, chapter 1 (angles).
.. [3] Kasten, F., Young, A.T. (1989), Revised optical air mass tables and approximation formula,
   Applied Optics 28:4735-4738.
.. [4] Meinel, A.B., Meinel, M.P. (1976), Applied Solar Energy, Addison-Wesley, chapter 2: the
   direct beam of clear days, 0.7 to the power of (air mass ** 0.678).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

STEP_MINUTES = 4.0
"""The sun moves one degree about the pole in this time [min]."""

_HIGHEST_DEG = 89.9


@dataclass(frozen=True, slots=True)
class Horizon:
    """What stands on the horizon between two azimuths, clockwise, up to an elevation [deg].

    From 300 to 60 runs over north. `passes`: share of the light let through, 0 to 1, one figure or
    twelve from January to December (a tree bare in winter). Raises ValueError out of range.
    """

    azimuth_from: float
    azimuth_to: float
    elevation: float
    passes: float | Sequence[float] = 0.0

    def __post_init__(self) -> None:
        for azimuth in (self.azimuth_from, self.azimuth_to):
            if not 0.0 <= azimuth <= 360.0:
                raise ValueError(f"an azimuth lies between 0 and 360 degrees, not {azimuth:g}")
        if not 0.0 <= self.elevation < 90.0:
            raise ValueError(f"an elevation lies from 0 to below 90, not {self.elevation:g}")
        _check_passes(self.passes)

    def height(self, azimuth: Floats) -> Floats:
        """Elevation [deg] behind which the sun is hidden at an azimuth; 0 beside it."""
        width = (self.azimuth_to - self.azimuth_from) % 360.0
        if width == 0.0 and self.azimuth_to != self.azimuth_from:
            width = 360.0
        within = (azimuth - self.azimuth_from) % 360.0 <= width
        return np.where(within, self.elevation, 0.0)


@dataclass(frozen=True, slots=True)
class Standing:
    """A wall, hedge, house or tree: `height_m` above the bed, its middle `distance_m` away [m].

    `direction`: azimuth of its middle seen from the bed; `width_m`: across that line. It is taken
    as an upright screen, so the edge of a long wall stands lower than its middle. `passes` as in
    `Horizon`. Raises ValueError out of range.
    """

    height_m: float
    distance_m: float
    direction: float
    width_m: float
    passes: float | Sequence[float] = 0.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.direction <= 360.0:
            raise ValueError(f"a direction lies between 0 and 360 degrees, not {self.direction:g}")
        if self.distance_m <= 0.0 or self.width_m <= 0.0 or self.height_m < 0.0:
            raise ValueError("distance and width must be above 0, height at least 0")
        _check_passes(self.passes)

    def height(self, azimuth: Floats) -> Floats:
        """Elevation [deg] behind which the sun is hidden at an azimuth; 0 beside it."""
        off = np.radians((azimuth - self.direction + 180.0) % 360.0 - 180.0)
        half = np.arctan2(self.width_m / 2.0, self.distance_m)
        top = np.degrees(np.arctan(self.height_m * np.cos(off) / self.distance_m))
        return np.where(np.abs(off) <= half, np.minimum(top, _HIGHEST_DEG), 0.0)


Obstacle = Horizon | Standing


@dataclass(frozen=True)
class SunHours:
    """Sun on a bed of each day asked.

    `hours`: hours of direct sun, what passes through counted by its share; `possible`: without any
    obstacle; `beam_share`: share of the clear day's direct beam on level ground that arrives, nan
    where the sun does not rise; `first`, `last`: solar time of the first and last full sun [h],
    nan where there is none.
    """

    hours: Floats
    possible: Floats
    beam_share: Floats
    first: Floats
    last: Floats
    step_minutes: float = field(default=STEP_MINUTES)


def declination_spencer(day_of_year: ArrayLike) -> Floats:
    """Solar declination [deg] [1]_, within 0.04 degrees within the four years of a leap year."""
    angle = _year_angle(day_of_year)
    return np.degrees(
        0.006918
        - 0.399912 * np.cos(angle)
        + 0.070257 * np.sin(angle)
        - 0.006758 * np.cos(2.0 * angle)
        + 0.000907 * np.sin(2.0 * angle)
        - 0.002697 * np.cos(3.0 * angle)
        + 0.00148 * np.sin(3.0 * angle)
    )


def sun_position(
    latitude_deg: ArrayLike, day_of_year: ArrayLike, solar_hour: ArrayLike
) -> tuple[Floats, Floats]:
    """Elevation and azimuth of the sun [deg] at solar hours 0 to 24 [2]_; arguments broadcast.

    Straight overhead the azimuth has no meaning and is some figure from 0 to 360.
    """
    latitude_deg = np.asarray(latitude_deg, dtype=np.float64)
    if not np.all(np.abs(latitude_deg) <= 90.0):
        raise ValueError("latitude must lie between -90 and 90 degrees")
    latitude = np.radians(latitude_deg)
    sun = np.radians(declination_spencer(day_of_year))
    angle = np.radians(15.0 * (np.asarray(solar_hour, dtype=np.float64) - 12.0))
    up = np.sin(latitude) * np.sin(sun) + np.cos(latitude) * np.cos(sun) * np.cos(angle)
    east = -np.cos(sun) * np.sin(angle)
    north = np.cos(latitude) * np.sin(sun) - np.sin(latitude) * np.cos(sun) * np.cos(angle)
    elevation = np.degrees(np.arcsin(np.clip(up, -1.0, 1.0)))
    return np.asarray(elevation), np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)


def clear_beam(elevation: ArrayLike) -> Floats:
    """Direct beam on level ground under a clear sky, share of that outside the air [3]_ [4]_."""
    height = np.asarray(elevation, dtype=np.float64)
    seen = np.maximum(height, 0.0)
    rising = np.sin(np.radians(seen))
    air_mass = 1.0 / (rising + 0.50572 * (seen + 6.07995) ** -1.6364)
    return np.where(height > 0.0, rising * 0.7 ** (air_mass**0.678), 0.0)


def sun_hours(
    latitude_deg: float,
    day_of_year: ArrayLike,
    obstacles: Sequence[Obstacle] = (),
    step_minutes: float = STEP_MINUTES,
) -> SunHours:
    """Direct sun on a point of ground on each day, past obstacles; shapes follow `day_of_year`.

    What passes through several obstacles is multiplied. Light from the sky and from pale walls is
    not counted, so deep shade is less dark than this says. Raises ValueError for steps that do
    not divide the day.
    """
    steps = round(24.0 * 60.0 / step_minutes)
    if step_minutes <= 0.0 or abs(steps * step_minutes - 24.0 * 60.0) > 1e-9:
        raise ValueError(f"steps of {step_minutes:g} min do not divide the day")
    days = np.asarray(day_of_year, dtype=np.float64)
    hour = (np.arange(steps) + 0.5) * step_minutes / 60.0
    elevation, azimuth = sun_position(latitude_deg, days[..., None], hour)
    month = _month(days)
    light = np.where(elevation > 0.0, 1.0, 0.0)
    possible = light.sum(axis=-1)
    beam = clear_beam(elevation)
    whole = beam.sum(axis=-1)
    for one in obstacles:
        passes = np.broadcast_to(np.asarray(one.passes, dtype=np.float64), (12,))[month]
        hidden = elevation <= one.height(azimuth)
        light = light * np.where(hidden, passes[..., None], 1.0)
    arrives = (beam * light).sum(axis=-1)
    full = light >= 1.0
    lit = full.any(axis=-1)
    half = step_minutes / 120.0
    first = hour[np.argmax(full, axis=-1)] - half
    last = hour[steps - 1 - np.argmax(full[..., ::-1], axis=-1)] + half
    share = np.divide(arrives, whole, out=np.full(days.shape, np.nan), where=whole > 0.0)
    return SunHours(
        light.sum(axis=-1) * step_minutes / 60.0,
        possible * step_minutes / 60.0,
        np.asarray(share),
        np.where(lit, first, np.nan),
        np.where(lit, last, np.nan),
        step_minutes,
    )


def _check_passes(passes: float | Sequence[float]) -> None:
    shares = np.asarray(passes, dtype=np.float64)
    if shares.shape not in ((), (12,)):
        raise ValueError(f"what passes is one share or twelve, not {shares.size}")
    if not np.all((shares >= 0.0) & (shares <= 1.0)):
        raise ValueError("what passes is a share from 0 to 1")


_MONTH_ENDS = np.cumsum([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])


def _month(day_of_year: Floats) -> NDArray[np.int64]:
    return np.searchsorted(_MONTH_ENDS, day_of_year, side="left").astype(np.int64)


def _year_angle(day_of_year: ArrayLike) -> Floats:
    day = np.asarray(day_of_year, dtype=np.float64)
    if not np.all((day >= 1.0) & (day < 367.0)):
        raise ValueError("day of year must lie between 1 and 366")
    return np.asarray(2.0 * np.pi * (day - 1.0) / 365.0)
