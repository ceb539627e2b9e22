"""What the drawings need: hatches by rotation group, beds to scale, bars by week.

All lengths handed on are millimetres of paper or metres of ground, named so.
"""

import hashlib
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from perennate.holding.model import Bed
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.words import Units, convert, plain, symbol

HATCHES = 16
"""How many hatches season.typ can draw."""

_SCALES = (
    10,
    20,
    25,
    40,
    50,
    60,
    75,
    100,
    125,
    150,
    200,
    250,
    300,
    400,
    500,
    750,
    1000,
    1500,
    2000,
)
_WEEK = timedelta(days=7)
_ONE_COLUMN = 12
_NAME_MM = 24.0
_GAP_MM = 2.5


def hatch_of(groups: Iterable[str]) -> dict[str, int]:
    """A hatch for each rotation group, which it keeps from year to year where that can be.

    The wish is drawn from the name; where two groups wish for the same hatch the later in the
    alphabet takes the next free one. Beyond `HATCHES` groups hatches repeat.
    """
    given: dict[str, int] = {}
    for group in sorted(set(groups)):
        wish = int.from_bytes(hashlib.sha256(group.encode("utf-8")).digest()[:4], "big") % HATCHES
        taken = set(given.values())
        free = [(wish + step) % HATCHES for step in range(HATCHES)]
        given[group] = next((hatch for hatch in free if hatch not in taken), wish)
    return given


def fullest_day(plantings: Sequence[PlannedPlanting], start: date, weeks: int) -> date:
    """The first day of a week of the season on which most ground is taken."""
    days = [start + week * _WEEK for week in range(max(1, weeks))]

    def taken(day: date) -> float:
        return round(sum(one.area_m2 for one in plantings if stands(one, day)), 6)

    return max(days, key=lambda day: (taken(day), -day.toordinal()))


def stands(planting: PlannedPlanting, day: date) -> bool:
    """Whether the planting takes its bed on that day."""
    return planting.ground_from <= day < planting.ground_to


@dataclass(frozen=True, slots=True)
class Drawing:
    """Beds to scale. `x` and `y` of a bed's corner nearest the page's upper left, in mm."""

    scale: int
    width_mm: float
    height_mm: float
    beds: tuple[dict[str, Any], ...]
    lying: bool = False


def ground_drawing(
    beds: Sequence[Bed],
    on_bed: dict[str, list[dict[str, Any]]],
    upright_mm: tuple[float, float],
    lying_mm: tuple[float, float],
) -> Drawing | None:
    """Beds with a place drawn where they lie, east to the right and north up the page.

    (x, y) is a bed's near left corner and its first end is the near one (the left one where beds
    run east). None when no bed has a place. The paper lies where that gives the larger drawing
    (room as width and height). `on_bed`: the pieces of each bed, with `from_m`, `to_m` and `share`
    of the width.
    """
    north = runs_north(beds)
    grounds = [(bed, *place) for bed in beds if (place := corners(bed, north))]
    if not grounds:
        return None
    left = min(ground[1] for ground in grounds)
    low = min(ground[2] for ground in grounds)
    wide = max(ground[3] for ground in grounds) - left
    tall = max(ground[4] for ground in grounds) - low
    upright = _scale(wide, tall, *upright_mm)
    scale = min(upright, _scale(wide, tall, *lying_mm))
    mm = 1000.0 / scale
    drawn = [
        _bed(bed, on_bed, mm, (x0 - left) * mm, (low + tall - y1) * mm, north)
        for bed, x0, _, _, y1 in grounds
    ]
    return Drawing(scale, _mm(wide * mm), _mm(tall * mm), tuple(drawn), scale < upright)


def runs_north(beds: Sequence[Bed]) -> bool:
    """Whether lengths run north rather than east: the way in which beds overlap less.

    A holding tells places and sizes of its beds, not their direction; north where both fit.
    """
    overlaps = []
    for north in (True, False):
        grounds = [place for bed in beds if (place := corners(bed, north))]
        overlaps.append(
            sum(
                max(0.0, min(one[2], other[2]) - max(one[0], other[0]))
                * max(0.0, min(one[3], other[3]) - max(one[1], other[1]))
                for number, one in enumerate(grounds)
                for other in grounds[:number]
            )
        )
    return overlaps[0] <= overlaps[1] + 1e-9


def corners(bed: Bed, north: bool) -> tuple[float, float, float, float] | None:
    """West, south, east and north of a bed [m]; None when it has no place."""
    if bed.x_m is None or bed.y_m is None:
        return None
    east, up = (bed.width_m, bed.length_m) if north else (bed.length_m, bed.width_m)
    return bed.x_m, bed.y_m, bed.x_m + east, bed.y_m + up


