"""The water of beds by day: a surface layer, a root zone that deepens, and the ground below.

Depths of water in mm, one value for each planting and year. What a planting asks and what its
ground holds are given by day of the planting (`CropDays`, made by `crop_days`; `Ground`, made by
`science.ground_days`); the weather by year and day.

A day goes so: roots take over ground with its water; rain (less what leaves, covers and hill send
off) and watering come early; the wet surface and the crop give off water, each as far as there is
any; water above field capacity drains, as fast as the soil lets it and as far as the ground below
has room; what the pores then cannot hold runs off.

References
----------
.. [1] Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998), Crop evapotranspiration, FAO
   Irrigation and Drainage Paper 56, equations 71 to 86. Its water balance lets all water above
   field capacity go in a day and takes ground newly rooted as being at field capacity; here both
   are kept account of. Its stress of a day is that of the evening before; here rain and watering
   of the day count too, since they come early.
.. [2] Natural Resources Conservation Service (2004), National Engineering Handbook, part 630,
   chapter 10 (curve number).
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, DTypeLike, NDArray

from perennate.science.bucket import BY_WEEK, Bucket, Kept
from perennate.science.bucket_columns import columns_by_day, laid_on_steps
from perennate.science.crop_water import cover_from_kcb, exposed_wet_share
from perennate.science.in_pieces import each_piece

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

PIECE = 32768
"""Plantings times years worked at once: what a core's cache holds of every quantity."""

BY_DAY = (
    "depletion",
    "surface_depletion",
    "watering",
    "crop_used",
    "soil_lost",
    "drained",
    "runoff",
    "stress",
    "air",
)


@dataclass(frozen=True, slots=True)
class CropDays:
    """What plantings ask, each (plantings, days of the planting) or broadcasting to it.

    `basal`: Kcb, 0 while nothing stands (bare ground before the planting); `most`: Kc max;
    `exposed`: few, share of ground bare and wetted; `evaporation_left`: share of the soil's
    evaporation that a mulch leaves; `depletion_fraction`: p of the table; `et0_share`: ET0 under
    the planting's cover beside that of the open; `interception_mm`: rain that its leaves hold back
    each day. One value a planting is a column, (plantings, 1).
    """

    basal: Floats
    most: Floats
    exposed: Floats
    evaporation_left: Floats
    depletion_fraction: Floats
    et0_share: Floats
    interception_mm: Floats


@dataclass(frozen=True, slots=True)
class Ground:
    """What the ground holds, each (plantings, days of the planting) or broadcasting to it.

    `available_mm`: water between wilting point and field capacity in the root zone (TAW);
    `drained_air_mm`: its pores that are empty at field capacity; `airless_under_mm`: air in it
    under which its roots go short, 0 for roots that want none; `drains`: share of the water above
    field capacity that leaves it in a day; the same three of the ground `below`; `rooted_share`:
    share of the ground below that roots take over on the day. Of the surface:
    `total_evaporable_mm` (TEW) and `readily_evaporable_mm` (REW). `runoff_storage_mm`: S of the
    curve number [2]_, infinite for none; `rain_share`: what a cover lets through.
    """

    available_mm: Floats
    drained_air_mm: Floats
    airless_under_mm: Floats
    drains: Floats
    below_available_mm: Floats
    below_air_mm: Floats
    below_drains: Floats
    rooted_share: Floats
    total_evaporable_mm: Floats
    readily_evaporable_mm: Floats
    runoff_storage_mm: Floats
    rain_share: Floats


@dataclass(frozen=True, slots=True)
class Watering:
    """Water given: `amounts_mm` on set days, or by rule where these are None.

    The rule: on a day that is `allowed` (None: every day with a crop on the ground), when the root
    zone's depletion at the end of the day before is above `at_share` of the readily available
    water (by the table's p), `refill_share` of the depletion is given, at most `most_mm`. Each
    (plantings, days) or broadcasting to it. `wetted_share`: share of the ground that watering
    wets.

    `group`: a number a planting, (plantings,), the same for plantings of one bed. They are watered
    on the same occasions: when one of them that is allowed passes its line, all of them that are
    allowed get their refill.
    """

    amounts_mm: ArrayLike | None = None
    at_share: ArrayLike = 1.0
    refill_share: ArrayLike = 1.0
    most_mm: ArrayLike = np.inf
    allowed: ArrayLike | None = None
    wetted_share: ArrayLike = 1.0
    group: ArrayLike | None = None


NO_WATERING = Watering(amounts_mm=0.0)


