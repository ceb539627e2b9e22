"""The year: beds by week, each bed a band, what stands in it drawn by weeks and metres."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from perennate.holding.model import Bed, Holding
from perennate.outputs.screen.marks import (
    NURSERY,
    Box,
    Href,
    Key,
    Line,
    Table,
    group_name,
    hatches_of,
    inner,
    key_of,
    line_of,
    names_of,
    room_for,
    tenth,
)
from perennate.outputs.screen.time_axis import Axis, Mark
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.terms import text
from perennate.words import say, word
from perennate.words.lines import day as day_name
from perennate.words.lines import span as span_name
from perennate.words.lines import what_grows

_WIDTH = 1120.0
_RIGHT = 6.0
_HEAD = 34.0
_FOOT = 20.0
_GAP = 3.0
_NAME_SIZE, _LABEL_SIZE = 12.0, 10.0
_MOST_NAME = 120.0
_LEAST_BAND = 14.0
_LANE = 15.0
_LABELS_FROM = 9.0
"""Least height of a bar that carries its name."""


@dataclass(frozen=True, slots=True)
class YearBar:
    """A planting by weeks and metres. `picks`: path of a tick for each week in which it is picked.

    `cut_left`, `cut_right`: it reaches past the span shown.
    """

    key: str
    x: float
    y: float
    w: float
    h: float
    hatch: int
    line: Line
    inner: Box | None
    href: str
    name: str
    label: str
    label_x: float
    label_y: float
    light: bool
    picks: str
    cut_left: bool
    cut_right: bool


@dataclass(frozen=True, slots=True)
class YearBand:
    """A bed. `covers`: path of the times under cover before its plantings, behind their bars."""

    key: str
    y: float
    h: float
    href: str
    name: str
    label: str
    label_y: float
    covers: str
    bars: tuple[YearBar, ...]


@dataclass(frozen=True, slots=True)
class YearSheet:
    """Names stand left of `left`; `months` and `weeks` mark the top, `grid` draws month lines."""

    title: str
    says: str
    width: float
    height: float
    left: float
    right: float
    span: float
    """From `left` to `right`."""
    top: float
    bottom: float
    bands: tuple[YearBand, ...]
    months: tuple[Mark, ...]
    weeks: tuple[Mark, ...]
    grid: str
    today: float | None
    key: Key
    cover_says: str
    picked_says: str
    table: Table


def year_sheet(
    plan: Plan,
    holding: Holding,
    names: Mapping[str, str],
    href_planting: Href,
    href_bed: Href,
    span: tuple[date, date] | None = None,
    beds: Collection[str] = (),
    group: str = "",
    standing: Collection[str] = (),
) -> YearSheet:
    """What stands where from the first day of `span` to its last; the plan's season without one.

    `beds`: keys of the beds to show, all and the nursery without any; a bed alone is drawn large.
    `group`: with one, plantings of other rotation groups are drawn lightly, without their names.
    Plants that never leave the nursery have a band of their own, in lanes, from sowing to the day
    they are ready.
    """
    season = (plan.start, plan.start + timedelta(days=7 * plan.weeks - 1))
    first, last = span or season
    shown = _beds(plan, holding, beds)
    labels = [bed.key for bed in shown] + [word("label.bench")]
    left = min(_MOST_NAME, max(room_for(label, _NAME_SIZE) for label in labels)) + 14.0
    axis = Axis(first, last, left, (_WIDTH - left - _RIGHT) / ((last - first).days + 1))
    pen = _Pen(plan, names, href_planting, group, frozenset(standing), axis)
    tallest = max((bed.length_m for bed in shown), default=1.0)
    full = min(300.0, max(26.0, 1300.0 / max(1, len(shown))))
    bands: list[YearBand] = []
    drawn: list[PlannedPlanting] = []
    y = _HEAD
    for bed in shown:
        height = max(_LEAST_BAND, full * bed.length_m / tallest)
        here = [one for one in plan.plantings if one.bed == bed.key and _sees(axis, one)]
        here.sort(key=lambda one: (one.ground_from, one.start_m, one.key))
        spots = [
            (one, y + top * height, max(part * height, 1.0))
            for one in here
            for top, part in [_part(one, bed.length_m)]
        ]
        bars = tuple(pen.bar(*spot) for spot in spots)
        covers = "".join(pen.cover(one, at + tall / 2) for one, at, tall in spots)
        bands.append(_band(bed.key, y, height, href_bed, here, names, bars, bed.key, covers))
        drawn += here
        y += height + _GAP
    raised = [one for one in plan.plantings if not one.bed and _sees_raised(axis, one)]
    if raised and (not beds or NURSERY in beds):
        lanes = _lanes(sorted(raised, key=lambda one: (one.sow, one.key)))
        height = (max(lanes.values()) + 1) * _LANE
        bars = tuple(
            pen.bar(one, y + lanes[one.key] * _LANE, _LANE - 2.0, raised=True)
            for one in sorted(raised, key=lambda one: (one.sow, one.key))
        )
        bench = word("label.bench")
        bands.append(_band(NURSERY, y, height, href_bed, raised, names, bars, bench))
        drawn += raised
        y += height + _GAP
    lines = [bar.line for band in bands for bar in band.bars]
    return YearSheet(
        title=say(text("screen.year.title", season=span_name(first, last))),
        says=say(
            text(
                "screen.year.says",
                season=span_name(first, last),
                beds=len(bands),
                plantings=len(drawn),
            )
        ),
        width=_WIDTH,
        height=tenth(y + _FOOT),
        left=tenth(left),
        right=tenth(axis.x(last + timedelta(days=1))),
        span=tenth(axis.x(last + timedelta(days=1)) - left),
        top=_HEAD,
        bottom=tenth(y - _GAP),
        bands=tuple(bands),
        months=axis.months(),
        weeks=axis.weeks(plan.start),
        grid=axis.grid(_HEAD, y - _GAP),
        today=tenth(axis.x(plan.as_of)) if first <= plan.as_of <= last else None,
        key=key_of(drawn, pen.hatches, lines),
        cover_says=word("screen.year.cover"),
        picked_says=word("screen.year.picked"),
        table=_table(drawn, names, plan.as_of, pen.standing),
    )


def _beds(plan: Plan, holding: Holding, wanted: Collection[str]) -> list[Bed]:
    """Beds in the order of their table, then those that only the plan names."""
    reach: dict[str, float] = {}
    known = {bed.key for bed in holding.beds}
    for one in plan.plantings:
        if one.bed and one.bed not in known:
            reach[one.bed] = max(reach.get(one.bed, 0.1), one.start_m + one.length_m)
    beds = [*holding.beds, *(Bed(key, long, 1.0) for key, long in reach.items())]
    return [bed for bed in beds if not wanted or bed.key in wanted]


def _part(one: PlannedPlanting, length_m: float) -> tuple[float, float]:
    """Where along the band a planting begins and how much of it it takes, as shares."""
    top = min(max(one.start_m / length_m, 0.0), 1.0)
    return top, min(one.length_m / length_m, 1.0 - top)


def _sees(axis: Axis, one: PlannedPlanting) -> bool:
    return one.ground_from <= axis.last and one.ground_to > axis.first


def _sees_raised(axis: Axis, one: PlannedPlanting) -> bool:
    return one.sow <= axis.last and one.ground_to > axis.first


def _lanes(raised: Sequence[PlannedPlanting]) -> dict[str, int]:
    """A lane for each, so that none in a lane stand at once."""
    free: list[date] = []
    lanes: dict[str, int] = {}
    for one in raised:
        lane = next((lane for lane, since in enumerate(free) if since <= one.sow), len(free))
        free[lane : lane + 1] = [one.ground_to]
        lanes[one.key] = lane
    return lanes


def _band(
    key: str,
    y: float,
    height: float,
    href_bed: Href,
    here: Sequence[PlannedPlanting],
    names: Mapping[str, str],
    bars: tuple[YearBar, ...],
    label: str,
    covers: str = "",
) -> YearBand:
    said = ", ".join(what_grows(one.crop, one.variety, names) for one in here)
    name = say(text("screen.ground.bed", bed=label, list=said or word("sheet.bare")))
    return YearBand(
        key,
        tenth(y),
        tenth(height),
        href_bed(key),
        name,
        _short(label),
        tenth(y + height / 2),
        covers,
        bars,
    )


def _short(label: str) -> str:
    while room_for(label, _NAME_SIZE) > _MOST_NAME:
        label = label.rstrip("…")[:-1] + "…"
    return label


class _Pen:
    def __init__(
        self,
        plan: Plan,
        names: Mapping[str, str],
        href: Href,
        group: str,
        standing: frozenset[str],
        axis: Axis,
    ) -> None:
        self.hatches = hatches_of(plan)
        self.today = plan.as_of
        self.names, self.href, self.group = names, href, group
        self.standing, self.axis = standing, axis

    def bar(self, one: PlannedPlanting, y: float, height: float, raised: bool = False) -> YearBar:
        begin = one.sow if raised else one.ground_from
        x, end = self.axis.kept(begin), self.axis.kept(one.ground_to)
        w = max(end - x, 1.0)
        line = line_of(one, self.today, self.standing)
        x = min(x, self.axis.x(self.axis.last + timedelta(days=1)) - w)
        return YearBar(
            *(one.key, tenth(x), tenth(y), tenth(w), tenth(height)),
            self.hatches[one.rotation_group],
            line,
            inner(line, x, y, w, height),
            self.href(one.key),
            self._name(one),
            self._label(one, w, height),
            *(tenth(x + 4.0), tenth(y + height / 2)),
            self._light(one),
            self._picks(one, y + height, height),
            begin < self.axis.first,
            one.ground_to > self.axis.last + timedelta(days=1),
        )

    def _light(self, one: PlannedPlanting) -> bool:
        return bool(self.group) and one.rotation_group != self.group

    def _name(self, one: PlannedPlanting) -> str:
        return say(
            text(
                "screen.year.bar",
                what=what_grows(one.crop, one.variety, self.names),
                bed=one.bed or word("label.bench"),
                first=day_name(one.ground_from if one.bed else one.sow, more="y"),
                last=day_name(one.ground_to, more="y"),
            )
        )

    def _label(self, one: PlannedPlanting, w: float, height: float) -> str:
        if height < _LABELS_FROM or self._light(one):
            return ""
        forms = names_of(one, self.names)
        return next((form for form in forms if room_for(form, _LABEL_SIZE) <= w - 8.0), "")

    def cover(self, one: PlannedPlanting, y: float) -> str:
        """A line from sowing to planting out, with a stroke across where it begins."""
        if one.route != "nursery" or one.ground_from <= self.axis.first or self._light(one):
            return ""
        start, end = self.axis.kept(one.sow), self.axis.kept(one.ground_from)
        if end - start < 0.5:
            return ""
        stroke = f"M{tenth(start)} {tenth(y - 3)}v6" if one.sow >= self.axis.first else ""
        return f"{stroke}M{tenth(start)} {tenth(y)}H{tenth(end)}"

    def _picks(self, one: PlannedPlanting, foot: float, height: float) -> str:
        """A tick at the foot of the bar for each week picked; the first reaches higher."""
        if one.first_harvest is None or one.last_harvest is None:
            return ""
        tick = min(4.0, height / 2)
        step, when, ticks = timedelta(days=7), one.first_harvest, []
        while when <= one.last_harvest:
            if self.axis.first <= when <= self.axis.last:
                ticks.append(f"M{tenth(self.axis.x(when))} {tenth(foot)}v{tenth(-tick)}")
            when += step
        return "".join(ticks)


def _table(
    drawn: Sequence[PlannedPlanting],
    names: Mapping[str, str],
    today: date,
    standing: frozenset[str],
) -> Table:
    head = (
        word("screen.head.bed"),
        word("screen.head.what"),
        word("screen.head.group"),
        word("screen.head.line"),
        word("screen.head.covered"),
        word("screen.head.ground_from"),
        word("screen.head.picked"),
        word("screen.head.ground_to"),
    )
    rows = tuple(
        (
            one.bed or word("label.bench"),
            what_grows(one.crop, one.variety, names),
            group_name(one.rotation_group),
            word(f"screen.sure.{line_of(one, today, standing)}"),
            day_name(one.sow, more="y") if one.route == "nursery" else "",
            day_name(one.ground_from, more="y") if one.bed else "",
            span_name(one.first_harvest, one.last_harvest)
            if one.first_harvest and one.last_harvest
            else "",
            day_name(one.ground_to, more="y"),
        )
        for one in drawn
    )
    return Table(word("screen.year.table"), head, rows, tuple(one.key for one in drawn))
