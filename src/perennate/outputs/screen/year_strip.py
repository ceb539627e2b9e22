"""The year strip: the season's weeks with months, today, day length and the chance of frost."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from perennate.outputs.screen.marks import Box, SpanHref, Table, box, month_label, tenth
from perennate.outputs.screen.strip_parts import MonthMark, Sign, StripRow, WeekCell
from perennate.outputs.season_weeks import (
    WEEK,
    Month,
    day_lengths,
    frost_shares,
    months_of,
    season_weeks,
)
from perennate.planning.plan import Plan
from perennate.terms import text
from perennate.weather.climate import Climate
from perennate.words import plain, say, word
from perennate.words.lines import day, span

Span = tuple[date, date]
"""First and last day, both counted."""

_MOST_IN_A_ROW = 66
_WIDTH = 1120.0
_LEFT = 40.0
_RIGHT = 4.0
_MONTH_H, _SKY_H, _DAY_H, _JOBS_H, _GAP = 18.0, 44.0, 16.0, 16.0, 12.0
_ROW_H = _MONTH_H + _SKY_H + _DAY_H + _JOBS_H

_HAND_WIDTH = 336.0
_HAND_COLUMNS = 6
_HAND_MONTH_H = 48.0
_HAND_WEEK_H = 52.0
_HAND_FROST_H = 16.0


@dataclass(frozen=True, slots=True)
class YearStrip:
    """Wide: weeks in rows of at most 66. Narrow: months to tap, then one month's weeks."""

    title: str
    says: str
    width: float
    height: float
    rows: tuple[StripRow, ...]
    longest: str
    shortest: str
    key: tuple[Sign, ...]
    hand_width: float
    hand_height: float
    hand_months: tuple[MonthMark, ...]
    hand_curves: tuple[str, ...]
    """Day length along each row of months."""
    hand_weeks: tuple[WeekCell, ...]
    table: Table


