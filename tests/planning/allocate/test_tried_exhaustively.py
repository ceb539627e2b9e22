"""bound <= true optimum <= plan's cost, where the true optimum is found by trying everything."""

from dataclasses import replace

import pytest
import tiny
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from perennate.planning.allocate.ground import Ground
from perennate.planning.allocate.judge import Judge
from perennate.planning.allocate.problem import Problem
from perennate.planning.allocate.relax import relax
from perennate.planning.allocate.search import EFFORTS, gap_of, search

TOLERANCE = 1e-5


@pytest.fixture(scope="module")
def best() -> tuple[float, list]:
    found = tiny.optimum(tiny.problem(), most=100_000)
    assert found is not None
    return found


def test_two_beds_three_crops_eight_weeks(best) -> None:
    problem = tiny.problem()
    found = search(problem, EFFORTS["thorough"])
    assert found.bound <= best[0] + TOLERANCE
    assert best[0] <= found.judged.cost + TOLERANCE
    assert found.judged.cost < problem.value, "something is worth growing"
    assert gap_of(found.judged.cost, best[0], problem) <= 0.15, "and most of the best is found"


def test_the_optimum_is_worth_more_than_nothing_and_less_than_all(best) -> None:
    cost, pieces = best
    problem = tiny.problem()
    assert 0.0 < cost < Judge(problem).cost([])
    assert len({problem.options[p.option].good for p in pieces}) == 3


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(tiny.problems(), st.sampled_from(["quick", "usual"]))
def test_bound_optimum_and_plan_are_in_order(problem: Problem, effort: str) -> None:
    best = tiny.optimum(problem, most=1500)
    assume(best is not None)
    assert best is not None
    found = search(problem, EFFORTS[effort])
    assert found.bound <= best[0] + TOLERANCE
    assert best[0] <= found.judged.cost + TOLERANCE
    assert found.judged.cost <= Judge(problem).cost([]) + TOLERANCE, "no worse than no plan"


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(tiny.problems(), st.sampled_from(["quick", "usual"]), st.integers(0, 3))
def test_what_is_found_can_stand(problem: Problem, effort: str, seed: int) -> None:
    """Within the beds, never over another, never before a family's rest is over, on the bench
    there is, with the compost and the water there is."""
    pieces = search(problem, EFFORTS[effort], seed).pieces
    allowed = set(tiny.all_pieces(problem))
    for number, piece in enumerate(pieces):
        assert piece in allowed
        assert not any(tiny.clash(problem, piece, other) for other in pieces[:number])
    assert tiny.within_limits(problem, list(pieces))


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(tiny.problems())
def test_fixed_pieces_are_left_where_they_are(problem: Problem) -> None:
    pieces = tiny.all_pieces(problem)
    assume(pieces)
    fixed = next((p for p in pieces if tiny.within_limits(problem, [p])), None)
    assume(fixed is not None)
    assert fixed in search(problem, EFFORTS["usual"], fixed=(fixed,)).pieces


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(tiny.problems())
def test_a_plan_found_before_is_only_changed_for_gain(problem: Problem) -> None:
    first = search(problem, EFFORTS["usual"])
    again = search(problem, EFFORTS["usual"], before=first.pieces)
    assert again.judged.cost <= first.judged.cost + TOLERANCE
    if again.judged.cost > first.judged.cost - TOLERANCE:
        assert again.pieces == first.pieces


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(tiny.problems(), st.integers(0, 1), st.integers(1, 3))
def test_one_more_bed_never_worsens_the_bound(problem: Problem, group: int, strips: int) -> None:
    more = replace(problem, beds=(*problem.beds, tiny.BedGround(strips, 1.0, group)))
    assert relax(more).bound <= relax(problem).bound + TOLERANCE


def test_a_bed_that_is_needed_lowers_the_bound() -> None:
    problem = tiny.problem()
    more = replace(problem, beds=(*problem.beds, tiny.BedGround(4, 1.0, 0)))
    assert relax(more).bound < relax(problem).bound - 1.0


@settings(max_examples=40, deadline=None)
@given(tiny.problems(), st.data())
def test_pieces_added_and_taken_away_leave_the_ground_as_it_was(
    problem: Problem, data: st.DataObject
) -> None:
    ground = Ground(problem)
    before = [ground.held_boxes(bed) for bed in (0, 1)]
    claims = [ground.held_boxes(bed, family) for bed in (0, 1) for family in (0, 1)]
    stands: list = []
    for piece in tiny.all_pieces(problem):
        option = problem.options[piece.option]
        free = ground.open_strips(piece.bed, option)
        open_here = bool(free[piece.first_strip : piece.first_strip + piece.strips].all())
        assert open_here != any(tiny.clash(problem, piece, other) for other in stands)
        if open_here and data.draw(st.booleans()):
            ground.add(piece)
            stands.append(piece)
        elif stands and data.draw(st.booleans()):
            ground.remove(stands.pop(data.draw(st.integers(0, len(stands) - 1))))
    assert sorted(ground.pieces) == sorted(stands)
    for bed, plot in enumerate(problem.beds):
        held = sum(
            piece.strips
            for piece in stands
            if piece.bed == bed
            and problem.options[piece.option].start <= 4 < problem.options[piece.option].end
        )
        taken = sum(strips for _, strips, start, end in plot.taken if start <= 4 < end)
        assert ground.free_by_week(bed)[4] == plot.strips - held - taken
    for piece in stands:
        ground.remove(piece)
    assert [ground.held_boxes(bed) for bed in (0, 1)] == before
    assert [ground.held_boxes(bed, family) for bed in (0, 1) for family in (0, 1)] == claims
