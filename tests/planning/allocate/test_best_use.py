"""The programme of a known harvest comes to the same as the larder of the relaxation."""

import numpy as np
import pytest
import tiny
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.planning.allocate.best_use import BestUse
from perennate.planning.allocate.larder import add_larder, ready_by_week
from perennate.planning.allocate.problem import Problem
from perennate.planning.allocate.program import Program, solve

HARVESTS = st.lists(
    st.lists(st.integers(0, 6), min_size=tiny.WEEKS, max_size=tiny.WEEKS), min_size=3, max_size=3
).map(lambda rows: np.array(rows, float))


@settings(max_examples=60, deadline=None)
@given(tiny.problems(), st.lists(HARVESTS, min_size=1, max_size=4))
def test_one_harvest_after_another_costs_what_the_larder_says(problem: Problem, harvests) -> None:
    best = BestUse(problem)
    ready = ready_by_week(problem)
    for harvest in harvests:
        program = Program()
        add_larder(program, problem, harvest)
        answer = solve(program, solver="simplex")
        assert best.cost(harvest + ready) == pytest.approx(answer.objective, abs=1e-7)
        use = best.use(harvest + ready)
        balance = harvest + ready - use.used - use.stored - use.lost
        loss = np.array([good.weekly_loss for good in problem.goods])
        balance[:, 1:] += use.stored[:, :-1] * (1 - loss[:, None])
        assert balance == pytest.approx(0.0, abs=1e-7)
        assert use.lost.min() >= -1e-7


@settings(max_examples=60, deadline=None)
@given(tiny.problems(), HARVESTS, HARVESTS)
def test_prices_never_understate_what_another_harvest_saves(
    problem: Problem, harvest, other
) -> None:
    best = BestUse(problem)
    cost, prices = best.cost(harvest), best.prices(harvest)
    assert best.cost(other) >= cost - float((prices * (other - harvest)).sum()) - 1e-7
