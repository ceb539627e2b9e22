"""What a plan says of water: each bed's, each planting's, each source's, and salt over the years.

Everything by week has one value for each week of the plan. Depths in mm over the ground that is
under crop in that week; a bed without crop in a week has an area of 0 there, and its other values
are 0. "Dry year": what one year in five reaches or passes.
"""

from dataclasses import dataclass
from typing import Literal

from perennate.terms import Estimate, Text

Watered = Literal["full", "sparing", "none"]
Way = Literal["full", "sparing", "none", "rain"]
"""A way of watering, or rain alone."""


@dataclass(frozen=True, slots=True)
class BedWater:
    """A bed's soil water by week, with the watering that the plan gives it."""

    bed: str
    source: str
    """Key of the water source that feeds it; empty where the holding names none."""
    area_m2: tuple[float, ...]
    rain_mm: tuple[float, ...]
    need_mm: tuple[float, ...]
    """What crops and ground would give off with water at hand."""
    watering_mm: tuple[float, ...]
    watering_dry_mm: tuple[float, ...]
    occasions: tuple[float, ...]
    """Waterings in the week, mean of the years."""
    held: tuple[float, ...]
    """Share of the water that roots can take which is there, middle year."""
    held_dry: tuple[float, ...]
    """The same in a dry year."""
    airless_days: tuple[float, ...]
    """Days on which roots go short of air, mean of the years."""
    short_days: tuple[float, ...]
    """Days on which plants give off less than they would, mean of the years."""


@dataclass(frozen=True, slots=True)
class PlantingWater:
    """What one planting takes and what shortage or too much costs it."""

    planting: str
    need_mm: float
    """Water that it and its ground would give off, from planting to the end."""
    watering_l: Estimate
    """Litres that are given over the plan: mean, and one year in ten on either side."""
    waterings: float
    yield_left: float | None
    """Share of the yield left after drought with the plan's watering; None: response unknown."""
    yield_left_rain: float | None
    """The same on rain alone."""
    short_days: float
    airless_days: float
    airless_years: float
    """Share of the years with three airless days or more in a row."""
    salt_left: float | None
    """Share of the yield left at the bed's expected salt; None: tolerance or salt unknown."""
    stands_for: str
    """Crop whose water figures stand in; empty where they are its own."""


@dataclass(frozen=True, slots=True)
class SourceWater:
    """What is drawn from one source by week."""

    source: str
    kind: str
    drawn_l: tuple[float, ...]
    """Mean of the years."""
    drawn_dry_l: tuple[float, ...]
    short_l: tuple[float, ...]
    """What it cannot give, mean of the years."""
    level_l: tuple[float, ...]
    """In its tank at the week's end, middle year; empty where it has none."""
    level_dry_l: tuple[float, ...]
    served: float
    """Share of what is asked of it that it gives, over all years."""
    years_without_lack: float
    enough_tank_l: float | None
    """The least tank that would give nineteen twentieths of what is asked, for rain from a roof
    that gives less; None elsewhere, and where no tank would do."""


@dataclass(frozen=True, slots=True)
class BedSalt:
    """A bed's root-zone salt in each year's growing weeks, if it goes on as in this plan."""

    bed: str
    source: str
    start_ece: float
    start_known: bool
    ece: tuple[float, ...]
    """dS m-1 of the saturated extract, middle run of the years."""
    ece_high: tuple[float, ...]
    """One run in ten is above."""
    losses: tuple[tuple[str, float], ...]
    """(crop, share of its yield lost) at the end of the years, for the bed's crops that lose."""
    leached_by_rain: bool
    """Whether rain carries out what watering brings."""


@dataclass(frozen=True, slots=True)
class WateringWay:
    """What one way of watering all beds takes and costs."""

    way: Watered
    litres: float
    """Over the plan, mean of the years."""
    waterings: float
    """Occasions, all beds together."""
    yield_lost: float | None
    """Share of the harvest, over crops whose response is known; None where none is."""


@dataclass(frozen=True, slots=True)
class WaterPlan:
    watered: Watered
    beds: tuple[BedWater, ...]
    plantings: tuple[PlantingWater, ...]
    sources: tuple[SourceWater, ...]
    salts: tuple[BedSalt, ...]
    total_l: Estimate
    """Litres over the plan: mean, and one year in ten on either side."""
    ways: tuple[WateringWay, ...]
    """The holding's own way among the others, from the one that gives most."""
    rain_alone_loss: float | None
    """Share of the food harvest that would be lost on rain alone, by those crops whose response
    is known; None where none is."""
    notes: tuple[Text, ...]


_NEAR = 0.01
"""Two reckonings that differ by less than this share say the same."""


def same_water(one: WaterPlan, other: WaterPlan) -> bool:
    """Whether two reckonings come to the same, as far as a plan written and read again still
    says it: the same beds, plantings and sources, and figures that differ by a hundredth. What
    other ways of watering come to is left out."""
    if _named(one) != _named(other):
        return False
    pairs = zip(_figures(one), _figures(other), strict=True)
    return all(abs(a - b) <= _NEAR * max(abs(a), abs(b), 1.0) for a, b in pairs)


def _named(water: WaterPlan) -> tuple[object, ...]:
    return (
        water.watered,
        [(bed.bed, bed.source) for bed in water.beds],
        [row.planting for row in water.plantings],
        [(source.source, source.kind, bool(source.level_l)) for source in water.sources],
        [(salt.bed, len(salt.losses)) for salt in water.salts],
    )


def _figures(water: WaterPlan) -> list[float]:
    found = [water.total_l.value, water.total_l.high]
    for bed in water.beds:
        found += [sum(bed.watering_mm), sum(bed.need_mm), sum(bed.held), sum(bed.airless_days)]
    for row in water.plantings:
        found += [row.watering_l.value, row.short_days, row.airless_days]
        left = (row.yield_left, row.yield_left_rain, row.salt_left)
        found += [-1.0 if share is None else share for share in left]
    for source in water.sources:
        found += [sum(source.drawn_l), sum(source.level_l), source.served]
    for salt in water.salts:
        found += [salt.ece[-1] if salt.ece else 0.0, *(loss for _, loss in salt.losses)]
    return found
