"""A planting's whole chain: backwards from the dates wanted, and forwards from today when late."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Holding
from perennate.planning.bed_chain import care_steps, ground_steps, stands_from
from perennate.planning.harvest_chain import after_harvest_steps, harvest_steps
from perennate.planning.nights import mean_by_day
from perennate.planning.nursery_chain import (
    bought_plants_step,
    nursery_steps,
    ready_to_sell_step,
)
from perennate.planning.plan import PlannedPlanting
from perennate.planning.steps import Setting, Step, days, named, useful_delay
from perennate.terms import text
from perennate.weather.climate import Climate

BACKBONE = (
    "sow",
    "prick out",
    "pot on",
    "harden off",
    "buy plants",
    "plant sets",
    "plant out",
    "harvest",
    "clear",
    "cut",
)
"""Steps that follow one another; what lies between them (weeding, tying in) does so by day."""

LEAST_NURSERY_SHARE = 0.7
"""Plants raised late are set out when they have had this share of their time; assumed."""


def settings(
    plantings: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    climate: Climate | None,
) -> dict[str, Setting]:
    """The surroundings of each planting by its key: when its ground comes free and is wanted."""
    mean = mean_by_day(climate) if climate is not None else None
    bare = Setting(holding, catalogue, climate, mean)
    in_bed: dict[str, list[PlannedPlanting]] = {}
    for planting in plantings:
        in_bed.setdefault(planting.bed, []).append(planting)
    found = {}
    for planting in plantings:
        others = [other for other in in_bed[planting.bed] if shares_ground(planting, other)]
        before = [other.ground_to for other in others if other.ground_to <= planting.ground_from]
        after = [other.ground_from for other in others if other.ground_from >= planting.ground_to]
        found[planting.key] = replace(
            bare, free_from=max(before, default=None), taken_again=min(after, default=None)
        )
    return found


def shares_ground(one: PlannedPlanting, other: PlannedPlanting) -> bool:
    """Whether two plantings lie on some of the same metres of a bed, at whatever time."""
    apart = 1e-6
    return (
        one.key != other.key
        and one.bed == other.bed != ""
        and one.start_m < other.start_m + other.length_m - apart
        and other.start_m < one.start_m + one.length_m - apart
    )


def chain(planting: PlannedPlanting, crop: Crop, setting: Setting, today: date) -> tuple[Step, ...]:
    """Every step from the first to bare ground, in order of day.

    What already stands is taken as it is. A planting whose first step lies before today starts
    today where half of its picking can still be had; beyond that, plants are bought, or (sown
    in the bed) the step says that little is to be expected.
    """
    if planting.status == "stands" or planting.sow >= today:
        return _whole(planting, crop, setting)
    late = (today - planting.sow).days
    in_time = late <= useful_delay(planting, crop, setting.mean)
    if planting.route != "nursery":
        steps = _whole(_moved(planting, today), crop, setting)
        code = "job.sow.late" if in_time else "job.sow.too_late"
        return _say_late(steps, ("sow", "plant sets"), code, planting, late)
    if in_time:
        steps = _whole(_moved(planting, today), crop, setting)
        return _say_late(steps, ("sow",), "job.sow.late", planting, late)
    moved = replace(planting, ground_from=max(planting.ground_from, today))
    bought = [bought_plants_step(planting, crop, setting, today)]
    return _ordered([*bought, *_from_ground(moved, crop, setting)])


def _moved(planting: PlannedPlanting, today: date) -> PlannedPlanting:
    if planting.route != "nursery":
        return replace(planting, sow=today, ground_from=max(planting.ground_from, today))
    raised = (planting.ground_from - planting.sow).days
    soonest = today + days(LEAST_NURSERY_SHARE * raised)
    return replace(planting, sow=today, ground_from=max(planting.ground_from, soonest))


def _say_late(
    steps: Sequence[Step], kinds: Sequence[str], code: str, planting: PlannedPlanting, late: int
) -> tuple[Step, ...]:
    return tuple(
        replace(
            step,
            why=text(
                code,
                planned=planting.sow,
                late=late,
                count=step.quantity,
                unit=step.unit,
                latest=step.latest,
                **named(planting),
            ),
        )
        if step.kind in kinds
        else step
        for step in steps
    )


def _whole(planting: PlannedPlanting, crop: Crop, setting: Setting) -> tuple[Step, ...]:
    raised = planting.route == "nursery" and planting.plants > 0
    first = nursery_steps(planting, crop, setting) if raised else []
    if not planting.bed:
        return _ordered([*first, ready_to_sell_step(planting, crop, setting)])
    return _ordered([*first, *_from_ground(planting, crop, setting)])


def _from_ground(planting: PlannedPlanting, crop: Crop, setting: Setting) -> list[Step]:
    if not planting.bed:
        return [ready_to_sell_step(planting, crop, setting)]
    return [
        *ground_steps(planting, crop, setting),
        *care_steps(planting, crop, setting),
        *harvest_steps(planting, crop, setting),
        *after_harvest_steps(planting, crop, setting),
    ]


def _ordered(steps: Sequence[Step]) -> tuple[Step, ...]:
    """By day, with no step of the backbone before the one that it follows."""
    follow: list[Step] = []
    before: Step | None = None
    for step in steps:
        if step.kind in BACKBONE:
            if before is not None:
                step = replace(
                    step,
                    earliest=max(step.earliest, before.earliest),
                    best=max(step.best, before.best),
                    latest=max(step.latest, before.latest),
                )
            before = step
        follow.append(step)
    return tuple(sorted(follow, key=lambda step: step.best))


__all__ = ["BACKBONE", "chain", "settings", "shares_ground", "stands_from"]
