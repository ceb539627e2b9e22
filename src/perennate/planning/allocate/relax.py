"""The grouped relaxation: beds alike are one piece of ground, plantings may be any size.

Its optimum is a bound: no plan for this ground, by these options, can cost less. Occupancy and
family rest are running sums, so that an option enters them twice and not once a week.
"""

from dataclasses import dataclass

import numpy as np

from perennate.planning.allocate.larder import Larder, add_larder
from perennate.planning.allocate.problem import Option, Problem
from perennate.planning.allocate.program import INF, Floats, Ints, Program, solve
from perennate.planning.allocate.supply import PERIOD

OVERTIME = 8.0
"""A minute beyond the week's hours costs this many ordinary minutes."""

SIMPLEX_UP_TO = 400_000
"""Nonzeros up to which the dual simplex is faster here than interior point with crossover."""


@dataclass(frozen=True)
class Relaxed:
    """`area[k]` m2 of option `option[k]` in group `group[k]`; prices are duals.

    `harvest_price` (goods, weeks): what one more unit harvested then is worth.
    `compost_price`: what one more litre is worth.
    `ground_price` (groups, weeks), `bench_price` (weeks), `minute_price` (weeks), `water_price`
    (weeks, of a litre), `rest_price` (groups, families).
    """

    bound: float
    option: Ints
    group: Ints
    area: Floats
    reduced_cost: Floats
    harvest_price: Floats
    ground_price: Floats
    bench_price: Floats
    minute_price: Floats
    compost_price: float
    water_price: Floats
    rest_price: Floats
    columns: int
    rows: int
    nonzeros: int


def option_cost(option: Option, problem: Problem) -> float:
    """Cost of one m2 of an option, without the sowing itself, picking and scarcity."""
    prices = problem.prices
    weeks = min(option.end, problem.weeks) - option.start
    upkeep = problem.upkeep * weeks
    minutes = sum(amount for _, amount in option.minutes)
    return (
        prices.ground * weeks
        + prices.minute * (minutes + upkeep)
        + prices.compost * option.compost
        + prices.water * sum(litres for _, litres in option.water)
        + option.cost
    )


def usable_columns(problem: Problem) -> tuple[Ints, Ints]:
    """Every (option, group) that some bed of the group may take, in order."""
    pairs = []
    members = [frozenset(problem.group_beds(group)) for group in range(problem.groups)]
    for index, option in enumerate(problem.options):
        for group in range(problem.groups):
            if option.fitness[group] > 0 and not members[group] <= option.refused:
                pairs.append((index, group))
    array = np.array(pairs, np.int64).reshape(-1, 2)
    return array[:, 0], array[:, 1]


def free_ground(problem: Problem) -> Floats:
    """m2 of each group that may be planted in each week, shape (groups, weeks)."""
    free = np.zeros((problem.groups, problem.weeks))
    for bed in problem.beds:
        free[bed.group] += bed.strips * bed.strip_m2
        for _, strips, start, end in bed.taken:
            free[bed.group, max(start, 0) : end] -= strips * bed.strip_m2
    return np.maximum(free, 0.0)


def relax(problem: Problem) -> Relaxed:
    """Solve the relaxation to a corner; raises NoAnswer if it fails."""
    program = Program()
    option, group = usable_columns(problem)
    longest = [
        max(problem.beds[b].strips * problem.beds[b].strip_m2 for b in problem.group_beds(g))
        if problem.group_beds(g)
        else 1.0
        for g in range(problem.groups)
    ]
    cost = np.array(
        [
            option_cost(problem.options[o], problem) + problem.prices.sowing / longest[g]
            for o, g in zip(option, group, strict=True)
        ]
    )
    area = program.columns(len(option), cost=cost)
    larder = add_larder(program, problem)
    link_harvest(program, problem, larder, area, option, group)
    ground = capacity(program, problem, area, option, group)
    rest = rotation_rest(program, problem, area, option, group)
    bench = bench_space(program, problem, area, option)
    minutes = hours_of_work(program, problem, larder, area, option, ground[1])
    compost = compost_supply(program, problem, area, option)
    water = water_supply(program, problem, area, option)
    small = program.entered <= SIMPLEX_UP_TO
    answer = solve(program, solver="simplex" if small else "ipm", run_crossover="on")
    duals = answer.row_duals
    rest_price = np.zeros((problem.groups, max(problem.families, 1)))
    for (g, family), rows in rest.items():
        rest_price[g, family] = duals[rows].min()
    return Relaxed(
        answer.objective + larder.constant,
        option,
        group,
        answer.columns[area],
        answer.reduced_costs[area],
        -duals[larder.harvest_rows],
        -answer.reduced_costs[ground[1]].reshape(problem.groups, problem.weeks),
        -duals[bench],
        -duals[minutes] if len(minutes) else np.zeros(problem.weeks),
        float(-duals[compost].sum()),
        _price_by_week(-duals[water], problem.weeks),
        -rest_price,
        program.n_columns,
        program.n_rows,
        program.nonzeros,
    )


def link_harvest(
    program: Program, problem: Problem, larder: Larder, area: Ints, option: Ints, group: Ints
) -> None:
    """Harvest of a good in a week is what its options make of it then."""
    rows, cols, values = [], [], []
    for column, o, g in zip(area, option, group, strict=True):
        chosen = problem.options[o]
        for week, amount in chosen.made:
            rows.append(larder.harvest_rows[chosen.good, week])
            cols.append(column)
            values.append(-amount * chosen.fitness[g])
    program.entries(np.array(rows, np.int64), np.array(cols, np.int64), np.array(values))


