"""Where the plan's water comes from: rain from roofs first, then what else there is."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from perennate.holding.model import Holding, WaterSource
from perennate.planning.water.by_week import DRY, BedWeeks
from perennate.planning.water.run import weather_of
from perennate.planning.water.stands import LEAD_DAYS, Days
from perennate.planning.water_plan import SourceWater
from perennate.science.rain_tank import ROOF_RUNOFF, collected, size_for
from perennate.weather.climate import Climate

Floats = NDArray[np.float64]

ORDER = ("roof", "surface", "well", "mains")
"""Beds that name no source are fed in this order. Water from the household feeds only beds that
name it."""
WELL_SERVED = 0.95
LARGEST_TANK_L = 200_000.0
ENOUGH_L = 1.0
"""A year in which less than this is lacking lacks nothing."""


def source_of_beds(holding: Holding) -> dict[str, str]:
    """Key of what feeds each bed: the source that it names, else the first in order; empty where
    the holding has none."""
    known = {source.key for source in holding.water_sources}
    first = next((source.key for source in in_order(holding)), "")
    return {bed.key: bed.source if bed.source in known else first for bed in holding.beds}


def in_order(holding: Holding) -> tuple[WaterSource, ...]:
    """Sources for beds that name none, the rain first."""
    return tuple(
        sorted(
            (source for source in holding.water_sources if source.kind in ORDER),
            key=lambda source: (ORDER.index(source.kind), source.key),
        )
    )


@dataclass(frozen=True)
class Given:
    """What a source gives by year and week [l], each (years, weeks); `level` None: no tank."""

    asked: Floats
    drawn: Floats
    level: Floats | None


def drawn(
    beds: Sequence[BedWeeks], holding: Holding, climate: Climate, days: Days
) -> tuple[SourceWater, ...]:
    """What is drawn from every source, in the holding's order. What a source cannot give to beds
    that name none is asked of the next; the last in order is left with what is lacking."""
    if not beds or not holding.water_sources:
        return ()
    named = {bed.key: bed.source for bed in holding.beds}
    known = {source.key for source in holding.water_sources}
    none = np.zeros_like(beds[0].litres)
    own = {key: none.copy() for key in known}
    pool = none.copy()
    for bed in beds:
        key = named.get(bed.bed, "")
        if key in known:
            own[key] += bed.litres
        else:
            pool += bed.litres
    rain = weather_of(climate, days)[0]
    found: dict[str, SourceWater] = {}
    following = in_order(holding)
    for number, source in enumerate(following):
        asked = own[source.key] + pool
        given = give(source, asked, rain)
        rest = np.maximum(asked - given.drawn, 0.0)
        last = number == len(following) - 1
        pool = none if last else np.minimum(rest, pool)
        counted = asked if last else asked - pool
        found[source.key] = _shown(source, given, counted, rain)
    for source in holding.water_sources:
        if source.key not in found:
            asked = own[source.key]
            found[source.key] = _shown(source, give(source, asked, rain), asked, rain)
    return tuple(found[source.key] for source in holding.water_sources)


def give(source: WaterSource, asked: Floats, rain: Floats) -> Given:
    """What a source gives of what is asked of it. `rain`: (years, days) with the lead before the
    plan, in which its tank fills."""
    inflow = inflow_by_week(source, rain)
    weekly = np.inf if source.per_week_l is None else source.per_week_l
    season = np.inf if source.per_season_l is None else source.per_season_l
    lead = LEAD_DAYS // 7
    years, weeks = asked.shape
    if source.tank_l is None:
        # rain from a roof that nothing holds can be drawn only in the week in which it falls
        comes = inflow[:, lead:] if source.kind == "roof" else np.full(asked.shape, weekly)
        given = np.minimum(np.minimum(asked, comes), weekly)
        return Given(asked, _within(given, season), None)
    level = level_at_start(source, rain)
    filled = source.kind != "roof"
    drawn_l, levels, left = np.zeros_like(asked), np.zeros_like(asked), np.full(years, season)
    for week in range(weeks):
        level = np.minimum(level + inflow[:, lead + week], source.tank_l)
        # a tank that is filled by pipe gives what stands in it and what comes meanwhile
        comes = np.full(years, weekly) if filled else np.zeros(years)
        take = np.minimum(np.minimum(asked[:, week], level + comes), left)
        level = np.minimum(level + np.minimum(comes, source.tank_l) - take, source.tank_l)
        level = np.maximum(level, 0.0)
        left = left - take
        drawn_l[:, week], levels[:, week] = take, level
    return Given(asked, drawn_l, levels)


def level_at_start(source: WaterSource, rain: Floats) -> Floats:
    """Litres in a source's tank on the plan's first day, by year: as written, else what the rain
    of the weeks before leaves in a tank that was half full then (full where a pipe fills it)."""
    years, tank = len(rain), source.tank_l or 0.0
    if source.level_l is not None:
        return np.full(years, min(source.level_l, tank))
    if source.kind != "roof":
        return np.full(years, tank)
    before = inflow_by_week(source, rain)[:, : LEAD_DAYS // 7].sum(axis=1)
    return np.asarray(np.minimum(tank / 2 + before, tank))


def inflow_by_week(source: WaterSource, rain: Floats) -> Floats:
    """Litres that run off a source's roof by week, (years, weeks of the lead and the plan)."""
    years, days = rain.shape
    lead = LEAD_DAYS % 7
    if source.kind != "roof" or not source.roof_m2:
        return np.zeros((years, (days - lead) // 7))
    flush_mm = (source.first_flush_l or 0.0) / source.roof_m2
    litres = collected(rain, source.roof_m2, ROOF_RUNOFF[source.roof_kind][0], flush_mm)
    return np.asarray(litres[:, lead:].reshape(years, -1, 7).sum(axis=2))


def _within(given: Floats, most: float) -> Floats:
    """No more than `most` over all weeks, the first weeks served first."""
    before = np.cumsum(given, axis=1) - given
    return np.minimum(given, np.maximum(most - before, 0.0))


def _shown(source: WaterSource, given: Given, asked: Floats, rain: Floats) -> SourceWater:
    short = np.maximum(asked - given.drawn, 0.0)
    wanted = float(asked.sum())
    served = round(1.0 - float(short.sum()) / wanted, 4) if wanted > 0 else 1.0
    return SourceWater(
        source.key,
        source.kind,
        _row(given.drawn.mean(axis=0)),
        _row(np.quantile(given.drawn, DRY, axis=0)),
        _row(short.mean(axis=0)),
        () if given.level is None else _row(np.median(given.level, axis=0)),
        () if given.level is None else _row(np.quantile(given.level, 1 - DRY, axis=0)),
        served,
        round(float((short.sum(axis=1) < ENOUGH_L).mean()), 4),
        _enough_tank(source, asked, rain) if served < WELL_SERVED else None,
    )


def _enough_tank(source: WaterSource, asked: Floats, rain: Floats) -> float | None:
    """The least tank [l], to two figures, that gives enough of what is asked of a roof."""
    if source.kind != "roof" or not source.roof_m2:
        return None
    # the weeks before the plan fill it
    wanted = np.concatenate((np.zeros((len(asked), LEAD_DAYS // 7)), asked), axis=1)
    size = size_for(inflow_by_week(source, rain), wanted, WELL_SERVED, most_l=LARGEST_TANK_L)
    return None if size is None else float(f"{size:.2g}")


def _row(values: Floats) -> tuple[float, ...]:
    return tuple(round(float(value), 1) for value in values)
