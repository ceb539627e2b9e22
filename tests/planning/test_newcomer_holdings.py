"""Holdings as one new to it may tell them: nothing has a season there, no room for seedlings."""

from dataclasses import replace

import small

from perennate.holding.model import Nursery
from perennate.words import say


def test_where_nothing_finds_a_season_the_plan_says_so() -> None:
    aims = (small.food("carrot", 5.0, None, None), small.food("tomato", 5.0, None, None))
    whole = replace(small.holding(aims=aims), plantings=())
    plan = small.plan(whole, climate=small.steady(-20.0))
    assert not plan.plantings
    assert [one.met for one in plan.aims] == [0.0, 0.0]
    assert all(one.held_back_by[0].code == "aim.no_season" for one in plan.aims)


def test_without_a_bench_it_is_not_called_full() -> None:
    aims = (small.food("tomato", 8.0, None, None),)
    whole = replace(small.holding(aims=aims), nursery=Nursery(bench_m2=0.0))
    (result,) = small.plan(whole, climate=small.weather(mean=9.0)).aims
    codes = {one.code for one in result.held_back_by}
    assert result.met < 0.98
    assert "aim.bench_short" not in codes
    assert "aim.no_bench" in codes, codes
    assert any("no room under cover" in say(one) for one in result.held_back_by)
