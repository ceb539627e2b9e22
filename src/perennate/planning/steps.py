"""One step of a planting's chain, and what the chain is told of the world around it."""

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Holding
from perennate.planning.labour import Task
from perennate.planning.nights import Floats, heat_between
from perennate.planning.plan import PlannedPlanting
from perennate.terms import Text
from perennate.weather.climate import Climate

LEAST_DELAY = 2
MOST_DELAY = 28
NIGHT_MARGIN_K = 1.0
"""A plant is harmed this far above what kills it, so nights are to stay warmer; assumed."""
TENDER_SOIL_C = 12.0
"""Soil for setting out tender plants where the crop has no figure; common practice, memory."""


@dataclass(frozen=True, slots=True)
class Step:
    """One piece of work of a chain before it becomes a job."""

    kind: str
    earliest: date
    best: date
    latest: date
    quantity: float
    unit: str
    tasks: tuple[Task, ...]
    why: Text
    where: Literal["bed", "nursery"] = "bed"
    go: tuple[Text, ...] = ()
    cautions: tuple[Text, ...] = ()
    lost_if_missed: bool = False


@dataclass(frozen=True, slots=True)
class Setting:
    """What a chain is told besides its planting. Without a climate nothing is said of frost.

    `mean` is the mean temperature by day of year; `free_from` the day on which the ground before
    the planting comes free, `taken_again` the day on which it is next wanted.
    """

    holding: Holding
    catalogue: Catalogue
    climate: Climate | None
    mean: Floats | None
    free_from: date | None = None
    taken_again: date | None = None


def days(number: float) -> timedelta:
    return timedelta(round(number))


def named(planting: PlannedPlanting) -> dict[str, str]:
    """The parameters by which every sentence names a planting and what it is for."""
    return {
        "crop": planting.crop,
        "variety": planting.variety or "any variety",
        "bed": planting.bed or "the nursery",
        "aims": ", ".join(planting.aims) or "no aim of its own",
    }


def is_tender(crop: Crop) -> bool:
    return crop.fact("hardiness") == "frost-tender"


def useful_delay(planting: PlannedPlanting, crop: Crop, mean: Floats | None) -> int:
    """Days by which a sowing may slip with half of the picking still left, 2 to 28.

    Each day lost at sowing has to be made good at harvest, so the days are counted in warmth:
    the degree days of the first half of the picking are what a late sowing may forgo. A crop
    that is taken once may wait up to half of the time that its ground is still its own.
    """
    if planting.first_harvest is None:
        return 14
    end = planting.last_harvest or planting.first_harvest
    if crop.fact("pick_style") == "once_over":
        end = max(end, planting.ground_to)
    half = (end - planting.first_harvest).days / 2
    if mean is None:
        return round(min(max(half, LEAST_DELAY), MOST_DELAY))
    base = crop.value("temp_base", 5.0)
    spare = heat_between(mean, planting.first_harvest, planting.first_harvest + days(half), base)

    def forgone(lost: int) -> float:
        return heat_between(mean, planting.sow, planting.sow + timedelta(lost + 1), base)

    return LEAST_DELAY + bisect_right(range(LEAST_DELAY, MOST_DELAY), spare, key=forgone)
