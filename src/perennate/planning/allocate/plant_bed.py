"""One bed laid out exactly: which wishes are taken, how large, and on which strips.

A bed is a rectangle of strips by weeks; a planting is a rectangle on it, a family's claim a longer
one. Wishes come with the size that the relaxation took; strips up to that size count full, strips
beyond it half.
"""

from dataclasses import dataclass

from ortools.sat.python import cp_model

from perennate.planning.allocate.ground import Ground
from perennate.planning.allocate.problem import Piece

SCALE = 1000


@dataclass(frozen=True, slots=True)
class Wish:
    """So many strips (a fraction) of an option, worth `worth` a strip."""

    option: int
    strips: float
    worth: float


def plant_bed(ground: Ground, bed: int, wishes: list[Wish], effort: float) -> list[Piece]:
    """The best layout of the wishes on what is free of the bed; `effort` is deterministic time."""
    problem = ground.problem
    strips_here = problem.beds[bed].strips
    model = cp_model.CpModel()
    where: list[cp_model.IntervalVar] = []
    when: list[cp_model.IntervalVar] = []
    claims: dict[int, tuple[list[cp_model.IntervalVar], list[cp_model.IntervalVar]]] = {}
    gains = []
    found: list[tuple[Wish, cp_model.IntVar, cp_model.IntVar, cp_model.IntVar]] = []
    for wish in wishes:
        option = problem.options[wish.option]
        least = min(option.least_strips, strips_here)
        room = max((length for _, length in ground.runs(bed, option)), default=0)
        most = min(room, max(least, int(wish.strips + 0.999)))
        if most < least:
            continue
        sown = model.new_bool_var("")
        size = model.new_int_var(least, most, "")
        first = model.new_int_var(0, strips_here - least, "")
        last = model.new_int_var(least, strips_here, "")
        span = model.new_optional_interval_var(first, size, last, sown, "")
        end = min(option.end, problem.weeks)
        where.append(span)
        when.append(
            model.new_optional_fixed_size_interval_var(option.start, end - option.start, sown, "")
        )
        if option.family >= 0:
            rested = min(option.end + option.rest, problem.weeks)
            places, times = claims.setdefault(option.family, ([], []))
            places.append(span)
            times.append(
                model.new_optional_fixed_size_interval_var(
                    option.start, rested - option.start, sown, ""
                )
            )
        worth = max(1, round(wish.worth * SCALE))
        kept = model.new_int_var(0, most, "")
        model.add(kept <= size)
        model.add(kept <= most * sown)
        whole = int(wish.strips + 1e-6)
        over = model.new_int_var(0, most, "")
        model.add(over >= kept - whole)
        gains.append(kept * worth - over * (worth - round(worth * (wish.strips - whole))))
        gains.append(sown * -round(problem.prices.sowing * SCALE))
        found.append((wish, sown, size, first))
    if not found:
        return []
    for first_strip, strips, start, end in ground.held_boxes(bed):
        where.append(model.new_fixed_size_interval_var(first_strip, strips, ""))
        when.append(model.new_fixed_size_interval_var(start, end - start, ""))
    model.add_no_overlap_2d(where, when)
    for family, (places, times) in sorted(claims.items()):
        for first_strip, strips, start, end in ground.held_boxes(bed, family):
            places.append(model.new_fixed_size_interval_var(first_strip, strips, ""))
            times.append(model.new_fixed_size_interval_var(start, end - start, ""))
        model.add_no_overlap_2d(places, times)
    model.maximize(sum(gains))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = effort
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return []
    return [
        Piece(bed, int(solver.value(first)), wish.option, int(solver.value(size)))
        for wish, sown, size, first in found
        if solver.value(sown)
    ]
