"""Drip lines laid on a bed: where they lie, what they give, what a tap can feed, what to get.

Lengths in m, flow in l/h and l/min, pressure in kPa, depth of water in mm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from perennate.science.drip import (
    FAIR_UNIFORMITY,
    Emitter,
    LineRun,
    Pulses,
    application_rate,
    christiansen_uniformity,
    emission_uniformity,
    line_run,
    pulses,
    run_minutes,
)
from perennate.science.pipe_flow import KPA_PER_M, head_loss_darcy

Floats = NDArray[np.float64]

EFFICIENCY = 0.9
"""Share of the water that stays within reach of roots, drip under mulch (common practice)."""

TAP_SHARE = 0.75
"""Share of a tap's measured flow to count on, since pressure falls as it is drawn (common
practice)."""

UNIT_DEPTH_MM = 10.0
"""Depth for which run times are given [mm]."""

STAKE_EVERY_M = 1.5

_SUPPLY_TURNS = 30
_EDGE = 1e-9


@dataclass(frozen=True, slots=True)
class Ground:
    """How soil spreads and takes water: widest distance of lines that wets all of a dense bed, of
    emitters along a line, width that one emitter wets [m], basic infiltration rate [mm/h]."""

    line_spacing_m: float
    emitter_spacing_m: float
    wetted_m: float
    infiltration_mm_h: float

    def __post_init__(self) -> None:
        spacings = (self.line_spacing_m, self.emitter_spacing_m, self.wetted_m)
        if min(*spacings, self.infiltration_mm_h) <= 0.0:
            raise ValueError("spacings, wetted width and infiltration must be above 0")


@dataclass(frozen=True, slots=True)
class Line:
    """A kind of drip line: its emitters, spacings that are made [m], inside diameter [mm],
    pressure that it works at, from `least_kpa` to `greatest_kpa`."""

    emitter: Emitter
    spacings_m: tuple[float, ...]
    diameter_mm: float
    least_kpa: float
    greatest_kpa: float


@dataclass(frozen=True, slots=True)
class Tap:
    """Where the water comes from: flow with the tap open, pressure at it, the pipe to the bed.

    `rise_m`: how far the bed lies above the tap, negative below it. A tank has 9.8 kPa for each
    metre that its water stands above the bed. Raises ValueError for no flow or pressure.
    """

    flow_l_min: float
    pressure_kpa: float
    supply_m: float = 0.0
    supply_mm: float = 16.0
    rise_m: float = 0.0

    def __post_init__(self) -> None:
        if self.flow_l_min <= 0.0 or self.pressure_kpa <= 0.0:
            raise ValueError("flow and pressure of a tap must be above 0")
        if self.supply_m < 0.0 or self.supply_mm <= 0.0:
            raise ValueError("a supply pipe has a width above 0 and a length that is not below 0")

    @property
    def usable_l_h(self) -> float:
        """Flow to count on [l/h]."""
        return self.flow_l_min * 60.0 * TAP_SHARE


@dataclass(frozen=True, slots=True)
class BedShape:
    """A bed: length and width [m], where rows stand from one long edge [m] (none: all of it is
    planted), rise of the ground along it [m/m]."""

    length_m: float
    width_m: float
    rows_m: tuple[float, ...] = ()
    slope: float = 0.0

    def __post_init__(self) -> None:
        if self.length_m <= 0.0 or self.width_m <= 0.0:
            raise ValueError("length and width of a bed must be above 0")
        if any(not 0.0 <= row <= self.width_m for row in self.rows_m):
            raise ValueError(f"rows lie within the bed, from 0 to {self.width_m:g} m")
        if not -0.5 <= self.slope <= 0.5:
            raise ValueError(f"a slope lies from -0.5 to 0.5, not {self.slope:g}")


@dataclass(frozen=True, slots=True)
class Part:
    """Something to get: a key, how much, and "m" or "pieces"."""

    key: str
    amount: float
    unit: str


@dataclass(frozen=True)
class DripLayout:
    """Lines of one bed as they run when no other bed does.

    `positions_m`: distance of each line from the edge that rows are counted from; `uniformity`:
    emission uniformity, `evenness`: Christiansen's [%]; pressures at the inlet and at the far
    end [kPa]; `minutes`: run time for 10 mm net, in `turns`. `warnings` are codes: "pressure_high"
    (a reducer is needed), "pressure_low", "tap_short", "uneven", "runs_off" (unless run in turns),
    "rows_far", "dry_strips".
    """

    positions_m: tuple[float, ...]
    emitter_spacing_m: float
    emitters_per_line: int
    line_m: float
    flow_l_h: float
    rate_mm_h: float
    uniformity: float
    evenness: float
    inlet_kpa: float
    end_kpa: float
    minutes: float
    turns: Pulses
    parts: tuple[Part, ...]
    warnings: tuple[str, ...]

    @property
    def lines(self) -> int:
        return len(self.positions_m)

    @property
    def line_flow_l_h(self) -> float:
        """Flow of one line [l/h]."""
        return self.flow_l_h / self.lines


def layout(
    bed: BedShape, ground: Ground, line: Line, tap: Tap, efficiency: float = EFFICIENCY
) -> DripLayout:
    """Lines for one bed; see `layouts`."""
    return layouts([bed], ground, line, tap, efficiency)[0]


def layouts(
    beds: Sequence[BedShape], ground: Ground, line: Line, tap: Tap, efficiency: float = EFFICIENCY
) -> tuple[DripLayout, ...]:
    """Lines for each bed on its own, all beds solved at once.

    Whole beds are wetted edge to edge; where rows are given, the fewest lines that lie near enough
    to each. A reducer holds the line's nominal pressure where the tap has more than lines stand.
    Pressure is reckoned with as many lines at a time as the tap feeds at their nominal flow.
    """
    if not beds:
        return ()
    spacing = emitter_spacing(ground, line)
    places = [line_positions(bed, ground) for bed in beds]
    counts = np.array([max(floor(bed.length_m / spacing + _EDGE), 1) for bed in beds])
    lines = np.array([len(place) for place in places])
    slopes = np.array([bed.slope for bed in beds])
    fed = np.floor(tap.usable_l_h / (counts * line.emitter.flow_l_h) + _EDGE)
    inlet, run = _from_tap(line, tap, counts, np.clip(fed, 1, lines), spacing, slopes)
    even = emission_uniformity(run.flow, line.emitter.variation)
    christiansen = christiansen_uniformity(run.flow)
    found = []
    for i, (bed, place) in enumerate(zip(beds, places, strict=True)):
        flow = float(run.inlet_flow[i]) * len(place)
        each = float(np.nanmean(run.flow[i]))
        # along the bed the ground of an emitter is what the bed's length leaves it
        along = bed.length_m / counts[i]
        rate = float(application_rate(each, along, bed.width_m / len(place))) if each > 0 else 0.0
        minutes = float(run_minutes(UNIT_DEPTH_MM, rate, efficiency)) if rate > 0 else np.inf
        turns = pulses(minutes, rate, ground.infiltration_mm_h) if rate > 0 else None
        turns = turns or Pulses(1, minutes, 0.0)
        warnings = _warnings(
            bed, place, spacing, ground, line, tap, inlet[i], flow, float(even[i]), turns
        )
        found.append(
            DripLayout(
                place,
                spacing,
                int(counts[i]),
                bed.length_m * len(place),
                flow,
                rate,
                float(even[i]),
                float(christiansen[i]),
                float(inlet[i]),
                float(run.end_head[i]) * KPA_PER_M,
                minutes,
                turns,
                _parts(bed, len(place), tap, "pressure_high" in warnings),
                warnings,
            )
        )
    return tuple(found)


def emitter_spacing(ground: Ground, line: Line) -> float:
    """Widest spacing that is made and still joins the wetted rings; else the closest made [m]."""
    fitting = [one for one in line.spacings_m if one <= ground.emitter_spacing_m + _EDGE]
    return max(fitting) if fitting else min(line.spacings_m)


def line_positions(bed: BedShape, ground: Ground) -> tuple[float, ...]:
    """Distance of each line from one long edge [m], in order."""
    if not bed.rows_m:
        count = max(ceil(bed.width_m / ground.line_spacing_m - _EDGE), 1)
        return tuple((i + 0.5) * bed.width_m / count for i in range(count))
    places = []
    rows = sorted(bed.rows_m)
    while rows:
        # one line midway serves what lies within the spacing that still joins
        near = [row for row in rows if row <= rows[0] + ground.line_spacing_m + _EDGE]
        places.append((near[0] + near[-1]) / 2.0)
        rows = rows[len(near) :]
    return tuple(places)


@dataclass(frozen=True)
class Zones:
    """Beds that are watered together: for each zone its (bed index, lines) and its flow [l/h].

    `too_big`: beds of which not even one line can be fed; they are in no zone. `known_fewest`:
    no fewer zones could do.
    """

    zones: tuple[tuple[tuple[int, int], ...], ...]
    flows_l_h: tuple[float, ...]
    too_big: tuple[int, ...]
    known_fewest: bool


def zones(layouts: Sequence[DripLayout], usable_l_h: float) -> Zones:
    """Beds put together so that few zones arise and none draws more than `usable_l_h`.

    First fit by falling flow (Johnson 1973: at most 11/9 of the fewest and one more); a bed that
    is too much for the tap is split by its lines. Raises ValueError for no flow.
    """
    if usable_l_h <= 0.0:
        raise ValueError("the flow that zones may draw must be above 0")
    pieces: list[tuple[float, int, int]] = []
    too_big = []
    for bed, one in enumerate(layouts):
        at_once = floor(usable_l_h / one.line_flow_l_h + _EDGE) if one.flow_l_h > 0 else one.lines
        if at_once == 0:
            too_big.append(bed)
            continue
        left = one.lines
        while left:
            now = min(at_once, left)
            pieces.append((now * one.line_flow_l_h, bed, now))
            left -= now
    pieces.sort(key=lambda piece: (-piece[0], piece[1]))
    found: list[list[tuple[int, int]]] = []
    drawn: list[float] = []
    for flow, bed, count in pieces:
        room = (i for i, used in enumerate(drawn) if used + flow <= usable_l_h * (1 + _EDGE))
        place = next(room, None)
        if place is None:
            found.append([(bed, count)])
            drawn.append(flow)
        else:
            found[place].append((bed, count))
            drawn[place] += flow
    fewest = ceil(sum(drawn) / usable_l_h - 1e-6)
    return Zones(
        tuple(tuple(zone) for zone in found),
        tuple(drawn),
        tuple(too_big),
        len(found) <= max(fewest, 1 if pieces else 0),
    )


def _from_tap(
    line: Line, tap: Tap, counts: Floats, at_once: Floats, spacing: float, slopes: Floats
) -> tuple[Floats, LineRun]:
    """Pressure at the inlet of each bed [kPa], and its lines as they run at it."""
    standing = tap.pressure_kpa - tap.rise_m * KPA_PER_M
    held = np.inf if standing <= line.greatest_kpa else line.emitter.pressure_kpa
    inlet = np.full(len(counts), max(min(standing, held), 0.0))
    for _ in range(_SUPPLY_TURNS):
        run = line_run(line.emitter, counts, spacing, line.diameter_mm, inlet / KPA_PER_M, slopes)
        lost = head_loss_darcy(run.inlet_flow * at_once, tap.supply_mm, tap.supply_m) * KPA_PER_M
        wanted = np.maximum(np.minimum(standing - lost, held), 0.0)
        if np.all(np.abs(wanted - inlet) <= 1e-6 * tap.pressure_kpa):
            break
        inlet = (inlet + wanted) / 2.0
    return inlet, run


def _warnings(
    bed: BedShape,
    place: tuple[float, ...],
    spacing: float,
    ground: Ground,
    line: Line,
    tap: Tap,
    inlet_kpa: float,
    flow: float,
    uniformity: float,
    turns: Pulses,
) -> tuple[str, ...]:
    across = bed.width_m / len(place)
    row_off = max((min(abs(row - one) for one in place) for row in bed.rows_m), default=0.0)
    said = {
        "pressure_high": tap.pressure_kpa - tap.rise_m * KPA_PER_M > line.greatest_kpa,
        "pressure_low": inlet_kpa < line.least_kpa - _EDGE,
        "tap_short": flow > tap.usable_l_h * (1 + _EDGE),
        "uneven": uniformity < FAIR_UNIFORMITY,
        "runs_off": turns.count > 1,
        "rows_far": row_off > ground.wetted_m / 2.0 + _EDGE,
        "dry_strips": spacing > ground.wetted_m or (not bed.rows_m and across > ground.wetted_m),
    }
    return tuple(code for code, holds in said.items() if holds)


def _parts(bed: BedShape, lines: int, tap: Tap, reducer: bool) -> tuple[Part, ...]:
    """From the tap to the end of the lines."""
    stakes = lines * (floor(bed.length_m / STAKE_EVERY_M) + 1)
    listed = [
        Part("backflow_preventer", 1, "pieces"),
        Part("valve", 1, "pieces"),
        Part("filter", 1, "pieces"),
        *([Part("pressure_reducer", 1, "pieces")] if reducer else []),
        Part("supply_pipe", tap.supply_m + bed.width_m, "m"),
        Part("line_start", lines, "pieces"),
        Part("drip_line", bed.length_m * lines, "m"),
        Part("end_cap", lines, "pieces"),
        Part("stake", stakes, "pieces"),
    ]
    return tuple(listed)
