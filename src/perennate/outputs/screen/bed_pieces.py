"""A bed to scale with what stands in it, and the ground that is held twice."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from perennate.holding.model import Bed
from perennate.outputs.screen.marks import (
    Box,
    Href,
    Line,
    hatches_of,
    inner,
    line_of,
    names_of,
    room_for,
    tenth,
)
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.terms import text
from perennate.words import Units, convert, say, show, word
from perennate.words.lines import day as day_name
from perennate.words.lines import what_grows

_LABEL_SIZE = 11.0
_NEAR = 0.01
"""Plantings that meet within a centimetre do not overlap [m]."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A planting in its bed. `label` is its name where that fits, else its number in the key."""

    key: str
    x: float
    y: float
    w: float
    h: float
    hatch: int
    line: Line
    inner: Box | None
    """The second of two lines, of what is over."""
    href: str
    name: str
    label: str
    label_x: float
    label_y: float
    turned: bool


@dataclass(frozen=True, slots=True)
class Fault:
    """Ground that two plantings hold at once, or that lies past the end of the bed."""

    x: float
    y: float
    w: float
    h: float
    name: str


@dataclass(frozen=True, slots=True)
class Numbered:
    """An entry of the key: what had no room for its name, with its bed."""

    number: str
    what: str


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark along a bed and the metres (or feet) it says."""

    x: float
    y: float
    name: str


@dataclass(frozen=True, slots=True)
class DrawnBed:
    key: str
    x: float
    y: float
    w: float
    h: float
    href: str
    name: str
    label: str
    label_x: float
    label_y: float
    anchor: str
    chosen: bool
    pieces: tuple[Piece, ...]
    faults: tuple[Fault, ...]
    ticks: tuple[Tick, ...]


class Sketch:
    """What every bed of one sheet is drawn with."""

    def __init__(
        self,
        plan: Plan,
        taken: Sequence[PlannedPlanting],
        names: Mapping[str, str],
        href_planting: Href,
        href_bed: Href,
        chosen: str,
        standing: frozenset[str],
    ) -> None:
        self.hatches = hatches_of(plan)
        self.today = plan.as_of
        self.units: Units = plan.holding.units
        self.names = names
        self.href_planting, self.href_bed = href_planting, href_bed
        self.chosen, self.standing = chosen, standing
        self.on_bed: dict[str, list[PlannedPlanting]] = {}
        for one in taken:
            self.on_bed.setdefault(one.bed, []).append(one)

    def name(self, one: PlannedPlanting) -> str:
        return say(
            text(
                "screen.ground.piece",
                what=what_grows(one.crop, one.variety, self.names),
                bed=one.bed,
                first=show(one.start_m, "m", self.units),
                last=show(one.start_m + one.length_m, "m", self.units),
                until=day_name(one.ground_to, more="y"),
            )
        )


@dataclass(frozen=True, slots=True)
class Frame:
    """A bed on the drawing: corner, pixels per metre along and across, whether it runs north."""

    x: float
    y: float
    along: float
    across: float
    north: bool


class Numbers:
    """Numbers given to what has no room for its name."""

    def __init__(self) -> None:
        self.given: list[Numbered] = []

    def give(self, what: str) -> str:
        number = str(len(self.given) + 1)
        self.given.append(Numbered(number, what))
        return number


def draw_bed(
    sketch: Sketch, bed: Bed, frame: Frame, numbers: Numbers, names_left: bool
) -> DrawnBed:
    long, wide = bed.length_m * frame.along, bed.width_m * frame.across
    w, h = (wide, long) if frame.north else (long, wide)
    here = sketch.on_bed.get(bed.key, [])
    offsets = _side_by_side(here, bed.width_m)
    pieces = tuple(_piece(sketch, bed, frame, one, offsets[one.key], numbers) for one in here)
    if names_left:
        label_x, label_y, anchor = frame.x - 7.0, frame.y + h / 2 + 4.0, "end"
    else:
        anchor = "middle" if frame.north else "start"
        label_x, label_y = (frame.x + w / 2 if frame.north else frame.x), frame.y - 4.0
    said = ", ".join(what_grows(one.crop, one.variety, sketch.names) for one in here)
    return DrawnBed(
        *(bed.key, tenth(frame.x), tenth(frame.y), tenth(w), tenth(h), sketch.href_bed(bed.key)),
        say(text("screen.ground.bed", bed=bed.key, list=said or word("sheet.bare"))),
        *(bed.key, tenth(label_x), tenth(label_y), anchor, bed.key == sketch.chosen),
        pieces,
        tuple(_faults_of(sketch, bed, frame, here, offsets)),
        _ticks(sketch, bed, frame) if sketch.chosen else (),
    )


def _side_by_side(here: Sequence[PlannedPlanting], width_m: float) -> dict[str, float]:
    """How far each piece lies from the bed's edge [m]: beside its neighbours where both fit."""
    offsets: dict[str, float] = {}
    for number, one in enumerate(here):
        beside = [other for other in here[:number] if _meet(one, other)]
        taken = max((offsets[other.key] + other.width_m for other in beside), default=0.0)
        offsets[one.key] = taken if taken + one.width_m <= width_m + _NEAR else 0.0
    return offsets