def jobs_in_weeks(plan: Plan) -> dict[date, int]:
    """Number of jobs by the first day of the week that holds their best day."""
    counts: dict[date, int] = {}
    for job in plan.jobs:
        first = plan.start + ((job.best - plan.start).days // 7) * WEEK
        counts[first] = counts.get(first, 0) + 1
    return counts


def year_strip(
    start: date,
    weeks: int,
    today: date,
    latitude_deg: float,
    climate: Climate | None,
    jobs: Mapping[date, int],
    href: SpanHref,
    chosen: Span | None = None,
) -> YearStrip:
    """The strip of a season of `weeks` weeks from `start`.

    `climate` None: frost is not known, and the strip says so. `jobs`: number by the first day of
    the week. `href` gives the address at which a span is chosen.
    """
    days = season_weeks(start, weeks)
    hours = day_lengths(days, latitude_deg)
    frosts = frost_shares(days, climate)
    season = _Season(days, hours, frosts or [0.0] * weeks, jobs, href, chosen, today)
    rows = math.ceil(weeks / _MOST_IN_A_ROW)
    most = math.ceil(weeks / rows)
    hand_months = _hand_months(season)
    below = hand_months[-1].y + hand_months[-1].h + 8.0
    hand_weeks = _hand_weeks(season, below)
    longest, shortest = _hours(max(hours)), _hours(min(hours))
    last = days[-1] + WEEK - timedelta(days=1)
    frost_says = _frost_says(frosts)
    return YearStrip(
        title=say(text("screen.strip.title", season=span(start, last))),
        says=say(
            text(
                "screen.strip.says",
                weeks=weeks,
                season=span(start, last),
                shortest=shortest,
                longest=longest,
                frost=frost_says,
            )
        ),
        width=_WIDTH,
        height=tenth(rows * (_ROW_H + _GAP) - _GAP + 2.0),
        rows=tuple(
            _row(season, number * most, min(weeks, (number + 1) * most), most, number)
            for number in range(rows)
        ),
        longest=longest,
        shortest=shortest,
        key=(
            Sign("day", say(text("screen.strip.day", shortest=shortest, longest=longest))),
            Sign("frost" if any(frosts) else "", frost_says),
            Sign("jobs", word("screen.strip.jobs")),
        ),
        hand_width=_HAND_WIDTH,
        hand_height=tenth(below + _HAND_WEEK_H + 1.0),
        hand_months=hand_months,
        hand_curves=_hand_curves(season, hand_months),
        hand_weeks=hand_weeks,
        table=_table(season, bool(frosts)),
    )


@dataclass(frozen=True, slots=True)
class _Season:
    days: Sequence[date]
    hours: Sequence[float]
    frosts: Sequence[float]
    jobs: Mapping[date, int]
    href: SpanHref
    chosen: Span | None
    today: date

    def is_chosen(self, number: int) -> bool:
        first = self.days[number]
        return self.chosen is not None and (
            first <= self.chosen[1] and self.chosen[0] <= first + timedelta(days=6)
        )

    def is_now(self, number: int) -> bool:
        return self.days[number] <= self.today < self.days[number] + WEEK

    def count(self, number: int) -> int:
        return self.jobs.get(self.days[number], 0)

    def week_href(self, number: int) -> str:
        return self.href(self.days[number], self.days[number] + timedelta(days=6))

    def most_jobs(self) -> int:
        return max((self.jobs.get(first, 0) for first in self.days), default=0) or 1


def _frost_says(frosts: Sequence[float]) -> str:
    if not frosts:
        return word("screen.strip.frost_unknown")
    return word("screen.strip.frost" if max(frosts) > 0 else "screen.strip.no_frost")


def _hours(hours: float) -> str:
    return f"{plain(round(hours, 1))} h"


def _week_name(season: _Season, number: int) -> str:
    code = "screen.week_frost" if season.frosts[number] >= 0.005 else "screen.week"
    named = say(
        text(
            code,
            day=day(season.days[number]),
            jobs=season.count(number),
            share=season.frosts[number],
        )
    )
    return f"{named}, {word('screen.today')}" if season.is_now(number) else named


def _row(season: _Season, first: int, end: int, most: int, number: int) -> StripRow:
    top = number * (_ROW_H + _GAP) + 1.0
    sky = top + _MONTH_H
    ground = sky + _SKY_H
    work = ground + _DAY_H
    step = (_WIDTH - _LEFT - _RIGHT) / most
    edges = [_LEFT + step * place for place in range(end - first + 1)]
    low, high = _day_range(season.hours)

    def height(hours: float) -> float:
        return ground - 2.0 - (_SKY_H - 4.0) * (hours - low) / (high - low)

    cells = []
    for place, week in enumerate(range(first, end)):
        x = edges[place]
        frost = season.frosts[week] * (_SKY_H - 2.0)
        work_h = season.count(week) / season.most_jobs() * (_JOBS_H - 3.0)
        cells.append(
            _cell(
                season,
                week,
                (x, sky, step, top + _ROW_H - sky),
                str(season.days[week].day),
                work - 4.0,
                box(x, ground - frost, step, frost),
                box(x + 0.2 * step, top + _ROW_H - work_h, 0.6 * step, work_h),
            )
        )
    months: list[MonthMark] = []
    said: set[int] = set()
    for month in months_of(season.days[first:end]):
        spot = (edges[month.week], top, step * month.weeks, _MONTH_H)
        months.append(_month(season, month, first, spot, month.year not in said))
        said |= {month.year} if months[-1].year else set()
    points = [
        f"{tenth(edges[place] + step / 2)},{tenth(height(season.hours[week]))}"
        for place, week in enumerate(range(first, end))
    ]
    since = (season.today - season.days[first]).days / 7
    return StripRow(
        *(tenth(top), tenth(sky), tenth(ground), tenth(work), tenth(top + _ROW_H)),
        tenth(_LEFT),
        tenth(edges[-1]),
        tuple(cells),
        tuple(months),
        "M" + " ".join(points),
        _frost_outline([cell.frost for cell in cells], ground),
        tenth(height(12.0)),
        tenth(_LEFT + step * since) if 0 <= since < end - first else None,
    )


def _day_range(hours: Sequence[float]) -> tuple[float, float]:
    """Hours at foot and head of the sky: 6 to 18 where they suffice, else the whole day."""
    return (6.0, 18.0) if min(hours) >= 6.0 and max(hours) <= 18.0 else (0.0, 24.0)


def _cell(
    season: _Season,
    week: int,
    place: tuple[float, float, float, float],
    label: str,
    label_y: float,
    frost: Box,
    jobs: Box,
) -> WeekCell:
    x, y, w, h = place
    return WeekCell(
        *(tenth(x), tenth(y), tenth(w), tenth(h)),
        season.week_href(week),
        _week_name(season, week),
        label,
        tenth(x + w / 2),
        tenth(label_y),
        frost,
        jobs,
        season.count(week),
        season.is_chosen(week),
        season.is_now(week),
    )


def _frost_outline(frosts: Sequence[Box], ground: float) -> str:
    """One closed outline for each run of weeks with frost, in steps of a week."""
    parts: list[str] = []
    run: list[Box] = []
    for frost in [*frosts, None]:
        if frost is not None and frost.h > 0:
            run.append(frost)
            continue
        if run:
            steps = "".join(f"V{one.y}H{tenth(one.x + one.w)}" for one in run)
            parts.append(f"M{run[0].x} {tenth(ground)}{steps}V{tenth(ground)}Z")
        run = []
    return "".join(parts)


def _month(
    season: _Season,
    month: Month,
    offset: int,
    place: tuple[float, float, float, float],
    with_year: bool = True,
) -> MonthMark:
    first = offset + month.week
    weeks = range(first, first + month.weeks)
    jobs = sum(season.count(week) for week in weeks)
    name = say(text("screen.month", month=month.name, year=month.year, jobs=jobs))
    frost = _HAND_FROST_H * max(season.frosts[week] for week in weeks)
    x, y, w, h = place
    label, year = month_label(month.name, month.year, w - 6.0, 12.0, with_year)
    return MonthMark(
        *(tenth(x), tenth(y), tenth(w), tenth(h)),
        season.href(season.days[first], season.days[weeks[-1]] + timedelta(days=6)),
        name,
        label,
        year,
        tenth(x + 5.0),
        tenth(y + 13.0),
        box(x, y + h - frost, w, frost),
        jobs,
        all(season.is_chosen(week) for week in weeks),
        any(season.is_now(week) for week in weeks),
    )


def _hand_months(season: _Season) -> tuple[MonthMark, ...]:
    """Months in rows; the year stands on a line of its own."""
    w, h = _HAND_WIDTH / _HAND_COLUMNS, _HAND_MONTH_H
    marks: list[MonthMark] = []
    before = 0
    for number, month in enumerate(months_of(season.days)):
        row, column = divmod(number, _HAND_COLUMNS)
        mark = _month(season, month, 0, (column * w, 1.0 + row * h, w, h))
        year = str(month.year) if month.year != before else ""
        marks.append(replace(mark, label=month.name, year=year))
        before = month.year
    return tuple(marks)


def _hand_curves(season: _Season, months: Sequence[MonthMark]) -> tuple[str, ...]:
    """Day length along each row of months, through the middle of each of their weeks."""
    low, high = _day_range(season.hours)
    rows: dict[float, list[str]] = {}
    for mark, month in zip(months, months_of(season.days), strict=True):
        step = mark.w / month.weeks
        for place in range(month.weeks):
            share = (season.hours[month.week + place] - low) / (high - low)
            x = mark.x + (place + 0.5) * step
            y = mark.y + mark.h - 1.0 - (_HAND_FROST_H - 2.0) * share
            rows.setdefault(mark.y, []).append(f"{tenth(x)},{tenth(y)}")
    return tuple("M" + " ".join(points) for points in rows.values())


def _hand_weeks(season: _Season, y: float) -> tuple[WeekCell, ...]:
    """The weeks of the month chosen, else of today's, else of the first."""
    months = months_of(season.days)
    spans = [range(month.week, month.week + month.weeks) for month in months]
    shown = next((one for one in spans if any(map(season.is_chosen, one))), None)
    shown = shown or next((one for one in spans if any(map(season.is_now, one))), spans[0])
    w, h = _HAND_WIDTH / max(4, len(shown)), _HAND_WEEK_H
    cells = []
    for place, week in enumerate(shown):
        x = place * w
        frost = season.frosts[week] * _HAND_FROST_H
        bar = season.count(week) / season.most_jobs() * (w - 10.0)
        cells.append(
            _cell(
                season,
                week,
                (x, y, w, h),
                day(season.days[week]),
                y + 18.0,
                box(x, y + h - frost, w, frost),
                box(x + 5.0, y + 26.0, bar, 4.0),
            )
        )
    return tuple(cells)


def _table(season: _Season, frost_known: bool) -> Table:
    head = [
        word("screen.head.week"),
        word("screen.head.day_length"),
        *([word("screen.head.frost")] if frost_known else []),
        word("screen.head.jobs"),
    ]
    rows = [
        (
            day(first, more="y"),
            f"{season.hours[number]:.1f}",
            *([f"{season.frosts[number]:.0%}"] if frost_known else []),
            str(season.count(number)),
        )
        for number, first in enumerate(season.days)
    ]
    return Table(word("screen.strip.table"), tuple(head), tuple(rows))
