"""Drip lines for the holding's own beds: how they would lie, and how long a watering runs."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from perennate.catalogue.drip import drip_lines, drip_soils
from perennate.holding.model import Bed, Holding, WaterSource
from perennate.planning.water.sources import source_of_beds
from perennate.science.drip_layout import BedShape, DripLayout, Tap, Zones, layouts, zones

USUAL_FLOW_L_MIN = 12.0
USUAL_PRESSURE_BAR = 1.5
"""A garden tap, where the source does not say; assumed."""
TANK_PRESSURE_BAR = 0.1
"""A tank that stands a metre above the beds."""
KPA_PER_BAR = 100.0
USUAL_LINE, TANK_LINE = "drip line", "tape"
"""What is laid where there is a tap's pressure, and where only a tank's."""
UNKNOWN_SOIL = "loam"
LONGEST_M = 150.0
"""Lines of a longer bed are fed at several heads; common practice."""


@dataclass(frozen=True)
class BedDrip:
    bed: str
    kind: str
    """Key of the kind of line."""
    layout: DripLayout
    pieces: int = 1
    """A long bed is fed at so many heads; `layout` is that of one piece of its length."""

    @property
    def flow_l_h(self) -> float:
        """Flow of the whole bed [l/h]."""
        return self.pieces * self.layout.flow_l_h


def tap_of(source: WaterSource | None) -> Tap:
    """Flow and pressure of a source, or those of a usual tap (of a tank, for rain from a roof)."""
    if source is None:
        return Tap(USUAL_FLOW_L_MIN, USUAL_PRESSURE_BAR * KPA_PER_BAR)
    raised = source.kind in ("roof", "surface", "grey")
    bar = source.pressure_bar or (TANK_PRESSURE_BAR if raised else USUAL_PRESSURE_BAR)
    return Tap(source.flow_l_min or USUAL_FLOW_L_MIN, bar * KPA_PER_BAR)


def drip_of(beds: Sequence[Bed], source: WaterSource | None) -> tuple[BedDrip, ...]:
    """The lines that wet each bed edge to edge from one source, each bed on its own."""
    tap = tap_of(source)
    usual = drip_lines()[USUAL_LINE]
    kind = USUAL_LINE if tap.pressure_kpa >= usual.line.least_kpa else TANK_LINE
    line = drip_lines()[kind].line
    found: dict[str, BedDrip] = {}
    soils = drip_soils()
    for texture in sorted({bed.soil for bed in beds}):
        alike = [bed for bed in beds if bed.soil == texture]
        ground = soils.get(texture, soils[UNKNOWN_SOIL]).ground
        pieces = [ceil(bed.length_m / LONGEST_M) for bed in alike]
        shapes = [
            BedShape(bed.length_m / count, bed.width_m)
            for bed, count in zip(alike, pieces, strict=True)
        ]
        laid = layouts(shapes, ground, line, tap)
        for bed, one, count in zip(alike, laid, pieces, strict=True):
            found[bed.key] = BedDrip(bed.key, kind, one, count)
    return tuple(found[bed.key] for bed in beds)


def zones_of(laid: Sequence[BedDrip], source: WaterSource | None) -> Zones:
    """Beds put together so that the source feeds each zone at once; a bed in pieces stands there
    once for each of them."""
    return zones([one.layout for one in laid], tap_of(source).usable_l_h)


def minutes_for(bed: Bed, source: WaterSource | None, litres: float) -> float | None:
    """How long a watering of so many litres runs [min]: by the bed's drip lines, or by the
    source's flow; None for cans and where the flow is not known."""
    if bed.watering == "drip":
        flow = drip_of([bed], source)[0].flow_l_h
        return round(60.0 * litres / flow, 1) if flow > 0 else None
    if bed.watering == "can" or source is None or source.flow_l_min is None:
        return None
    return round(litres / source.flow_l_min, 1)


def drip_beds(holding: Holding) -> dict[str, list[Bed]]:
    """Beds that are watered by drip, by the key of what feeds them."""
    feeds = source_of_beds(holding)
    found: dict[str, list[Bed]] = {}
    for bed in holding.beds:
        if bed.watering == "drip":
            found.setdefault(feeds[bed.key], []).append(bed)
    return found
