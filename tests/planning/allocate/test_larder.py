"""What is harvested is eaten, stored or lost, all of it, and nothing is eaten past its keeping."""

from dataclasses import replace

import numpy as np
import pytest
import tiny
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.planning.allocate.larder import add_larder, ready_by_week
from perennate.planning.allocate.problem import AmountAim, DietAim, Problem
from perennate.planning.allocate.program import Floats, Program, solve

HARVESTS = st.lists(
    st.lists(st.integers(0, 6), min_size=tiny.WEEKS, max_size=tiny.WEEKS), min_size=3, max_size=3
)


def best_use(problem: Problem, harvest: Floats) -> dict[str, Floats]:
    """What the larder does with a harvest, by name; arrays of shape (goods, weeks)."""
    program = Program()
    larder = add_larder(program, problem, harvest)
    columns = solve(program, solver="simplex").columns
    names = ("harvest", "used", "stored", "lost")
    found = {name: columns[getattr(larder, name)] for name in names}
    found["energy"] = columns[larder.energy]
    return found


@settings(max_examples=60, deadline=None)
@given(tiny.problems(), HARVESTS)
def test_harvest_and_what_was_ready_are_used_lost_or_stored(problem: Problem, kg) -> None:
    harvest = np.array(kg, float)
    found = best_use(problem, harvest)
    assert found["harvest"] == pytest.approx(harvest + ready_by_week(problem))
    loss = np.array([good.weekly_loss for good in problem.goods])
    before = np.concatenate([np.zeros((3, 1)), found["stored"][:, :-1]], axis=1)
    came = found["harvest"] + before * (1 - loss[:, None])
    assert came == pytest.approx(found["used"] + found["lost"] + found["stored"], abs=1e-7)
    assert min(found[name].min() for name in found if found[name].size) >= -1e-9
    for number, good in enumerate(problem.goods):
        assert found["used"][number].max() <= good.most_per_week + 1e-9


@settings(max_examples=100, deadline=None)
@given(tiny.problems(), HARVESTS)
def test_nothing_is_eaten_after_its_keeping_weeks(problem: Problem, kg) -> None:
    """The oldest goes first: used, then thrown away. What stays must be young enough."""
    found = best_use(problem, np.array(kg, float))
    for number, good in enumerate(problem.goods):
        heaps: dict[int, float] = {}
        for week in range(tiny.WEEKS):
            heaps = {born: kg * (1 - good.weekly_loss) for born, kg in heaps.items()}
            heaps[week] = float(found["harvest"][number, week])
            away = float(found["used"][number, week] + found["lost"][number, week])
            for born in sorted(heaps):
                taken = min(away, heaps[born])
                heaps[born] -= taken
                away -= taken
            stays = [born for born, kg in heaps.items() if kg > 1e-6]
            assert all(week - born < max(good.keeps, 1) for born in stays), (number, week)
            if good.keeps == 0:
                assert not stays


def test_a_long_keeper_serves_the_winter_less_its_losses() -> None:
    late = AmountAim(0, (0.0,) * 7 + (5.0,), None, 10.0)
    problem = tiny.problem(amounts=(late,))
    keeps = replace(problem.goods[0], keeps=7, most_per_week=9.0)
    harvest = np.zeros((3, tiny.WEEKS))
    harvest[0, 0] = 4.0
    kept = best_use(replace(problem, goods=(keeps, *problem.goods[1:])), harvest)
    assert kept["used"][0, 7] == pytest.approx(4.0 * 0.9**7)
    spoilt = replace(keeps, keeps=6)
    kept = best_use(replace(problem, goods=(spoilt, *problem.goods[1:])), harvest)
    assert kept["used"][0, 7] == pytest.approx(0.0)


def test_energy_wanted_is_served_under_each_goods_ceiling() -> None:
    rich = tiny.good(energy=1000.0, most_per_week=0.25)
    diet = DietAim(5000.0, 0.0, (), 0, tiny.WEEKS, 50.0)
    problem = tiny.problem(goods=(rich, tiny.good(), tiny.good()), amounts=(), diet=diet)
    found = best_use(problem, np.full((3, tiny.WEEKS), 8.0))
    assert found["used"][0] == pytest.approx(0.25)
    assert found["energy"] == pytest.approx(250.0)


def test_what_is_wanted_beyond_the_ceiling_does_not_count_as_eaten() -> None:
    """Three kilograms a week are wanted for their own sake; a quarter of one counts as energy."""
    rich = tiny.good(energy=1000.0, most_per_week=3.0, eaten_per_week=0.25)
    diet = DietAim(5000.0, 0.0, (), 0, tiny.WEEKS, 50.0)
    wanted = AmountAim(0, (3.0,) * tiny.WEEKS, None, 10.0)
    problem = tiny.problem(goods=(rich, tiny.good(), tiny.good()), amounts=(wanted,), diet=diet)
    found = best_use(problem, np.full((3, tiny.WEEKS), 8.0))
    assert found["used"][0] == pytest.approx(3.0)
    assert found["energy"] == pytest.approx(250.0)


def test_two_aims_for_one_good_are_not_served_by_the_same_kilogram() -> None:
    same = AmountAim(0, (2.0,) * tiny.WEEKS, None, 10.0)
    problem = tiny.problem(amounts=(same, same), goods=(tiny.good(keeps=0),) * 3)
    program = Program()
    harvest = np.full((3, tiny.WEEKS), 3.0)
    larder = add_larder(program, problem, harvest)
    columns = solve(program, solver="simplex").columns
    assert sum(columns[served].sum() for served in larder.served) == pytest.approx(3.0 * 8)
