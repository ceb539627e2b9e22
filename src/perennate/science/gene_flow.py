"""Pollen from elsewhere: how much seed it fathers, by distance, size, time and barrier.

Shares are of seed, from 0 to 1; distances in metres from middle to middle of the stands, which
stands in for the fields better than the gap between their margins (Klein and others 2006, J. Appl.
Ecol. 43:141). Measured crossing falls off with a tail fatter than an exponential, so a power of
distance is fitted.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, stdtrit

Floats = NDArray[np.float64]

SIZE_POWER_LOW, SIZE_POWER, SIZE_POWER_HIGH = 0.33, 0.55, 1.0
"""How the odds of a foreign father grow with the foreign stand's size over the own stand's.

Own pollen cut to a fifth raised the odds 1.70, 2.42 and 3.28 times at 1, 10 and 35 m (Goggi and
others 2007, Int. J. Biometeorol. 51:493): powers 0.33, 0.55 and 0.74. 1 is mass action, the most
that it can be.
"""
_MOST = 1.0 - 1e-12
_LEAST_POINTS = 3
_CERTAIN_DAYS = 1e-6


@dataclass(frozen=True, slots=True)
class Spread:
    """A share, or odds, with the ends of its usual range; arrays of one shape."""

    value: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True)
class PowerFit:
    """share = at_1_m * distance ** -exponent, fitted on logarithms by least squares.

    `residual_sd`: spread of ln(share) about it, NaN with two points. `nearest_m`, `farthest_m`:
    the distances of the points, between which the fit holds. `leverage`: of the end farther from
    the points' middle.
    """

    at_1_m: float
    exponent: float
    r_squared: float
    residual_sd: float
    points: int
    nearest_m: float
    farthest_m: float
    leverage: float

    def share(self, distance_m: ArrayLike) -> Floats:
        """The fitted share, held at its ends outside the distances of the points."""
        inside = np.clip(np.asarray(distance_m, float), self.nearest_m, self.farthest_m)
        return np.asarray(np.minimum(self.at_1_m * inside**-self.exponent, _MOST))


def fit_power(distance_m: ArrayLike, share: ArrayLike) -> PowerFit:
    """The power of distance that measured crossing follows.

    `distance_m` and `share` (of seed, 0 to 1) have one shape. ValueError for fewer than two
    different distances, distances not above 0, shares not between 0 and 1 (a logarithm has no
    place for none), and crossing that grows with distance.
    """
    far, seen = np.asarray(distance_m, float).ravel(), np.asarray(share, float).ravel()
    if far.shape != seen.shape or np.unique(far).size < 2:
        raise ValueError(f"found {far.size} distances, {seen.size} shares; two or more, paired")
    if not (np.all(np.isfinite(far)) and far.min() > 0.0):
        raise ValueError(f"found a distance of {far.min():g} m; expected more than 0 m")
    if not (seen.min() > 0.0 and seen.max() < 1.0):
        raise ValueError(f"found shares {seen.min():g} to {seen.max():g}; expected within 0 and 1")
    x, y = np.log(far), np.log(seen)
    centred = x - x.mean()
    spread = float(centred @ centred)
    slope = float(centred @ (y - y.mean())) / spread
    if slope > 0.0:
        raise ValueError(f"found crossing that grows as distance to the power {slope:g}")
    residual = y - y.mean() - slope * centred
    lost, total = float(residual @ residual), float((y - y.mean()) @ (y - y.mean()))
    free = far.size - 2
    return PowerFit(
        float(np.exp(y.mean() - slope * x.mean())),
        -slope,
        1.0 - lost / total if total > 0.0 else 1.0,
        float(np.sqrt(lost / free)) if free else float("nan"),
        far.size,
        float(far.min()),
        float(far.max()),
        1.0 / far.size + float(np.max(centred**2)) / spread,
    )


def crossing_share(fit: PowerFit, distance_m: ArrayLike, chance: float = 0.8) -> Spread:
    """Share of foreign pollen at a distance from a stand of the same size, in full bloom together.

    A new place lies between low and high with this chance (prediction interval of the regression
    at its widest, Student's t, laid to the odds). Nearer than any point: from the nearest point's
    share up to half, as where equal stands are mixed, or its upper end if that is more. Farther
    than any: at most the farthest point's share, down to none; so farther is never more.
    ValueError for a fit of fewer than three points, a chance not within 0 and 1, or a distance
    below 0 m.
    """
    if fit.points < _LEAST_POINTS:
        raise ValueError(f"found a fit of {fit.points} points; expected {_LEAST_POINTS} or more")
    if not 0.0 < chance < 1.0:
        raise ValueError(f"found a chance of {chance:g}; expected between 0 and 1")
    far = np.asarray(distance_m, float)
    if not np.all(far >= 0.0):
        raise ValueError(f"found a distance of {np.min(far):g} m; expected 0 m or more")
    t = float(stdtrit(fit.points - 2, 0.5 + chance / 2.0))
    factor = np.exp(t * fit.residual_sd * np.sqrt(1.0 + fit.leverage))
    value = fit.share(far)
    low = np.where(far > fit.farthest_m, 0.0, _share_of(_odds(value) / factor))
    high = _share_of(_odds(value) * factor)
    return Spread(value, low, np.where(far < fit.nearest_m, np.maximum(high, 0.5), high))


def within_points(fit: PowerFit, distance_m: ArrayLike) -> NDArray[np.bool_]:
    """Whether a distance lies among those that were measured."""
    far = np.asarray(distance_m, float)
    return (far >= fit.nearest_m) & (far <= fit.farthest_m)


def foreign_odds(
    share: Spread,
    size_ratio: ArrayLike = 1.0,
    overlap: ArrayLike = 1.0,
    passing: Spread | None = None,
) -> Spread:
    """Odds that a flower open to foreign pollen is fathered by one foreign stand.

    `share`: of foreign pollen from a stand of equal size at that distance; `size_ratio`: flowers
    (or plants) of the foreign stand for one of the own; `overlap`: share of the own bloom while
    the foreign stand sheds pollen; `passing`: share of pollen that passes barrier, cage or bag,
    None for all. The spread of the share and of the effect of size are taken as independent.
    ValueError for ratios not above 0, or an overlap or passing share outside 0 to 1.
    """
    ratio, together = np.asarray(size_ratio, float), np.asarray(overlap, float)
    if not np.all((ratio > 0.0) & np.isfinite(ratio)):
        raise ValueError(f"found a size ratio of {np.min(ratio):g}; expected more than 0")
    if not np.all((together >= 0.0) & (together <= 1.0)):
        raise ValueError(f"found an overlap of {np.min(together):g}; expected 0 to 1")
    through = passing if passing is not None else _exactly(1.0)
    if not (np.all(through.low >= 0.0) and np.all(through.high <= 1.0)):
        raise ValueError("found more than all or less than none passing; expected 0 to 1")
    log_ratio = np.log(ratio)
    middle = _odds(share.value) * ratio**SIZE_POWER
    grown = np.where(log_ratio > 0.0, SIZE_POWER_HIGH - SIZE_POWER, SIZE_POWER - SIZE_POWER_LOW)
    shrunk = np.where(log_ratio > 0.0, SIZE_POWER - SIZE_POWER_LOW, SIZE_POWER_HIGH - SIZE_POWER)
    with np.errstate(divide="ignore"):
        up = np.hypot(np.log(_odds(share.high) / _odds(share.value)), grown * log_ratio)
        down = np.hypot(np.log(_odds(share.value) / _odds(share.low)), shrunk * log_ratio)
    return Spread(
        np.asarray(middle * together * through.value),
        np.asarray(middle * np.exp(-down) * together * through.low),
        np.asarray(middle * np.exp(up) * together * through.high),
    )


def off_types(odds: Spread, outcrossing: tuple[float, float, float]) -> tuple[float, float, float]:
    """Share of off-types in the seed: value, low, high [1], from all foreign stands together.

    h = t f / (f + o), with the foreign odds f / o summed over stands and t the outcrossing rate
    (value, low, high). Low and high take all sources at their ends together, which widens them.
    """
    value, low, high = outcrossing
    if not 0.0 <= low <= value <= high <= 1.0:
        raise ValueError(f"found outcrossing {low:g}, {value:g}, {high:g}; expected in order, 0-1")
    return (
        value * float(_share_of(np.asarray(np.sum(odds.value)))),
        low * float(_share_of(np.asarray(np.sum(odds.low)))),
        high * float(_share_of(np.asarray(np.sum(odds.high)))),
    )


def bloom_overlap(
    first_a: ArrayLike,
    last_a: ArrayLike,
    first_b: ArrayLike,
    last_b: ArrayLike,
    spread_days: ArrayLike = 0.0,
) -> Floats:
    """Share of the bloom of `a` during which `b` is in bloom too, as expected.

    First and last days are on one axis and both in bloom; `spread_days`: standard deviation of the
    days between the two blooms (root of the sum of both variances), 0 where both are certain.
    Bloom is taken as even through its days. ValueError for a last day before the first, or a
    spread below 0.
    """
    start_a, start_b = np.asarray(first_a, float), np.asarray(first_b, float)
    long_a = np.asarray(last_a, float) - start_a + 1.0
    long_b = np.asarray(last_b, float) - start_b + 1.0
    spread = np.asarray(spread_days, float)
    if not (np.all(long_a >= 1.0) and np.all(long_b >= 1.0)):
        raise ValueError("found a bloom that ends before it begins; expected first <= last")
    if not np.all(spread >= 0.0):
        raise ValueError(f"found a spread of {np.min(spread):g} days; expected 0 or more")
    lag = start_b - start_a
    together = (
        _expected_above(lag + long_b, spread)
        - _expected_above(lag, spread)
        - _expected_above(lag + long_b - long_a, spread)
        + _expected_above(lag - long_a, spread)
    )
    return np.asarray(np.clip(together / long_a, 0.0, 1.0))


def foreign_genes_after(hybrid_share: ArrayLike, seasons: ArrayLike) -> Floats:
    """Share of foreign genes after seasons with this share of hybrid seed each and no roguing.

    x <- x + (1 - x) h / 2 (Haldane 1930, from memory).
    """
    return np.asarray(1.0 - (1.0 - _share(hybrid_share) / 2.0) ** np.asarray(seasons, float))


def _exactly(share: float) -> Spread:
    one = np.asarray(share, float)
    return Spread(one, one, one)


def _odds(share: Floats) -> Floats:
    kept = np.minimum(share, _MOST)
    return np.asarray(kept / (1.0 - kept))


def _share_of(odds: Floats) -> Floats:
    return np.asarray(odds / (1.0 + odds))


def _share(share: ArrayLike) -> Floats:
    found = np.asarray(share, float)
    if not np.all((found >= 0.0) & (found <= 1.0)):
        raise ValueError(f"found shares {np.min(found):g} to {np.max(found):g}; expected 0 to 1")
    return found


def _expected_above(x: Floats, spread: Floats) -> Floats:
    """Expectation of max(x + e, 0) with e normal of this standard deviation."""
    certain = spread < _CERTAIN_DAYS
    scale = np.where(certain, 1.0, spread)
    blurred = x * ndtr(x / scale) + scale * np.exp(-0.5 * (x / scale) ** 2) / np.sqrt(2.0 * np.pi)
    return np.where(certain, np.maximum(x, 0.0), blurred)
