"""Minutes of hand work from the table of rates."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt

from perennate.catalogue.model import Catalogue, Crop
from perennate.planning.plan import Job
from perennate.terms import Basis, Estimate

FETCHING = 1.2
"""Fetching, cleaning tools and rest on top of the bare rates: 15 to 25 %, memory."""

BUNCH_KG = 0.25
"""Weight of a hand's bunch (radish, herbs), for rates that are given by the bunch; memory."""

_WORST_FIRST: tuple[Basis, ...] = (
    "assumed",
    "memory",
    "common practice",
    "remembered",
    "computed",
    "published",
    "own records",
)


@dataclass(frozen=True, slots=True)
class Task:
    """So many units of one labour rate."""

    labour: str
    units: float


def minutes_of(tasks: Iterable[Task], catalogue: Catalogue) -> Estimate:
    """Minutes for all tasks with fetching and rest.

    The spreads of single tasks are taken as independent, so they add as squares; adding all lows
    and all highs would overstate the span. The basis is the weakest among the rates used.
    Raises KeyError for a rate that the catalogue does not have.
    """
    rates = [(catalogue.labour[task.labour].minutes, task.units) for task in tasks if task.units]
    value = sum(rate.value * units for rate, units in rates)
    below = sqrt(sum(((rate.value - rate.low) * units) ** 2 for rate, units in rates))
    above = sqrt(sum(((rate.high - rate.value) * units) ** 2 for rate, units in rates))
    sources = sorted({rate.source for rate, _ in rates}) or ["assumed"]
    bases = {rate.basis for rate, _ in rates} or {"assumed"}
    return Estimate(
        round(value * FETCHING, 2),
        round((value - below) * FETCHING, 2),
        round((value + above) * FETCHING, 2),
        "min",
        ";".join(sources),
        next(basis for basis in _WORST_FIRST if basis in bases),
    )


def picking_task(crop: Crop, kg: float, area_m2: float, catalogue: Catalogue) -> tuple[Task, ...]:
    """The work of picking so many kg from so many m2; none where the crop names no rate."""
    rate = catalogue.labour.get(crop.fact("pick_task"))
    if rate is None:
        return ()
    units = {"kg": kg, "m2": area_m2, "bunch": kg / BUNCH_KG}.get(rate.per_unit)
    if units is None:
        raise ValueError(f"{crop.key}: picking by {rate.per_unit} is not known")
    return (Task(rate.key, units),)


def picking_minutes_per_kg(crop: Crop, catalogue: Catalogue, kg_per_m2: float = 1.0) -> float:
    """Minutes to pick a kg, with fetching; `kg_per_m2` counts where picking goes by the m2."""
    return minutes_of(picking_task(crop, kg_per_m2, 1.0, catalogue), catalogue).value / kg_per_m2


def sum_minutes(jobs: Sequence[Job]) -> Estimate:
    """Minutes of several jobs together, with spreads adding as squares."""
    value = sum(job.minutes.value for job in jobs)
    below = sqrt(sum((job.minutes.value - job.minutes.low) ** 2 for job in jobs))
    above = sqrt(sum((job.minutes.high - job.minutes.value) ** 2 for job in jobs))
    bases = {job.minutes.basis for job in jobs} or {"assumed"}
    basis = next(basis for basis in _WORST_FIRST if basis in bases)
    return Estimate(
        round(value, 1), round(value - below, 1), round(value + above, 1), "min", "jobs", basis
    )
