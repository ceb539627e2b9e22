"""What pictures of water are made of: bars by week, courses with a band, and marks for weeks."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from perennate.outputs.screen.marks import tenth
from perennate.outputs.screen.time_axis import Axis

Values = Sequence[float]
Height = Callable[[float], float]
"""Where a value lies, from the top of the picture."""

MARK = 3.4
"""Half the width of a mark in a small picture."""
_APART = 2.9
"""So many halves apart marks are drawn, so that they can be told from one another."""


@dataclass(frozen=True, slots=True)
class WeekEdges:
    """The weeks shown: their numbers in the plan, and where each begins and ends."""

    numbers: tuple[int, ...]
    left: tuple[float, ...]
    right: tuple[float, ...]

    def middle(self, place: int) -> float:
        """The middle of a week, by its place among those shown."""
        return (self.left[place] + self.right[place]) / 2


def weeks_shown(start: date, weeks: int, span: tuple[date, date] | None) -> tuple[int, ...]:
    """Numbers of the plan's weeks that a span touches; all without a span, or where it touches
    none."""
    every = range(weeks)
    if span is None:
        return tuple(every)
    first = (span[0] - start).days // 7
    last = (span[1] - start).days // 7
    touched = tuple(week for week in every if first <= week <= last)
    return touched or tuple(every)


def days_of(start: date, numbers: Sequence[int]) -> tuple[date, date]:
    """First and last day of these weeks."""
    return start + timedelta(weeks=numbers[0]), start + timedelta(weeks=numbers[-1] + 1, days=-1)


def edges(axis: Axis, start: date, numbers: Sequence[int]) -> WeekEdges:
    """Where these weeks lie along an axis that begins with the first of them."""
    left = tuple(axis.x(start + timedelta(weeks=number)) for number in numbers)
    return WeekEdges(tuple(numbers), left, tuple(x + 7 * axis.per_day for x in left))


def bars(weeks: WeekEdges, values: Values, foot: float, scale: float) -> str:
    """Path of a bar's middle line a week, from `foot` on: up for a scale above 0, else down."""
    return "".join(
        f"M{tenth(weeks.middle(place))} {tenth(foot)}v{-tall}"
        for place, value in enumerate(values)
        if (tall := tenth(value * scale))
    )


def caps(weeks: WeekEdges, values: Values, foot: float, scale: float, wide: float) -> str:
    """Path of a stroke a week across where a bar of that value would end."""
    return "".join(
        f"M{tenth(weeks.middle(place) - wide / 2)} {tenth(foot - value * scale)}h{tenth(wide)}"
        for place, value in enumerate(values)
        if tenth(value * scale)
    )


def runs(there: Sequence[bool]) -> list[tuple[int, int]]:
    """First place and the one after the last of every run of weeks in which something is so."""
    found = []
    for is_there, places in groupby(range(len(there)), key=lambda place: there[place]):
        if is_there:
            run = list(places)
            found.append((run[0], run[-1] + 1))
    return found


def course(weeks: WeekEdges, values: Values, there: Sequence[bool], height: Height) -> str:
    """A line through the middles of the weeks, broken where nothing is there."""
    parts = []
    for first, end in runs(there):
        points = _points(weeks, values, first, end, height)
        parts.append("M" + "L".join(f"{tenth(x)} {tenth(y)}" for x, y in points))
    return "".join(parts)


def band(
    weeks: WeekEdges, upper: Values, lower: Values, there: Sequence[bool], height: Height
) -> str:
    """The outline of what lies between two courses."""
    parts = []
    for first, end in runs(there):
        above = _points(weeks, upper, first, end, height)
        below = _points(weeks, lower, first, end, height)
        points = [*above, *reversed(below)]
        parts.append("M" + "L".join(f"{tenth(x)} {tenth(y)}" for x, y in points) + "Z")
    return "".join(parts)


def _points(
    weeks: WeekEdges, values: Values, first: int, end: int, height: Height
) -> list[tuple[float, float]]:
    """From the run's left edge through the middles of its weeks to its right edge."""
    middles = [(weeks.middle(place), height(values[place])) for place in range(first, end)]
    return [
        (weeks.left[first], height(values[first])),
        *middles,
        (weeks.right[end - 1], height(values[end - 1])),
    ]


def spans(weeks: WeekEdges, marked: Sequence[bool], top: float, foot: float) -> str:
    """A rectangle for every run of marked weeks."""
    return "".join(
        f"M{tenth(weeks.left[first])} {tenth(top)}H{tenth(weeks.right[end - 1])}"
        f"V{tenth(foot)}H{tenth(weeks.left[first])}Z"
        for first, end in runs(marked)
    )


def triangles(weeks: WeekEdges, marked: Sequence[bool], foot: float, size: float = MARK) -> str:
    """A triangle on its point for marked weeks, its point at `foot`."""
    return "".join(
        f"M{tenth(x)} {tenth(foot)}l{-size} {tenth(-1.8 * size)}h{tenth(2 * size)}z"
        for x in _apart(weeks, marked, size)
    )


def rings(weeks: WeekEdges, marked: Sequence[bool], top: float, size: float = MARK) -> str:
    """A ring for marked weeks, hanging from `top`."""
    half = f"a{size} {size} 0 1 0"
    return "".join(
        f"M{tenth(x - size)} {tenth(top + size + 1.0)}"
        f"{half} {tenth(2 * size)} 0{half} {tenth(-2 * size)} 0z"
        for x in _apart(weeks, marked, size)
    )


def _apart(weeks: WeekEdges, marked: Sequence[bool], size: float) -> list[float]:
    """Where marks are drawn: at every marked week that is far enough from the mark before."""
    found: list[float] = []
    for first, end in runs(marked):
        for place in range(first, end):
            x = weeks.middle(place)
            if not found or x - found[-1] >= _APART * size:
                found.append(x)
    return found
