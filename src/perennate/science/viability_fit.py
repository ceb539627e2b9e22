"""What a lot's own germination tests say of its life, on top of what its species does.

The species' equation gives the probits that a lot should have lost by each day. The lot loses them
`pace` times as fast, from a start `ki` of its own: v = ki - pace x lost. Tests are binomial, with
weak prior beliefs about ki (normal) and about the logarithm of the pace (normal); the mode is found
by Newton's steps, and the spread by weighing points spread evenly about it [3]_. Every point falls
with time and the quantiles are those of the points, so neither the estimate nor its limits ever
rise in store.

References
----------
.. [1] Finney 1971, Probit Analysis, 3rd edition (maximum likelihood of a probit line).
.. [2] Tierney and Kadane 1986, J. Am. Stat. Assoc. 81:82 (normal curve about a mode).
.. [3] Geweke 1989, Econometrica 57:1317 (importance weights); the points are those of a lattice of
   the plastic number, after Roberts 2018, the same in every run.
"""

from dataclasses import dataclass
from functools import cache
from math import exp, log

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import log_ndtr, ndtr, ndtri

from perennate.science.seed_life import OFF_BY

Floats = NDArray[np.float64]

USUAL_START = 1.6449
"""Deviate of a fresh lot of which nothing is known: 95 % (assumed)."""
START_SPREAD = 0.7
"""Its standard deviation: eight lots of ten between 77 and 99.4 % (assumed)."""
PACE_SPREAD = log(OFF_BY) / 1.2816
"""Standard deviation of the logarithm of a lot's pace: eight lots of ten within a factor of 3."""

_POINTS = 2048
_WIDER = 1.5
"""The points are spread wider than the curvature at the mode says, for heavier tails."""
_MOST_STEPS = 200


@dataclass(frozen=True, slots=True)
class Prior:
    """Belief before any test: deviate at the start, and pace as a factor on the probits lost.

    An endless spread means nothing known at all.
    """

    ki: float = USUAL_START
    ki_spread: float = START_SPREAD
    pace: float = 1.0
    log_pace_spread: float = PACE_SPREAD

    def __post_init__(self) -> None:
        if not (self.ki_spread > 0 and self.log_pace_spread > 0 and self.pace > 0):
            raise ValueError("a pace and the spreads of a belief lie above 0")


@dataclass(frozen=True, slots=True, eq=False)
class LotFit:
    """What is believed of a lot: the mode, and points of starts and paces with their weights."""

    ki: float
    pace: float
    covariance: tuple[tuple[float, float], tuple[float, float]]
    """Of ki and the logarithm of the pace, from the curvature at the mode."""
    starts: Floats
    paces: Floats
    weights: Floats

    def share_at(self, lost: float, surety: float = 0.8) -> tuple[float, float, float]:
        """(median, low, high) of the share alive when the species should have lost `lost` probits.

        Between low and high lies the truth with `surety`.
        """
        if not lost >= 0:
            raise ValueError(f"probits lost are not below 0, found {lost}")
        if not 0 < surety < 1:
            raise ValueError(f"surety lies above 0 and below 1, not {surety}")
        values = self.starts - self.paces * lost
        median, low, high = ndtr(self._quantiles(values, (0.5, (1 - surety) / 2, (1 + surety) / 2)))
        return float(median), float(low), float(high)

    def moments_at(self, lost: float) -> tuple[float, float]:
        """Mean and variance of the share alive, of all that is believed possible."""
        shares = ndtr(self.starts - self.paces * lost)
        mean = float(self.weights @ shares)
        return mean, float(self.weights @ (shares - mean) ** 2)

    def lost_until(self, share: float, quantile: float = 0.5, of_start: bool = False) -> float:
        """Probits that the species should lose until the lot's share falls to `share`.

        With `of_start` a share of what was alive at the start. 0 when it is there already. A low
        quantile is the pessimist's.
        """
        if not 0 < share < 1 or not 0 < quantile < 1:
            raise ValueError("a share and a quantile lie above 0 and below 1")
        threshold = ndtri(share * ndtr(self.starts)) if of_start else ndtri(share)
        until = np.maximum((self.starts - threshold) / self.paces, 0.0)
        return float(self._quantiles(until, (quantile,))[0])

    def _quantiles(self, values: Floats, wanted: tuple[float, ...]) -> Floats:
        order = np.argsort(values, kind="stable")
        so_far = np.cumsum(self.weights[order])
        at = np.searchsorted(so_far, np.asarray(wanted) * so_far[-1])
        return np.asarray(values[order[np.minimum(at, values.size - 1)]])


