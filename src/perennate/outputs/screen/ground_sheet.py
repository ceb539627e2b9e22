"""The ground on a day: beds to scale and what stands where in them, in metres along the bed."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from perennate.holding.model import Bed, Holding
from perennate.outputs.drawing import corners, runs_north
from perennate.outputs.screen.bed_pieces import (
    DrawnBed,
    Fault,
    Frame,
    Numbered,
    Numbers,
    Sketch,
    draw_bed,
)
from perennate.outputs.screen.marks import (
    Bar,
    Href,
    Key,
    Point,
    Table,
    bar_at,
    group_name,
    key_of,
    line_of,
    on_the_day,
    room_for,
    tenth,
)
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.terms import text
from perennate.words import convert, plain, say, symbol, word
from perennate.words.lines import day as day_name
from perennate.words.lines import what_grows

_WIDE, _HAND = 1120.0, 336.0
_TALLEST = 900.0
_MARGIN = 14.0
_FOOT = 34.0
_NAME_SIZE = 12.0
_LEAST_ACROSS = 20.0


@dataclass(frozen=True, slots=True)
class Ground:
    """One drawing to one scale. `id` is its own on the page."""

    id: str
    width: float
    height: float
    beds: tuple[DrawnBed, ...]
    bar: Bar
    north: Point | None
    note: str
    numbers: tuple[Numbered, ...]
    """The key of what had no room for its name: number, and bed with what grows."""


@dataclass(frozen=True, slots=True)
class GroundSheet:
    """The ground for a wide page (as it lies, then beds without a place), and for a narrow one."""

    title: str
    says: str
    wide: tuple[Ground, ...]
    hand: Ground | None
    key: Key
    faults: tuple[str, ...]
    table: Table


def ground_sheet(
    plan: Plan,
    holding: Holding,
    day: date,
    names: Mapping[str, str],
    href_planting: Href,
    href_bed: Href,
    chosen: str = "",
    standing: Collection[str] = (),
) -> GroundSheet:
    """What takes the beds on `day`. `chosen`: the key of the one bed to draw, large.

    A bed that the plan names and the holding does not is drawn as long as its plantings reach.
    `standing`: keys of plantings that records say are in the ground.
    """
    taken = on_the_day(plan, day)
    beds = [*holding.beds, *_unknown_beds(holding.beds, taken)]
    if chosen:
        beds = [bed for bed in beds if bed.key == chosen]
        taken = [one for one in taken if one.bed == chosen]
    sketch = Sketch(plan, taken, names, href_planting, href_bed, chosen, frozenset(standing))
    placed = [bed for bed in beds if bed.x_m is not None and bed.y_m is not None]
    loose = [bed for bed in beds if bed not in placed]
    wide: list[Ground] = []
    if chosen:
        wide = [_in_rows(sketch, beds, _WIDE, "")] if beds else []
    else:
        if placed:
            wide.append(_as_it_lies(sketch, placed))
        if loose:
            wide.append(_in_rows(sketch, loose, _WIDE, word("screen.ground.loose")))
    hand = _in_rows(sketch, beds, _HAND, "") if beds else None
    faults = tuple(fault.name for ground in (hand,) if ground for fault in _faults(ground))
    lines = [line_of(one, plan.as_of, sketch.standing) for one in taken]
    told = "; ".join(f"{one.bed}: {what_grows(one.crop, one.variety, names)}" for one in taken)
    return GroundSheet(
        title=say(text("screen.ground.title", day=day_name(day, more="y"))),
        says=say(
            text(
                "screen.ground.says",
                day=day_name(day, more="y"),
                plantings=len(taken),
                beds=len(beds),
                list=told or word("sheet.bare"),
            )
        ),
        wide=tuple(wide),
        hand=hand,
        key=key_of(taken, sketch.hatches, lines),
        faults=faults,
        table=_table(sketch, taken),
    )


def _faults(ground: Ground) -> list[Fault]:
    return [fault for bed in ground.beds for fault in bed.faults]


def _unknown_beds(beds: Sequence[Bed], taken: Sequence[PlannedPlanting]) -> list[Bed]:
    known = {bed.key for bed in beds}
    reach: dict[str, tuple[float, float]] = {}
    for one in taken:
        if one.bed not in known:
            long, wide = reach.get(one.bed, (0.1, 0.1))
            reach[one.bed] = (max(long, one.start_m + one.length_m), max(wide, one.width_m))
    return [Bed(key, long, wide) for key, (long, wide) in reach.items()]


def _as_it_lies(sketch: Sketch, beds: Sequence[Bed]) -> Ground:
    north = runs_north(beds)
    grounds = [(bed, *place) for bed in beds if (place := corners(bed, north))]
    left, low = min(one[1] for one in grounds), min(one[2] for one in grounds)
    right, top = max(one[3] for one in grounds), max(one[4] for one in grounds)
    head = 20.0
    pixels = min((_WIDE - 2 * _MARGIN) / (right - left), _TALLEST / (top - low), 120.0)
    edge = (_WIDE - (right - left) * pixels) / 2
    drawn, numbers = [], Numbers()
    for bed, x0, _, _, y1 in grounds:
        frame = Frame(
            edge + (x0 - left) * pixels, head + (top - y1) * pixels, pixels, pixels, north
        )
        drawn.append(draw_bed(sketch, bed, frame, numbers, names_left=False))
    bottom = head + (top - low) * pixels
    return _ground(sketch, _WIDE, bottom, drawn, pixels, numbers, "", True)


def _in_rows(sketch: Sketch, beds: Sequence[Bed], width: float, note: str) -> Ground:
    """One bed below the other, lying, to one scale along; across it too unless a bed were thin."""
    names = max(room_for(bed.key, _NAME_SIZE) for bed in beds) + 10.0
    above = names > width / 4
    left = _MARGIN if above else _MARGIN + names
    pixels = (width - left - _MARGIN) / max(bed.length_m for bed in beds)
    pixels = min(pixels, 200.0 / max(bed.width_m for bed in beds))
    across = max(pixels, _LEAST_ACROSS / min(bed.width_m for bed in beds))
    drawn, numbers, y = [], Numbers(), 6.0
    for bed in beds:
        y += 16.0 if above else 0.0
        frame = Frame(left, y, pixels, across, False)
        drawn.append(draw_bed(sketch, bed, frame, numbers, names_left=not above))
        y += bed.width_m * across + (18.0 if sketch.chosen else 8.0)
    stretched = word("screen.ground.stretched") if across > pixels * 1.01 else ""
    said = " ".join(part for part in (note, stretched) if part)
    return _ground(sketch, width, y, drawn, pixels, numbers, said, False)


def _ground(
    sketch: Sketch,
    width: float,
    bottom: float,
    drawn: Sequence[DrawnBed],
    pixels: float,
    numbers: Numbers,
    note: str,
    north: bool,
) -> Ground:
    return Ground(
        id=("ground-hand" if width == _HAND else "ground-lies" if north else "ground-rows"),
        width=tenth(width),
        height=tenth(bottom + _FOOT),
        beds=tuple(drawn),
        bar=bar_at(_MARGIN, bottom + _FOOT - 9.0, pixels, 160.0, sketch.units),
        north=Point(tenth(width - 22.0), tenth(bottom + _FOOT - 6.0)) if north else None,
        note=note,
        numbers=tuple(numbers.given),
    )


def _table(sketch: Sketch, taken: Sequence[PlannedPlanting]) -> Table:
    unit = symbol("m", sketch.units)

    def length(metres: float) -> str:
        return plain(round(convert(metres, "m", sketch.units)[0], 2))

    head = (
        word("screen.head.bed"),
        say(text("screen.head.from", unit=unit)),
        say(text("screen.head.to", unit=unit)),
        word("screen.head.what"),
        word("screen.head.group"),
        word("screen.head.line"),
        word("screen.head.ground_from"),
        word("screen.head.ground_to"),
    )
    rows = tuple(
        (
            one.bed,
            length(one.start_m),
            length(one.start_m + one.length_m),
            what_grows(one.crop, one.variety, sketch.names),
            group_name(one.rotation_group),
            word(f"screen.sure.{line_of(one, sketch.today, sketch.standing)}"),
            day_name(one.ground_from, more="y"),
            day_name(one.ground_to, more="y"),
        )
        for one in taken
    )
    return Table(word("screen.ground.table"), head, rows, tuple(one.key for one in taken))
