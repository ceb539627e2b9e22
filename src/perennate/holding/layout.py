"""Beds laid out in rows, to be drawn until somebody measures where they lie."""

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

from perennate.holding.model import Bed

PATH_M = 0.5
ROW_M = 24.0
"""Rows are as wide as this, or as wide as all the beds in a square would be if that is more."""


def laid_out(groups: Sequence[Sequence[Bed]]) -> tuple[Bed, ...]:
    """The beds side by side with paths between them, groups and full rows one behind another.

    A bed's length runs north, its width east. No two overlap.
    """
    done: list[Bed] = []
    y_m = 0.0
    ground = sum((bed.length_m + PATH_M) * (bed.width_m + PATH_M) for one in groups for bed in one)
    row_m = max(ROW_M, sqrt(ground))
    for group in groups:
        x_m = deepest = 0.0
        for bed in group:
            if x_m > 0 and x_m + bed.width_m > row_m:
                x_m, y_m = 0.0, y_m + deepest + PATH_M
                deepest = 0.0
            done.append(replace(bed, x_m=round(x_m, 3), y_m=round(y_m, 3)))
            x_m += bed.width_m + PATH_M
            deepest = max(deepest, bed.length_m)
        y_m += deepest + PATH_M if group else 0.0
    return tuple(done)