def _meet(one: PlannedPlanting, other: PlannedPlanting) -> bool:
    """Whether two plantings of a bed hold the same metres along it."""
    first = max(one.start_m, other.start_m)
    last = min(one.start_m + one.length_m, other.start_m + other.length_m)
    return last - first > _NEAR


def _box(
    bed: Bed, frame: Frame, start: float, end: float, offset: float, width: float
) -> tuple[float, float, float, float]:
    """Corner and size of a stretch of a bed, kept within it."""
    start, end = (min(max(place, 0.0), bed.length_m) for place in (start, end))
    offset = min(max(offset, 0.0), bed.width_m)
    width = min(width, bed.width_m - offset)
    run, across = (end - start) * frame.along, width * frame.across
    if frame.north:
        y = frame.y + (bed.length_m - end) * frame.along
        return frame.x + offset * frame.across, y, across, run
    return frame.x + start * frame.along, frame.y + offset * frame.across, run, across


def _piece(
    sketch: Sketch,
    bed: Bed,
    frame: Frame,
    one: PlannedPlanting,
    offset: float,
    numbers: Numbers,
) -> Piece:
    x, y, w, h = _box(bed, frame, one.start_m, one.start_m + one.length_m, offset, one.width_m)
    line = line_of(one, sketch.today, sketch.standing)
    turned = h > w
    run, across = (h, w) if turned else (w, h)
    forms = names_of(one, sketch.names) if across >= _LABEL_SIZE + 1 else ()
    label = next((form for form in forms if room_for(form, _LABEL_SIZE) <= run - 6), "")
    if not label:
        label = numbers.give(f"{one.bed}: {what_grows(one.crop, one.variety, sketch.names)}")
        turned = room_for(label, _LABEL_SIZE) > w - 4
    return Piece(
        *(one.key, tenth(x), tenth(y), tenth(w), tenth(h)),
        sketch.hatches[one.rotation_group],
        line,
        inner(line, x, y, w, h),
        sketch.href_planting(one.key),
        sketch.name(one),
        label,
        *(tenth(x + w / 2), tenth(y + h / 2)),
        turned,
    )


def _faults_of(
    sketch: Sketch,
    bed: Bed,
    frame: Frame,
    here: Sequence[PlannedPlanting],
    offsets: Mapping[str, float],
) -> list[Fault]:
    faults = []
    for number, one in enumerate(here):
        end = one.start_m + one.length_m
        for other in here[:number]:
            apart = offsets[other.key] + other.width_m <= offsets[one.key] + _NEAR
            if not _meet(one, other) or apart:
                continue
            first = max(one.start_m, other.start_m)
            last = min(end, other.start_m + other.length_m)
            wide = max(one.width_m, other.width_m)
            both = (other, one)
            crops = " / ".join(what_grows(p.crop, p.variety, sketch.names) for p in both)
            says = say(
                text(
                    "screen.ground.overlap",
                    bed=bed.key,
                    crops=crops,
                    first=show(first, "m", sketch.units),
                    last=show(last, "m", sketch.units),
                )
            )
            faults.append(_fault(bed, frame, (first, last), wide, says))
        if end > bed.length_m + _NEAR:
            says = say(
                text(
                    "screen.ground.past_end",
                    bed=bed.key,
                    what=what_grows(one.crop, one.variety, sketch.names),
                    over=show(end - bed.length_m, "m", sketch.units),
                )
            )
            near_end = (bed.length_m - min(0.3, bed.length_m), bed.length_m)
            faults.append(_fault(bed, frame, near_end, bed.width_m, says))
    return faults


def _fault(bed: Bed, frame: Frame, stretch: tuple[float, float], width: float, says: str) -> Fault:
    x, y, w, h = _box(bed, frame, *stretch, 0.0, width)
    return Fault(tenth(x), tenth(y), tenth(w), tenth(h), says)


def _ticks(sketch: Sketch, bed: Bed, frame: Frame) -> tuple[Tick, ...]:
    """Marks below a lying bed, in round metres or feet far enough apart to be read."""
    factor, _ = convert(1.0, "m", sketch.units)
    per_unit = frame.along / factor
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100, 1000) if step * per_unit >= 26.0)
    last = int(bed.length_m * factor + 1e-6)
    y = frame.y + bed.width_m * frame.across
    return tuple(
        Tick(tenth(frame.x + at * per_unit), tenth(y), str(at)) for at in range(0, last + 1, step)
    )
