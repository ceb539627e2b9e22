"""From what is harvested to what is eaten, stored and lost, and how far aims are met by it.

The block stands in the relaxation, where harvest is what the options make, and in that of a few
beds. With the harvest known, `best_use.py` says the same in fewer columns.
"""

from dataclasses import dataclass

import numpy as np

from perennate.planning.allocate.problem import Problem
from perennate.planning.allocate.program import INF, Floats, Ints, Program


@dataclass(frozen=True)
class Larder:
    """Indices of the block's columns and rows inside a programme. Shape (goods, weeks)."""

    harvest: Ints
    harvest_rows: Ints
    """Row: harvest column - what options make = what is ready anyway."""
    used: Ints
    stored: Ints
    lost: Ints
    served: tuple[Ints, ...]
    energy: Ints
    protein: Ints
    groups: Ints
    constant: float
    """Value of all aims: what the cost is when nothing is met."""


DIET_PARTS = (0.6, 0.25, 0.15)
"""How a diet aim's value is shared between energy, protein and variety of food groups."""


def ready_by_week(problem: Problem) -> Floats:
    """What comes anyway, shape (goods, weeks)."""
    ready = np.zeros((len(problem.goods), problem.weeks))
    for index, good in enumerate(problem.goods):
        for week, amount in good.ready:
            ready[index, week] += amount
    return ready


def add_larder(program: Program, problem: Problem, given: Floats | None = None) -> Larder:
    """Add the block; `given` (goods, weeks) is harvest known beforehand beside `ready`."""
    goods, weeks = len(problem.goods), problem.weeks
    known = ready_by_week(problem) + (0.0 if given is None else given)
    picking = np.array([good.minutes_per_unit for good in problem.goods])
    harvest = program.columns(
        goods * weeks, cost=np.repeat(picking * problem.prices.minute, weeks)
    ).reshape(goods, weeks)
    harvest_rows = program.rows(goods * weeks, known.ravel(), known.ravel()).reshape(goods, weeks)
    program.entries(harvest_rows.ravel(), harvest.ravel(), 1.0)

    most = np.array([good.most_per_week for good in problem.goods])
    used = program.columns(goods * weeks, upper=np.repeat(most, weeks)).reshape(goods, weeks)
    lost = program.columns(goods * weeks, cost=problem.prices.waste).reshape(goods, weeks)
    stored = _balance(program, problem, harvest, used, lost)
    served = serve_amounts(program, problem, used)
    energy, protein, groups = serve_diet(program, problem, used)
    return Larder(
        harvest,
        harvest_rows,
        used,
        stored,
        lost,
        served,
        energy,
        protein,
        groups,
        problem.value,
    )


def _balance(program: Program, problem: Problem, harvest: Ints, used: Ints, lost: Ints) -> Ints:
    """What was stored and what is harvested is used, lost or stored on; nothing keeps for ever."""
    goods, weeks = harvest.shape
    keeps = np.array([good.keeps for good in problem.goods])
    room = np.where(keeps[:, None] > 0, INF, 0.0) + np.zeros((goods, weeks))
    stored = program.columns(goods * weeks, upper=room.ravel()).reshape(goods, weeks)
    rows = program.rows(goods * weeks, 0.0, 0.0).reshape(goods, weeks)
    for columns, value in ((harvest, 1.0), (used, -1.0), (lost, -1.0), (stored, -1.0)):
        program.entries(rows.ravel(), columns.ravel(), value)
    left = 1.0 - np.array([good.weekly_loss for good in problem.goods])
    program.entries(rows[:, 1:].ravel(), stored[:, :-1].ravel(), np.repeat(left, weeks - 1))
    for index in np.flatnonzero((keeps > 0) & (keeps < weeks - 1)):
        age = program.rows(weeks, -INF, 0.0)
        program.entries(age, stored[index], 1.0)
        for back in range(int(keeps[index])):
            span = np.arange(back, weeks)
            program.entries(age[span], harvest[index, span - back], -(left[index] ** back))
    return stored


def serve_amounts(program: Program, problem: Problem, used: Ints) -> tuple[Ints, ...]:
    """An aim for an amount is served from what is used of its good, never twice."""
    served: list[Ints] = []
    rows: dict[int, Ints] = {}
    for aim in problem.amounts:
        weekly = np.array(aim.weekly)
        wanted = aim.total if aim.total is not None else float(weekly.sum())
        gain = -aim.value / wanted if wanted > 0 else 0.0
        columns = program.columns(problem.weeks, cost=gain, upper=weekly)
        if aim.good not in rows:
            rows[aim.good] = program.rows(problem.weeks, -INF, 0.0)
            program.entries(rows[aim.good], used[aim.good], -1.0)
        program.entries(rows[aim.good], columns, 1.0)
        if aim.total is not None:
            row = program.rows(1, -INF, aim.total)
            program.entries(np.repeat(row, problem.weeks), columns, 1.0)
        served.append(columns)
    return tuple(served)


def _eaten(program: Program, problem: Problem, used: Ints) -> Ints:
    """What of the use counts towards a diet: no more of a good than people eat in a week."""
    eaten = used.copy()
    for number, good in enumerate(problem.goods):
        if good.eaten_per_week < good.most_per_week:
            eaten[number] = program.columns(problem.weeks, upper=good.eaten_per_week)
            rows = program.rows(problem.weeks, -INF, 0.0)
            program.entries(rows, eaten[number], 1.0)
            program.entries(rows, used[number], -1.0)
    return eaten


def serve_diet(program: Program, problem: Problem, used: Ints) -> tuple[Ints, Ints, Ints]:
    """Energy, protein and food groups are counted by week up to what is wanted."""
    diet = problem.diet
    none = np.zeros(0, np.int64)
    if diet is None:
        return none, none, none
    weeks = np.arange(diet.first, diet.last)
    used = _eaten(program, problem, used)
    found = []
    content = (
        np.array([good.energy for good in problem.goods]),
        np.array([good.protein for good in problem.goods]),
    )
    for wanted, part, each in zip(
        (diet.energy, diet.protein), DIET_PARTS[:2], content, strict=True
    ):
        share = -diet.value * part / (wanted * len(weeks)) if wanted > 0 else 0.0
        columns = program.columns(len(weeks), cost=share, upper=wanted)
        rows = program.rows(len(weeks), -INF, 0.0)
        program.entries(rows, columns, 1.0)
        for index in np.flatnonzero(each):
            program.entries(rows, used[index, weeks], -each[index])
        found.append(columns)
    columns = none
    total = sum(diet.groups) * len(weeks)
    for group, wanted in enumerate(diet.groups):
        if wanted <= 0:
            continue
        added = program.columns(len(weeks), cost=-diet.value * DIET_PARTS[2] / total, upper=wanted)
        rows = program.rows(len(weeks), -INF, 0.0)
        program.entries(rows, added, 1.0)
        for number, good in enumerate(problem.goods):
            if good.food_group == group and good.group_share > 0:
                program.entries(rows, used[number, weeks], -good.group_share)
        columns = np.concatenate([columns, added])
    return found[0], found[1], columns
