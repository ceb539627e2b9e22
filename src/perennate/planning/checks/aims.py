"""Checks of the aims: whether the plan is one for the aims that the holding has now."""

from collections.abc import Iterator
from math import isclose

from perennate.planning.calendar_weeks import Weeks
from perennate.planning.checks.case import OWN, Case, finding
from perennate.planning.demand import wanted_by_aim
from perennate.planning.plan import Finding

_ROUNDING = 2e-3


def aims_as_planned(case: Case) -> Iterator[Finding]:
    """Aims that came, went or were changed since the plan was made."""
    plan = case.plan
    planned = {aim.aim: aim for aim in plan.aims}
    weeks = Weeks(plan.start, plan.weeks, plan.as_of)
    wanted = wanted_by_aim(case.holding, case.catalogue, weeks)
    for aim in case.holding.aims:
        then = planned.get(aim.key)
        if then is None:
            yield finding("aim.not_in_plan", "mind", [aim.key], OWN, aim=aim.key)
        elif (then.kind, then.crop) != (aim.kind, aim.crop):
            yield finding("aim.other", "mind", [aim.key], OWN, aim=aim.key)
        elif not isclose(then.wanted, wanted[aim.key], rel_tol=_ROUNDING, abs_tol=_ROUNDING):
            yield finding(
                "aim.other_amount",
                "mind",
                [aim.key],
                OWN,
                aim=aim.key,
                planned=then.wanted,
                wanted=wanted[aim.key],
                unit=then.unit,
            )
    for key in planned:
        if key not in wanted:
            yield finding("aim.gone", "note", [key], OWN, aim=key)
