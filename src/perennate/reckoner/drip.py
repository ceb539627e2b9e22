"""Drip lines: how long to run them, and how to lay them on a bed."""

from math import floor, isfinite

from perennate.catalogue.drip import LINES, SOILS, DripLine, DripSoil, drip_lines, drip_soils
from perennate.reckoner.quantities import UnreadableError, read_quantity
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.science.drip import (
    GOOD_UNIFORMITY,
    Pulses,
    application_rate,
    greatest_length,
    pulses,
    run_minutes,
)
from perennate.science.drip_layout import BedShape, DripLayout, Tap, layout, zones
from perennate.science.pipe_flow import KPA_PER_M
from perennate.terms import Text, text

RUN, LAYOUT = "drip-run", "drip-layout"
RUN_INPUTS = (
    Input("depth", "float", "mm", 0.1, 300),
    Input("emitter_flow", "float", "l/h", 0.1, 100),
    Input("emitter_spacing", "float", "cm", 5, 300),
    Input("line_spacing", "float", "cm", 5, 500),
    Input("efficiency", "float", "%", 30, 100, default="90"),
    Input("soil", "choice", optional=True, choices=SOILS),
    Input("length", "float", "m", 0.1, 1000, optional=True),
    Input("width", "float", "m", 0.1, 100, optional=True),
)
LAYOUT_INPUTS = (
    Input("length", "float", "m", 0.3, 150),
    Input("width", "float", "m", 0.1, 30, default="1.2"),
    Input("soil", "choice", choices=SOILS),
    Input("rows", "text", "cm", optional=True),
    Input("line", "choice", default=LINES[0], choices=LINES),
    Input("tap_flow", "float", "l/min", 0.1, 500),
    Input("tap_pressure", "float", "kPa", 1, 1500, default="300"),
    Input("supply_length", "float", "m", 0, 500, default="10"),
    Input("supply_bore", "float", "mm", 4, 100, default="16"),
    Input("rise", "float", "m", -100, 100, default="0"),
    Input("slope", "float", "%", -30, 30, default="0"),
    Input("depth", "float", "mm", 0.1, 300, default="10"),
)
_HYDRAULICS = ("keller-karmeli-1974", "pipe-flow")


@reckoner(RUN, RUN_INPUTS)
def drip_run(
    depth: float,
    emitter_flow: float,
    emitter_spacing: float,
    line_spacing: float,
    efficiency: float,
    soil: str | None,
    length: float | None,
    width: float | None,
) -> list[Answer]:
    """Run time for a net depth, the rate of application, and turns where the soil takes less."""
    if (length is None) != (width is None):
        lacking = "length" if length is None else "width"
        raise refuse(RUN, lacking, "nothing", "length and width, or neither")
    share = efficiency / 100
    rate = float(application_rate(emitter_flow, emitter_spacing / 100, line_spacing / 100))
    minutes = float(run_minutes(depth, rate, share))
    gross = depth / share
    working = (
        text(
            "reckoner.drip.rate",
            flow=emitter_flow,
            along=emitter_spacing,
            across=line_spacing,
            rate=rate,
        ),
        text("reckoner.drip.run", depth=depth, efficiency=share, gross=gross, minutes=minutes),
    )
    cautions = (text("reckoner.drip.measure"),)
    answers = [
        Answer("run time", minutes, None, None, "min", working, ("common-practice",), cautions),
        Answer("rate", rate, None, None, "mm/h", working[:1], ("common-practice",)),
    ]
    if soil is not None:
        answers += _in_turns(minutes, rate, drip_soils()[soil])
    if length is not None and width is not None:
        litres = gross * length * width
        told = text("reckoner.drip.litres", gross=gross, area=length * width, litres=litres)
        answers.append(Answer("water", litres, None, None, "l", (told,), ("common-practice",)))
    return answers


