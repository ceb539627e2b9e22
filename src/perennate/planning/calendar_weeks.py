"""The plan's own weeks: week 0 begins on the plan's first day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from perennate.weather.climate import day_index

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Weeks:
    """`count` weeks from `start`. Nothing is begun before `today`, which lies in the first week
    (a plan made anew in mid-week keeps the weeks of the plan before)."""

    start: date
    count: int
    now: date | None = None

    @property
    def today(self) -> date:
        return self.now or self.start

    @property
    def end(self) -> date:
        """The day after the last."""
        return self.day(self.count)

    def day(self, week: int) -> date:
        return self.start + timedelta(7 * week)

    def of(self, day: date) -> int:
        """The week that a day lies in; negative before the plan."""
        return (day - self.start).days // 7

    def up_to(self, day: date) -> int:
        """The first week that begins on or after a day."""
        return -((self.start - day).days // 7)


def indices(first: date, days: int) -> Ints:
    """Day-of-year indices of so many days from `first`, by the real calendar."""
    return np.array([day_index(first + timedelta(n)) for n in range(days)], dtype=np.int64)


def by_week(weeks: Weeks, amounts: Sequence[tuple[date, float]]) -> dict[int, float]:
    """Amounts on days summed by week of the plan; days outside are left out."""
    found: dict[int, float] = {}
    for day, amount in amounts:
        week = weeks.of(day)
        if 0 <= week < weeks.count:
            found[week] = found.get(week, 0.0) + amount
    return found
