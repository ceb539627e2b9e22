"""Salt in the beds through the years, if they are watered on as in the plan."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.salt_tolerance import salt_tolerance
from perennate.holding.model import Bed, Holding
from perennate.planning.water.analysis import salt_of
from perennate.planning.water.asked import cover_of
from perennate.planning.water.by_week import BedWeeks, stands_in_week
from perennate.planning.water.grounds import profile_of
from perennate.planning.water.run import Ran, weather_of
from perennate.planning.water.stands import LEAD_DAYS, Days
from perennate.planning.water_plan import BedSalt
from perennate.science.salinity import relative_yield
from perennate.science.salt_balance import drainage, salt_balance
from perennate.weather.climate import Climate

Floats = NDArray[np.float64]

YEARS = 10
RUNS = 20
"""Ways in which ten years may follow one another, drawn from the years of weather."""
YEAR_WEEKS = 52
"""The plan's first year; weeks that lie beyond a shorter plan are bare."""
STEP = 4
"""Weeks that are one step of the balance."""
ROOT_ZONE_M = 0.6
USUAL_ECE = 0.5
"""Salt of ground that nobody has measured, in a garden that is not known to be salty [dS/m];
assumed."""
BARE_SHARE = 0.4
"""What bare ground gives off beside reference evapotranspiration, wet and dry weeks together;
assumed."""
LEAST_LOSS = 0.005


@dataclass(frozen=True)
class Salts:
    beds: tuple[BedSalt, ...]
    left: dict[str, float]
    """Share of the yield that salt leaves to each planting whose tolerance is known."""


def salts(beds: Sequence[BedWeeks], ran: Ran, holding: Holding, climate: Climate) -> Salts:
    """The salt of every bed whose water is known; of others nothing can be said."""
    known = {bed.key: bed for bed in holding.beds}
    sources = {source.key: source for source in holding.water_sources}
    told = [
        (one, known[one.bed], salt)
        for one in beds
        if (salt := salt_of(sources.get(one.shown.source))) is not None
    ]
    if not told:
        return Salts((), {})
    courses = _courses(told, ran, climate)
    standing = stands_in_week(ran)
    found, left = [], {}
    for (one, bed, _), course in zip(told, courses, strict=True):
        losses: dict[str, float] = {}
        for row, stand in enumerate(ran.stands):
            if stand.bed.key != one.bed:
                continue
            yields = _yields(stand.planting.crop, standing[row], course.ece)
            if yields is None:
                continue
            left[stand.planting.key] = round(float(yields[:, 0].mean()), 4)
            lost = round(1.0 - float(yields[:, -1].mean()), 4)
            if lost >= LEAST_LOSS:
                losses[stand.planting.crop] = max(losses.get(stand.planting.crop, 0.0), lost)
        grown = _of_year(one.area_m2) > 0
        by_year = course.ece[:, :, grown].mean(axis=2) if grown.any() else course.ece[:, :, 0]
        found.append(
            BedSalt(
                one.bed,
                one.shown.source,
                _start(bed),
                bed.ece_ds_m is not None,
                _row(np.median(by_year, axis=0)),
                _row(np.quantile(by_year, 0.9, axis=0)),
                tuple(sorted(losses.items())),
                course.by_rain,
            )
        )
    return Salts(tuple(found), left)


def _start(bed: Bed) -> float:
    return USUAL_ECE if bed.ece_ds_m is None else bed.ece_ds_m


def _yields(crop: str, standing: NDArray[np.bool_], ece: Floats) -> Floats | None:
    """Share of the yield left, (runs, years), at the mean salt of the weeks in which it stands;
    None where its tolerance is not known, or it stands in none of them."""
    tolerance = salt_tolerance(crop)
    weeks = _of_year(standing.astype(np.float64)) > 0
    if tolerance is None or tolerance.threshold is None or tolerance.slope is None:
        return None
    if not weeks.any():
        return None
    mean = ece[:, :, weeks].mean(axis=2)
    return relative_yield(mean, tolerance.threshold.value, tolerance.slope.value)


@dataclass(frozen=True)
class _Course:
    ece: Floats
    """(runs, years, weeks of a year)"""
    by_rain: bool


