"""A plan's water as tables of values: by bed and week, and of each planting."""

from collections.abc import Mapping
from datetime import timedelta

from perennate.outputs.table import Column, Row, Table
from perennate.outputs.water_figures import litres
from perennate.planning.plan import Plan
from perennate.planning.water_plan import WaterPlan
from perennate.words import Units, convert, word
from perennate.words.lines import by_key, column
from perennate.words.say import crop_name


def water_tables(plan: Plan, names: Mapping[str, str]) -> tuple[Table, ...]:
    """Water of beds by week, weeks without crop left out, water of plantings, and ways of watering
    where the plan has any; none where it says nothing of water. Depths and litres in the
    holding's units."""
    if plan.water is None:
        return ()
    ways = (_ways(plan, plan.water),) if plan.water.ways else ()
    return _by_week(plan, plan.water), _of_plantings(plan, plan.water, names), *ways


def _number(value: float, unit: str, units: Units) -> float:
    return round(convert(value, unit, units)[0], 6)


def _by_week(plan: Plan, water: WaterPlan) -> Table:
    units = plan.holding.units
    columns = (
        Column(word("column.bed"), "text"),
        Column(word("column.week"), "day"),
        Column(word("column.water_source"), "text"),
        Column(column(word("column.area"), "m2", units), "number"),
        Column(column(word("column.rain"), "mm", units), "number"),
        Column(column(word("column.water_need"), "mm", units), "number"),
        Column(column(word("column.watering"), "mm", units), "number"),
        Column(column(word("column.watering_dry"), "mm", units), "number"),
        Column(column(word("column.watering"), "l", units), "number"),
        Column(word("column.waterings"), "number"),
        Column(word("column.held"), "share"),
        Column(word("column.held_dry"), "share"),
        Column(word("column.short_days"), "number"),
        Column(word("column.airless_days"), "number"),
    )
    rows = tuple(
        Row(
            (
                one.bed,
                plan.start + timedelta(weeks=week),
                one.source,
                _number(one.area_m2[week], "m2", units),
                _number(one.rain_mm[week], "mm", units),
                _number(one.need_mm[week], "mm", units),
                _number(one.watering_mm[week], "mm", units),
                _number(one.watering_dry_mm[week], "mm", units),
                _number(litres(one, week), "l", units),
                one.occasions[week],
                one.held[week],
                one.held_dry[week],
                one.short_days[week],
                one.airless_days[week],
            )
        )
        for one in water.beds
        for week in range(plan.weeks)
        if one.area_m2[week] > 0
    )
    return Table(word("sheet.water"), columns, rows)


def _of_plantings(plan: Plan, water: WaterPlan, names: Mapping[str, str]) -> Table:
    units = plan.holding.units
    columns = (
        Column(word("column.bed"), "text"),
        Column(word("column.crop"), "text"),
        Column(word("column.variety"), "text"),
        Column(word("column.ground_from"), "day"),
        Column(column(word("column.water_need"), "mm", units), "number"),
        Column(column(word("column.watering"), "l", units), "number"),
        Column(word("column.low"), "number"),
        Column(word("column.high"), "number"),
        Column(word("column.waterings"), "number"),
        Column(word("column.yield_left"), "share"),
        Column(word("column.yield_left_rain"), "share"),
        Column(word("column.short_days"), "number"),
        Column(word("column.airless_days"), "number"),
        Column(word("column.airless_years"), "share"),
        Column(word("column.salt_left"), "share"),
        Column(word("column.stands_for"), "text"),
        Column(word("column.key"), "text"),
    )
    of = by_key(plan)
    there = [(of[one.planting], one) for one in water.plantings if one.planting in of]
    there.sort(key=lambda pair: (pair[0].bed, pair[0].ground_from, pair[0].key))
    rows = tuple(
        Row(
            (
                planting.bed,
                crop_name(planting.crop, names),
                planting.variety,
                planting.ground_from,
                _number(one.need_mm, "mm", units),
                _number(one.watering_l.value, "l", units),
                _number(one.watering_l.low, "l", units),
                _number(one.watering_l.high, "l", units),
                one.waterings,
                one.yield_left,
                one.yield_left_rain,
                one.short_days,
                one.airless_days,
                one.airless_years,
                one.salt_left,
                crop_name(one.stands_for, names) if one.stands_for else "",
                planting.key,
            )
        )
        for planting, one in there
    )
    return Table(word("sheet.water_of_plantings"), columns, rows)


def _ways(plan: Plan, water: WaterPlan) -> Table:
    units = plan.holding.units
    columns = (
        Column(word("column.way"), "text"),
        Column(column(word("column.watering"), "l", units), "number"),
        Column(word("column.waterings"), "number"),
        Column(word("column.yield_lost"), "share"),
        Column(word("column.own_way"), "text"),
    )
    rows = tuple(
        Row(
            (
                word(f"page.water.way.{one.way}"),
                _number(one.litres, "l", units),
                one.waterings,
                one.yield_lost,
                word("yes" if one.way == water.watered else "no"),
            )
        )
        for one in water.ways
    )
    return Table(word("sheet.watering_ways"), columns, rows)
