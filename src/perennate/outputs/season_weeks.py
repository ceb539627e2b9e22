"""The weeks of a season and what the sky does in them: months, day length, frost."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from perennate.science.sun import day_length_cbm
from perennate.weather.climate import Climate, day_index
from perennate.words.lines import day

WEEK = timedelta(days=7)
_MIDDLE = timedelta(days=3)


@dataclass(frozen=True, slots=True)
class Month:
    """A month by the weeks that begin in it: the first one's number, and how many."""

    week: int
    weeks: int
    name: str
    year: int


def season_weeks(start: date, weeks: int) -> list[date]:
    """First day of each week, the first on `start` whatever weekday that is."""
    return [start + number * WEEK for number in range(weeks)]


def months_of(weeks: Sequence[date]) -> list[Month]:
    """Months in their order; the first may have begun before the season."""
    firsts = [
        number
        for number, first in enumerate(weeks)
        if number == 0 or first.month != weeks[number - 1].month
    ]
    ends = [*firsts[1:], len(weeks)]
    return [
        Month(first, end - first, month_name(weeks[first]), weeks[first].year)
        for first, end in zip(firsts, ends, strict=True)
    ]


def month_name(when: date) -> str:
    """A month as it is named short: "Apr"."""
    return day(when).split()[-1]


def day_lengths(weeks: Sequence[date], latitude_deg: float) -> list[float]:
    """Hours of day in the middle of each week; 0 in polar night, 24 in polar day."""
    middles = [(first + _MIDDLE).timetuple().tm_yday for first in weeks]
    return [round(float(day_length_cbm(latitude_deg, middle)), 2) for middle in middles]


def frost_shares(weeks: Sequence[date], climate: Climate | None) -> list[float]:
    """For each week the share of the climate's years with a frost in it; empty when not known."""
    if climate is None:
        return []
    shares = []
    for first in weeks:
        days = [day_index(first + timedelta(days=step)) for step in range(7)]
        frosts = np.any(climate.tmin[:, days] < 0.0, axis=1)
        shares.append(round(float(np.mean(frosts)), 4))
    return shares
