"""The plantings of a plan laid on the days on which water is reckoned."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.crop_water import CropWater, crop_waters
from perennate.holding.model import Bed, Holding
from perennate.planning.bed_chain import stands_from
from perennate.planning.calendar_weeks import Weeks, indices
from perennate.planning.plan import PlannedPlanting
from perennate.planning.water_plan import Way

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAD_DAYS = 60
"""Bare ground is reckoned for so long before a planting, so that it finds the ground as the
weather leaves it."""


@dataclass(frozen=True)
class Days:
    """`count` days from `first`."""

    first: date
    count: int

    @cached_property
    def of_year(self) -> Ints:
        """Day-of-year index of each day."""
        return indices(self.first, self.count)

    def place(self, day: date) -> int:
        return (day - self.first).days

    def day(self, place: int) -> date:
        return self.first + timedelta(place)


def days_of(weeks: Weeks) -> Days:
    """The days of a plan, and those before it in which its first ground lies bare."""
    return Days(weeks.start - timedelta(LEAD_DAYS), LEAD_DAYS + 7 * weeks.count)


@dataclass(frozen=True, slots=True)
class Stand:
    """A planting's days: `bare` of them without it, then those on which it stands; and the way in
    which it is watered.

    `first` is the place of the first bare day on the axis, `days` counts all of them; `grown` are
    the days that it had stood before the axis begins; `whole`: days from planting to clearing.
    """

    planting: PlannedPlanting
    bed: Bed
    water: CropWater
    first: int
    bare: int
    days: int
    grown: int
    whole: int
    way: Way

    @property
    def settled(self) -> int:
        """Place on the axis of the first day on which it stands."""
        return self.first + self.bare


def stands_on(
    plantings: Iterable[PlannedPlanting], holding: Holding, days: Days
) -> tuple[Stand, ...]:
    """Every planting in a bed that stands on some of the days, in the plan's order."""
    beds = {bed.key: bed for bed in holding.beds}
    known = crop_waters()
    found = []
    for planting in plantings:
        bed = beds.get(planting.bed)
        begins, ends = stands_from(planting), planting.ground_to
        water = known.get(planting.crop)
        if bed is None or water is None or ends <= begins:
            continue
        start, end = max(days.place(begins), 0), min(days.place(ends), days.count)
        if start >= end:
            continue
        bare = min(LEAD_DAYS, start)
        found.append(
            Stand(
                planting,
                bed,
                water,
                start - bare,
                bare,
                end - start + bare,
                max(-days.place(begins), 0),
                (ends - begins).days,
                holding.habits.watering,
            )
        )
    return tuple(found)