def _courses(
    told: Sequence[tuple[BedWeeks, Bed, float]], ran: Ran, climate: Climate
) -> list[_Course]:
    """The beds' weeks of a year, year after year of weather in another order for each run."""
    year = Days(ran.days.day(LEAD_DAYS), 7 * YEAR_WEEKS)
    rain, air = (
        series.reshape(len(series), YEAR_WEEKS, 7).sum(axis=2)
        for series in weather_of(climate, year)
    )
    weeks = YEAR_WEEKS
    order = np.random.Generator(np.random.PCG64(0)).integers(0, len(rain), (RUNS, YEARS))
    waters = [_weeks(one, bed, ran, rain, air) for one, bed, _ in told]
    # (beds, runs, weeks of all years)
    let_in, taken, watering = (
        np.stack([water[part][order].reshape(RUNS, YEARS * weeks) for water in waters])
        for part in range(3)
    )
    soil = profile_of([bed for _, bed, _ in told], np.full(len(told), ROOT_ZONE_M))
    depth = np.full((len(told), 1), ROOT_ZONE_M)
    full = soil.held(soil.soil.field_capacity, depth)
    available = full - soil.held(soil.soil.wilting_point, depth)
    runs = np.ones((1, RUNS))
    drained = drainage(let_in + watering, taken, available * runs)
    let_in, watering, drained = (
        np.add.reduceat(series, np.arange(0, YEARS * weeks, STEP), axis=2)
        for series in (let_in, watering, drained)
    )
    balance = salt_balance(
        watering,
        np.array([ec for _, _, ec in told])[:, None, None],
        let_in,
        drained,
        full * runs,
        np.array([_start(bed) for _, bed, _ in told])[:, None] * runs,
    )
    return [
        _Course(
            np.repeat(balance.ece[row].reshape(RUNS, YEARS, -1), STEP, axis=2),
            _leached_by_rain(
                let_in[row] >= watering[row],
                balance.leached[row],
                balance.brought[row],
                balance.ece[row],
            ),
        )
        for row in range(len(told))
    ]


def _weeks(
    one: BedWeeks, bed: Bed, ran: Ran, rain: Floats, air: Floats
) -> tuple[Floats, Floats, Floats]:
    """Rain let in, water taken by crop and air, and watering [mm], each (years, weeks)."""
    rows = [row for row, stand in enumerate(ran.stands) if stand.bed.key == one.bed]
    shares = np.array([ran.stands[row].planting.area_m2 for row in rows])
    under_crop = _of_year(one.area_m2)
    area = np.where(under_crop > 0, under_crop, 1.0)
    by_week = ran.run.by_week
    used = (by_week["crop_used"][rows] + by_week["soil_lost"][rows]).astype(np.float64)
    used = _of_year(np.einsum("pyw,p->yw", used, shares)) / area
    taken = np.where(under_crop <= 0, BARE_SHARE * air * cover_of(bed).et0, used)
    return rain * cover_of(bed).rain, taken, _of_year(one.litres) / area


def _of_year(by_week: Floats) -> Floats:
    """The plan's first year of a series by week (last axis), nothing where the plan is shorter."""
    short = max(YEAR_WEEKS - by_week.shape[-1], 0)
    pad = [(0, 0)] * (by_week.ndim - 1) + [(0, short)]
    return np.pad(by_week[..., :YEAR_WEEKS], pad)


def _leached_by_rain(
    rainy: NDArray[np.bool_], leached: Floats, brought: Floats, ece: Floats
) -> bool:
    """Whether most salt leaves in months with more rain than watering, and in the last years as
    much leaves as comes, or the ground is no saltier in the end than in the beginning."""
    year = leached.shape[1] // YEARS
    by_rain = leached[rainy].sum() >= 0.5 * leached.sum()
    first, last = ece[:, :year].mean(axis=1), ece[:, -year:].mean(axis=1)
    holds = np.median(last) <= max(float(np.median(first)), USUAL_ECE) * (1 + LEAST_LOSS)
    washed = leached[:, -3 * year :].sum() >= 0.9 * brought[:, -3 * year :].sum()
    return bool(by_rain and (washed or holds))


def _row(values: Floats) -> tuple[float, ...]:
    return tuple(round(float(value), 3) for value in values)
