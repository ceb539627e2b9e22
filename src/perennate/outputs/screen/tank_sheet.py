"""Tanks by week: how full they are, what is drawn from them, and when they fall short."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from perennate.holding.model import Holding
from perennate.outputs.screen.marks import Table, tenth
from perennate.outputs.screen.strip_parts import Sign
from perennate.outputs.screen.time_axis import Axis, Mark
from perennate.outputs.screen.water_pieces import (
    band,
    bars,
    course,
    days_of,
    edges,
    spans,
    triangles,
    weeks_shown,
)
from perennate.outputs.screen.water_said import figure
from perennate.outputs.water_figures import Span
from perennate.planning.plan import Plan
from perennate.planning.water_plan import SourceWater
from perennate.terms import text
from perennate.words import say, show, symbol, word
from perennate.words.lines import day as day_name
from perennate.words.lines import span as span_name

_WIDE, _HAND = 1120.0, 336.0
_LEFT, _RIGHT = 70.0, 6.0
_HEAD, _FOOT = 34.0, 8.0
_LEVEL, _DRAWN, _GAP = 84.0, 34.0, 6.0
_BAR = 0.62
_LACK = 0.05
"""A week is marked in which so large a share of what is asked is not there."""


@dataclass(frozen=True, slots=True)
class TankForm:
    """A tank in one form. `full` and `empty` are heights of its level, `foot` that of the bars."""

    id: str
    width: float
    height: float
    left: float
    right: float
    top: float
    full: float
    empty: float
    foot: float
    months: tuple[Mark, ...]
    weeks: tuple[Mark, ...]
    grid: str
    today: float | None
    band: str
    level: str
    level_dry: str
    drawn: str
    short: str
    short_marks: str
    drawn_wide: float
    holds: str
    most: str


@dataclass(frozen=True, slots=True)
class Tank:
    """A source's tank through the season."""

    key: str
    title: str
    says: str
    wide: TankForm
    hand: TankForm
    key_signs: tuple[Sign, ...]
    table: Table


def tank_sheets(
    plan: Plan, holding: Holding, span: Span | None = None, today: date | None = None
) -> tuple[Tank, ...]:
    """The tanks of the plan's sources, in the weeks that `span` touches; none without any."""
    if plan.water is None:
        return ()
    sizes = {one.key: one.tank_l for one in holding.water_sources}
    numbers = weeks_shown(plan.start, plan.weeks, span)
    return tuple(
        _tank(
            plan,
            one,
            sizes.get(one.source) or max(one.level_l),
            numbers,
            today or plan.as_of,
            place,
        )
        for place, one in enumerate(plan.water.sources, 1)
        if one.level_l
    )


def _tank(
    plan: Plan, one: SourceWater, size_l: float, numbers: Sequence[int], today: date, place: int
) -> Tank:
    first, last = days_of(plan.start, numbers)
    units = plan.holding.units
    lowest = min(numbers, key=lambda week: one.level_l[week])
    lacks = [week for week in numbers if _lacks(one, week)]
    said = text(
        "screen.tank.says",
        source=one.source,
        size=size_l,
        drawn=sum(one.drawn_l[week] for week in numbers),
        least=one.level_l[lowest],
        day=day_name(plan.start + timedelta(weeks=lowest)),
        least_dry=min(one.level_dry_l[week] for week in numbers),
        served=one.served,
        years=one.years_without_lack,
    )
    signs = [
        Sign("held", word("screen.tank.key.level")),
        Sign("given", word("screen.tank.key.drawn")),
    ]
    if lacks:
        signs.append(Sign("short", word("screen.tank.key.short")))
    return Tank(
        key=one.source,
        title=say(text("screen.tank.title", source=one.source, season=span_name(first, last))),
        says=say(said, units=units),
        wide=_form(plan, one, size_l, numbers, today, f"tank-wide-{place}", _WIDE),
        hand=_form(plan, one, size_l, numbers, today, f"tank-hand-{place}", _HAND),
        key_signs=tuple(signs),
        table=_table(plan, one, numbers),
    )


def _lacks(one: SourceWater, week: int) -> bool:
    asked = one.drawn_l[week] + one.short_l[week]
    return asked > 0 and one.short_l[week] >= _LACK * asked


def _form(
    plan: Plan,
    one: SourceWater,
    size_l: float,
    numbers: Sequence[int],
    today: date,
    name: str,
    width: float,
) -> TankForm:
    first, last = days_of(plan.start, numbers)
    axis = Axis(first, last, _LEFT, (width - _LEFT - _RIGHT) / ((last - first).days + 1))
    weeks = edges(axis, plan.start, numbers)
    full = _HEAD
    empty = full + _LEVEL
    foot = empty + _GAP + _DRAWN
    most = max((one.drawn_l[week] for week in numbers), default=0.0)
    level = [one.level_l[week] for week in numbers]
    dry = [one.level_dry_l[week] for week in numbers]
    always = [True] * len(numbers)
    lacks = [_lacks(one, week) for week in numbers]

    def height(litres: float) -> float:
        return empty - min(max(litres / size_l, 0.0), 1.0) * _LEVEL if size_l > 0 else empty

    units = plan.holding.units
    return TankForm(
        id=name,
        width=width,
        height=tenth(foot + _FOOT),
        left=_LEFT,
        right=tenth(axis.x(last + timedelta(days=1))),
        top=_HEAD,
        full=tenth(full),
        empty=tenth(empty),
        foot=tenth(foot),
        months=axis.months(),
        weeks=axis.weeks(plan.start) if width == _WIDE or axis.is_roomy() else (),
        grid=axis.grid(_HEAD, foot),
        today=tenth(axis.x(today)) if first <= today <= last else None,
        band=band(weeks, level, dry, always, height),
        level=course(weeks, level, always, height),
        level_dry=course(weeks, dry, always, height),
        drawn=bars(
            weeks,
            [one.drawn_l[week] for week in numbers],
            foot,
            (_DRAWN - 1.0) / most if most > 0 else 0.0,
        ),
        short=spans(weeks, lacks, full, empty),
        short_marks=triangles(weeks, lacks, empty - 1.0),
        drawn_wide=tenth(_BAR * 7 * axis.per_day),
        holds=show(size_l, "l", units),
        most=show(most, "l", units),
    )


def _table(plan: Plan, one: SourceWater, numbers: Sequence[int]) -> Table:
    units = plan.holding.units
    litres = symbol("l", units)
    head = (
        word("screen.head.week"),
        *(
            say(text(f"screen.tank.head.{name}", unit=litres))
            for name in ("drawn", "drawn_dry", "short", "level", "level_dry")
        ),
    )
    series = (one.drawn_l, one.drawn_dry_l, one.short_l, one.level_l, one.level_dry_l)
    rows = tuple(
        (
            day_name(plan.start + timedelta(weeks=week), more="y"),
            *(figure(values[week], "l", units) for values in series),
        )
        for week in numbers
    )
    return Table(say(text("screen.tank.table", source=one.source)), head, rows)