@reckoner(LAYOUT, LAYOUT_INPUTS)
def drip_layout_of(
    length: float,
    width: float,
    soil: str,
    rows: str | None,
    line: str,
    tap_flow: float,
    tap_pressure: float,
    supply_length: float,
    supply_bore: float,
    rise: float,
    slope: float,
    depth: float,
) -> list[Answer]:
    """Lines, emitters, flow, evenness and run time of one bed, and the parts from tap to end."""
    ground, kind = drip_soils()[soil], drip_lines()[line]
    bed = BedShape(length, width, _rows(rows, width), slope / 100)
    tap = Tap(tap_flow, tap_pressure, supply_length, supply_bore, rise)
    laid = layout(bed, ground.ground, kind.line, tap)
    if not isfinite(laid.minutes):
        needed = rise * KPA_PER_M + kind.line.least_kpa
        raise refuse(LAYOUT, "tap_pressure", f"{tap_pressure:g} kPa", f"above {needed:.0f} kPa")
    return [
        *_lines(laid, ground, bed),
        *_running(laid, kind, ground, bed, tap, depth),
        *_parts(laid, kind),
    ]


def _lines(laid: DripLayout, soil: DripSoil, bed: BedShape) -> list[Answer]:
    low, high = soil.spacing.low, soil.spacing.high
    code = "reckoner.drip.lines_rows" if bed.rows_m else "reckoner.drip.lines_dense"
    laying = text(
        code, texture=_named(soil), low=low, high=high, lines=laid.lines, basis=soil.spacing.basis
    )
    wets = text(
        "reckoner.drip.wets",
        texture=_named(soil),
        low=soil.wetted.low,
        high=soil.wetted.high,
        basis=soil.wetted.basis,
    )
    mulch = text("reckoner.drip.under_mulch")
    sources = (soil.spacing.source, soil.wetted.source)
    return [
        Answer("lines", laid.lines, None, None, "", (laying, wets), sources, (mulch,)),
        *(
            Answer(f"line {i}, from the edge", place, None, None, "m", (laying,), sources)
            for i, place in enumerate(laid.positions_m, start=1)
        ),
        Answer(
            "emitters in a line", laid.emitters_per_line, None, None, "", (), (soil.spacing.source,)
        ),
        Answer(
            "emitter spacing",
            laid.emitter_spacing_m * 100,
            low,
            high,
            "cm",
            (wets,),
            (soil.spacing.source,),
        ),
    ]


def _running(
    laid: DripLayout, kind: DripLine, soil: DripSoil, bed: BedShape, tap: Tap, depth: float
) -> list[Answer]:
    emitter = kind.line.emitter
    made = text(
        "reckoner.drip.kind",
        line=kind.key,
        flow=emitter.flow_l_h,
        pressure=emitter.pressure_kpa,
        exponent=emitter.exponent,
        basis=kind.basis,
    )
    pressure = text("reckoner.drip.pressure", inlet=laid.inlet_kpa, end=laid.end_kpa)
    even = text(
        "reckoner.drip.even",
        uniformity=laid.uniformity / 100,
        evenness=laid.evenness / 100,
        variation=emitter.variation,
    )
    usable = text("reckoner.drip.usable", flow=tap.flow_l_min, usable=tap.usable_l_h)
    minutes = laid.minutes * depth / 10.0
    run = text("reckoner.drip.run_bed", depth=depth, rate=laid.rate_mm_h, minutes=minutes)
    longest = greatest_length(
        emitter,
        laid.emitter_spacing_m,
        kind.line.diameter_mm,
        laid.inlet_kpa / KPA_PER_M,
        slope=bed.slope,
    )
    lengths = text("reckoner.drip.longest", longest=longest, wanted=GOOD_UNIFORMITY / 100)
    known = (*_HYDRAULICS, kind.source)
    warnings = tuple(_warning(code, laid, kind, soil, tap) for code in laid.warnings)
    return [
        Answer("flow", laid.flow_l_h, None, None, "l/h", (made, pressure), known, warnings),
        Answer("rate", laid.rate_mm_h, None, None, "mm/h", (), known),
        Answer("run time", minutes, None, None, "min", (run,), ("common-practice",)),
        *_in_turns(minutes, laid.rate_mm_h, soil),
        Answer("emission uniformity", laid.uniformity, None, None, "%", (even,), known),
        Answer("pressure at the far end", laid.end_kpa, None, None, "kPa", (pressure,), known),
        Answer("longest even line", longest, None, None, "m", (lengths,), known),
        *_zones(laid, tap, usable),
    ]


