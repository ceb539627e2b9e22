"""What is judged: a plan, and what is known of its holding, crops and weather."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Bed, Holding, Lot
from perennate.planning.nights import Floats
from perennate.planning.plan import Finding, Gravity, Plan, PlannedPlanting
from perennate.terms import text
from perennate.terms.text import Value
from perennate.weather.climate import Climate, soil_temperature

OWN = "holding"
"""Source of a rule that the holding's own settings make."""
ASSUMED = "assumed"
CATALOGUE = "catalogue-rule"
"""Source of a rule about what the catalogue does not say."""


@dataclass(frozen=True)
class Case:
    """A finished plan before the checks. Nothing in it says how the plan was made."""

    plan: Plan
    holding: Holding
    catalogue: Catalogue
    climate: Climate

    @cached_property
    def known(self) -> tuple[tuple[PlannedPlanting, Crop], ...]:
        """Plantings whose crop the catalogue has."""
        crops = self.catalogue.crops
        return tuple(
            (planting, crops[planting.crop])
            for planting in self.plan.plantings
            if planting.crop in crops
        )

    @cached_property
    def chosen(self) -> tuple[tuple[PlannedPlanting, Crop], ...]:
        """Those that are still to be decided on: not what stands already."""
        return tuple(pair for pair in self.known if pair[0].status != "stands")

    @cached_property
    def beds(self) -> dict[str, Bed]:
        return {bed.key: bed for bed in self.holding.beds}

    @cached_property
    def lots(self) -> dict[str, Lot]:
        return {lot.key: lot for lot in self.holding.lots}

    @cached_property
    def soil(self) -> Floats:
        """Soil at sowing depth by day of year, on the mean of the years."""
        return soil_temperature(self.climate)

    @property
    def end(self) -> date:
        return self.plan.start + timedelta(7 * self.plan.weeks)

    def in_bed(self, bed: str) -> tuple[PlannedPlanting, ...]:
        return tuple(planting for planting in self.plan.plantings if planting.bed == bed)

    def week(self, number: int) -> date:
        """First day of a week of the plan."""
        return self.plan.start + timedelta(7 * number)


def finding(
    rule: str, gravity: Gravity, about: Iterable[str], source: str, **said: Value
) -> Finding:
    """A finding whose sentence is `check.<rule>` and whose remedy is `check.<rule>.remedy`;
    both are given the same parameters."""
    return Finding(
        rule,
        gravity,
        tuple(dict.fromkeys(about)),
        text(f"check.{rule}", **said),
        text(f"check.{rule}.remedy", **said),
        source,
    )


def named(planting: PlannedPlanting) -> dict[str, Value]:
    """How a sentence names a planting."""
    return {
        "crop": planting.crop,
        "variety": planting.variety or "any variety",
        "bed": planting.bed or "the nursery",
    }


def runs(weeks: Sequence[int]) -> list[tuple[int, int]]:
    """Week numbers in order, as unbroken runs (first, last)."""
    found: list[tuple[int, int]] = []
    for week in weeks:
        if found and week == found[-1][1] + 1:
            found[-1] = (found[-1][0], week)
        else:
            found.append((week, week))
    return found
