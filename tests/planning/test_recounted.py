"""What a changed harvest comes to, by the plain rule that needs no solver."""

from dataclasses import replace
from datetime import date

import pytest
import small
from hypothesis import given
from hypothesis import strategies as st

from perennate.planning.allocate.problem import Good
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.plan import Plan, WeekAmount
from perennate.planning.recounted import larder, recounted

KEEPS_TWO_WEEKS = Good(5.0, 2, 0.0)


@pytest.fixture(scope="module")
def plan() -> Plan:
    return small.plan()


def test_what_is_not_wanted_at_once_keeps_for_the_crops_weeks_and_is_then_lost() -> None:
    eaten = larder([4.0, 0, 0, 0, 0], [1.0, 1.0, 0, 1.0, 1.0], KEEPS_TWO_WEEKS)
    assert eaten.used == (1.0, 1.0, 0, 0, 0)
    assert eaten.stored == (3.0, 2.0, 2.0, 0, 0)
    assert eaten.lost == 2.0


def test_the_oldest_is_used_first() -> None:
    eaten = larder([1.0, 1.0, 0, 0], [0, 1.0, 0, 1.0], KEEPS_TWO_WEEKS)
    assert eaten.used == (0, 1.0, 0, 1.0)
    assert eaten.lost == 0


def test_a_store_shrinks_by_its_weekly_loss() -> None:
    eaten = larder([4.0, 0, 0], [0, 0, 5.0], replace(KEEPS_TWO_WEEKS, weekly_loss=0.5))
    assert eaten.used == (0, 0, 1.0)


amounts = st.lists(st.floats(0, 50), min_size=8, max_size=8)


@given(amounts, amounts, st.integers(0, 9))
def test_nothing_is_made_of_nothing(picked: list[float], wanted: list[float], keeps: int) -> None:
    eaten = larder(picked, wanted, Good(50.0, keeps, 0.0))
    assert sum(eaten.used) + eaten.lost + eaten.stored[-1] == pytest.approx(sum(picked))
    assert all(used <= most + 1e-9 for used, most in zip(eaten.used, wanted, strict=True))


@given(amounts, amounts, amounts, st.integers(0, 9))
def test_more_picked_is_never_less_used(
    picked: list[float], more: list[float], wanted: list[float], keeps: int
) -> None:
    good = Good(50.0, keeps, 0.0)
    both = [one + other for one, other in zip(picked, more, strict=True)]
    assert sum(larder(both, wanted, good).used) >= sum(larder(picked, wanted, good).used) - 1e-6


def recount(plan: Plan, share: float, crop: str = "potato") -> Plan:
    """The plan with each week's picking of a crop at a share of what it was."""
    changed = tuple(
        replace(one, by_week=tuple(WeekAmount(week.week, week.kg * share) for week in one.by_week))
        if one.crop == crop
        else one
        for one in plan.plantings
    )
    weeks = Weeks(plan.start, plan.weeks, plan.as_of)
    aims, yields = recounted(plan, changed, small.holding(), small.shipped(), weeks)
    return replace(plan, aims=aims, yields=yields, plantings=changed)


def test_the_same_harvest_leaves_aims_and_yields_as_they_are(plan: Plan) -> None:
    same = recount(plan, 1.0)
    assert (same.aims, same.yields) == (plan.aims, plan.yields)


def test_without_any_harvest_an_aim_is_not_met_at_all(plan: Plan) -> None:
    none = next(aim for aim in recount(plan, 0.0).aims if aim.crop == "potato")
    assert (none.met, none.expected.value, none.by_week) == (0.0, 0.0, ())
    assert [one.code for one in none.held_back_by] == ["aim.less_by_hand"]


def test_of_two_aims_for_one_crop_the_first_in_priority_loses_last() -> None:
    first = small.food("potato", 2.0, date(2026, 7, 1), date(2026, 11, 30), key="a1", priority=1)
    second = replace(first, key="a2", priority=3)
    holding = small.holding(aims=(second, first))
    plan = small.plan(holding)
    picked = sum(one.harvest.value for one in plan.plantings)
    changed = tuple(
        replace(
            one,
            by_week=tuple(WeekAmount(week.week, week.kg * 2.0 / picked) for week in one.by_week),
        )
        for one in plan.plantings
    )
    weeks = Weeks(plan.start, plan.weeks, plan.as_of)
    aims, _ = recounted(plan, changed, holding, small.shipped(), weeks)
    met = {aim.aim: aim.met for aim in aims}
    assert met["a1"] > 0.9
    assert met["a2"] < 0.1


def test_no_aim_claims_more_than_is_picked(plan: Plan) -> None:
    poor = recount(plan, 0.1)
    claimed = replace(
        poor, aims=tuple(replace(aim, met=1.0) for aim in plan.aims if aim.crop == "potato")
    )
    more = recount(claimed, 1.5)
    brought = sum(week.kg for one in more.plantings if one.crop == "potato" for week in one.by_week)
    assert brought < more.aims[0].wanted / 2
    assert more.aims[0].expected.value <= brought + 0.01
