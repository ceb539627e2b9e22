"""Rates per m2 for the allocation, taken from the very chains that the jobs come from."""

from collections.abc import Mapping

from perennate.catalogue.crop_care import care_of
from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Holding
from perennate.planning.chains import chain
from perennate.planning.jobs import upkeep_minutes_per_m2_week
from perennate.planning.labour import Task, minutes_of, picking_minutes_per_kg
from perennate.planning.nursery import bench_m2_weeks_per_plant, bench_per_plant
from perennate.planning.plan import Route
from perennate.planning.sample import SAMPLE_SOWN, sample_planting
from perennate.planning.soil_care import dressing_mm
from perennate.planning.steps import Setting

SAMPLE_M2 = 10.0

STAGES: Mapping[str, str] = {
    "sow": "start",
    "prick out": "nursery",
    "pot on": "nursery",
    "harden off": "nursery",
    "chit": "nursery",
    "soak": "nursery",
    "compost": "bed",
    "prepare bed": "bed",
    "plant out": "bed",
    "plant sets": "bed",
    "harvest": "harvest",
    "cure": "after",
    "clean": "after",
    "thresh": "after",
    "clear": "after",
    "cut": "after",
    "cover ground": "after",
}
"""Stage of each kind of step; whatever is not named here is "care"."""


def work_by_day(
    crop: Crop,
    route: Route,
    plants_per_m2: float,
    spacing_cm: float,
    nursery_days: int,
    ground_days: int,
    catalogue: Catalogue,
    holding: Holding,
) -> tuple[tuple[int, str, float], ...]:
    """(day from sowing, stage, minutes per m2) of every step but picking, cover and the rounds.

    A planting of 10 m2 of a usual lot, without a climate: fleece is not in it. Picking goes by
    the kg (`picking_minutes_per_kg`) and the weekly round by the m2 (`upkeep_...`).
    """
    plants = max(round(plants_per_m2 * SAMPLE_M2), 0)
    sample = sample_planting(crop, route, plants, nursery_days, ground_days, SAMPLE_M2, spacing_cm)
    steps = chain(sample, crop, Setting(holding, catalogue, None, None), SAMPLE_SOWN)
    return tuple(
        (
            (step.best - SAMPLE_SOWN).days,
            STAGES.get(step.kind, "care"),
            minutes_of(step.tasks, catalogue).value / SAMPLE_M2,
        )
        for step in steps
        if step.tasks and step.kind != "harvest"
    )


def work_per_m2(
    crop: Crop,
    route: Route,
    plants_per_m2: float,
    spacing_cm: float,
    nursery_days: int,
    ground_days: int,
    catalogue: Catalogue,
    holding: Holding,
) -> dict[str, float]:
    """Minutes per m2 by stage: start, nursery, bed, care, after."""
    sums: dict[str, float] = {}
    args = (plants_per_m2, spacing_cm, nursery_days, ground_days, catalogue, holding)
    for _, stage, minutes in work_by_day(crop, route, *args):
        sums[stage] = sums.get(stage, 0.0) + minutes
    return sums


def handling_minutes_per_kg(crop: Crop, catalogue: Catalogue) -> float:
    """Minutes per kg after picking that go by weight: curing, cleaning, threshing."""
    tasks = [
        Task(care.labour, care.units_each)
        for care in care_of(crop.key)
        if care.counted_from == "harvest end" and catalogue.labour[care.labour].per_unit == "kg"
    ]
    return minutes_of(tasks, catalogue).value


__all__ = [
    "bench_m2_weeks_per_plant",
    "bench_per_plant",
    "dressing_mm",
    "handling_minutes_per_kg",
    "picking_minutes_per_kg",
    "upkeep_minutes_per_m2_week",
    "work_by_day",
    "work_per_m2",
]
