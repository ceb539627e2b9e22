"""Watering as jobs: one for each bed and week in which most years want it."""

from collections.abc import Sequence
from datetime import date, timedelta

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Bed, Holding, WaterSource
from perennate.planning.jobs import job_key
from perennate.planning.labour import Task, minutes_of
from perennate.planning.plan import Job, Plan, PlannedPlanting
from perennate.planning.water.drip_of_beds import minutes_for
from perennate.planning.water.germs import keeps_off_raw, raw_crops
from perennate.planning.water_plan import BedWater, WaterPlan
from perennate.terms import Text, text
from perennate.terms.text import Value

WATER = "water"
OFTEN = 0.5
"""A week gets a job where it has so many waterings in the mean of the years."""

_TASKS = {"can": "water_can", "hose": "water_hose", "": "water_hose"}
BEDS_A_ZONE = 4
SPRINKLER_VISIT = 0.4
"""Beds of a usual drip zone, and a sprinkler's setting beside a walk along such a zone; assumed."""
LITRES_A_RATE = 10.0
"""The rates of hose and can are for so many litres."""


def watering_jobs(
    water: WaterPlan, plan: Plan, holding: Holding, catalogue: Catalogue
) -> list[Job]:
    """The plan's waterings, by bed and week of the plan; each week's is to be done within it, on
    the occasions that the week's weather asks for."""
    beds = {bed.key: bed for bed in holding.beds}
    sources = {source.key: source for source in holding.water_sources}
    found = []
    for one in water.beds:
        bed = beds.get(one.bed)
        if bed is None:
            continue
        for week, occasions in enumerate(one.occasions):
            if occasions >= OFTEN and one.watering_mm[week] > 0:
                first = plan.start + timedelta(7 * week)
                standing = [
                    planting
                    for planting in plan.plantings
                    if planting.bed == bed.key
                    and planting.ground_from < first + timedelta(7)
                    and planting.ground_to > first
                ]
                source = sources.get(one.source)
                found.append(_job(one, week, first, bed, source, standing, catalogue, plan.as_of))
    return found


def _job(
    one: BedWater,
    week: int,
    first: date,
    bed: Bed,
    source: WaterSource | None,
    standing: Sequence[PlannedPlanting],
    catalogue: Catalogue,
    today: date,
) -> Job:
    litres = one.watering_mm[week] * one.area_m2[week]
    times = max(one.occasions[week], 1.0)
    each_mm = one.watering_mm[week] / times
    minutes = minutes_for(bed, source, litres / times)
    said: dict[str, Value] = {
        "bed": bed.key,
        "times": round(times, 1),
        "every": max(round(7 / times), 1),
        "mm": each_mm,
        "litres": litres / times,
        "dry": one.watering_dry_mm[week] * one.area_m2[week],
        "held": one.held[week],
    }
    if minutes is None:
        why = text("job.water", **said)
    else:
        why = text("job.water.run", minutes=minutes, **said)
    return Job(
        job_key("", WATER, f"{bed.key}\x1f{first.isoformat()}"),
        WATER,
        "",
        bed.key,
        max(first, today),
        max(first, today),
        first + timedelta(6),
        round(litres, 1),
        "l",
        minutes_of(_tasks(bed, litres, times), catalogue),
        why,
        (text("go.water"),),
        _cautions(bed, source, standing, catalogue),
        False,
    )


def _tasks(bed: Bed, litres: float, times: float) -> tuple[Task, ...]:
    """Work at the bed in a week: water is carried or held, a sprinkler is moved each time, and
    drip lines are walked along once with the others of their zone."""
    if bed.watering in _TASKS:
        return (Task(_TASKS[bed.watering], litres / LITRES_A_RATE),)
    visits = times * SPRINKLER_VISIT if bed.watering == "sprinkler" else 1 / BEDS_A_ZONE
    return (Task("drip_check", visits),)


def minutes_per_litre(beds: Sequence[Bed], catalogue: Catalogue) -> float:
    """Minutes of work for a litre given, over all the ground; lines that run by themselves count
    as none."""
    ground = sum(bed.area_m2 for bed in beds)
    by_hand = sum(
        bed.area_m2 * minutes_of((Task(_TASKS[bed.watering], 1 / LITRES_A_RATE),), catalogue).value
        for bed in beds
        if bed.watering in _TASKS
    )
    return by_hand / ground if ground > 0 else 0.0


def _cautions(
    bed: Bed,
    source: WaterSource | None,
    standing: Sequence[PlannedPlanting],
    catalogue: Catalogue,
) -> tuple[Text, ...]:
    eaten = raw_crops((planting.crop for planting in standing), catalogue)
    if source is not None and keeps_off_raw(source) and eaten and bed.watering != "drip":
        return (text("caution.water_raw", source=source.key, crops=";".join(eaten)),)
    return ()
