"""The best use of a harvest that is known: the larder with what is harvested given as numbers.

What is lost is the slack of each week's balance, and what is harvested only stands on the right of
rows, so this programme is half the size of the larder in the relaxation and has the same optimum.
"""

from dataclasses import dataclass

import numpy as np

from perennate.planning.allocate.larder import serve_amounts, serve_diet
from perennate.planning.allocate.problem import Problem
from perennate.planning.allocate.program import (
    INF,
    Answer,
    Floats,
    Ints,
    Program,
    read_answer,
    read_objective,
    solver,
)


@dataclass(frozen=True)
class Use:
    """What is done with a harvest; `used`, `stored` and `lost` have shape (goods, weeks)."""

    used: Floats
    stored: Floats
    lost: Floats
    served: tuple[float, ...]
    """By aim for an amount: what is served in all weeks together."""
    diet: tuple[float, float, float]
    """Energy, protein and food groups that count, in all weeks together."""


class BestUse:
    """Keeps one programme; a harvest near the last is a short step from the last answer."""

    def __init__(self, problem: Problem) -> None:
        self._weeks = problem.weeks
        goods, weeks = len(problem.goods), problem.weeks
        self._keeps = np.array([good.keeps for good in problem.goods], np.int64)
        self._left = 1.0 - np.array([good.weekly_loss for good in problem.goods])
        waste = problem.prices.waste
        picking = np.array([good.minutes_per_unit for good in problem.goods])
        self._each = (waste + picking * problem.prices.minute)[:, None]
        program = Program()
        most = np.array([good.most_per_week for good in problem.goods])
        self._used = program.columns(goods * weeks, -waste, upper=np.repeat(most, weeks))
        self._used = self._used.reshape(goods, weeks)
        spared = np.tile(-waste * (1.0 - self._left)[:, None], (1, weeks))
        spared[:, -1] = -waste
        room = np.repeat(np.where(self._keeps > 0, INF, 0.0), weeks)
        self._stored = program.columns(goods * weeks, spared.ravel(), upper=room)
        self._stored = self._stored.reshape(goods, weeks)
        rows = program.rows(goods * weeks, -INF, 0.0).reshape(goods, weeks)
        program.entries(rows.ravel(), self._used.ravel(), 1.0)
        program.entries(rows.ravel(), self._stored.ravel(), 1.0)
        kept = np.repeat(-self._left, weeks - 1)
        program.entries(rows[:, 1:].ravel(), self._stored[:, :-1].ravel(), kept)
        self._ageing = np.flatnonzero((self._keeps > 0) & (self._keeps < weeks - 1))
        age = np.arange(self._keeps[self._ageing].max(initial=0))
        self._shares = self._left[self._ageing, None] ** age
        self._shares[age >= self._keeps[self._ageing, None]] = 0.0
        ages = program.rows(len(self._ageing) * weeks, -INF, 0.0).reshape(-1, weeks)
        program.entries(ages.ravel(), self._stored[self._ageing].ravel(), 1.0)
        self._balances, self._ages = rows, ages
        self._rows = np.concatenate([rows.ravel(), ages.ravel()]).astype(np.int32)
        self._served = serve_amounts(program, problem, self._used)
        self._diet = serve_diet(program, problem, self._used)
        self._highs = solver(solver="simplex")
        self._highs.passModel(program.model())
        self._given: Floats | None = None
        self._limits = np.zeros(len(self._rows))
        self._answer: Answer | None = None
        self._cost = 0.0

    def cost(self, harvest: Floats) -> float:
        """Picking and waste less the value of what is used, of a harvest (goods, weeks)."""
        if self._given is not None and (harvest == self._given).all():
            return self._cost
        limits = np.concatenate([harvest.ravel(), self._young(harvest).ravel()])
        changed = np.flatnonzero(limits != self._limits)
        if changed.size or self._given is None:
            rows, most = self._rows[changed], limits[changed]
            self._highs.changeRowsBounds(len(rows), rows, np.full(len(rows), -INF), most)
            self._highs.run()
        self._given, self._limits, self._answer = harvest.copy(), limits, None
        self._cost = read_objective(self._highs) + float((self._each * harvest).sum())
        return self._cost

    def _young(self, harvest: Floats) -> Floats:
        """Of each week what is young enough to be stored, of the goods that age in the plan.

        Summed place by place: a library's product may differ in its last bits between runs.
        """
        came = harvest[self._ageing]
        young = np.zeros_like(came)
        for back, share in enumerate(self._shares.T):
            young[:, back:] += share[:, None] * came[:, : self._weeks - back]
        return young

    def _read(self, harvest: Floats) -> Answer:
        self.cost(harvest)
        if self._answer is None:
            self._answer = read_answer(self._highs)
        return self._answer

    def prices(self, harvest: Floats) -> Floats:
        """What one more unit harvested is worth, shape (goods, weeks)."""
        duals = self._read(harvest).row_duals
        prices = -duals[self._balances] - self._each
        later = duals[self._ages]
        for back, share in enumerate(self._shares.T):
            prices[self._ageing, : self._weeks - back] -= share[:, None] * later[:, back:]
        return np.asarray(prices)

    def use(self, harvest: Floats) -> Use:
        """The whole answer."""
        columns = self._read(harvest).columns
        used, stored = columns[self._used], columns[self._stored]
        lost = harvest - used - stored
        lost[:, 1:] += stored[:, :-1] * self._left[:, None]

        def total(those: Ints) -> float:
            return float(columns[those].sum()) if len(those) else 0.0

        energy, protein, groups = self._diet
        return Use(
            used,
            stored,
            lost,
            tuple(total(served) for served in self._served),
            (total(energy), total(protein), total(groups)),
        )