def bed_rows(
    beds: Sequence[Bed], on_bed: dict[str, list[dict[str, Any]]], width_mm: float, height_mm: float
) -> list[Drawing]:
    """Beds without a place, one below the other to one scale, in as many sheets as they need.

    Up to a dozen stand in one column, more in two. The name stands left of each bed.
    """
    if not beds:
        return []
    columns = 1 if len(beds) <= _ONE_COLUMN else 2
    room = width_mm / columns
    scale = _scale(max(bed.length_m for bed in beds), 0.0, room - _NAME_MM - _GAP_MM, 1.0)
    mm = 1000.0 / scale
    sheets: list[list[dict[str, Any]]] = [[]]
    column, y, deepest = 0, 0.0, [0.0]
    for bed in beds:
        tall = bed.width_m * mm
        if y > 0 and y + tall > height_mm:
            column, y = column + 1, 0.0
            if column == columns:
                column = 0
                sheets.append([])
                deepest.append(0.0)
        sheets[-1].append(_bed(bed, on_bed, mm, column * room + _NAME_MM, y))
        y += tall + _GAP_MM
        deepest[-1] = max(deepest[-1], y)
    return [
        Drawing(scale, _mm(width_mm), _mm(deep), tuple(drawn))
        for drawn, deep in zip(sheets, deepest, strict=True)
    ]


def _scale(width_m: float, height_m: float, width_mm: float, height_mm: float) -> int:
    """The largest drawing out of the usual scales that fits."""
    needed = max(width_m * 1000.0 / width_mm, height_m * 1000.0 / height_mm)
    return next((scale for scale in _SCALES if scale >= needed), math.ceil(needed / 1000) * 1000)


def _bed(
    bed: Bed,
    on_bed: dict[str, list[dict[str, Any]]],
    mm: float,
    x: float,
    y: float,
    north: bool = False,
) -> dict[str, Any]:
    """A bed and its pieces; a piece's corner is counted from the bed's upper left one."""
    long, wide = bed.length_m * mm, bed.width_m * mm
    pieces = []
    for piece in on_bed.get(bed.key, []):
        start = max(0.0, piece["from_m"]) * mm
        run = min(piece["to_m"], bed.length_m) * mm - start
        if run <= 0:
            continue
        across = wide * piece.get("share", 1.0)
        place = (0.0, long - start - run, across, run) if north else (start, 0.0, run, across)
        pieces.append({**piece, **dict(zip("xywh", map(_mm, place), strict=True))})
    size = (wide, long) if north else (long, wide)
    return {
        "name": bed.key,
        "turned": north,
        **dict(zip("xywh", map(_mm, (x, y, *size)), strict=True)),
        "pieces": pieces,
    }


def scale_bar(metres: float, longest: float, units: Units) -> tuple[float, str]:
    """The longest round length of ground that is at most `longest` on the drawing.

    `metres`: ground that one unit of the drawing stands for. Gives the bar's length in units of the
    drawing and what it says, as "5 m" or "20 ft".
    """
    per_unit, unit = convert(metres, "m", units)
    steps = [step * 10.0**power for power in range(-1, 4) for step in (1, 2, 5)]
    length = max((step for step in steps if step / per_unit <= longest), default=steps[0])
    return length / per_unit, f"{plain(length)} {symbol(unit)}"


def _mm(value: float) -> float:
    return round(value, 3) + 0.0


def year_bars(plan: Plan, beds: Sequence[Bed]) -> list[dict[str, Any]]:
    """For each bed its bars: weeks from the start (as numbers with parts), place across the bed.

    `top` and `tall` are shares of the row: where along the bed the piece begins and how long it is.
    A bed that the plan names and the holding does not is drawn as long as its plantings reach.
    What never leaves the nursery (plants to sell) has a row of its own without a bed's name, from
    sowing to the day it is ready.
    """
    lengths = {bed.key: bed.length_m for bed in beds}
    for one in plan.plantings:
        if one.bed and one.bed not in lengths:
            lengths[one.bed] = max(
                p.start_m + p.length_m for p in plan.plantings if p.bed == one.bed
            )
    rows = []
    for key, length in lengths.items():
        bars = [
            _bar(one, plan.start, plan.weeks, length) for one in plan.plantings if one.bed == key
        ]
        ordered = sorted((bar for bar in bars if bar), key=lambda bar: (bar["from"], bar["top"]))
        rows.append({"name": key, "bars": ordered})
    for one in plan.plantings:
        raised = replace(one, ground_from=one.sow, start_m=0.0, length_m=1.0, route="direct")
        if not one.bed and (bar := _bar(raised, plan.start, plan.weeks, 1.0)):
            rows.append({"name": "", "bars": [bar]})
    return rows


def _bar(one: PlannedPlanting, start: date, weeks: int, length: float) -> dict[str, Any] | None:
    length = length or 1.0
    first, last = _weeks(one.ground_from, start), _weeks(one.ground_to, start)
    if last <= 0 or first >= weeks:
        return None
    top = min(max(one.start_m / length, 0.0), 1.0)
    picked: dict[str, float | None] = {"pick_from": None, "pick_to": None}
    if one.first_harvest and one.last_harvest:
        from_week = _weeks(one.first_harvest, start)
        to_week = _weeks(one.last_harvest + timedelta(days=1), start)
        if to_week > 0 and from_week < weeks:
            picked = {"pick_from": max(from_week, 0.0), "pick_to": min(to_week, float(weeks))}
    return {
        "crop": one.crop,
        "group": one.rotation_group,
        "status": one.status,
        "from": max(first, 0.0),
        "to": min(last, float(weeks)),
        "planted_out": one.route == "nursery" and first > 0,
        "top": round(top, 4),
        "tall": round(min(one.length_m / length, 1.0 - top), 4),
        **picked,
    }


def _weeks(day: date, start: date) -> float:
    return round((day - start).days / 7, 4)
