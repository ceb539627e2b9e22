"""Drip lines in sentences and tables: how they lie, what to get, which beds run at once."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from perennate.catalogue.drip import DripLine, drip_lines, drip_soils
from perennate.holding.model import Bed, Holding, WaterSource
from perennate.outputs.screen.drip_sheet import DripSheet, drip_sheet
from perennate.outputs.screen.marks import Table
from perennate.outputs.screen.water_said import figure, listed
from perennate.planning.water.drip_of_beds import (
    UNKNOWN_SOIL,
    BedDrip,
    drip_beds,
    drip_of,
    tap_of,
    zones_of,
)
from perennate.planning.water.sources import source_of_beds
from perennate.science.drip_layout import UNIT_DEPTH_MM, DripLayout, Tap
from perennate.terms import Text, text
from perennate.terms.text import Value
from perennate.words import Units, say, show, symbol, word


@dataclass(frozen=True, slots=True)
class DripTold:
    """The lines of one bed. `is_laid`: the bed is watered by drip, else they are only reckoned."""

    is_laid: bool
    says: tuple[Text, ...]
    warnings: tuple[Text, ...]
    drawn: DripSheet
    parts: Table
    cautions: tuple[Text, ...]
    about: tuple[Text, ...]
    """What the figures rest on."""
    asked: tuple[tuple[str, str], ...]
    """The same bed as the inputs of the reckoner `drip-layout`."""


def drip_told(holding: Holding, bed_key: str) -> DripTold | None:
    """The lines that would wet the whole of a bed from what feeds it; None for no such bed."""
    bed = next((one for one in holding.beds if one.key == bed_key), None)
    if bed is None:
        return None
    source = _source_of(holding, source_of_beds(holding)[bed_key])
    (found,) = drip_of([bed], source)
    tap, kind, laid = tap_of(source), drip_lines()[found.kind], found.layout
    piece = replace(bed, length_m=bed.length_m / found.pieces)
    return DripTold(
        is_laid=bed.watering == "drip",
        says=_says(bed, found),
        warnings=tuple(_warning(code, laid, kind, bed, tap) for code in laid.warnings),
        drawn=drip_sheet(piece, laid, holding.units),
        parts=_parts(found, kind, holding.units),
        cautions=(text("page.water.drip.backflow"), text("reckoner.drip.licensed")),
        about=_about(found, kind, source, tap),
        asked=_asked(bed, found, tap),
    )


def _source_of(holding: Holding, key: str) -> WaterSource | None:
    return next((one for one in holding.water_sources if one.key == key), None)


def _says(bed: Bed, found: BedDrip) -> tuple[Text, ...]:
    laid = found.layout
    lie = "page.water.drip.lie" if laid.lines > 1 else "page.water.drip.lie_one"
    runs: dict[str, Value] = {
        "flow": found.flow_l_h,
        "rate": laid.rate_mm_h,
        "depth": UNIT_DEPTH_MM,
        "minutes": laid.minutes,
    }
    if laid.turns.count > 1:
        turns = {"count": laid.turns.count, "on": laid.turns.on_minutes}
        gives = text("page.water.drip.gives_turns", rest=laid.turns.rest_minutes, **turns, **runs)
    else:
        gives = text("page.water.drip.gives", **runs)
    length = bed.length_m / found.pieces
    pieces = text("page.water.drip.pieces", count=found.pieces, length=length)
    return (
        *((pieces,) if found.pieces > 1 else ()),
        text(
            lie,
            lines=laid.lines,
            across=100.0 * bed.width_m / laid.lines,
            edge=100.0 * laid.positions_m[0],
            along=100.0 * laid.emitter_spacing_m,
            emitters=laid.emitters_per_line,
        ),
        gives,
        text("reckoner.drip.pressure", inlet=laid.inlet_kpa, end=laid.end_kpa),
        text("reckoner.drip.under_mulch"),
        text("reckoner.drip.clogging"),
    )


def _warning(code: str, laid: DripLayout, kind: DripLine, bed: Bed, tap: Tap) -> Text:
    soils = drip_soils()
    return text(
        f"reckoner.drip.warn_{code}",
        flow=laid.flow_l_h,
        greatest=kind.line.greatest_kpa,
        inlet=laid.inlet_kpa,
        least=kind.line.least_kpa,
        nominal=kind.line.emitter.pressure_kpa,
        rate=laid.rate_mm_h,
        uniformity=laid.uniformity / 100,
        usable=tap.usable_l_h,
        wetted=soils.get(bed.soil, soils[UNKNOWN_SOIL]).wetted.value,
    )


def _about(
    found: BedDrip, kind: DripLine, source: WaterSource | None, tap: Tap
) -> tuple[Text, ...]:
    laid, emitter = found.layout, kind.line.emitter
    return (
        text(
            "reckoner.drip.kind",
            line=found.kind,
            flow=emitter.flow_l_h,
            pressure=emitter.pressure_kpa,
            exponent=emitter.exponent,
            basis=kind.basis,
        ),
        text(
            "reckoner.drip.even",
            uniformity=laid.uniformity / 100,
            evenness=laid.evenness / 100,
            variation=emitter.variation,
        ),
        *_tap_says(source, tap),
        text("page.water.drip.whole"),
    )


def _tap_says(source: WaterSource | None, tap: Tap) -> list[Text]:
    """What can be counted on, and what of it nobody wrote down."""
    name = source.key if source else word("page.water.no_source")
    said = [text("reckoner.drip.usable", flow=tap.flow_l_min, usable=tap.usable_l_h)]
    if source is None or not source.flow_l_min:
        said.append(text("page.water.drip.flow_assumed", source=name, flow=tap.flow_l_min))
    if source is None or not source.pressure_bar:
        code = "page.water.drip.pressure_assumed"
        said.append(text(code, source=name, pressure=tap.pressure_kpa))
    return said


def _parts(found: BedDrip, kind: DripLine, units: Units) -> Table:
    """What to get, in order from the tap."""
    head = (word("page.water.drip.head.part"), word("page.water.drip.head.amount"))
    said: dict[str, Value] = {
        "microns": kind.filter_um,
        "mesh": kind.filter_mesh,
        "line": kind.key,
        "flow": kind.line.emitter.flow_l_h,
        "along": 100.0 * found.layout.emitter_spacing_m,
    }
    rows = tuple(
        (
            say(text(f"page.water.drip.part.{part.key}", **said), units=units),
            show(found.pieces * part.amount, part.unit, units),
        )
        for part in found.layout.parts
    )
    return Table(word("page.water.drip.parts"), head, rows)


def _asked(bed: Bed, found: BedDrip, tap: Tap) -> tuple[tuple[str, str], ...]:
    given = {
        "length": f"{bed.length_m:g} m",
        "width": f"{bed.width_m:g} m",
        "soil": bed.soil if bed.soil in drip_soils() else UNKNOWN_SOIL,
        "line": found.kind,
        "tap_flow": f"{tap.flow_l_min:g} l/min",
        "tap_pressure": f"{tap.pressure_kpa:g} kPa",
    }
    return tuple(given.items())


@dataclass(frozen=True, slots=True)
class ZonesTold:
    """Beds on drip lines of one source, put together so that it can feed each zone at once."""

    source: str
    says: tuple[Text, ...]
    mind: Text | None
    """Beds that cannot be fed."""
    table: Table


def zones_told(holding: Holding) -> tuple[ZonesTold, ...]:
    """The zones of each source that feeds beds on drip lines, in the order of the beds."""
    return tuple(
        _zones(beds, _source_of(holding, key), holding.units)
        for key, beds in drip_beds(holding).items()
    )


def _zones(beds: Sequence[Bed], source: WaterSource | None, units: Units) -> ZonesTold:
    tap = tap_of(source)
    laid = [one for one in drip_of(beds, source) for _ in range(one.pieces)]
    found = zones_of(laid, source)
    too_big = list(dict.fromkeys(laid[at].bed for at in found.too_big))
    minutes = [max(laid[at].layout.minutes for at, _ in zone) for zone in found.zones]
    code = "page.water.drip.zones" if len(found.zones) > 1 else "page.water.drip.zone"
    said = [
        text(
            code,
            beds=len(beds) - len(too_big),
            zones=len(found.zones),
            minutes=sum(minutes),
            depth=UNIT_DEPTH_MM,
        )
    ]
    if len(found.zones) > 1 and found.known_fewest:
        said.append(text("page.water.drip.fewest"))
    head = (
        word("page.water.drip.head.zone"),
        word("page.water.drip.head.beds"),
        say(text("page.water.drip.head.flow", unit=symbol("l/h", units))),
        say(text("page.water.drip.head.run", depth=UNIT_DEPTH_MM), units=units),
    )
    rows = tuple(
        (
            str(number + 1),
            ", ".join(_fed(found.zones[number], laid)),
            figure(found.flows_l_h[number], "l/h", units),
            show(minutes[number], "min"),
        )
        for number in range(len(found.zones))
    )
    name = source.key if source else word("page.water.no_source")
    return ZonesTold(
        source=name,
        says=(*(said if found.zones else ()), *_tap_says(source, tap)),
        mind=text("page.water.drip.too_big", list=listed(too_big)) if too_big else None,
        table=Table(say(text("page.water.drip.zones_table", source=name)), head, rows),
    )


def _fed(zone: Sequence[tuple[int, int]], laid: Sequence[BedDrip]) -> list[str]:
    """The beds of a zone, with how many of its lines run where not all do."""
    at_once: Counter[str] = Counter()
    of = {one.bed: one.pieces * one.layout.lines for one in laid}
    for at, lines in sorted(zone):
        at_once[laid[at].bed] += lines
    return [
        bed
        if lines == of[bed]
        else say(text("page.water.drip.some_lines", bed=bed, lines=lines, of=of[bed]))
        for bed, lines in at_once.items()
    ]
