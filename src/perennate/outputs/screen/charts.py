"""Statistical charts as SVG text: what is picked by week.

Their lines and words take the page's own colours and face: black stands for the page's ink and is
replaced by it, so the same picture serves a light page, a dark one and paper.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from perennate.outputs.screen.marks import Table, hatches_of
from perennate.outputs.season_weeks import WEEK
from perennate.planning.plan import Plan, WeekAmount
from perennate.terms import text
from perennate.words import convert, plain, say, symbol, word
from perennate.words.lines import day as day_name
from perennate.words.say import crop_name

_INK, _FAINT, _WASH = "#010101", "#020202", "#030303"
_COLOURS = {_INK: "currentColor", _FAINT: "var(--drawn-faint)", _WASH: "var(--drawn-wash)"}
_WIDE, _HAND = 1040, 320
_SIZE = 12
_BY_THE_WEEK = 13
"""Up to so many weeks each is named; months beyond."""


@dataclass(frozen=True, slots=True)
class Chart:
    """`wide` and `hand` are SVG text for a wide page and a narrow one; empty with nothing to
    draw. They carry no name of their own: the page gives them `title` and `says`."""

    title: str
    says: str
    wide: str
    hand: str
    table: Table


@dataclass(frozen=True, slots=True)
class WeekSpread:
    """What is picked in a week, in the unit shown, with its spread."""

    week: date
    expected: float
    low: float
    high: float


def harvest_chart(plan: Plan, names: Mapping[str, str], crop: str = "", aim: str = "") -> Chart:
    """What is picked by week in kg or lb: of one crop, for one aim, or of the whole ground.

    The spread of a week is the share by which the whole harvest may fall short or run over.
    KeyError when the plan has no such aim.
    """
    weeks = _weeks(plan, crop, aim)
    unit = symbol("kg", plan.holding.units)
    of = aim or (crop_name(crop, names) if crop else word("screen.harvest.all"))
    total = plain(round(sum(one.expected for one in weeks), 3))
    most = max(weeks, key=lambda one: one.expected, default=None)
    says = word("screen.harvest.none")
    if most is not None:
        says = say(
            text(
                "screen.harvest.says",
                of=of,
                total=total,
                unit=unit,
                weeks=len(weeks),
                most=plain(round(most.expected, 3)),
                day=day_name(most.week),
            )
        )
    fill = _fill(plan, crop)
    wide, hand = (
        _svg(_harvest_spec(weeks, unit, width), fill) if weeks else "" for width in (_WIDE, _HAND)
    )
    head = (
        word("screen.head.week"),
        say(text("screen.head.expected", unit=unit)),
        word("screen.head.low"),
        word("screen.head.high"),
    )
    rows = tuple(
        (day_name(one.week, more="y"), *map(plain, (one.expected, one.low, one.high)))
        for one in weeks
    )
    title = say(text("screen.harvest.for_aim" if aim else "screen.harvest.title", of=of))
    return Chart(title, says, wide, hand, Table(title, head, rows))


def _weeks(plan: Plan, crop: str, aim: str) -> list[WeekSpread]:
    """Weeks from the first with a harvest to the last, none left out between them."""
    sums: dict[date, list[float]] = {}

    def add(amounts: Sequence[WeekAmount], value: float, low: float, high: float) -> None:
        for one in amounts:
            row = sums.setdefault(one.week, [0.0, 0.0, 0.0])
            for place, ratio in enumerate((1.0, _ratio(low, value), _ratio(high, value))):
                row[place] += one.kg * ratio

    if aim:
        found = {one.aim: one for one in plan.aims}[aim]
        expected = found.expected
        add(found.by_week, expected.value, expected.low, expected.high)
    elif crop:
        for one in plan.plantings:
            if one.crop == crop:
                add(one.by_week, one.harvest.value, one.harvest.low, one.harvest.high)
    else:
        whole = plan.yields.harvest_kg
        add(plan.yields.by_week, whole.value, whole.low, whole.high)
    picked = [week for week, row in sums.items() if row[0] > 0]
    if not picked:
        return []
    first, last = min(picked), max(picked)
    count = (last - first).days // 7 + 1
    between = {first + number * WEEK for number in range(count)}
    weeks = sorted({week for week in sums if first <= week <= last} | between)
    bare = [0.0, 0.0, 0.0]
    units = plan.holding.units
    return [
        WeekSpread(week, *(round(convert(kg, "kg", units)[0], 4) for kg in sums.get(week, bare)))
        for week in weeks
    ]


def _ratio(part: float, whole: float) -> float:
    return part / whole if whole > 0 else 1.0


def _harvest_spec(weeks: Sequence[WeekSpread], unit: str, width: int) -> dict[str, Any]:
    import altair as alt

    # with its hour, since a bare day is read as of Greenwich and drawn as of here
    rows = [
        {
            "week": f"{one.week}T00:00:00",
            "end": f"{one.week + WEEK}T00:00:00",
            "middle": f"{one.week + WEEK / 2}T12:00:00",
            "expected": one.expected,
            "low": one.low,
            "high": one.high,
        }
        for one in weeks
    ]
    base = alt.Chart(alt.InlineData(values=rows))
    across = alt.Axis(format="%b", tickCount="month", title=None)
    if len(weeks) <= _BY_THE_WEEK:
        step = 1 if width == _WIDE else max(1, len(weeks) // 5)
        marked = [one.week for one in weeks[::step]]
        values = [alt.DateTime(year=d.year, month=d.month, date=d.day) for d in marked]
        across = alt.Axis(format="%-d %b", values=values, title=None)
    up = alt.Axis(title=unit, tickCount=4, titleAngle=0, titleAlign="right", titleX=-8, titleY=-16)
    bars = base.mark_bar(color=_WASH, stroke=_INK, strokeWidth=0.8).encode(
        x=alt.X("week:T", axis=across),
        x2="end:T",
        y=alt.Y("expected:Q", axis=up),
        y2=alt.datum(0),
    )
    spread = base.mark_rule(color=_INK, strokeWidth=1).encode(x="middle:T", y="low:Q", y2="high:Q")
    ends = [
        base.mark_tick(color=_INK, orient="horizontal", size=5, thickness=1).encode(
            x="middle:T", y=f"{end}:Q"
        )
        for end in ("low", "high")
    ]
    return _themed(alt.layer(bars, spread, *ends).properties(width=width - 50, height=200))


def _themed(chart: Any) -> dict[str, Any]:
    axis = {
        "domainColor": _INK,
        "tickColor": _INK,
        "gridColor": _FAINT,
        "gridWidth": 0.5,
        "labelColor": _INK,
        "titleColor": _INK,
        "labelFontSize": _SIZE,
        "titleFontSize": _SIZE,
        "titleFontWeight": "normal",
    }
    configured = chart.configure(
        background="transparent", axis=axis, view={"stroke": None}, font="sans-serif", padding=2
    )
    spec: dict[str, Any] = configured.to_dict()
    return spec


def _fill(plan: Plan, crop: str) -> str:
    """What the bars are filled with: the hatch of the crop's rotation group, else the wash."""
    groups = {one.rotation_group for one in plan.plantings if one.crop == crop}
    return f"url(#hatch-{hatches_of(plan)[groups.pop()]})" if len(groups) == 1 else _COLOURS[_WASH]


def _svg(spec: Mapping[str, Any], fill: str) -> str:
    import vl_convert

    drawn: str = vl_convert.vegalite_to_svg(dict(spec))
    return _own(drawn, fill)


def _own(drawn: str, fill: str) -> str:
    """The chart without faces, styles, scripts and names of its own, in the page's colours."""
    for foreign in (r"<style.*?</style>", r"<defs>\s*</defs>", r"<script.*?</script>"):
        drawn = re.sub(foreign, "", drawn, flags=re.DOTALL)
    drawn = re.sub(r'<rect [^>]*fill="transparent"[^>]*(?:/>|></rect>)', "", drawn)
    left_out = "font-family|style|class|aria-[a-z]+|role|xmlns:xlink|version"
    drawn = re.sub(rf' (?:{left_out})="[^"]*"', "", drawn)
    for stand_in, colour in {**_COLOURS, _WASH: fill}.items():
        drawn = drawn.replace(f'"{stand_in}"', f'"{colour}"')
    return drawn.replace("<svg ", '<svg class="drawn-chart" aria-hidden="true" ', 1)
