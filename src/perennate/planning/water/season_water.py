"""The plan's water: from its plantings to what every bed, planting and source needs and gives."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.plan import PlannedPlanting
from perennate.planning.water.analysis import RAIN_EC_DS_M, has_analysis
from perennate.planning.water.by_week import BedWeeks, beds_by_week
from perennate.planning.water.run import Ran, watered_in_ways
from perennate.planning.water.salt import salts
from perennate.planning.water.sources import drawn, source_of_beds
from perennate.planning.water.stands import Stand, days_of, stands_on
from perennate.planning.water_plan import (
    PlantingWater,
    Watered,
    WateringWay,
    WaterPlan,
    same_water,
)
from perennate.science.crop_water import yield_share
from perennate.terms import Estimate, Text, text
from perennate.weather.climate import Climate

Floats = NDArray[np.float64]

WAYS: tuple[Watered, ...] = ("full", "sparing", "none")
AIRLESS_SPELL = 3
"""Days without air in a row that harm roots: two to three in summer; memory."""
MOST_SHORTFALL = 0.5
"""The yield response was found for shortfalls up to half of the water (FAO 33)."""


def season_water(
    plantings: Iterable[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate,
    weeks: Weeks,
    before: WaterPlan | None = None,
) -> WaterPlan | None:
    """The water of a plan's weeks; None where nothing stands in a bed. `before` is given back where
    the holding's own way and rain alone come to the same again: then all ways do."""
    days = days_of(weeks)
    stands = stands_on(plantings, holding, days)
    if not stands:
        return None
    own: Watered = holding.habits.watering
    around = (stands, days, holding, catalogue, climate)
    runs = watered_in_ways((own, "rain"), *around)
    ran, alone = runs[own], runs["rain"]
    beds = beds_by_week(ran, climate, source_of_beds(holding))
    salt = salts(beds, ran, holding, climate)
    rows = tuple(_planting(row, ran, alone, salt.left) for row in range(len(stands)))
    total = sum((bed.litres.sum(axis=1) for bed in beds), np.zeros(1))
    water = WaterPlan(
        own,
        tuple(bed.shown for bed in beds),
        rows,
        drawn(beds, holding, climate, days),
        salt.beds,
        _spread(total, "l"),
        (),
        _loss(stands, [row.yield_left_rain for row in rows]),
        (*_notes(stands, alone), *_taken_as_rain(beds, holding)),
    )
    if before is not None and same_water(water, before):
        return before
    runs |= watered_in_ways([way for way in WAYS if way != own], *around)
    return replace(water, ways=tuple(_way(way, runs[way]) for way in WAYS))


def _planting(row: int, ran: Ran, alone: Ran, salt_left: dict[str, float]) -> PlantingWater:
    stand = ran.stands[row]
    wanted = _in_plan("crop_wanted", row, ran) + _in_plan("soil_lost", row, ran)
    litres = _in_plan("watering", row, ran) * stand.planting.area_m2
    return PlantingWater(
        stand.planting.key,
        round(float(wanted.mean()), 1),
        _spread(litres, "l"),
        round(float(_in_plan("waterings", row, ran).mean()), 2),
        _yield_left(row, ran),
        _yield_left(row, alone),
        round(float(_in_plan("stress_days", row, ran).mean()), 2),
        round(float(_in_plan("airless_days", row, ran).mean()), 2),
        round(float((ran.run.airless_spell[row] >= AIRLESS_SPELL).mean()), 3),
        salt_left.get(stand.planting.key),
        stand.water.stands_for,
    )


def _in_plan(name: str, row: int, ran: Ran) -> Floats:
    """What a planting comes to in the weeks of the plan, by year."""
    return np.asarray(ran.run.by_week[name][row].astype(np.float64).sum(axis=1))


def _shortfall(row: int, ran: Ran) -> Floats:
    """Share of its water that the crop went without, by year."""
    wanted, used = _in_plan("crop_wanted", row, ran), _in_plan("crop_used", row, ran)
    return np.asarray(1.0 - np.divide(used, wanted, out=np.ones_like(used), where=wanted > 0))


def _yield_left(row: int, ran: Ran) -> float | None:
    """Mean over the years. The response is put to what the crop gives off, without the ground's
    evaporation, which errs on the side of loss; beyond half it is no more than a sign."""
    response = ran.stands[row].water.ky
    if response is None:
        return None
    left = yield_share(1.0 - _shortfall(row, ran), response.value)
    return round(float(left.mean()), 4)


def _spread(by_year: Floats, unit: str) -> Estimate:
    mean = by_year.mean()
    low, high = np.quantile(by_year, (0.1, 0.9))
    # a few dry years may make up the whole mean
    value, low, high = (round(float(end), 1) for end in (mean, min(low, mean), max(high, mean)))
    return Estimate(value, low, high, unit, "computed", "computed")


def _way(way: Watered, ran: Ran) -> WateringWay:
    """What one way of watering takes and costs."""
    rows = range(len(ran.stands))
    litres = sum(
        float(_in_plan("watering", row, ran).mean()) * ran.stands[row].planting.area_m2
        for row in rows
    )
    lost = _loss(ran.stands, [_yield_left(row, ran) for row in rows])
    return WateringWay(way, round(litres, 1), _occasions(ran), lost)


def _occasions(ran: Ran) -> float:
    """Waterings of all beds over the plan, mean of the years."""
    by_bed: dict[str, list[int]] = {}
    for row, stand in enumerate(ran.stands):
        by_bed.setdefault(stand.bed.key, []).append(row)
    waterings = ran.run.by_week["waterings"]
    each = (waterings[rows].max(axis=0).sum(axis=1).mean() for rows in by_bed.values())
    return round(float(sum(each)), 1)


def _loss(stands: Sequence[Stand], left: Sequence[float | None]) -> float | None:
    """Share of the harvest lost, over crops whose response is known."""
    known = [
        (stand.planting.harvest.value, share)
        for stand, share in zip(stands, left, strict=True)
        if share is not None and stand.planting.harvest.value > 0
    ]
    whole = sum(kg for kg, _ in known)
    return round(sum(kg * (1.0 - share) for kg, share in known) / whole, 4) if whole > 0 else None


def _taken_as_rain(beds: Sequence[BedWeeks], holding: Holding) -> list[Text]:
    """Roofs whose water feeds a bed and was never measured: its salt is taken as that of rain."""
    fed = {bed.shown.source for bed in beds}
    return [
        text("water.note.taken_as_rain", water=source.key, salt=RAIN_EC_DS_M)
        for source in holding.water_sources
        if source.key in fed and source.kind == "roof" and not has_analysis(source)
    ]


def _notes(stands: Sequence[Stand], alone: Ran) -> tuple[Text, ...]:
    unknown = sorted({s.planting.crop for s in stands if s.water.ky is None})
    stand_ins = sorted({s.planting.crop for s in stands if s.water.stands_for})
    far = sorted(
        {
            stand.planting.crop
            for row, stand in enumerate(stands)
            if stand.water.ky is not None and float(_shortfall(row, alone).mean()) > MOST_SHORTFALL
        }
    )
    notes = [text("water.note.reckoned", years=len(alone.run.rain[0]))]
    for code, crops in (("no_response", unknown), ("stand_in", stand_ins), ("far", far)):
        if crops:
            notes.append(text(f"water.note.{code}", crops=";".join(crops), count=len(crops)))
    return tuple(notes)
