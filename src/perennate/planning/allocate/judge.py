"""What a set of pieces is worth: the larder's best use of exactly what they bring.

The judge knows nothing of how the pieces were found.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from perennate.planning.allocate.best_use import BestUse
from perennate.planning.allocate.larder import ready_by_week
from perennate.planning.allocate.problem import DietAim, Judged, Piece, Problem
from perennate.planning.allocate.program import Floats
from perennate.planning.allocate.relax import OVERTIME, option_cost


@dataclass(frozen=True)
class Tables:
    """Each option's numbers as arrays, for one m2 in a group of fitness 1."""

    made: tuple[Floats, ...]
    """(weeks,) amounts of the option's own good."""
    minutes: tuple[Floats, ...]
    bench: tuple[Floats, ...]
    scarce: tuple[Floats, ...]
    """(weeks + 1,) what may not be overdrawn: bench by week, then compost."""
    water: tuple[Floats, ...]
    """(weeks,) litres drawn."""
    cost: Floats


def tables(problem: Problem) -> Tables:
    made, minutes, bench, scarce, water = [], [], [], [], []
    for option in problem.options:
        row = np.zeros(problem.weeks)
        for week, amount in option.made:
            row[week] += amount
        made.append(row)
        row = np.zeros(problem.weeks)
        for week, amount in option.minutes:
            if 0 <= week < problem.weeks:
                row[week] += amount
        row[option.start : option.end] += problem.upkeep
        minutes.append(row)
        row = np.zeros(problem.weeks)
        for first, after, m2 in option.bench:
            row[max(first, 0) : max(after, 0)] += m2
        bench.append(row)
        scarce.append(np.append(row, option.compost))
        row = np.zeros(problem.weeks)
        for week, litres in option.water:
            if 0 <= week < problem.weeks:
                row[week] += litres
        water.append(row)
    cost = np.array([option_cost(option, problem) for option in problem.options])
    return Tables(tuple(made), tuple(minutes), tuple(bench), tuple(scarce), tuple(water), cost)


FRESH_AFTER = 256
"""Running sums are made anew after so many judgements, so that roundings do not pile up."""


MORE = 1.001
"""Prices are read at a harvest larger by a trace: just enough of a good is common, and there they
lie anywhere between what one less costs and what one more brings. They say the latter."""


class Judge:
    """Judges sets of pieces of one problem, one after another."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.tables = tables(problem)
        self._best = BestUse(problem)
        self._ready = ready_by_week(problem)
        self._picking = np.array([good.minutes_per_unit for good in problem.goods])
        self._turns = 0

    def area(self, piece: Piece) -> float:
        return piece.strips * self.problem.beds[piece.bed].strip_m2

    def harvest(self, pieces: Sequence[Piece]) -> Floats:
        """What the pieces bring, shape (goods, weeks)."""
        self._turn_to(pieces)
        return np.round(self._brought, 6)

    def _turn_to(self, pieces: Sequence[Piece]) -> None:
        """Bring the running sums to these pieces, by what came and what went since last time."""
        wanted = Counter(pieces)
        if self._turns % FRESH_AFTER == 0:
            self._counted: Counter[Piece] = Counter()
            self._brought = np.zeros((len(self.problem.goods), self.problem.weeks))
            self._spent = np.zeros(self.problem.weeks)
            self._benched = np.zeros(self.problem.weeks)
            self._priced = 0.0
        self._turns += 1
        for piece, times in (wanted - self._counted).items():
            self._count(piece, times)
        for piece, times in (self._counted - wanted).items():
            self._count(piece, -times)
        self._counted = wanted

    def _count(self, piece: Piece, times: int) -> None:
        option = self.problem.options[piece.option]
        area = self.area(piece) * times
        fitness = option.fitness[self.problem.beds[piece.bed].group]
        self._brought[option.good] += self.tables.made[piece.option] * (fitness * area)
        self._spent += self.tables.minutes[piece.option] * area
        self._benched += self.tables.bench[piece.option] * area
        self._priced += self.tables.cost[piece.option] * area

    def prices(self, pieces: Sequence[Piece]) -> Floats:
        """What one more unit of each good in each week is worth now, shape (goods, weeks)."""
        return self._best.prices(np.round(self.harvest(pieces) * MORE, 6) + self._ready)

    def cost(self, pieces: Sequence[Piece]) -> float:
        """Unmet value plus ground, work, compost, sowings and overtime."""
        harvest = self.harvest(pieces) + self._ready
        return self._best.cost(harvest) + self.problem.value + self._own_cost(pieces, harvest)[0]

    def _own_cost(self, pieces: Sequence[Piece], harvest: Floats) -> tuple[float, float, float]:
        """Of the pieces just turned to and all their harvest: cost, overtime, most over bench."""
        problem, prices = self.problem, self.problem.prices
        spent = self._picking @ harvest + self._spent
        over = float(np.maximum(spent - np.array(problem.minutes), 0.0).sum())
        bench = self._benched - np.array(problem.bench)
        cost = self._priced + prices.sowing * len(pieces) + over * prices.minute * OVERTIME
        return round(cost, 7), over, float(np.maximum(bench, 0.0).max(initial=0.0))

    def judged(self, pieces: Sequence[Piece]) -> Judged:
        """The whole judgement, for the plan."""
        problem = self.problem
        harvest = self.harvest(pieces) + self._ready
        use = self._best.use(harvest)
        cost, over_minutes, over_bench = self._own_cost(pieces, harvest)
        met = []
        for aim, got in zip(problem.amounts, use.served, strict=True):
            wanted = aim.total if aim.total is not None else sum(aim.weekly)
            met.append(min(1.0, got / wanted) if wanted > 0 else 1.0)
        return Judged(
            self._best.cost(harvest) + problem.value + cost,
            tuple(met),
            self._diet_met(use.diet, problem.diet),
            tuple(map(tuple, np.round(use.used, 4).tolist())),
            tuple(map(tuple, np.round(use.stored, 4).tolist())),
            tuple(np.round(use.lost.sum(axis=1), 4).tolist()),
            over_minutes,
            over_bench,
        )

    def _diet_met(
        self, counted: tuple[float, float, float], diet: DietAim | None
    ) -> tuple[float, float, float]:
        if diet is None:
            return 0.0, 0.0, 0.0
        weeks = diet.last - diet.first
        wanted = (diet.energy * weeks, diet.protein * weeks, sum(diet.groups) * weeks)
        energy, protein, groups = (
            min(1.0, got / want) if want > 0 else 0.0
            for got, want in zip(counted, wanted, strict=True)
        )
        return energy, protein, groups
