"""Which stands can pollinate which: near enough, in bloom together, and able to cross.

A k-d tree of the stands of each kind gives those within reach, so that the work grows with the
pairs found and not with all pairs.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Pairs:
    """Pairs of stands in order of `first`, then `second`, with first < second.

    `distance_m`: between their middles; `days_together`: days on which both are in bloom.
    """

    first: Ints
    second: Ints
    distance_m: Floats
    days_together: Floats

    def __len__(self) -> int:
        return self.first.size


def pairs_within_reach(
    x_m: ArrayLike,
    y_m: ArrayLike,
    reach_m: ArrayLike,
    first_day: ArrayLike,
    last_day: ArrayLike,
    kind: ArrayLike | None = None,
    crossing: ArrayLike | None = None,
) -> Pairs:
    """Every pair of stands within the greater of their two reaches that bloom together and cross.

    One entry a stand: middle `x_m`, `y_m`; `reach_m` of its kind's pollen; `first_day` and
    `last_day` of bloom on one axis, both in bloom; `kind` as a whole number from 0. `crossing`,
    shape (kinds, kinds), tells which cross. It must be symmetric, and unknown counts as crossing.
    Without kinds, all cross. ValueError for arrays of several lengths, values that are not finite,
    reaches below 0, a bloom that ends before it begins, or kinds that the matrix does not hold.
    """
    place = np.column_stack([np.asarray(x_m, float).ravel(), np.asarray(y_m, float).ravel()])
    count = len(place)
    reach, first, last = (
        np.broadcast_to(np.asarray(of, float), (count,)) for of in (reach_m, first_day, last_day)
    )
    _refuse(place, reach, first, last)
    kinds, matrix = _kinds(kind, crossing, count)
    # slow to load, and most who load this module look nothing up in space
    from scipy.spatial import cKDTree

    members = [np.flatnonzero(kinds == one) for one in range(len(matrix))]
    trees = [cKDTree(place[of]) for of in members]
    found: list[NDArray[np.int64]] = []
    for one, other in np.argwhere(np.triu(matrix)).tolist():
        own, theirs = members[one], members[other]
        if not own.size or not theirs.size:
            continue
        farthest = float(max(reach[own].max(), reach[theirs].max()))
        if one == other:
            near = trees[one].query_pairs(farthest, output_type="ndarray")
            found.append(np.column_stack([own[near[:, 0]], own[near[:, 1]]]))
        else:
            found.append(_between(trees[one], trees[other], own, theirs, farthest))
    pairs = np.concatenate(found) if found else np.empty((0, 2), np.int64)
    return _kept(pairs.astype(np.int64), place, reach, first, last)


def _kept(pairs: Ints, place: Floats, reach: Floats, first: Floats, last: Floats) -> Pairs:
    days = np.minimum(last[pairs[:, 0]], last[pairs[:, 1]]) + 1.0
    days -= np.maximum(first[pairs[:, 0]], first[pairs[:, 1]])
    together = days > 0.0
    pairs, days = np.sort(pairs[together], axis=1), days[together]
    a, b = pairs[:, 0], pairs[:, 1]
    apart = np.hypot(place[a, 0] - place[b, 0], place[a, 1] - place[b, 1])
    near = np.flatnonzero(apart <= np.maximum(reach[a], reach[b]))
    order = near[np.lexsort((b[near], a[near]))]
    return Pairs(a[order], b[order], apart[order], days[order])


def _between(one: Any, other: Any, own: Ints, theirs: Ints, farthest: float) -> Ints:
    near = one.query_ball_tree(other, farthest)
    counts = np.fromiter((len(hits) for hits in near), np.int64, len(near))
    if not counts.sum():
        return np.empty((0, 2), np.int64)
    hits = np.concatenate([np.asarray(hit, np.int64) for hit in near if hit])
    return np.column_stack([np.repeat(own, counts), theirs[hits]])


def _refuse(place: Floats, reach: Floats, first: Floats, last: Floats) -> None:
    if not all(np.all(np.isfinite(of)) for of in (place, first, last)):
        raise ValueError("found a place or day that is no number; expected finite numbers")
    if not np.all((reach >= 0.0) & np.isfinite(reach)):
        raise ValueError(f"found a reach of {np.min(reach):g} m; expected 0 m or more")
    if np.any(last < first):
        raise ValueError("found a bloom that ends before it begins; expected first <= last")


def _kinds(
    kind: ArrayLike | None, crossing: ArrayLike | None, count: int
) -> tuple[Ints, NDArray[np.bool_]]:
    if kind is None:
        return np.zeros(count, np.int64), np.ones((1, 1), bool)
    kinds = np.asarray(kind, np.int64).ravel()
    if kinds.size != count:
        raise ValueError(f"found {kinds.size} kinds for {count} stands; expected one each")
    most = int(kinds.max(initial=-1)) + 1
    matrix = np.ones((most, most), bool) if crossing is None else np.asarray(crossing, bool)
    if matrix.ndim != 2 or matrix.shape[0] != matrix.shape[1] or matrix.shape[0] < most:
        raise ValueError(f"found a matrix of {matrix.shape}; expected {most} by {most} or more")
    if np.any(kinds < 0) or np.any(matrix != matrix.T):
        raise ValueError("found kinds below 0 or a matrix that is not symmetric")
    # Kinds that cross with the same others are one kindred, and share a tree.
    _, chosen, kindred = np.unique(matrix, axis=0, return_index=True, return_inverse=True)
    return np.asarray(kindred.ravel()[kinds], np.int64), matrix[np.ix_(chosen, chosen)]
