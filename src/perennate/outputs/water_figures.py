"""Sums of a plan's water: a bed's season, what falls due in a week, which weeks to mind."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from perennate.planning.plan import Plan
from perennate.planning.water_plan import BedWater, WaterPlan

Span = tuple[date, date]
"""First and last day, both counted."""

MARKED_DAYS = 1.0
"""A week is marked where plants go short, or roots short of air, on so many days in the mean of
the years."""


@dataclass(frozen=True, slots=True)
class Season:
    """A bed over some weeks, those under crop only. `least` is the lowest share held in a middle
    year, `least_dry` the lowest in a dry one; `short` and `airless` are the first days of weeks to
    be minded."""

    bed: str
    source: str
    need_mm: float
    rain_mm: float
    watering_mm: float
    litres: float
    waterings: float
    least: float
    least_dry: float
    least_week: date
    short_days: float
    airless_days: float
    short: tuple[date, ...]
    airless: tuple[date, ...]


def under_crop(one: BedWater, numbers: Sequence[int]) -> list[bool]:
    """In which of these weeks the bed is under crop."""
    return [one.area_m2[week] > 0 for week in numbers]


def short_weeks(one: BedWater, numbers: Sequence[int]) -> list[bool]:
    """In which of these weeks plants go short of water."""
    return [_is_marked(one, one.short_days, week) for week in numbers]


def airless_weeks(one: BedWater, numbers: Sequence[int]) -> list[bool]:
    """In which of these weeks roots go short of air."""
    return [_is_marked(one, one.airless_days, week) for week in numbers]


def _is_marked(one: BedWater, days: Sequence[float], week: int) -> bool:
    return one.area_m2[week] > 0 and days[week] >= MARKED_DAYS


def litres(one: BedWater, week: int, dry: bool = False) -> float:
    """What the bed is given in a week, in litres."""
    depth = one.watering_dry_mm if dry else one.watering_mm
    return depth[week] * one.area_m2[week]


def bed_season(one: BedWater, plan: Plan, numbers: Sequence[int]) -> Season:
    """A bed summed over these weeks of the plan."""
    there = [week for week in numbers if one.area_m2[week] > 0]
    driest = min(there, key=lambda week: one.held[week], default=numbers[0])

    def monday(week: int) -> date:
        return plan.start + timedelta(weeks=week)

    return Season(
        bed=one.bed,
        source=one.source,
        need_mm=sum(one.need_mm[week] for week in there),
        rain_mm=sum(one.rain_mm[week] for week in there),
        watering_mm=sum(one.watering_mm[week] for week in there),
        litres=sum(litres(one, week) for week in there),
        waterings=sum(one.occasions[week] for week in there),
        least=one.held[driest],
        least_dry=min((one.held_dry[week] for week in there), default=0.0),
        least_week=monday(driest),
        short_days=sum(one.short_days[week] for week in there),
        airless_days=sum(one.airless_days[week] for week in there),
        short=tuple(monday(week) for week in there if one.short_days[week] >= MARKED_DAYS),
        airless=tuple(monday(week) for week in there if one.airless_days[week] >= MARKED_DAYS),
    )


def about(litres: float) -> float:
    """To three figures, as far as such a sum can be known."""
    return float(f"{litres:.3g}")


@dataclass(frozen=True, slots=True)
class DueWater:
    """What a bed is given in one week of the plan, usually and in a dry year."""

    bed: str
    source: str
    week: date
    litres: float
    litres_dry: float
    times: float
    held: float

    @property
    def each_l(self) -> float:
        """Litres of one watering."""
        return self.litres / max(self.times, 1.0)


def due_water(water: WaterPlan, plan: Plan, span: Span) -> tuple[DueWater, ...]:
    """What beds are given in the weeks that a span touches, by week and in the order of the beds;
    a week in which a bed wants nothing even in a dry year is left out."""
    first = (span[0] - plan.start).days // 7
    last = (span[1] - plan.start).days // 7
    return tuple(
        DueWater(
            one.bed,
            one.source,
            plan.start + timedelta(weeks=week),
            litres(one, week),
            litres(one, week, dry=True),
            one.occasions[week],
            one.held[week],
        )
        for week in range(max(first, 0), min(last + 1, plan.weeks))
        for one in water.beds
        if litres(one, week, dry=True) > 0 or litres(one, week) > 0
    )
