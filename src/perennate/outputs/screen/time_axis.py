"""Days along a picture: where they lie, and the months and weeks that mark its top."""

from dataclasses import dataclass
from datetime import date, timedelta

from perennate.outputs.screen.marks import month_label, tenth
from perennate.outputs.season_weeks import month_name

_MONTH = 30.4
_LEAST_MONTH = 24.0
"""Room that the short name of a month takes."""
_LEAST_WEEK = 17.0


@dataclass(frozen=True, slots=True)
class Mark:
    x: float
    name: str
    year: str = ""


@dataclass(frozen=True, slots=True)
class Axis:
    """Days from `first` to `last`, both counted, from `left` on; `per_day` wide."""

    first: date
    last: date
    left: float
    per_day: float

    def x(self, day: date) -> float:
        """Where a day begins."""
        return self.left + (day - self.first).days * self.per_day

    def kept(self, day: date) -> float:
        """Where a day lies, kept within the picture."""
        return min(max(self.x(day), self.left), self.x(self.last + timedelta(days=1)))

    def _month_starts(self) -> list[date]:
        starts, when = [], self.first
        while when <= self.last:
            starts.append(when)
            when = (when.replace(day=1) + timedelta(days=32)).replace(day=1)
        return starts

    def months(self) -> tuple[Mark, ...]:
        """Names of months where there is room for them, a year's first one with its year; where
        months are narrow, of every second, third or sixth."""
        step = next((n for n in (1, 2, 3) if n * self.per_day * _MONTH >= _LEAST_MONTH), 6)
        starts = [when for when in self._month_starts() if (when.month - 1) % step == 0]
        ends = [*starts[1:], self.last + timedelta(days=1)]
        marks: list[Mark] = []
        said: set[int] = set()
        for start, end in zip(starts, ends, strict=True):
            room = self.x(end) - self.x(start) - 4.0
            with_year = start.year not in said
            name, year = month_label(month_name(start), start.year, room, 11.0, with_year)
            said |= {start.year} if year else set()
            if name:
                marks.append(Mark(tenth(self.x(start)), name, year))
        return tuple(marks)

    def is_roomy(self) -> bool:
        """Whether the day on which each week begins can be read."""
        return 7 * self.per_day >= _LEAST_WEEK

    def weeks(self, from_day: date) -> tuple[Mark, ...]:
        """The days on which the season's weeks begin, as many as can be read."""
        step = next((n for n in (1, 2, 4) if 7 * n * self.per_day >= _LEAST_WEEK), 8)
        number = -((from_day - self.first).days // 7)
        marks = []
        when = from_day + timedelta(days=7 * number)
        while when <= self.last:
            if when >= self.first and number % step == 0:
                marks.append(Mark(tenth(self.x(when)), str(when.day)))
            when += timedelta(days=7)
            number += 1
        return tuple(marks)

    def grid(self, top: float, bottom: float) -> str:
        """Path of a line from top to bottom where each month but the first begins."""
        tall = tenth(bottom - top)
        starts = self._month_starts()[1:]
        return "".join(f"M{tenth(self.x(start))} {tenth(top)}v{tall}" for start in starts)
