"""Better plans by clearing a few beds and planting them anew.

Each step takes the pieces off a few beds, solves the relaxation of just those beds with
everything else as it stands, lays them out exactly, and keeps the answer only if the judge finds
the whole plan cheaper.
"""

import numpy as np

from perennate.planning.allocate.build import fill, replant
from perennate.planning.allocate.ground import Ground
from perennate.planning.allocate.judge import Judge
from perennate.planning.allocate.problem import Piece, Problem

TRIES = 60
"""Options looked at for the ground that a replanting leaves: the dearest find room or none does."""


class Improver:
    """Holds what stays the same between steps. `fixed` pieces are never moved."""

    def __init__(
        self,
        problem: Problem,
        judge: Judge,
        ground: Ground,
        offered: list[int],
        fixed: tuple[Piece, ...],
        effort: float,
    ) -> None:
        self.problem, self.judge, self.ground = problem, judge, ground
        self.offered, self.effort = offered, effort
        self.fixed = set(fixed)
        self.cost = judge.cost(ground.pieces)

    def step(self, beds: list[int], least_gain: float = 1e-6) -> bool:
        """Clear and replant these beds; True if the plan got cheaper by `least_gain`."""
        before = list(self.ground.pieces)
        removed = [p for p in before if p.bed in set(beds) and p not in self.fixed]
        for piece in removed:
            self.ground.remove(piece)
        offered = sorted({*self.offered, *(p.option for p in removed)})
        replant(self.problem, self.judge, self.ground, offered, beds, self.effort)
        fill(self.problem, self.judge, self.ground, 2 + len(beds), beds, tries=TRIES)
        cost = self.judge.cost(self.ground.pieces)
        if cost < self.cost - least_gain:
            self.cost = cost
            return True
        kept = set(before)
        for piece in list(self.ground.pieces):
            if piece not in kept or piece in removed:
                self.ground.remove(piece)
        for piece in removed:
            self.ground.add(piece)
        return False


def neighbourhoods(problem: Problem, size: int, seed: int) -> list[list[int]]:
    """All beds once, in small sets drawn anew for each seed."""
    random = np.random.Generator(np.random.PCG64(seed))
    order = [int(bed) for bed in random.permutation(len(problem.beds))]
    return [order[i : i + size] for i in range(0, len(order), size)]
