"""From a problem to placed pieces with a bound: relax, lay out, fill, improve."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from perennate.planning.allocate.build import fill, place_by_group, promising
from perennate.planning.allocate.ground import Ground
from perennate.planning.allocate.improve import Improver, neighbourhoods
from perennate.planning.allocate.judge import Judge
from perennate.planning.allocate.polish import LEAST_GAIN, Polisher
from perennate.planning.allocate.problem import Judged, Piece, Problem
from perennate.planning.allocate.relax import Relaxed, relax

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True)
class Effort:
    """How long to look. `fill_rounds`: plantings added by price; `steps`: times that
    `beds_at_once` are cleared and planted anew, each bed laid out in CP-SAT's deterministic
    time `layout`; `polish`: small moves judged; `enough_gap` ends the search."""

    fill_rounds: int
    steps: int
    beds_at_once: int
    layout: float
    polish: int
    enough_gap: float
    patient: bool = False
    """Whether large problems get all their steps."""


EFFORTS = {
    "quick": Effort(60, 0, 4, 0.02, 40, 0.02),
    "usual": Effort(120, 40, 4, 0.05, 100, 0.01),
    "thorough": Effort(400, 60, 6, 0.1, 600, 0.003, patient=True),
}


AFFORDABLE_NONZEROS = 1_100_000
"""A step costs about as much as the relaxation is large: large problems get fewer steps, and the
largest, whose relaxation alone is as much, get none but small moves."""


POLISH_NONZEROS = 6_000_000
"""The same for small moves, which are cheaper."""
WORTH_A_CHANGE = 0.002
"""A plan before is changed only where one change gains this share of all aims' value."""


def with_few_kinds(problem: Problem, relaxed: Relaxed) -> Problem:
    """The problem with no more goods to grow than the grower will mind at once.

    Goods that an aim names come first, then those that the relaxation earns most with. The
    bound stays that of the whole choice.
    """
    if len(problem.goods) <= problem.most_goods:
        return problem
    earned = [0.0] * len(problem.goods)
    for option, group, area in zip(relaxed.option, relaxed.group, relaxed.area, strict=True):
        chosen = problem.options[option]
        price = relaxed.harvest_price[chosen.good]
        earned[chosen.good] += float(
            area * chosen.fitness[group] * sum(amount * price[week] for week, amount in chosen.made)
        )
    named = {aim.good for aim in problem.amounts}
    order = sorted(
        range(len(problem.goods)), key=lambda g: (g not in named, -round(earned[g], 6), g)
    )
    kept = set(order[: problem.most_goods])
    options = tuple(
        option if option.good in kept else replace(option, fitness=(0.0,) * len(option.fitness))
        for option in problem.options
    )
    return replace(problem, options=options)


@dataclass(frozen=True, slots=True)
class Found:
    """The pieces, what they are worth, and how near the bound they come at each stage."""

    pieces: tuple[Piece, ...]
    judged: Judged
    relaxed: Relaxed
    bound: float
    gap_before_placing: float
    """Of the relaxation rounded to whole plantings, as if each found its bed."""
    gap_after_placing: float
    gap: float
    closed: bool
    steps: int


def gap_of(cost: float, bound: float, problem: Problem) -> float:
    """(cost as placed - bound) / value of the aims met; 0 when nothing can be met."""
    met = problem.value - min(cost, problem.value)
    if problem.value - bound <= 1e-9:
        return 0.0
    if met <= 1e-9:
        return 1.0
    return max(0.0, (cost - bound) / met)


def search(
    problem: Problem,
    effort: Effort,
    seed: int = 0,
    fixed: tuple[Piece, ...] = (),
    before: tuple[Piece, ...] = (),
    progress: Progress | None = None,
) -> Found:
    """Find pieces. `fixed` stay as they are; `before` is the previous plan's, kept unless
    something cheaper is found. Raises NoAnswer when the relaxation cannot be solved."""
    tell = progress or (lambda stage, share: None)
    tell("bound", 0.0)
    relaxed = relax(problem)
    problem = with_few_kinds(problem, relaxed)
    least_gain = WORTH_A_CHANGE * problem.value if before else LEAST_GAIN
    judge = Judge(problem)
    ground = Ground(problem)
    for piece in (*fixed, *before):
        ground.add(piece)
    all_beds = list(range(len(problem.beds)))
    offered = promising(problem, relaxed, 20, 2)
    rounded_cost = judge.cost(ground.pieces)
    if not before and problem.options:
        rounded_cost = place_by_group(problem, judge, relaxed, ground)
    placed = gap_of(judge.cost(ground.pieces), relaxed.bound, problem)
    tell("fill", 0.5)
    fill(problem, judge, ground, effort.fill_rounds, all_beds, least_gain)
    filled = gap_of(judge.cost(ground.pieces), relaxed.bound, problem)
    improver = Improver(problem, judge, ground, offered, fixed, effort.layout)
    done, idle, turn, closed = 0, 0, 0, filled <= effort.enough_gap
    steps = effort.steps
    if not effort.patient:
        steps = min(steps, max(AFFORDABLE_NONZEROS // max(relaxed.nonzeros, 1) - 1, 0))
    while done < steps and not closed and all_beds and problem.options:
        # by turns large and small, so that a few beds are not always cleared all at once
        few = min(effort.beds_at_once, max(1, len(all_beds) // 3))
        sets = neighbourhoods(problem, few if turn % 2 == 0 else max(1, few // 2), seed + turn)
        turn += 1
        for beds in sets[: steps - done]:
            done += 1
            idle = 0 if improver.step(beds, least_gain) else idle + 1
            tell("improve", 0.5 + 0.5 * done / steps)
            closed = gap_of(improver.cost, relaxed.bound, problem) <= effort.enough_gap
            if closed:
                break
        if idle >= 2 * len(sets):
            break
    polish = max(effort.polish, min(3 * effort.polish, POLISH_NONZEROS // relaxed.nonzeros))
    Polisher(problem, judge, ground, fixed, least_gain).run(polish)
    fill(problem, judge, ground, effort.fill_rounds // 4, all_beds, least_gain)
    pieces = tuple(sorted(ground.pieces))
    judged = judge.judged(list(pieces))
    return Found(
        pieces,
        judged,
        relaxed,
        relaxed.bound,
        gap_of(rounded_cost, relaxed.bound, problem),
        placed,
        gap_of(judged.cost, relaxed.bound, problem),
        closed,
        done,
    )