@dataclass(frozen=True, slots=True)
class SoilWaterRun:
    """Sums over each planting's days, each (plantings, years), water in mm.

    `crop_wanted` is what the crop would have given off with water at hand, `crop_used` what it
    did; `airless_days`: days that ended with too little air in the root zone, `airless_spell` the
    longest run of them; `stress_days`: days with less than full transpiration.
    `group_occasions`: days on which a group was watered, (groups in order of their number, years).

    `by_day`, when asked for, holds by day, (plantings, years, days), NaN after a planting's end:
    "depletion", "surface_depletion", "watering", "crop_used", "soil_lost", "drained", "runoff",
    "stress" (Ks) and "air" (mm of air in the root zone). `by_week`, when asked for, holds sums by
    week, (plantings, years, weeks) in float32: "rain", "watering", "waterings", "crop_used",
    "crop_wanted", "soil_lost", "drained", "runoff", "airless_days", "stress_days", 0 where nothing
    stands; and "depletion", the mean share of the available water that is gone, NaN there.
    """

    rain: Floats
    watering: Floats
    waterings: Ints
    intercepted: Floats
    runoff: Floats
    drained: Floats
    soil_lost: Floats
    crop_used: Floats
    crop_wanted: Floats
    stress_days: Ints
    airless_days: Ints
    airless_spell: Ints
    water_at_start: Floats
    water_at_end: Floats
    group_occasions: Ints
    by_day: Mapping[str, Floats]
    by_week: Mapping[str, NDArray[np.float32]]

    @property
    def et_share(self) -> Floats:
        """Water given off beside what would have been: ETa/ETm, 1 where nothing was wanted."""
        full = self.crop_wanted + self.soil_lost
        actual = self.crop_used + self.soil_lost
        return np.asarray(np.divide(actual, full, out=np.ones_like(full), where=full > 0))

    def part(self, rows: slice) -> "SoilWaterRun":
        """The run of some of the plantings; of occasions by group nothing is kept."""
        told = {
            one.name: getattr(self, one.name)[rows]
            for one in fields(self)
            if one.name not in ("group_occasions", "by_day", "by_week")
        }
        return SoilWaterRun(
            **told,
            group_occasions=self.group_occasions[:0],
            by_day={name: values[rows] for name, values in self.by_day.items()},
            by_week={name: values[rows] for name, values in self.by_week.items()},
        )

    @property
    def unaccounted(self) -> Floats:
        """Water in, less water out, less the change of what is held [mm]: 0 but for rounding."""
        came = self.rain + self.watering
        left = self.intercepted + self.runoff + self.drained + self.soil_lost + self.crop_used
        return np.asarray(came - left - (self.water_at_end - self.water_at_start))


