"""Every check over a finished plan. The checks know nothing of how a plan was made, so that a
plan changed by hand is judged just as well, and an optimiser's answer is verified."""

from collections.abc import Callable, Iterator

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Holding
from perennate.planning.checks import (
    aims,
    food,
    ground,
    hand,
    rotation,
    scarce,
    stock,
    water,
    weather,
)
from perennate.planning.checks.case import Case
from perennate.planning.plan import Finding, Plan
from perennate.weather.climate import Climate

Check = Callable[[Case], Iterator[Finding]]

CHECKS: tuple[Check, ...] = (
    ground.crop_unknown,
    ground.bed_unknown,
    food.barred_food,
    food.manure_wait,
    hand.fixed_kept,
    hand.standing_kept,
    hand.refused_kept,
    ground.overfull_bed,
    ground.beyond_the_end,
    ground.kept_free,
    rotation.family_rest,
    rotation.disease_in_bed,
    rotation.disease_not_known,
    weather.frost_risk,
    weather.season_too_short,
    weather.beyond_the_plan,
    weather.heat_risk,
    weather.cold_soil,
    weather.late_start,
    stock.below_zero,
    stock.seed_short,
    stock.lot_too_old,
    stock.germination_low,
    stock.seed_treated,
    scarce.overfull_bench,
    scarce.overfull_hours,
    scarce.compost_short,
    water.sources_run_out,
    water.water_beyond_the_limit,
    water.thirsty_plantings,
    water.airless_beds,
    water.germs_on_raw_food,
    water.sources_not_known,
    water.quality_of_sources,
    water.salt_in_beds,
    food.aim_unmet,
    food.aim_not_borne_out,
    food.eating_ceiling,
    ground.rows_fit,
    ground.spacing,
    ground.too_dark,
    ground.least_piece,
    hand.kinds_at_once,
    hand.wished_left_out,
    aims.aims_as_planned,
)

_GRAVITY = ("grave", "mind", "note")


def find_faults(
    plan: Plan, holding: Holding, catalogue: Catalogue, climate: Climate
) -> tuple[Finding, ...]:
    """What every check says, the gravest first, then by check and by what it is about."""
    case = Case(plan, holding, catalogue, climate)
    found = [
        (_GRAVITY.index(finding.gravity), number, finding.about, finding)
        for number, check in enumerate(CHECKS)
        for finding in check(case)
    ]
    found.sort(key=lambda entry: entry[:3])
    return tuple(entry[3] for entry in found)


__all__ = ["CHECKS", "Case", "Check", "find_faults"]