def _zones(laid: DripLayout, tap: Tap, usable: Text) -> list[Answer]:
    at_once = floor(tap.usable_l_h / laid.flow_l_h + 1e-9)
    if at_once >= 1:
        return [
            Answer("such beds at once", at_once, None, None, "", (usable,), ("common-practice",))
        ]
    found = zones([laid], tap.usable_l_h)
    if found.too_big:
        told = text("reckoner.drip.no_line", flow=laid.line_flow_l_h, usable=tap.usable_l_h)
        return [Answer("zones", "none", None, None, "", (usable, told), ("common-practice",))]
    lines = "; ".join(str(count) for zone in found.zones for _, count in zone)
    split = text("reckoner.drip.split", zones=len(found.zones), lines=lines)
    return [
        Answer("zones", len(found.zones), None, None, "", (usable, split), ("common-practice",))
    ]


def _parts(laid: DripLayout, kind: DripLine) -> list[Answer]:
    """What to get, in order from the tap."""
    order = text("reckoner.drip.parts")
    meshes = text("reckoner.drip.filter", microns=kind.filter_um, mesh=kind.filter_mesh)
    cautions = (
        text("reckoner.drip.backflow"),
        text("reckoner.drip.licensed"),
        text("reckoner.drip.clogging"),
    )
    return [
        Answer(
            f"to get: {part.key.replace('_', ' ')}",
            part.amount,
            None,
            None,
            part.unit,
            (order, meshes) if part.key == "filter" else (order,),
            (kind.source,) if part.key == "filter" else ("common-practice",),
            cautions if part.key == "backflow_preventer" else (),
        )
        for part in laid.parts
    ]


def _in_turns(minutes: float, rate: float, soil: DripSoil) -> list[Answer]:
    """Turns at the lowest and highest rate that the soil usually takes, where any are needed."""
    middle, slow, fast = (
        pulses(minutes, rate, figure)
        for figure in (soil.infiltration.value, soil.infiltration.low, soil.infiltration.high)
    )
    told = text(
        "reckoner.drip.takes",
        texture=_named(soil),
        low=soil.infiltration.low,
        high=soil.infiltration.high,
        rate=rate,
        basis=soil.infiltration.basis,
    )
    turns = Answer(
        "turns",
        middle.count,
        fast.count,
        slow.count,
        "",
        (told, _turns(middle)),
        (soil.infiltration.source,),
    )
    return [turns]


def _named(soil: DripSoil) -> str:
    return "soil of unknown texture" if soil.texture == "unknown" else soil.texture


def _turns(found: Pulses) -> Text:
    if found.count == 1:
        return text("reckoner.drip.one_turn")
    return text(
        "reckoner.drip.turns", count=found.count, on=found.on_minutes, rest=found.rest_minutes
    )


def _warning(code: str, laid: DripLayout, kind: DripLine, soil: DripSoil, tap: Tap) -> Text:
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
        wetted=soil.wetted.value,
    )


def _rows(typed: str | None, width: float) -> tuple[float, ...]:
    if typed is None:
        return ()
    expected = f"distances from one edge within {width * 100:g} cm, apart by semicolons"
    try:
        found = tuple(read_quantity(part, "cm") / 100 for part in typed.strip("; ").split(";"))
    except UnreadableError:
        raise refuse(LAYOUT, "rows", typed, expected) from None
    if any(not 0.0 <= row <= width for row in found):
        raise refuse(LAYOUT, "rows", typed, expected)
    return found
