"""Who stands on which strips of which bed in which weeks, and where a family must not return."""

import numpy as np
from numpy.typing import NDArray

from perennate.planning.allocate.problem import Option, Piece, Problem

Bools = NDArray[np.bool_]


class Ground:
    """Occupancy by bed, strip and week, and the weeks that each family holds or rests from.

    A family's claim lies on the strips where it stood, from its first week to the end of its
    rest; a new planting of the family may not meet it there, before or after.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.pieces: list[Piece] = []
        self._held = [np.zeros((bed.strips, problem.weeks), np.int16) for bed in problem.beds]
        self._claimed: dict[tuple[int, int], NDArray[np.int16]] = {}
        for held, bed in zip(self._held, problem.beds, strict=True):
            for first, strips, start, end in bed.taken:
                held[first : first + strips, max(start, 0) : max(end, 0)] += 1
        for rest in problem.rests:
            claim = self._claim(rest.bed, rest.family)
            resting = slice(rest.first_strip, rest.first_strip + rest.strips)
            claim[resting, max(rest.start, 0) : max(rest.end, 0)] += 1

    def _claim(self, bed: int, family: int) -> NDArray[np.int16]:
        key = (bed, family)
        if key not in self._claimed:
            shape = (self.problem.beds[bed].strips, self.problem.weeks)
            self._claimed[key] = np.zeros(shape, np.int16)
        return self._claimed[key]

    def open_strips(self, bed: int, option: Option) -> Bools:
        """Strips of the bed that are free for the option over all its weeks."""
        span = slice(option.start, option.end)
        free = ~(self._held[bed][:, span] > 0).any(axis=1)
        if option.family >= 0 and (bed, option.family) in self._claimed:
            reach = slice(option.start, option.end + option.rest)
            free &= ~(self._claimed[bed, option.family][:, reach] > 0).any(axis=1)
        return np.asarray(free)

    def free_by_week(self, bed: int, family: int | None = None) -> NDArray[np.int64]:
        """Strips of the bed free in each week; with a family, free of it and of its rest."""
        held = self._held[bed] if family is None else self._claim(bed, family)
        return np.asarray((held == 0).sum(axis=0), np.int64)

    def held_boxes(self, bed: int, family: int | None = None) -> list[tuple[int, int, int, int]]:
        """What is held (or claimed by a family) as boxes: (first strip, strips, week, week after).

        Boxes do not overlap; equal neighbouring strips are one box.
        """
        held = (self._held[bed] if family is None else self._claim(bed, family)) > 0
        boxes = []
        first = 0
        for strip in range(1, held.shape[0] + 1):
            if strip < held.shape[0] and (held[strip] == held[first]).all():
                continue
            padded = np.concatenate([[False], held[first], [False]])
            edges = np.flatnonzero(padded[1:] != padded[:-1])
            boxes += [
                (first, strip - first, int(a), int(b))
                for a, b in zip(edges[::2], edges[1::2], strict=True)
            ]
            first = strip
        return boxes

    def runs(self, bed: int, option: Option) -> list[tuple[int, int]]:
        """Unbroken runs of open strips: (first strip, length)."""
        free = np.concatenate([[False], self.open_strips(bed, option), [False]])
        edges = np.flatnonzero(free[1:] != free[:-1])
        return [(int(a), int(b - a)) for a, b in zip(edges[::2], edges[1::2], strict=True)]

    def slack(self, bed: int, first: int, strips: int, option: Option) -> int:
        """Idle strip-weeks left directly before and after a placing: less is a closer fit."""
        held = self._held[bed][first : first + strips] > 0
        before = held[:, : option.start][:, ::-1]
        after = held[:, option.end :]
        return _idle(before) + _idle(after)

    def add(self, piece: Piece) -> None:
        self.pieces.append(piece)
        self._mark(piece, 1)

    def remove(self, piece: Piece) -> None:
        self.pieces.remove(piece)
        self._mark(piece, -1)

    def _mark(self, piece: Piece, step: int) -> None:
        option = self.problem.options[piece.option]
        strips = slice(piece.first_strip, piece.first_strip + piece.strips)
        self._held[piece.bed][strips, option.start : option.end] += np.int16(step)
        if option.family >= 0:
            claim = self._claim(piece.bed, option.family)
            claim[strips, option.start : option.end + option.rest] += np.int16(step)

    def best_place(self, option_index: int, strips: int, beds: list[int]) -> Piece | None:
        """The closest fit for so many strips in one piece among these beds; None if none.

        A bed shorter than the option's least piece is taken whole.
        """
        option = self.problem.options[option_index]
        best: tuple[int, int, int, Piece] | None = None
        for bed in beds:
            if bed in option.refused:
                continue
            whole = self.problem.beds[bed].strips
            size = whole if whole < option.least_strips else strips
            for first, length in self.runs(bed, option):
                if length < size:
                    continue
                for at in sorted({first, first + length - size}):
                    slack = self.slack(bed, at, size, option)
                    candidate = (slack, bed, at, Piece(bed, at, option_index, size))
                    if best is None or candidate[:3] < best[:3]:
                        best = candidate
        return best[3] if best else None


def _idle(held: Bools) -> int:
    """Weeks until each strip is next held, summed over the strips; all weeks if never."""
    if held.shape[1] == 0:
        return 0
    return int(np.where(held.any(axis=1), held.argmax(axis=1), held.shape[1]).sum())