def capacity(
    program: Program, problem: Problem, area: Ints, option: Ints, group: Ints
) -> tuple[Ints, Ints]:
    """No more ground under crop than the group has free; returns (rows, occupied columns)."""
    weeks, groups = problem.weeks, problem.groups
    free = free_ground(problem)
    occupied = program.columns(groups * weeks, upper=free.ravel()).reshape(groups, weeks)
    rows = program.rows(groups * weeks, 0.0, 0.0).reshape(groups, weeks)
    program.entries(rows.ravel(), occupied.ravel(), 1.0)
    program.entries(rows[:, 1:].ravel(), occupied[:, :-1].ravel(), -1.0)
    starts = np.array([problem.options[o].start for o in option], np.int64)
    ends = np.array([problem.options[o].end for o in option], np.int64)
    program.entries(rows[group, starts], area, -1.0)
    inside = ends < weeks
    program.entries(rows[group[inside], ends[inside]], area[inside], 1.0)
    return rows.ravel(), occupied.ravel()


def rest_free(problem: Problem, group: int, family: int) -> Floats:
    """m2 of the group on which a family may stand or rest in each week."""
    free = np.zeros(problem.weeks)
    for index in problem.group_beds(group):
        bed = problem.beds[index]
        barred = np.zeros((bed.strips, problem.weeks), bool)
        for claim in problem.rests:
            if claim.bed == index and claim.family == family:
                strips = slice(claim.first_strip, claim.first_strip + claim.strips)
                barred[strips, max(claim.start, 0) : max(claim.end, 0)] = True
        free += (~barred).sum(axis=0) * bed.strip_m2
    return free


def rotation_rest(
    program: Program, problem: Problem, area: Ints, option: Ints, group: Ints
) -> dict[tuple[int, int], Ints]:
    """Of one family, all whose time from start to end plus rest covers a week fit the ground."""
    found: dict[tuple[int, int], Ints] = {}
    families = np.array([problem.options[o].family for o in option], np.int64)
    for g in range(problem.groups):
        for family in sorted(set(families[(group == g) & (families >= 0)].tolist())):
            members = np.flatnonzero((group == g) & (families == family))
            chosen = [problem.options[option[m]] for m in members]
            starts = np.array([c.start for c in chosen])
            ends = np.array([c.end + c.rest for c in chosen])
            free = rest_free(problem, g, family)
            if (ends >= problem.weeks).all():
                row = program.rows(1, -INF, float(free.max()))
                program.entries(np.repeat(row, len(members)), area[members], 1.0)
                found[g, family] = row
                continue
            weeks = problem.weeks
            held = program.columns(weeks, upper=free)
            rows = program.rows(weeks, 0.0, 0.0)
            program.entries(rows, held, 1.0)
            program.entries(rows[1:], held[:-1], -1.0)
            program.entries(rows[starts], area[members], -1.0)
            inside = ends < weeks
            program.entries(rows[ends[inside]], area[members][inside], 1.0)
            found[g, family] = rows
    return found


def bench_space(program: Program, problem: Problem, area: Ints, option: Ints) -> Ints:
    """Seedlings of all options fit on the bench in every week."""
    rows = program.rows(problem.weeks, -INF, np.array(problem.bench))
    for column, o in zip(area, option, strict=True):
        for first, after, m2 in problem.options[o].bench:
            span = np.arange(max(first, 0), min(after, problem.weeks))
            program.entries(rows[span], np.repeat(column, len(span)), m2)
    return rows


def hours_of_work(
    program: Program, problem: Problem, larder: Larder, area: Ints, option: Ints, occupied: Ints
) -> Ints:
    """Sowing, tending and picking fit the week's hours, or cost overtime."""
    limited = np.isfinite(np.array(problem.minutes))
    prices = problem.prices
    picking = np.array([good.minutes_per_unit for good in problem.goods])
    if not limited.any():
        return np.zeros(0, np.int64)
    overtime = program.columns(problem.weeks, cost=prices.minute * OVERTIME)
    rows = program.rows(problem.weeks, -INF, np.array(problem.minutes))
    program.entries(rows, overtime, -1.0)
    for column, o in zip(area, option, strict=True):
        spent = [(w, m) for w, m in problem.options[o].minutes if 0 <= w < problem.weeks and m]
        if spent:
            weeks, minutes = zip(*spent, strict=True)
            program.entries(rows[list(weeks)], np.repeat(column, len(weeks)), np.array(minutes))
    for index in np.flatnonzero(picking):
        program.entries(rows, larder.harvest[index], picking[index])
    weekly = np.tile(rows, problem.groups)
    program.entries(weekly, occupied, problem.upkeep)
    return rows


def compost_supply(program: Program, problem: Problem, area: Ints, option: Ints) -> Ints:
    """No more compost than there is; returns its row, if it is limited."""
    if not np.isfinite(problem.compost):
        return np.zeros(0, np.int64)
    row = program.rows(1, -INF, problem.compost)
    litres = np.array([problem.options[o].compost for o in option])
    program.entries(np.repeat(row, len(area)), area, litres)
    return row


def water_supply(program: Program, problem: Problem, area: Ints, option: Ints) -> Ints:
    """No more water than there is, by periods of some weeks; returns their rows, if limited."""
    if problem.water is None:
        return np.zeros(0, np.int64)
    return problem.water.add_to(program, area, [problem.options[o].water for o in option])


def _price_by_week(duals: Floats, weeks: int) -> Floats:
    """A litre's price in each week: its period's, and that of all weeks together if limited."""
    if not len(duals):
        return np.zeros(weeks)
    periods = -(-weeks // PERIOD)
    each = np.repeat(duals[:periods], PERIOD)[:weeks]
    return np.asarray(each + duals[periods:].sum())
