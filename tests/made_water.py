"""The made plan with its water: five beds over all weeks, three sources, salt over ten years.

Everything is invented. The spring is wet, the summer dry; the year is told by a few plain rules,
so that what a picture must show can be read off here.
"""

import math
from dataclasses import replace
from datetime import date, timedelta

import made_plan
from perennate.holding.model import Holding, WaterSource
from perennate.planning.plan import Plan
from perennate.planning.water_plan import (
    BedSalt,
    BedWater,
    PlantingWater,
    SourceWater,
    WateringWay,
    WaterPlan,
)
from perennate.terms import Estimate, text

FED_BY = {
    "Süd 1": "Dach",
    "Süd 2": "Dach",
    "Süd 3": "Leitung",
    "=Ecke": "Brunnen",
    "Žleb": "Brunnen",
}
ON_DRIP = ("Süd 1", "Süd 2", "Süd 3")
"""Beds that are watered by drip lines."""
DRY_WEEKS = range(18, 24)
"""Weeks in which plants are short in every bed under crop."""
WET_WEEKS = range(7, 9)
"""Weeks in which roots are short of air."""


def watered_holding() -> Holding:
    """The made holding with a roof's tank, mains that were tested and a well that was not; three of
    its beds are watered by drip lines."""
    holding = made_plan.made_holding()
    sources = (
        WaterSource("Dach", "roof", tank_l=2000.0, level_l=1500.0, roof_m2=60.0, roof_kind="tile"),
        WaterSource(
            "Leitung", "mains", tested=date(2025, 9, 18), ec_ds_m=0.47, ph=7.6, germs="clean"
        ),
        WaterSource("Brunnen", "well"),
    )
    beds = tuple(
        replace(bed, source=FED_BY[bed.key], watering="drip" if bed.key in ON_DRIP else "")
        for bed in holding.beds
    )
    return replace(holding, beds=beds, water_sources=sources)


def watered_plan() -> Plan:
    """The made plan with its water."""
    plan = made_plan.made_plan()
    return replace(plan, water=made_water(plan))


def made_water(plan: Plan) -> WaterPlan:
    """Water for every bed and planting of this plan, whatever its weeks and beds are."""
    beds = tuple(
        bed_water(plan, bed) for bed in dict.fromkeys(one.bed for one in plan.plantings if one.bed)
    )
    drawn = [sum(bed.watering_mm[week] * bed.area_m2[week] for bed in beds) for week in weeks(plan)]
    total = sum(drawn)
    return WaterPlan(
        watered="full",
        beds=beds,
        plantings=tuple(planting_water(one.key, one.crop) for one in plan.plantings if one.bed),
        sources=tuple(source_water(plan, beds, name) for name in ("Dach", "Leitung", "Brunnen")),
        salts=tuple(bed_salt(bed) for bed in beds),
        total_l=Estimate(total, total * 0.7, total * 1.4, "l", "computed", "computed"),
        ways=(
            WateringWay("full", total, 96.0, 0.0),
            WateringWay("sparing", total * 0.6, 61.0, 0.08),
            WateringWay("none", total * 0.1, 12.0, 0.21),
        ),
        rain_alone_loss=0.23,
        notes=(text("made.not_covered"),),
    )


def weeks(plan: Plan) -> range:
    return range(plan.weeks)


def bed_water(plan: Plan, bed: str) -> BedWater:
    area = [
        sum(
            one.area_m2
            for one in plan.plantings
            if one.bed == bed
            and one.ground_from < first + timedelta(days=7)
            and one.ground_to > first
        )
        for first in (plan.start + timedelta(weeks=week) for week in weeks(plan))
    ]
    under = [1.0 if ground > 0 else 0.0 for ground in area]
    summer = [0.5 - 0.5 * math.cos(2 * math.pi * (week + 9) / 52) for week in weeks(plan)]
    held = [1.0 - 0.6 * heat for heat in summer]
    watering = [max(0.0, 22.0 * heat - 9.0) for heat in summer]

    def by_week(values: list[float]) -> tuple[float, ...]:
        return tuple(round(value * there, 3) for value, there in zip(values, under, strict=True))

    return BedWater(
        bed=bed,
        source=FED_BY.get(bed, ""),
        area_m2=tuple(round(float(ground), 3) for ground in area),
        rain_mm=by_week([18.0 - 10.0 * heat + 3.0 * (week % 3) for week, heat in _heats(summer)]),
        need_mm=by_week([4.0 + 26.0 * heat for heat in summer]),
        watering_mm=by_week(watering),
        watering_dry_mm=by_week([1.5 * depth for depth in watering]),
        occasions=by_week([math.ceil(depth / 6.0) for depth in watering]),
        held=by_week(held),
        held_dry=by_week([share * 0.7 for share in held]),
        airless_days=by_week([2.5 if week in WET_WEEKS else 0.1 for week in weeks(plan)]),
        short_days=by_week([1.8 if week in DRY_WEEKS else 0.2 for week in weeks(plan)]),
    )


def _heats(summer: list[float]) -> list[tuple[int, float]]:
    return list(enumerate(summer))


def planting_water(key: str, crop: str) -> PlantingWater:
    """What the planting takes: the garlic's response is not known, the beet's figures are lent."""
    known = crop != "garlic"
    return PlantingWater(
        planting=key,
        need_mm=310.5,
        watering_l=Estimate(412.0, 250.0, 640.0, "l", "computed", "computed"),
        waterings=11.4,
        yield_left=0.97 if known else None,
        yield_left_rain=0.71 if known else None,
        short_days=4.2,
        airless_days=1.3,
        airless_years=0.35 if crop == "bean_dry" else 0.02,
        salt_left=0.93 if crop == "bean_dry" else None,
        stands_for="carrot" if crop == "beet" else "",
    )


def source_water(plan: Plan, beds: tuple[BedWater, ...], name: str) -> SourceWater:
    of = [bed for bed in beds if bed.source == name]
    asked = [sum(bed.watering_mm[week] * bed.area_m2[week] for bed in of) for week in weeks(plan)]
    roof = name == "Dach"
    kinds = {"Dach": "roof", "Leitung": "mains", "Brunnen": "well"}
    short = [0.4 * litres if roof and week in DRY_WEEKS else 0.0 for week, litres in _heats(asked)]
    level = [max(0.0, 2000.0 - 9.0 * litres) for litres in asked]
    return SourceWater(
        source=name,
        kind=kinds[name],
        drawn_l=tuple(round(float(a - s), 3) for a, s in zip(asked, short, strict=True)),
        drawn_dry_l=tuple(round(1.3 * float(litres), 3) for litres in asked),
        short_l=tuple(round(float(litres), 3) for litres in short),
        level_l=tuple(round(litres, 3) for litres in level) if roof else (),
        level_dry_l=tuple(round(0.5 * litres, 3) for litres in level) if roof else (),
        served=0.86 if roof else 1.0,
        years_without_lack=0.4 if roof else 1.0,
        enough_tank_l=9000.0 if roof else None,
    )


def bed_salt(bed: BedWater) -> BedSalt:
    """The well's beds grow salt and cost beans, the others are leached by rain."""
    well = bed.source == "Brunnen"
    ece = tuple(round(0.8 + (0.24 * year if well else 0.02), 3) for year in range(1, 11))
    return BedSalt(
        bed=bed.bed,
        source=bed.source,
        start_ece=0.8,
        start_known=bed.bed == "Süd 3",
        ece=ece,
        ece_high=tuple(round(1.35 * one, 3) for one in ece),
        losses=(("bean_dry", 0.18), ("tomato", 0.06)) if well else (),
        leached_by_rain=not well,
    )
