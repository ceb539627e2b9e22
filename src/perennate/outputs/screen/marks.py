"""What all pictures share: numbers as drawn, room for words, lines and hatches, tables."""

import unicodedata
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from perennate.outputs.drawing import hatch_of, scale_bar, stands
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.words import Units, word
from perennate.words.lines import what_grows

Href = Callable[[str], str]
"""The address for a key: of a place, or of a planting."""
SpanHref = Callable[[date, date], str]
"""The address for a span of days, first and last."""

Line = Literal["stands", "fixed", "planned", "wished", "done"]
"""How sure a planting is, told by its outline: firm, thin, dashed, dotted, double."""

NURSERY = "nursery"
"""The key of the place under cover, as jobs name it."""

_NO_GROUP = ("", "none")


@dataclass(frozen=True, slots=True)
class Table:
    """What a picture shows, in rows of words; `keys` are those of what the rows are about, where
    they are about plantings."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HatchKey:
    hatch: int
    name: str


@dataclass(frozen=True, slots=True)
class LineKey:
    line: Line
    name: str


@dataclass(frozen=True, slots=True)
class Key:
    """The hatches and outlines that a picture uses, for its legend."""

    hatches: tuple[HatchKey, ...]
    lines: tuple[LineKey, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """A scale bar by its length and what it says."""

    x: float
    y: float
    w: float
    end: float
    name: str


@dataclass(frozen=True, slots=True)
class Point:
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its upper left corner; without height where there is nothing to draw."""

    x: float
    y: float
    w: float
    h: float


def box(x: float, y: float, w: float, h: float) -> Box:
    """A rectangle in tenths."""
    return Box(tenth(x), tenth(y), tenth(w), tenth(h))


def inner(line: Line, x: float, y: float, w: float, h: float) -> Box | None:
    """The second line of a double outline, where there is room for one."""
    if line != "done" or min(w, h) < 7.0:
        return None
    return box(x + 2.5, y + 2.5, w - 5.0, h - 5.0)


def bar_at(x: float, y: float, pixels: float, longest: float, units: Units) -> Bar:
    """A scale bar for a drawing of so many units a metre."""
    long, name = scale_bar(1.0 / pixels, longest, units)
    return Bar(tenth(x), tenth(y), tenth(long), tenth(x + long), name)


def month_label(name: str, year: int, room: float, size: float, with_year: bool) -> tuple[str, str]:
    """A month and its year as far as there is room for them."""
    if with_year and room_for(f"{name} {year}", size) <= room:
        return name, str(year)
    return (name, "") if room_for(name, size) <= room else ("", "")


def tenth(value: float) -> float:
    """A coordinate as drawn, to a tenth; whole ones without a point."""
    rounded = round(float(value), 1)
    return int(rounded) if rounded == int(rounded) else rounded


def room_for(words: str, size: float) -> float:
    """About how wide words run in a plain face of that size; wide scripts take a square a sign."""
    signs = sum(1.0 if unicodedata.east_asian_width(sign) in "WF" else 0.56 for sign in words)
    return signs * size


def names_of(one: PlannedPlanting, names: Mapping[str, str]) -> tuple[str, ...]:
    """What grows, said ever shorter: with its variety, without, and without what is in brackets."""
    crop = what_grows(one.crop, "", names)
    forms = (what_grows(one.crop, one.variety, names), crop, crop.split(" (")[0])
    return tuple(dict.fromkeys(forms))


def line_of(one: PlannedPlanting, today: date, standing: Collection[str] = ()) -> Line:
    """The outline of a planting.

    `standing`: keys of plantings that records say are in the ground, whatever the plan says.
    """
    if one.ground_to <= today:
        return "done"
    if one.status == "stands" or one.key in standing:
        return "stands"
    return one.status


def hatches_of(plan: Plan) -> dict[str, int]:
    """The hatch of each rotation group of a plan, the same in all its pictures."""
    return hatch_of(one.rotation_group for one in plan.plantings)


def key_of(
    drawn: Iterable[PlannedPlanting], hatches: Mapping[str, int], lines: Iterable[Line]
) -> Key:
    """The legend for the plantings drawn."""
    groups = sorted({one.rotation_group for one in drawn}, key=group_name)
    used = set(lines)
    order: tuple[Line, ...] = ("stands", "fixed", "planned", "wished", "done")
    return Key(
        tuple(HatchKey(hatches[group], group_name(group)) for group in groups),
        tuple(LineKey(line, word(f"screen.line.{line}")) for line in order if line in used),
    )


def group_name(group: str) -> str:
    """A rotation group as it is named to people."""
    return word("screen.no_group") if group in _NO_GROUP else group.replace("_", " ")


def on_the_day(plan: Plan, day: date) -> list[PlannedPlanting]:
    """Plantings that take a bed on that day, along the beds."""
    taken = (one for one in plan.plantings if one.bed and stands(one, day))
    return sorted(taken, key=lambda one: (one.bed, one.start_m, one.ground_from, one.key))