def soil_water_run(
    rain: ArrayLike,
    et0: ArrayLike,
    crop: CropDays,
    ground: Ground,
    first_day: ArrayLike,
    days: ArrayLike,
    watering: Watering = NO_WATERING,
    *,
    start_share: ArrayLike = 1.0,
    surface_start_share: ArrayLike = 0.0,
    fraction_follows_etc: bool = True,
    wraps: bool = True,
    keep_days: bool = False,
    keep_weeks: tuple[int, int] | None = None,
    precision: DTypeLike = np.float64,
) -> SoilWaterRun:
    """Run every planting through every year of weather.

    `rain` and `et0` [mm]: (years, days), of a year or of several years in a row. `first_day`: each
    planting's first day as a place on that axis, (plantings,); `days`: how many days it lasts, up
    to the day axis of `crop`. With `wraps` a planting that runs over the last day, or begins
    beyond it, goes on with the first day of the same row. `start_share`: water at the start as a
    share of the available, (plantings,) or (plantings, years); `surface_start_share`: how far the
    surface layer is dried out then (0 wet, 1 dry). `fraction_follows_etc`: move p with the day's
    ETc. `keep_weeks`: how many weeks to keep sums of, and the first day of the first, on the axis
    of `first_day`. `precision`: float64, or float32 for half the memory and more speed, with
    balances that close to a tenth of a millimetre.

    Raises ValueError on negative or missing rain or ET0, negative watering, days beyond the
    given ones, or shapes that do not fit.
    """
    kind: np.dtype[Any] = np.dtype(precision)
    weather = _weather(rain, et0, kind)
    weather_days, years = weather[0].shape
    length = np.atleast_1d(np.asarray(days, np.int64))
    first = np.broadcast_to(np.asarray(first_day, np.int64), length.shape)
    if np.any(length < 1):
        raise ValueError("a planting lasts a day or more")
    if not wraps and np.any((first < 0) | (first + length > weather_days)):
        raise ValueError(f"a planting lies beyond the {weather_days} days of the weather")
    by_day = columns_by_day(crop, ground, watering, length, fraction_follows_etc)
    group = _groups(watering, len(length))
    run, kept = _empty(length, years, group, keep_days, keep_weeks)
    start = np.broadcast_to(_by_year(start_share, "start"), (len(length), years))
    surface = np.broadcast_to(_by_year(surface_start_share, "surface start"), start.shape)
    most_rows = max(PIECE * 8 // kind.itemsize // max(years, 1), 1)
    pieces = _pieces(first, length, group, most_rows)

    def piece(part: slice) -> None:
        for here in pieces[part]:
            begin = np.zeros(len(here), np.int64)
            if group is not None:
                begin = first[here] - first[here].min()
            steps = laid_on_steps(
                by_day,
                here,
                begin,
                first[here],
                length[here],
                None if group is None else group[here],
                weather_days,
                float(weather[1].max(initial=0.0)),
                kind,
            )
            bucket = Bucket(weather, steps, start[here], surface[here], fraction_follows_etc)
            bucket.run(kept)
            for name, sums in bucket.sums().items():
                getattr(run, name)[here] = sums

    each_piece(len(pieces), piece, 1)
    return run


def crop_days(
    basal: ArrayLike,
    most: ArrayLike,
    height_m: ArrayLike,
    depletion_fraction: ArrayLike,
    *,
    wetted_share: ArrayLike = 1.0,
    evaporation_left: ArrayLike = 1.0,
    et0_share: ArrayLike = 1.0,
    interception_mm: ArrayLike = 0.0,
) -> CropDays:
    """`CropDays` with the bare ground that the canopy leaves, by equations 75 and 76 [1]_."""
    cover = cover_from_kcb(basal, most, height_m)
    return CropDays(
        np.asarray(basal, np.float64),
        np.asarray(most, np.float64),
        exposed_wet_share(cover, wetted_share),
        np.asarray(evaporation_left, np.float64),
        np.asarray(depletion_fraction, np.float64),
        np.asarray(et0_share, np.float64),
        np.asarray(interception_mm, np.float64),
    )


def _weather(rain: ArrayLike, et0: ArrayLike, kind: "np.dtype[Any]") -> tuple[Floats, Floats]:
    found = []
    for name, values in (("rain", rain), ("ET0", et0)):
        table = np.atleast_2d(np.asarray(values, np.float64))
        if not np.all(table >= 0):
            raise ValueError(f"{name} must be known on every day and not negative")
        found.append(table)
    if found[0].shape != found[1].shape:
        raise ValueError(f"rain has shape {found[0].shape} and ET0 {found[1].shape}")
    return (
        np.ascontiguousarray(found[0].T, dtype=kind),
        np.ascontiguousarray(found[1].T, dtype=kind),
    )


def _by_year(share: ArrayLike, name: str) -> Floats:
    values = np.asarray(share, np.float64)
    if not np.all((values >= 0.0) & (values <= 1.0)):
        raise ValueError(f"the {name} share lies between 0 and 1")
    return values[:, None] if values.ndim == 1 else values


def _groups(watering: Watering, plantings: int) -> Ints | None:
    """Groups counted from 0, one number a planting; None where each is watered for itself."""
    if watering.group is None or watering.amounts_mm is not None:
        return None
    given = np.asarray(watering.group)
    if given.shape != (plantings,):
        raise ValueError(f"group: {given.shape} found, one number for each of {plantings} expected")
    return np.unique(given, return_inverse=True)[1].astype(np.int64)


def _pieces(first: Ints, length: Ints, group: Ints | None, most_rows: int) -> list[Ints]:
    """Plantings worked together, the longest first; or whole groups, in order of their days."""
    if group is None:
        order = np.argsort(-length, kind="stable")
        return [order[at : at + most_rows] for at in range(0, len(order), most_rows)]
    order = np.lexsort((np.arange(len(group)), first))
    found: list[list[int]] = []
    members: dict[int, list[int]] = {}
    for row in order.tolist():
        members.setdefault(int(group[row]), []).append(row)
    for rows in members.values():
        if not found or len(found[-1]) + len(rows) > most_rows:
            found.append([])
        found[-1].extend(rows)
    place = np.empty(len(order), np.int64)
    place[order] = np.arange(len(order))
    return [np.array(sorted(rows, key=place.__getitem__), np.int64) for rows in found]


def _empty(
    length: Ints,
    years: int,
    group: Ints | None,
    keep_days: bool,
    keep_weeks: tuple[int, int] | None,
) -> tuple[SoilWaterRun, Kept]:
    """An empty run, and what is written to as the days go, which is part of it."""
    plantings, days = len(length), int(length.max(initial=0))
    counts = {"waterings", "stress_days", "airless_days", "airless_spell"}
    kept_apart = {"by_day", "by_week", "group_occasions"}
    sums = {
        field.name: np.zeros((plantings, years), np.int64 if field.name in counts else np.float64)
        for field in fields(SoilWaterRun)
        if field.name not in kept_apart
    }
    weeks, first_of_week = keep_weeks or (0, 0)
    by_day = {
        name: np.full((plantings, days, years), np.nan) for name in (BY_DAY if keep_days else ())
    }
    by_week = {
        name: np.full((plantings, weeks, years), np.nan if name == "depletion" else 0.0, np.float32)
        for name in (BY_WEEK if keep_weeks is not None else ())
    }
    groups = 0 if group is None else int(group.max(initial=-1)) + 1
    occasions = np.zeros((groups, years), np.int64)
    kept = Kept(by_day, by_week, weeks, first_of_week, occasions)
    run = SoilWaterRun(
        **sums,  # type: ignore[arg-type]
        group_occasions=occasions,
        by_day={name: np.swapaxes(values, 1, 2) for name, values in by_day.items()},
        by_week={name: np.swapaxes(values, 1, 2) for name, values in by_week.items()},
    )
    return run, kept
