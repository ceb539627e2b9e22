"""Small moves, best first: a piece grows, shrinks, goes, or gives its place to another option.

What a harvest is worth is a concave function of the harvest, so today's prices never understate
what a move can gain: only moves that gain by price are judged at all.
"""

from dataclasses import replace

import numpy as np

from perennate.planning.allocate.ground import Ground
from perennate.planning.allocate.judge import Judge
from perennate.planning.allocate.problem import Piece, Problem
from perennate.planning.allocate.scarce import Scarce

LEAST_GAIN = 1e-5
REPLACEMENTS = 4
"""Other options looked at for the place of one piece."""

Move = tuple[Piece, Piece | None]


class Polisher:
    """Makes moves on one ground until none gains or so many have been judged."""

    def __init__(
        self,
        problem: Problem,
        judge: Judge,
        ground: Ground,
        fixed: tuple[Piece, ...],
        least_gain: float = LEAST_GAIN,
    ) -> None:
        self.problem, self.judge, self.ground = problem, judge, ground
        self.fixed = set(fixed)
        self.least_gain = least_gain
        self._scarce_at_start = Scarce(problem, judge, ground.pieces)
        self.made = np.array(judge.tables.made).reshape(len(problem.options), problem.weeks)
        self.good = np.array([option.good for option in problem.options], np.int64)
        self.fitness = np.array([option.fitness for option in problem.options])
        self.least = np.array([option.least_strips for option in problem.options])

    def run(self, judgements: int) -> int:
        """Judge at most so many moves; returns how many were judged."""
        judge, ground = self.judge, self.ground
        cost = judge.cost(ground.pieces)
        done = 0
        stale: set[Move] = set()
        while done < judgements:
            moved = False
            for move in self._moves():
                if move in stale:
                    continue
                done += 1
                self._make(move)
                lower = judge.cost(ground.pieces) if self._scarce_holds() else np.inf
                if lower < cost - self.least_gain:
                    cost, moved = lower, True
                    stale.clear()
                    break
                self._unmake(move)
                stale.add(move)
                if done >= judgements:
                    break
            if not moved:
                break
        return done

    def _scarce_holds(self) -> bool:
        scarce = Scarce(self.problem, self.judge, self.ground.pieces)
        return scarce.no_worse_than(self._scarce_at_start)

    def _make(self, move: Move) -> None:
        self.ground.remove(move[0])
        if move[1] is not None:
            self.ground.add(move[1])

    def _unmake(self, move: Move) -> None:
        if move[1] is not None:
            self.ground.remove(move[1])
        self.ground.add(move[0])

    def _moves(self) -> list[Move]:
        """Moves that gain by today's prices, the most gaining first."""
        prices = self.judge.prices(self.ground.pieces)
        worth = np.einsum("ow,ow->o", self.made, prices[self.good])
        each = worth[:, None] * self.fitness - self.judge.tables.cost[:, None]
        sowing = self.problem.prices.sowing
        found: list[tuple[float, Move]] = []
        for piece in sorted(self.ground.pieces):
            if piece in self.fixed:
                continue
            bed = self.problem.beds[piece.bed]
            value = float(each[piece.option, bed.group]) * bed.strip_m2
            if value > self.least_gain:
                found += [(value, (piece, grown)) for grown in self._grown(piece)]
            elif value < -self.least_gain and piece.strips > self.least[piece.option]:
                shrunk = replace(piece, strips=piece.strips - 1)
                found.append((-value, (piece, shrunk)))
            gone = sowing - value * piece.strips
            if gone > self.least_gain:
                found.append((gone, (piece, None)))
            found += self._replaced(piece, each[:, bed.group] * bed.strip_m2, value)
        found.sort(key=lambda entry: (-round(entry[0], 6), entry[1][0], entry[1][1] is None))
        return [move for _, move in found]

    def _grown(self, piece: Piece) -> list[Piece]:
        option = self.problem.options[piece.option]
        free = self.ground.open_strips(piece.bed, option)
        grown = []
        after = piece.first_strip + piece.strips
        if after < len(free) and free[after]:
            grown.append(replace(piece, strips=piece.strips + 1))
        if piece.first_strip > 0 and free[piece.first_strip - 1]:
            grown.append(replace(piece, first_strip=piece.first_strip - 1, strips=piece.strips + 1))
        return grown

    def _replaced(self, piece: Piece, each: np.ndarray, value: float) -> list[tuple[float, Move]]:
        gain = np.round((each - value) * piece.strips, 6)
        gain[self.least > piece.strips] = -1.0
        gain[self.fitness[:, self.problem.beds[piece.bed].group] <= 0] = -1.0
        gain[piece.option] = -1.0
        count = min(REPLACEMENTS * 4, len(gain))
        best = np.argsort(-gain, kind="stable")[:count]
        found: list[tuple[float, Move]] = []
        if gain[best[0]] <= self.least_gain:
            return found
        self.ground.remove(piece)
        for index in best:
            if gain[index] <= self.least_gain or len(found) >= REPLACEMENTS:
                break
            option = self.problem.options[index]
            if piece.bed in option.refused:
                continue
            free = self.ground.open_strips(piece.bed, option)
            if free[piece.first_strip : piece.first_strip + piece.strips].all():
                found.append((float(gain[index]), (piece, replace(piece, option=int(index)))))
        self.ground.add(piece)
        return found