def fit_lot(
    lost: ArrayLike, sprouted: ArrayLike, tested: ArrayLike, prior: Prior | None = None
) -> LotFit:
    """The lot's start and pace from tests, by maximum likelihood with a prior [1]_ [2]_.

    `lost`: probits that the species should have lost by each test; `sprouted` of `tested` seeds.
    No tests at all give the prior back. Raises ValueError for tests that cannot be, and where
    nothing known and too few tests leave the answer open.
    """
    belief = prior or Prior()
    x = np.atleast_1d(np.asarray(lost, dtype=np.float64))
    good = np.atleast_1d(np.asarray(sprouted, dtype=np.float64))
    all_ = np.atleast_1d(np.asarray(tested, dtype=np.float64))
    if not x.shape == good.shape == all_.shape:
        raise ValueError(f"as many losses as tests: {x.size}, {good.size}, {all_.size}")
    if np.any((good < 0) | (good > all_) | (all_ < 1)):
        raise ValueError("a test has 0 <= sprouted <= tested, with one seed at least")
    if np.any(~(x >= 0) | ~np.isfinite(x)):
        raise ValueError("probits lost are numbers not below 0")
    ki, log_pace, hessian = _mode(x, good, all_, belief)
    covariance = np.linalg.inv(hessian)
    root = np.linalg.cholesky(covariance)
    even = _even_normals()
    points = np.array([[ki], [log_pace]]) + root @ (_WIDER * even)
    starts, paces = points[0], np.exp(points[1])
    heights = _log_posterior(points[0], points[1], x, good, all_, belief)
    heights = heights + 0.5 * (even * even).sum(axis=0)
    weights = np.exp(heights - heights.max())
    pairs = covariance.tolist()
    return LotFit(
        ki,
        exp(log_pace),
        ((pairs[0][0], pairs[0][1]), (pairs[1][0], pairs[1][1])),
        starts,
        paces,
        weights / weights.sum(),
    )


@cache
def _even_normals() -> Floats:
    """Points that fill the plane as two independent normal deviates would, without chance."""
    steps = np.array([[0.7548776662466927], [0.5698402909980532]])
    return np.asarray(ndtri((0.5 + steps * np.arange(1, _POINTS + 1)) % 1.0))


def _log_posterior(
    ki: Floats, log_pace: Floats, x: Floats, good: Floats, all_: Floats, belief: Prior
) -> Floats:
    v = ki[:, None] - np.exp(log_pace)[:, None] * x[None, :]
    height = (good * log_ndtr(v) + (all_ - good) * log_ndtr(-v)).sum(axis=1)
    height = height - 0.5 * ((ki - belief.ki) / belief.ki_spread) ** 2
    return np.asarray(height - 0.5 * ((log_pace - log(belief.pace)) / belief.log_pace_spread) ** 2)


def _mode(
    x: Floats, good: Floats, all_: Floats, belief: Prior
) -> tuple[float, float, NDArray[np.float64]]:
    """Mode and curvature by scoring, halving every step that does not climb."""
    at = np.array([belief.ki, log(belief.pace)])
    height = float(_log_posterior(at[:1], at[1:], x, good, all_, belief)[0])
    precision = np.array([belief.ki_spread**-2, belief.log_pace_spread**-2])
    for _ in range(_MOST_STEPS):
        gradient, curvature = _slopes(at, x, good, all_, belief, precision)
        try:
            step = np.linalg.solve(curvature, gradient)
        except np.linalg.LinAlgError:
            raise ValueError("too few tests for a lot of which nothing else is known") from None
        # Far from the mode a whole step overshoots, the pace standing in an exponent.
        step *= min(1.0, 2.0 / float(np.max(np.abs(step)) + 1e-300))
        size = 1.0
        while size > 1e-10:
            there = at + size * step
            higher = float(_log_posterior(there[:1], there[1:], x, good, all_, belief)[0])
            if higher >= height:
                break
            size /= 2.0
        else:
            break
        moved = float(np.max(np.abs(there - at)))
        at, height = there, higher
        if moved < 1e-11:
            break
    _, curvature = _slopes(at, x, good, all_, belief, precision)
    if not np.all(np.isfinite(curvature)) or np.linalg.cond(curvature) > 1e14:
        raise ValueError("too few tests for a lot of which nothing else is known")
    return float(at[0]), float(at[1]), curvature


def _slopes(
    at: Floats, x: Floats, good: Floats, all_: Floats, belief: Prior, precision: Floats
) -> tuple[Floats, NDArray[np.float64]]:
    """Gradient of the log posterior, and the expected curvature (always positive)."""
    pace = exp(min(float(at[1]), 700.0))
    v = float(at[0]) - pace * x
    log_density = -0.5 * v * v - 0.9189385332046727
    up, down = log_density - log_ndtr(v), log_density - log_ndtr(-v)
    by_v = good * np.exp(up) - (all_ - good) * np.exp(down)
    information = all_ * np.exp(up + down)
    along = np.vstack((np.ones_like(x), -pace * x))
    gradient = along @ by_v - precision * (at - np.array([belief.ki, log(belief.pace)]))
    return gradient, (along * information) @ along.T + np.diag(precision)
