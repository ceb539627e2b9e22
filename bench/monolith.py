"""The same problem as one mixed-integer programme: every option in every bed, whole strips."""

import time
from dataclasses import dataclass

import numpy as np

from perennate.planning.allocate.larder import add_larder
from perennate.planning.allocate.problem import Problem
from perennate.planning.allocate.program import INF, Program, solver
from perennate.planning.allocate.relax import option_cost


@dataclass(frozen=True)
class Monolith:
    """What HiGHS made of it: cost of the best answer (infinite if none), seconds, size."""

    cost: float
    seconds: float
    columns: int
    nonzeros: int
    status: str


def monolith(problem: Problem, seconds: float) -> Monolith:
    """Build and solve within so many seconds. Positions along a bed and the bench are left out,
    which only makes it easier."""
    started = time.perf_counter()
    program = Program()
    larder = add_larder(program, problem)
    beds = problem.beds
    for number, bed in enumerate(beds):
        chosen = [
            (index, option)
            for index, option in enumerate(problem.options)
            if option.fitness[bed.group] > 0 and number not in option.refused
        ]
        cost = np.array([option_cost(option, problem) for _, option in chosen]) * bed.strip_m2
        size = program.columns(len(chosen), cost=cost, upper=float(bed.strips), whole=True)
        sown = program.columns(len(chosen), cost=problem.prices.sowing, upper=1.0, whole=True)
        rows = program.rows(len(chosen), -INF, 0.0)
        program.entries(rows, size, 1.0)
        program.entries(rows, sown, -float(bed.strips))
        least = np.array([float(option.least_strips) for _, option in chosen])
        rows = program.rows(len(chosen), 0.0, INF)
        program.entries(rows, size, 1.0)
        program.entries(rows, sown, -least)
        space = program.rows(problem.weeks, -INF, float(bed.strips))
        rest = {
            family: program.rows(problem.weeks, -INF, float(bed.strips))
            for family in range(problem.families)
        }
        for column, (_, option) in zip(size, chosen, strict=True):
            weeks = np.arange(option.start, min(option.end, problem.weeks))
            program.entries(space[weeks], np.repeat(column, len(weeks)), 1.0)
            if option.family >= 0:
                weeks = np.arange(option.start, min(option.end + option.rest, problem.weeks))
                program.entries(rest[option.family][weeks], np.repeat(column, len(weeks)), 1.0)
            made_weeks = np.array([week for week, _ in option.made])
            made = np.array([amount for _, amount in option.made])
            program.entries(
                larder.harvest_rows[option.good, made_weeks],
                np.repeat(column, len(made_weeks)),
                -made * option.fitness[bed.group] * bed.strip_m2,
            )
    model = program.model()
    left = max(seconds - (time.perf_counter() - started), 1.0)
    highs = solver(time_limit=left, threads=2, parallel="on")
    highs.passModel(model)
    highs.run()
    info = highs.getInfo()
    found = info.primal_solution_status == 2 and np.isfinite(info.objective_function_value)
    cost = info.objective_function_value + larder.constant if found else float("inf")
    return Monolith(
        cost,
        time.perf_counter() - started,
        program.n_columns,
        program.nonzeros,
        highs.modelStatusToString(highs.getModelStatus()),
    )
