"""What a plan says of its water in sentences and tables: the season, sources, plantings, weeks."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from perennate.holding.model import Holding, WaterSource
from perennate.outputs.screen.marks import Table
from perennate.outputs.screen.water_said import listed
from perennate.outputs.water_figures import DueWater, Span, about, due_water
from perennate.outputs.water_ways import ways_says
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.planning.water.analysis import classes_of, has_analysis
from perennate.planning.water.germs import keeps_off_raw
from perennate.planning.water_plan import BedWater, PlantingWater, SourceWater
from perennate.science.sodicity import Rating
from perennate.terms import Text, text
from perennate.words import Units, convert, plain, say, show, symbol, word
from perennate.words.lines import by_key, spread, what_grows
from perennate.words.lines import day as day_name
from perennate.words.say import crop_name

TWO_WEEKS = timedelta(weeks=2)

_ANALYSIS = (
    ("ec_ds_m", "dS/m"),
    ("ph", "1"),
    ("sodium_mg_l", "mg/l"),
    ("calcium_mg_l", "mg/l"),
    ("magnesium_mg_l", "mg/l"),
    ("chloride_mg_l", "mg/l"),
    ("bicarbonate_mg_l", "mg/l"),
    ("boron_mg_l", "mg/l"),
    ("nitrate_n_mg_l", "mg/l"),
    ("iron_mg_l", "mg/l"),
    ("free_chlorine_mg_l", "mg/l"),
    ("chloramine_mg_l", "mg/l"),
)
"""Figures of an analysis that are shown, with their units."""
_RATINGS: tuple[Rating, ...] = ("severe", "slight to moderate", "none", "unknown")


def season_lines(plan: Plan) -> tuple[Text, ...]:
    """What the whole plan takes, in a usual and in a dry year, what rain alone would cost, and what
    another way of watering would save."""
    water = plan.water
    if water is None:
        return ()
    total = water.total_l
    says = [
        text(
            f"page.water.season.{water.watered}",
            litres=about(total.value),
            low=about(total.low),
            high=about(total.high),
        )
    ]
    if water.rain_alone_loss is None:
        says.append(text("page.water.rain_alone_unknown"))
    else:
        says.append(text("page.water.rain_alone", share=water.rain_alone_loss))
    ways = ways_says(plan)
    return (*says, ways) if ways else tuple(says)


def weeks_at_hand(plan: Plan, today: date) -> Span:
    """The plan's week that holds today and the next one."""
    first = plan.start + timedelta(weeks=(today - plan.start).days // 7)
    return first, first + TWO_WEEKS - timedelta(days=1)


def due_says(due: Collection[DueWater], span: Span) -> Text:
    """What is watered in some weeks, all beds together."""
    if not due:
        return text("page.water.due_none", first=span[0], last=span[1])
    return text(
        "page.water.due",
        first=span[0],
        last=span[1],
        litres=about(sum(one.litres for one in due)),
        dry=about(sum(one.litres_dry for one in due)),
        beds=len({one.bed for one in due}),
    )


def due_table(plan: Plan, span: Span, bed: str = "") -> Table:
    """What each bed is given in the weeks that the span touches: a row a bed and week."""
    assert plan.water is not None
    units = plan.holding.units
    litres = symbol("l", units)
    head = (
        word("screen.head.bed"),
        word("screen.head.week"),
        say(text("screen.water.head.litres", unit=litres)),
        say(text("screen.water.head.given_dry", unit=litres)),
        word("screen.water.head.waterings"),
        say(text("page.water.head.each", unit=litres)),
        word("screen.water.head.held"),
        word("page.water.head.source"),
    )
    rows = tuple(
        (
            one.bed,
            day_name(one.week, more="y"),
            *(
                plain(round(convert(value, "l", units)[0], 1))
                for value in (one.litres, one.litres_dry)
            ),
            plain(round(one.times, 1)),
            plain(round(convert(one.each_l, "l", units)[0], 1)),
            f"{one.held:.0%}",
            one.source or word("page.water.no_source"),
        )
        for one in due_water(plan.water, plan, span)
        if not bed or one.bed == bed
    )
    return Table(word("page.water.due_table"), head, rows)


def bed_line(plan: Plan, bed: str, day: date) -> Text | None:
    """A bed's water in the week of a day; None where the plan says nothing of it."""
    week = (day - plan.start).days // 7
    found = next((one for one in plan.water.beds if one.bed == bed), None) if plan.water else None
    if found is None or not 0 <= week < plan.weeks or found.area_m2[week] <= 0:
        return None
    return _bed_line(found, plan, week)


def _bed_line(one: BedWater, plan: Plan, week: int) -> Text:
    litres = one.watering_mm[week] * one.area_m2[week]
    return text(
        "page.water.bed_line" if litres > 0 else "page.water.bed_line_dry",
        day=plan.start + timedelta(weeks=week),
        held=one.held[week],
        litres=litres,
        times=round(max(one.occasions[week], 1.0)),
    )


def planting_lines(plan: Plan, key: str, units: Units) -> tuple[Text, ...]:
    """What one planting takes and what shortage, too much and salt cost it; empty where the plan
    has nothing of it."""
    found = plan.water.plantings if plan.water else ()
    one = next((each for each in found if each.planting == key), None)
    if one is None:
        return ()
    said = [
        text(
            "page.water.planting",
            need=one.need_mm,
            litres=spread(one.watering_l, units),
            times=round(one.waterings),
        ),
        _drought(one),
    ]
    if one.airless_days > 0:
        said.append(
            text("page.water.planting_airless", days=one.airless_days, share=one.airless_years)
        )
    if one.salt_left is not None:
        said.append(text("page.water.planting_salt", share=one.salt_left))
    if one.stands_for:
        said.append(text("page.water.stands_for", crop=one.stands_for))
    return tuple(said)


def _drought(one: PlantingWater) -> Text:
    if one.yield_left is None or one.yield_left_rain is None:
        return text("page.water.planting_drought_unknown")
    return text("page.water.planting_drought", left=one.yield_left, rain=one.yield_left_rain)


def plantings_table(
    plan: Plan,
    names: Mapping[str, str],
    bed: str = "",
    span: Span | None = None,
) -> Table:
    """What each planting takes: those of a bed, and those that stand within a span, if given."""
    units = plan.holding.units
    head = (
        word("screen.head.bed"),
        word("screen.head.what"),
        say(text("screen.water.head.need", unit=symbol("mm", units))),
        word("page.water.head.given"),
        word("screen.water.head.waterings"),
        word("page.water.head.left"),
        word("page.water.head.left_rain"),
        word("page.water.head.airless"),
        word("page.water.head.salt"),
        word("page.water.head.stands_for"),
    )
    of = by_key(plan)
    shown = [
        (of[one.planting], one)
        for one in (plan.water.plantings if plan.water else ())
        if one.planting in of and _is_shown(of[one.planting], bed, span)
    ]
    shown.sort(key=lambda pair: (pair[0].bed, pair[0].ground_from, pair[0].key))
    rows = tuple(
        (
            planting.bed or word("label.bench"),
            what_grows(planting.crop, planting.variety, names),
            _whole(one.need_mm, "mm", units),
            spread(one.watering_l, units),
            f"{one.waterings:.0f}",
            _share(one.yield_left),
            _share(one.yield_left_rain),
            f"{one.airless_years:.0%}",
            _share(one.salt_left),
            crop_name(one.stands_for, names) if one.stands_for else word("page.water.own_figures"),
        )
        for planting, one in shown
    )
    keys = tuple(planting.key for planting, _ in shown)
    return Table(word("page.water.plantings_table"), head, rows, keys)


def _is_shown(planting: PlannedPlanting, bed: str, span: Span | None) -> bool:
    if bed and planting.bed != bed:
        return False
    return span is None or (planting.ground_from <= span[1] and planting.ground_to > span[0])


def _share(share: float | None) -> str:
    return word("page.water.unknown") if share is None else f"{share:.0%}"


def _whole(value: float, unit: str, units: Units) -> str:
    number = convert(value, unit, units)[0]
    return f"{number:.0f}" if number >= 10 else plain(round(number, 2))


@dataclass(frozen=True, slots=True)
class SourceTold:
    """A source: what it is, which beds it feeds, what is drawn, and what is known of its water.

    `is_mind`: something of it is unknown or to be minded.
    """

    key: str
    kind: str
    is_row: bool
    beds: tuple[str, ...]
    drawn: Text | None
    water: tuple[Text, ...]
    is_mind: bool


def sources_told(plan: Plan, holding: Holding, bed: str = "") -> tuple[SourceTold, ...]:
    """The holding's sources in the order of their table, then those that only the plan names;
    with `bed`, that which feeds it."""
    water = plan.water
    if water is None:
        return ()
    drawn = {one.source: one for one in water.sources}
    rows = {one.key: one for one in holding.water_sources}
    fed: dict[str, list[str]] = {}
    for one in water.beds:
        fed.setdefault(one.source, []).append(one.bed)
    keys = list(dict.fromkeys([*rows, *drawn, *fed]))
    ways = {one.key: one.watering for one in holding.beds}
    wetted = {key for key, beds in fed.items() if any(ways.get(one) == "sprinkler" for one in beds)}
    return tuple(
        _source(key, rows.get(key), drawn.get(key), tuple(fed.get(key, ())), key in wetted)
        for key in keys
        if not bed or bed in fed.get(key, ())
    )


def _source(
    key: str,
    row: WaterSource | None,
    drawn: SourceWater | None,
    beds: tuple[str, ...],
    overhead: bool,
) -> SourceTold:
    kind = row.kind if row else drawn.kind if drawn else ""
    return SourceTold(
        key=key or word("page.water.no_source"),
        kind=word(f"page.water.kind.{kind}") if kind else "",
        is_row=row is not None,
        beds=beds,
        drawn=_drawn(drawn) if drawn else None,
        water=_analysis(row, overhead),
        is_mind=row is None or not has_analysis(row) or keeps_off_raw(row),
    )


def _drawn(one: SourceWater) -> Text:
    litres, lacking = about(sum(one.drawn_l)), about(sum(one.short_l))
    if litres + lacking < 1.0:
        return text("page.water.drawn_nothing")
    if lacking < 1.0:
        return text("page.water.drawn", litres=litres)
    return text(
        "page.water.drawn_short",
        litres=litres,
        lacking=lacking,
        served=one.served,
        years=one.years_without_lack,
    )


def _analysis(row: WaterSource | None, overhead: bool) -> tuple[Text, ...]:
    """What is known of a source's water, hazard by hazard; one without an analysis is unknown."""
    if row is None:
        return (text("page.water.not_written"),)
    found = [
        (name, unit, value) for name, unit in _ANALYSIS if (value := getattr(row, name)) is not None
    ]
    said: list[Text] = []
    if not has_analysis(row):
        said.append(text("page.water.not_tested"))
    if found:
        figures = ", ".join(
            f"{word(f'page.water.ion.{name}')} {show(value, unit)}" for name, unit, value in found
        )
        if row.tested:
            said.append(text("page.water.tested", day=row.tested, list=figures))
        else:
            said.append(text("page.water.tested_undated", list=figures))
        classes = classes_of(row, overhead)
        for rating in _RATINGS:
            hazards = [one.hazard for one in classes if one.rating == rating]
            if hazards:
                names = ", ".join(word(f"page.water.hazard.{hazard}") for hazard in hazards)
                said.append(text(f"page.water.rating.{rating.replace(' ', '_')}", list=names))
    said.append(
        text("page.water.keep_off" if keeps_off_raw(row) else f"page.water.germs.{row.germs}")
    )
    return tuple(said)


def salt_unknown(plan: Plan, bed: str = "") -> Text | None:
    """The beds whose salt cannot be told; None where there are none of them."""
    if plan.water is None:
        return None
    known = {one.bed for one in plan.water.salts}
    others = [one.bed for one in plan.water.beds if one.bed not in known]
    others = [one for one in others if not bed or one == bed]
    if not others:
        return None
    return text("page.water.salt_unknown", count=len(others), list=listed(others))
