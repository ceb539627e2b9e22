"""What may not be overdrawn: room on the bench, compost, water."""

from collections.abc import Iterable

import numpy as np

from perennate.planning.allocate.judge import Judge
from perennate.planning.allocate.problem import Piece, Problem

SLACK = 1e-9
SLACK_L = 1e-6


class Scarce:
    """What some pieces leave of the scarce things of a problem."""

    def __init__(self, problem: Problem, judge: Judge, pieces: Iterable[Piece]) -> None:
        self._judge = judge
        self._supply = problem.water
        self.left = np.append(np.array(problem.bench, float), problem.compost)
        """m2 of bench free in each week, then litres of compost; under 0 if overdrawn."""
        self.drawn = np.zeros(problem.weeks)
        """Litres of water drawn in each week."""
        for piece in pieces:
            self.take(piece)

    def take(self, piece: Piece) -> None:
        area = self._judge.area(piece)
        self.left = self.left - self._judge.tables.scarce[piece.option] * area
        self.drawn = self.drawn + self._judge.tables.water[piece.option] * area

    def admits(self, piece: Piece) -> bool:
        """Whether a piece asks for no more than is left of anything that it asks for."""
        area = self._judge.area(piece)
        need = self._judge.tables.scarce[piece.option] * area
        if ((need > self.left + SLACK) & (need > 0)).any():
            return False
        more = self._judge.tables.water[piece.option] * area
        if self._supply is None or not more.any():
            return True
        return self._supply.lack(self.drawn + more) <= self.lack() + SLACK_L

    def lack(self) -> float:
        """Litres of water that are drawn and not there."""
        return 0.0 if self._supply is None else self._supply.lack(self.drawn)

    def no_worse_than(self, before: "Scarce") -> bool:
        """Whether nothing is overdrawn that was not so before, and by no more."""
        over = self.left < np.minimum(before.left, 0.0) - SLACK
        return not over.any() and self.lack() <= before.lack() + SLACK_L
