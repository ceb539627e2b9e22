"""Laws that whole plans keep: order of rows, half a year and the other hemisphere, more ground."""

import json
import random
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
import small
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom

from perennate.catalogue.crop_care import nursery_stages
from perennate.holding.model import Bed, Holding
from perennate.outputs.plan_json import plan_to_json
from perennate.planning import season
from perennate.planning.allocate.relax import relax
from perennate.planning.plan import Plan
from perennate.weather.climate import Climate


@pytest.fixture(scope="module")
def first() -> Plan:
    return small.plan()


def with_own_rows() -> Holding:
    kale = date(2026, 5, 4), date(2026, 8, 3)
    rows = [
        small.HandPlanting("b", "fixed", "beet", "", "north", None, *kale, None, 1.0),
        small.HandPlanting("a", "wished", "chard", "", "north", None, *kale, None, 1.0),
        small.HandPlanting("c", "fixed", "dill", "", "north", None, *kale, 0.5, 1.0),
    ]
    return small.with_rows(rows)


@settings(max_examples=4, deadline=None)
@given(st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_nothing(mixer: random.Random) -> None:
    whole = with_own_rows()

    def mixed(rows: tuple) -> tuple:
        return tuple(mixer.sample(rows, len(rows)))

    other = replace(
        whole,
        beds=mixed(whole.beds),
        aims=mixed(whole.aims),
        lots=mixed(whole.lots),
        eats=mixed(whole.eats),
        plantings=mixed(whole.plantings),
    )
    one, two = (json.loads(plan_to_json(small.plan(of))) for of in (whole, other))
    for plan in (one, two):  # results stand in the grower's own order
        plan["aims"].sort(key=lambda result: result["aim"])
    assert two == one


def shifted(day: date | None) -> date | None:
    return day + small.HALF_YEAR if day else None


def opposite(whole: Holding) -> Holding:
    """The same holding half a year later and as far south as it was north."""
    return replace(
        whole,
        site=replace(whole.site, latitude_deg=-whole.site.latitude_deg),
        as_of=shifted(whole.as_of),
        aims=tuple(replace(a, start=shifted(a.start), end=shifted(a.end)) for a in whole.aims),
        plantings=tuple(
            replace(
                row,
                sown=shifted(row.sown),
                ground_from=shifted(row.ground_from),
                ground_to=shifted(row.ground_to),
            )
            for row in whole.plantings
        ),
    )


def rolled(climate: Climate) -> Climate:
    def half_a_year_on(days: np.ndarray) -> np.ndarray:
        return np.roll(days, small.HALF_YEAR.days, axis=1)

    return replace(
        climate,
        latitude_deg=-climate.latitude_deg,
        tmax=half_a_year_on(climate.tmax),
        tmin=half_a_year_on(climate.tmin),
        rain=half_a_year_on(climate.rain),
    )


def test_half_a_year_on_and_in_the_other_hemisphere_the_plan_is_the_same() -> None:
    whole = with_own_rows()
    even = small.weather()
    # years alike: which of two years a stand over new year meets differs with the hemisphere
    # and so much rain that nothing is watered: the sun is nearer in January, so that a southern
    # summer is the thirstier
    alike = replace(
        even, tmax=even.tmax[[1, 1, 1]], tmin=even.tmin[[1, 1, 1]], rain=even.rain[:3] + 10.0
    )
    north = small.plan(whole, alike)
    south = small.plan(opposite(whole), rolled(alike))

    def stands(plan: Plan, by: timedelta) -> list[tuple]:
        return sorted(
            (p.crop, p.bed, p.route, p.start_m, p.length_m, p.plants, p.sow - by,
             p.ground_from - by, p.ground_to - by, p.harvest.value, p.frost_risk)
            for p in plan.plantings
        )  # fmt: skip

    assert stands(south, small.HALF_YEAR) == stands(north, timedelta(0))
    assert any(p.ground_from.year < p.ground_to.year for p in south.plantings)
    assert [a.met for a in south.aims] == [a.met for a in north.aims]
    assert south.solver.bound == pytest.approx(north.solver.bound, abs=2e-3)

    def work(plan: Plan, by: timedelta) -> list[tuple]:
        return sorted(
            (j.kind, j.place, j.best - by, j.quantity) for j in plan.jobs if j.kind != "water"
        )

    assert work(south, small.HALF_YEAR) == work(north, timedelta(0))


@pytest.mark.parametrize("light", ["full sun", "half shade", "shade"])
def test_one_more_bed_never_worsens_the_bound(light: str) -> None:
    few = replace(small.holding(), beds=small.holding().beds[1:2])
    more = replace(few, beds=(*few.beds, Bed("more", 3.0, 1.0, light=light, soil="clay")))
    bounds = []  # ground is priced by its share of all ground: both at the prices of the larger
    for of in (few, more):
        problem = posed_problem(of)
        bounds.append(relax(replace(problem, prices=posed_problem(more).prices)).bound)
    assert bounds[1] <= bounds[0] + 1e-6
    if light == "full sun":
        assert bounds[1] < bounds[0] - 0.1


def posed_problem(of: Holding):
    """The allocation problem that make_plan solves for a holding."""
    caught = []
    kept = season.search

    def catching(problem, *others, **more):
        caught.append(problem)
        return kept(problem, *others, **more)

    season.search = catching
    try:
        small.plan(of)
    finally:
        season.search = kept
    return caught[0]


def survives(stage: str) -> float:
    return nursery_stages()[stage].value


def test_seeds_on_the_bench_suffice_in_nine_times_of_ten(first) -> None:
    """At the rates' means the chance is no less than the surety; the chain carries more doubt."""
    kale = next(p for p in first.plantings if p.crop == "kale" and p.route == "nursery")
    sow = next(j for j in first.jobs if j.planting == kale.key and j.kind == "sow")
    germination = 0.85
    through = germination * survives("sprout to emerge") * survives("plug ready")
    through *= survives("transplant")
    assert sow.unit == "seeds"
    assert binom.sf(kale.plants - 1, sow.quantity, through) >= 0.9
    least = next(n for n in range(9999) if binom.sf(kale.plants - 1, n, through) >= 0.9)
    assert least <= sow.quantity <= 2.0 * least + 5, "surety once, not at every step"


def test_seeds_in_the_bed_suffice_in_nine_times_of_ten(first) -> None:
    carrot = next(p for p in first.plantings if p.crop == "carrot")
    sow = next(j for j in first.jobs if j.planting == carrot.key and j.kind == "sow")
    standard = small.shipped().crops["carrot"].figures["germination_standard"].value
    through = standard * survives("sprout to emerge in the bed")
    assert binom.sf(carrot.plants - 1, sow.quantity, through) >= 0.9
    least = next(n for n in range(9999) if binom.sf(carrot.plants - 1, n, through) >= 0.9)
    assert least <= sow.quantity <= 3.0 * least, "fine seed is sown half as thick again"


def test_harvest_is_eaten_lost_or_still_in_store(first) -> None:
    eaten, lost = first.yields.eaten_kg, first.yields.lost_kg
    assert 0 < eaten <= first.yields.harvest_kg.value + 1e-6
    assert eaten + lost <= first.yields.harvest_kg.value + 0.05
    by_week = sum(week.kg for week in first.yields.by_week)
    assert by_week == pytest.approx(first.yields.harvest_kg.value, abs=0.05)
    assert len(first.yields.by_week) == 52


def test_the_solver_speaks_of_its_answer_truly(first) -> None:
    solver = first.solver
    assert solver.status in ("closed", "steps")
    assert solver.bound <= solver.objective
    assert 0 <= solver.gap <= 0.05
    assert solver.sowings == len([p for p in first.plantings if p.status == "planned" and p.bed])
    percent = dict(solver.text.params)["percent"]
    assert percent >= 100 * solver.gap


def test_nothing_to_plan_says_so() -> None:
    plan = small.plan(small.holding(aims=(), lots=()))
    assert plan.solver.status == "nothing to plan"
    assert not plan.plantings
    plan = small.plan(small.holding(beds=(), plantings=()))
    assert plan.solver.status == "nothing to plan"
    assert all(result.met == 0.0 for result in plan.aims)
