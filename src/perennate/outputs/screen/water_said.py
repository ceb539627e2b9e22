"""What the pictures of water say in words: sentences for beds, and the same as tables."""

from collections.abc import Mapping, Sequence
from datetime import timedelta

from perennate.outputs.screen.marks import Table
from perennate.outputs.screen.strip_parts import Sign
from perennate.outputs.water_figures import Season
from perennate.planning.plan import Plan
from perennate.planning.water_plan import BedWater
from perennate.terms import text
from perennate.words import Units, convert, plain, say, show, symbol, word
from perennate.words.lines import day as day_name


def told(season: Season, units: Units) -> str:
    """A bed's strip in a sentence, for those who hear the page."""
    said = say(
        text(
            "screen.water.bed",
            bed=season.bed,
            rain=show(season.rain_mm, "mm", units),
            given=show(season.watering_mm, "mm", units),
            times=round(season.waterings),
            least=season.least,
            day=day_name(season.least_week),
        )
    )
    return " ".join([said, *_faults(season)])


def _faults(season: Season) -> list[str]:
    """The weeks of drought and of airlessness, each in a sentence of its own."""
    said = []
    if season.short:
        weeks = ", ".join(day_name(week) for week in season.short)
        said.append(say(text("screen.water.short", count=len(season.short), weeks=weeks)))
    if season.airless:
        weeks = ", ".join(day_name(week) for week in season.airless)
        said.append(say(text("screen.water.airless", count=len(season.airless), weeks=weeks)))
    return said


def says_alone(season: Season, units: Units) -> str:
    """One bed alone: its sums, its dearth and its faults."""
    said = say(
        text(
            "screen.water.alone",
            need=season.need_mm,
            rain=season.rain_mm,
            given=season.watering_mm,
            litres=season.litres,
            times=round(season.waterings),
            least=season.least,
            dry=season.least_dry,
            day=day_name(season.least_week),
        ),
        units=units,
    )
    return " ".join([said, *(_faults(season) or [word("screen.water.no_faults")])])


def says_all(seasons: Sequence[Season]) -> str:
    """All beds: how many, how they are drawn, and which of them to mind."""
    said = [say(text("screen.water.says", beds=len(seasons)))]
    for code, those in (
        ("screen.water.short_beds", [one.bed for one in seasons if one.short]),
        ("screen.water.airless_beds", [one.bed for one in seasons if one.airless]),
    ):
        if those:
            said.append(say(text(code, count=len(those), list=listed(those))))
    if len(said) == 1:
        said.append(word("screen.water.no_faults"))
    return " ".join(said)


_NAMED = 6


def listed(names: Sequence[str]) -> str:
    """Names in a row; of many the first few, and how many more."""
    if len(names) <= _NAMED + 1:
        return ", ".join(names)
    first = ", ".join(names[:_NAMED])
    return say(text("screen.water.and_more", list=first, count=len(names) - _NAMED))


def by_bed(seasons: Sequence[Season], units: Units) -> Table:
    """A row a bed: what its crops want, what rain and watering bring, and its faults."""
    depth = {"unit": symbol("mm", units)}
    head = (
        word("screen.head.bed"),
        say(text("screen.water.head.need", **depth)),
        say(text("screen.water.head.rain", **depth)),
        say(text("screen.water.head.given", **depth)),
        say(text("screen.water.head.litres", unit=symbol("l", units))),
        word("screen.water.head.waterings"),
        word("screen.water.head.least"),
        word("screen.water.head.short"),
        word("screen.water.head.airless"),
    )
    rows = tuple(
        (
            one.bed,
            *(figure(value, "mm", units) for value in (one.need_mm, one.rain_mm, one.watering_mm)),
            figure(one.litres, "l", units),
            f"{one.waterings:.0f}",
            f"{one.least:.0%}",
            plain(round(one.short_days, 1)),
            plain(round(one.airless_days, 1)),
        )
        for one in seasons
    )
    return Table(word("screen.water.table"), head, rows)


def by_week(one: BedWater, plan: Plan, numbers: Sequence[int]) -> Table:
    """A row for every week of these in which the bed is under crop."""
    units = plan.holding.units
    depth: Mapping[str, str] = {"unit": symbol("mm", units)}
    head = (
        word("screen.head.week"),
        say(text("screen.water.head.need", **depth)),
        say(text("screen.water.head.rain", **depth)),
        say(text("screen.water.head.given", **depth)),
        say(text("screen.water.head.given_dry", **depth)),
        say(text("screen.water.head.litres", unit=symbol("l", units))),
        word("screen.water.head.held"),
        word("screen.water.head.held_dry"),
        word("screen.water.head.short"),
        word("screen.water.head.airless"),
    )
    rows = tuple(
        (
            day_name(plan.start + timedelta(weeks=week), more="y"),
            *(
                figure(series[week], "mm", units)
                for series in (one.need_mm, one.rain_mm, one.watering_mm, one.watering_dry_mm)
            ),
            figure(one.watering_mm[week] * one.area_m2[week], "l", units),
            f"{one.held[week]:.0%}",
            f"{one.held_dry[week]:.0%}",
            plain(round(one.short_days[week], 1)),
            plain(round(one.airless_days[week], 1)),
        )
        for week in numbers
        if one.area_m2[week] > 0
    )
    return Table(word("screen.water.table_weeks"), head, rows)


def figure(value: float, unit: str, units: Units) -> str:
    """A number of a column whose head names the unit: whole from 10 up, else to hundredths."""
    number = convert(value, unit, units)[0]
    return plain(round(number, 2)) if abs(number) < 10 else f"{number:.0f}"


def salt_key() -> tuple[Sign, ...]:
    """What the lines and dots of salt through the years mean."""
    return (
        Sign("course", word("screen.salt.key.middle")),
        Sign("line", word("screen.salt.key.line")),
        Sign("start", word("screen.salt.key.start")),
    )
