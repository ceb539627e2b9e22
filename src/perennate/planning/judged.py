"""All that is said of a finished plan: what the checks find, and what next year needs now."""

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.checks import find_faults
from perennate.planning.demand import food_crops
from perennate.planning.next_year import for_next_year
from perennate.planning.offers import Growing
from perennate.planning.plan import Finding, Plan
from perennate.weather.climate import Climate


def findings_of(
    plan: Plan, holding: Holding, catalogue: Catalogue, climate: Climate, weeks: Weeks
) -> tuple[Finding, ...]:
    """Findings in the order in which they are shown: the grave ones, then what must be planted
    now to be picked next year, then the others."""
    faults = find_faults(plan, holding, catalogue, climate)
    missed = for_next_year(
        _named_food(holding, catalogue), plan.plantings, catalogue, Growing(climate, weeks)
    )
    grave = tuple(finding for finding in faults if finding.gravity == "grave")
    return (*grave, *missed, *faults[len(grave) :])


def _named_food(holding: Holding, catalogue: Catalogue) -> list[str]:
    """Crops that the grower names as food, in an aim or as eaten."""
    named = {aim.crop for aim in holding.aims if aim.kind == "food"} | set(holding.eats)
    return [key for key in food_crops(holding, catalogue) if key in named]
