"""Every bed's water by week: what its soil holds, rain from above, watering from below.

One strip a bed, all to one scale. A week in which plants go short, or roots short of air, is
marked by a hatching and a shape; a week without crop is left blank.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from perennate.holding.model import Bed, Holding
from perennate.outputs.drawing import corners, runs_north
from perennate.outputs.screen.marks import Box, Href, Table, box, room_for, tenth
from perennate.outputs.screen.strip_parts import Sign
from perennate.outputs.screen.time_axis import Axis, Mark
from perennate.outputs.screen.water_pieces import (
    MARK,
    WeekEdges,
    band,
    bars,
    caps,
    course,
    days_of,
    edges,
    rings,
    spans,
    triangles,
    weeks_shown,
)
from perennate.outputs.screen.water_said import by_bed, by_week, says_all, says_alone, told
from perennate.outputs.water_figures import (
    Season,
    Span,
    airless_weeks,
    bed_season,
    short_weeks,
    under_crop,
)
from perennate.planning.plan import Plan
from perennate.planning.water_plan import BedWater
from perennate.terms import text
from perennate.words import Units, say, show, word
from perennate.words.lines import span as span_name

_WIDE, _HAND = 1120.0, 336.0
_RIGHT = 6.0
_HEAD, _FOOT = 34.0, 6.0
_NAME_SIZE = 12.0
_MOST_NAME = 120.0
_BAR, _FINE_BAR = 0.62, 0.3
"""Widths of a bar of watering and of one of rain, as shares of a week."""
_LARGE_MARK = 5.0
_MANY = 30
"""With more beds than so many the strips are lower."""


@dataclass(frozen=True, slots=True)
class _Zones:
    """Heights within a strip: its name (0: left of it), rain, bucket, watering; and the gap
    below."""

    name: float
    rain: float
    bucket: float
    given: float
    gap: float


_SMALL = _Zones(0.0, 12.0, 28.0, 12.0, 14.0)
_LOW = _Zones(0.0, 11.0, 18.0, 11.0, 8.0)
_IN_HAND = _Zones(17.0, 12.0, 28.0, 12.0, 10.0)
_LARGE = _Zones(0.0, 70.0, 170.0, 70.0, 8.0)
_LARGE_IN_HAND = _Zones(0.0, 54.0, 140.0, 54.0, 8.0)


_SIGNS = (
    ("band", "water-band"),
    ("short", "water-short"),
    ("airless", "water-airless"),
    ("crop", "bucket-edge"),
    ("rain", "water-rain"),
    ("given_dry", "water-given-dry"),
    ("given", "water-given"),
    ("held_dry", "water-held-dry"),
    ("held", "water-held"),
    ("short_marks", "short-mark"),
    ("airless_marks", "airless-mark"),
)
"""Paths of a bucket by how they are drawn, what lies below first."""


@dataclass(frozen=True, slots=True)
class Bucket:
    """A bed's strip. All but the boxes are paths; empty where there is nothing to draw.

    `target` is what can be hit, with the gap below. `full` and `empty` are the heights at which
    the soil holds all that roots can take, and nothing of it.
    """

    key: str
    href: str
    name: str
    label: str
    label_x: float
    label_y: float
    target: Box
    full: float
    empty: float
    crop: str
    """Outline of the weeks under crop, and within it of the soil between full and empty."""
    rain: str
    given: str
    given_dry: str
    band: str
    held: str
    held_dry: str
    short: str
    short_marks: str
    airless: str
    airless_marks: str


@dataclass(frozen=True, slots=True)
class Stroke:
    """What is drawn in one way for all beds. `wide`: width of its line, None where it is always
    the same."""

    sign: str
    path: str
    wide: float | None = None


@dataclass(frozen=True, slots=True)
class Scale:
    """A mark at the side of a bed drawn alone."""

    y: float
    name: str


@dataclass(frozen=True, slots=True)
class Buckets:
    """The strips in one form, for a wide page or for a hand. `id` is its own on the page."""

    id: str
    width: float
    height: float
    left: float
    right: float
    span: float
    top: float
    bottom: float
    buckets: tuple[Bucket, ...]
    months: tuple[Mark, ...]
    weeks: tuple[Mark, ...]
    grid: str
    today: float | None
    scale: tuple[Scale, ...]
    rain_wide: float
    given_wide: float

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """The paths of all strips, what lies below first."""
        wide = {"rain": self.rain_wide, "given": self.given_wide}
        drawn = (
            Stroke(sign, "".join(getattr(one, name) for one in self.buckets), wide.get(name))
            for name, sign in _SIGNS
        )
        return tuple(one for one in drawn if one.path)


@dataclass(frozen=True, slots=True)
class WaterSheet:
    """The beds' water, or one bed's drawn large."""

    title: str
    says: str
    wide: Buckets
    hand: Buckets
    key: tuple[Sign, ...]
    table: Table


def water_sheet(
    plan: Plan,
    holding: Holding,
    href_bed: Href,
    span: Span | None = None,
    chosen: str = "",
    today: date | None = None,
) -> WaterSheet | None:
    """The water of the plan's beds in the weeks that `span` touches; of the whole plan without one.

    `chosen`: key of the one bed to draw, large. `today`: the day to mark, that for which the plan
    is made unless given. None where the plan says nothing of water, or
    nothing of that bed.
    """
    if plan.water is None:
        return None
    found = {one.bed: one for one in plan.water.beds}
    order = [one for one in beds_as_they_lie(holding.beds) if one in found]
    order += [one for one in found if one not in order]
    shown = [found[key] for key in order if not chosen or key == chosen]
    if not shown:
        return None
    numbers = weeks_shown(plan.start, plan.weeks, span)
    seasons = [bed_season(one, plan, numbers) for one in shown]
    tallest = max((*_depths(shown, numbers, dry=bool(chosen)), 1.0))
    said = {one.bed: told(one, plan.holding.units) for one in seasons}
    pen = _Pen(plan, href_bed, numbers, tallest, bool(chosen), today or plan.as_of, said)
    small = _LOW if len(shown) > _MANY else _SMALL
    first, last = days_of(plan.start, numbers)
    units = plan.holding.units
    return WaterSheet(
        title=say(
            text("screen.water.bed_title", bed=chosen, season=span_name(first, last))
            if chosen
            else text("screen.water.title", season=span_name(first, last))
        ),
        says=says_alone(seasons[0], units) if chosen else says_all(seasons),
        wide=pen.form("water-wide", _WIDE, _LARGE if chosen else small, shown),
        hand=pen.form("water-hand", _HAND, _LARGE_IN_HAND if chosen else _IN_HAND, shown),
        key=_key(tallest, seasons, bool(chosen), units),
        table=by_week(shown[0], plan, numbers) if chosen else by_bed(seasons, units),
    )


def beds_as_they_lie(beds: Sequence[Bed]) -> list[str]:
    """Keys of the beds as the ground is read: row by row from the top of the sheet, from left to
    right; beds without a place come last, in the order of their table."""
    north = runs_north(beds)
    placed = [(bed.key, *place) for bed in beds if (place := corners(bed, north))]
    placed.sort(key=lambda one: (-round(one[4], 2), round(one[1], 2)))
    keys = [one[0] for one in placed]
    return keys + [bed.key for bed in beds if bed.key not in keys]


def _depths(beds: Sequence[BedWater], numbers: Sequence[int], dry: bool) -> list[float]:
    """All depths of rain and watering in the weeks shown, that one scale has to hold; with those
    of a dry year, which are drawn for a bed alone."""
    return [
        depth[week]
        for one in beds
        for depth in (one.rain_mm, one.watering_mm, *((one.watering_dry_mm,) if dry else ()))
        for week in numbers
    ]


class _Pen:
    def __init__(
        self,
        plan: Plan,
        href: Href,
        numbers: Sequence[int],
        tallest: float,
        alone: bool,
        today: date,
        said: Mapping[str, str],
    ) -> None:
        self.plan, self.href, self.numbers, self.said = plan, href, numbers, said
        self.tallest, self.alone, self.today = tallest, alone, today
        self.units: Units = plan.holding.units

    def form(
        self,
        name: str,
        width: float,
        zones: _Zones,
        beds: Sequence[BedWater],
    ) -> Buckets:
        first, last = days_of(self.plan.start, self.numbers)
        if self.alone:
            left = 54.0
        elif zones.name:
            left = 2.0
        else:
            left = min(_MOST_NAME, max(room_for(one.bed, _NAME_SIZE) for one in beds)) + 14.0
        axis = Axis(first, last, left, (width - left - _RIGHT) / ((last - first).days + 1))
        weeks = edges(axis, self.plan.start, self.numbers)
        y, drawn = _HEAD, []
        for one in beds:
            drawn.append(self._bucket(one, weeks, y, zones, width))
            y += zones.name + zones.rain + zones.bucket + zones.given + zones.gap
        right = axis.x(last + timedelta(days=1))
        bottom = y - zones.gap
        return Buckets(
            id=name,
            width=width,
            height=tenth(bottom + _FOOT),
            left=tenth(left),
            right=tenth(right),
            span=tenth(right - left),
            top=_HEAD,
            bottom=tenth(bottom),
            buckets=tuple(drawn),
            months=axis.months(),
            weeks=axis.weeks(self.plan.start) if width == _WIDE or axis.is_roomy() else (),
            grid=axis.grid(_HEAD, bottom),
            today=tenth(axis.x(self.today)) if first <= self.today <= last else None,
            scale=self._scale(zones) if self.alone else (),
            rain_wide=tenth(_FINE_BAR * 7 * axis.per_day),
            given_wide=tenth(_BAR * 7 * axis.per_day),
        )

    def _bucket(
        self,
        one: BedWater,
        weeks: WeekEdges,
        y: float,
        zones: _Zones,
        width: float,
    ) -> Bucket:
        sky = y + zones.name
        full = sky + zones.rain
        empty = full + zones.bucket
        foot = empty + zones.given
        per_mm = (zones.rain - 1.0) / self.tallest
        there = under_crop(one, self.numbers)

        def values(series: Sequence[float]) -> list[float]:
            found = [series[week] for week in self.numbers]
            return [
                value if is_there else 0.0 for value, is_there in zip(found, there, strict=True)
            ]

        wide = weeks.right[0] - weeks.left[0]
        mark = _LARGE_MARK if self.alone else MARK

        def height(share: float) -> float:
            return empty - min(max(share, 0.0), 1.0) * (empty - full)

        held, dry = values(one.held), values(one.held_dry)
        short = short_weeks(one, self.numbers)
        airless = airless_weeks(one, self.numbers)
        above = bool(zones.name) and not self.alone
        return Bucket(
            key=one.bed,
            href=self.href(one.bed),
            name=self.said[one.bed],
            label="" if self.alone else _fitted(one.bed, width - 8.0 if above else _MOST_NAME),
            label_x=tenth(4.0),
            label_y=tenth(y + 12.0 if above else (full + empty) / 2),
            target=box(0.0, y, width, foot - y + zones.gap),
            full=tenth(full),
            empty=tenth(empty),
            rain=bars(weeks, values(one.rain_mm), sky, -per_mm),
            given=bars(weeks, values(one.watering_mm), foot, per_mm),
            given_dry=caps(weeks, values(one.watering_dry_mm), foot, per_mm, _BAR * wide)
            if self.alone
            else "",
            band=band(weeks, held, dry, there, height),
            held=course(weeks, held, there, height),
            held_dry=course(weeks, dry, there, height),
            crop=spans(weeks, there, sky, foot) + spans(weeks, there, full, empty),
            short=spans(weeks, short, full, empty),
            short_marks=triangles(weeks, short, empty - 1.0, mark),
            airless=spans(weeks, airless, full, empty),
            airless_marks=rings(weeks, airless, full, mark),
        )

    def _scale(self, zones: _Zones) -> tuple[Scale, ...]:
        """Beside a bed alone: the longest bars above and below, the soil full, half and empty."""
        deepest = show(self.tallest, "mm", self.units)
        sky, full = _HEAD, _HEAD + zones.rain
        empty = full + zones.bucket
        return (
            Scale(tenth(sky + zones.rain - 1.0), deepest),
            Scale(tenth(full + 11.0), word("screen.water.full")),
            Scale(tenth((full + empty) / 2), word("screen.water.half")),
            Scale(tenth(empty - 1.0), word("screen.water.empty")),
            Scale(tenth(empty + 12.0), deepest),
        )


def _fitted(label: str, room: float) -> str:
    while room_for(label, _NAME_SIZE) > room:
        label = label.rstrip("…")[:-1] + "…"
    return label


def _key(tallest: float, seasons: Sequence[Season], alone: bool, units: Units) -> tuple[Sign, ...]:
    deepest = show(tallest, "mm", units)
    signs = [
        Sign("rain", say(text("screen.water.key.rain", most=deepest))),
        Sign("given_dry", word("screen.water.key.given_dry"))
        if alone
        else Sign("given", word("screen.water.key.given")),
        Sign("held", word("screen.water.key.held")),
    ]
    if any(one.short for one in seasons):
        signs.append(Sign("short", word("screen.water.key.short")))
    if any(one.airless for one in seasons):
        signs.append(Sign("airless", word("screen.water.key.airless")))
    return tuple(signs)
