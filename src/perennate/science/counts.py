"""How many to start so that enough are left, and how surely.

Rates and surety are shares of one; counts are whole plants or seeds, and numbers to start always
round up. A rate with a spread (value, low, high; about one in ten beyond each end) is a beta law,
and the count that survives is then beta-binomial: many seeds of one lot share its one true rate,
so sowing more of them does not average the doubt away.

References
----------
.. [1] Skellam 1948, J. R. Stat. Soc. B 10:257 (beta-binomial law).
.. [2] Fan 1991, Commun. Stat. Theory Methods 20:4043 (product of independent betas by matching
   its first two moments).
.. [3] Wilson 1927, J. Am. Stat. Assoc. 22:209 (interval for a share).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil, exp, inf, log, prod, sqrt
from typing import Literal

import numpy as np
from scipy.special import bdtr, bdtrc, betaincinv, betaln, gammaln, ndtri

MOST_TO_START = 10_000_000
"""Above this a wish counts as out of reach, and ValueError is raised."""

_ROUNDING = 1e-12
_AS_GOOD_AS_CERTAIN = 1e7  # beta parameters above this sum: the binomial is the same to 1e-6


@dataclass(frozen=True, slots=True)
class Rate:
    """A survival rate as a beta law with mean `mean`; `strength` = a + b, inf when certain."""

    mean: float
    strength: float = inf

    def __post_init__(self) -> None:
        if not 0 < self.mean <= 1:
            raise ValueError(f"a rate lies above 0 and up to 1, not {self.mean}")
        if not self.strength > 0:
            raise ValueError(f"the strength of a rate is above 0, not {self.strength}")

    @property
    def certain(self) -> bool:
        return self.mean == 1 or self.strength >= _AS_GOOD_AS_CERTAIN

    @property
    def variance(self) -> float:
        return 0.0 if self.certain else self.mean * (1 - self.mean) / (self.strength + 1)

    def quantile(self, share: float) -> float:
        """The rate that a share of such lots stays below."""
        if self.certain:
            return self.mean
        a, b = self.mean * self.strength, (1 - self.mean) * self.strength
        return float(betaincinv(a, b, share))


def rate_from_spread(value: float, low: float, high: float) -> Rate:
    """The beta law with mean `value` whose 80 % range is as wide as from `low` to `high`.

    Of two laws that fit, the narrower in strength (one hump) is taken. Raises ValueError when the
    figures are out of order or no beta with that mean spreads so widely.
    """
    return _rate_from_spread(float(value), float(low), float(high))


@lru_cache(maxsize=4096)
def _rate_from_spread(value: float, low: float, high: float) -> Rate:
    if not 0 <= low <= value <= high <= 1:
        raise ValueError(f"rates out of order: 0 <= {low} <= {value} <= {high} <= 1")
    width = high - low
    if width < 1e-3 or value == 1:
        return Rate(value)

    def too_wide(log_strength: float) -> float:
        strength = exp(log_strength)
        a, b = value * strength, (1 - value) * strength
        return float(betaincinv(a, b, 0.9) - betaincinv(a, b, 0.1)) - width

    # a third of a second to start, which most single answers need not wait for
    from scipy.optimize import brentq

    ladder = [float(step) for step in np.arange(log(1e8), log(0.05), -0.5)]
    for tighter, wider in pairwise(ladder):
        if too_wide(wider) >= 0:
            return Rate(value, exp(brentq(too_wide, tighter, wider, xtol=1e-10)))
    raise ValueError(f"no beta with mean {value} has an 80 % range as wide as {width:.3g}")


def rate_from_test(sprouted: int, tested: int) -> Rate:
    """The rate after a germination test: Jeffreys' prior (half a success, half a failure) added."""
    _check_test(sprouted, tested)
    return Rate((sprouted + 0.5) / (tested + 1), tested + 1.0)


def wilson_interval(successes: int, tested: int, surety: float = 0.95) -> tuple[float, float]:
    """Range of the true share behind a test [3]_. 8 of 10 gives 0.49 to 0.94."""
    _check_test(successes, tested)
    z = float(ndtri((1 + surety) / 2))
    share = successes / tested
    middle = (share + z * z / (2 * tested)) / (1 + z * z / tested)
    half = z / (1 + z * z / tested)
    half *= sqrt(share * (1 - share) / tested + z * z / (4 * tested * tested))
    return max(0.0, middle - half), min(1.0, middle + half)


def survivals_of_losses(
    losses: Sequence[float], counted_from: Literal["start", "left"]
) -> tuple[float, ...]:
    """Step survivals of losses given in shares of the start or of what is then left.

    Of the start they add: losses of 0.20, 0.11 and 0.09 leave 60 of 100, as steps 0.80, 0.8625,
    0.8696. Of what is left they multiply. Raises ValueError when nothing would be left.
    """
    left, steps = 1.0, []
    for loss in losses:
        if not 0 <= loss <= 1:
            raise ValueError(f"a loss is a share from 0 to 1, not {loss}")
        before, left = left, (left - loss if counted_from == "start" else left * (1 - loss))
        if left <= _ROUNDING:
            raise ValueError("the losses leave nothing")
        steps.append(left / before)
    return tuple(steps)


def chain_rate(steps: Sequence[Rate]) -> Rate:
    """The one rate of a chain of independent steps.

    With certain rates the count left after all steps is binomial with the product of the rates
    (thinning a binomial thins its rate), which is exact. With uncertain rates the product's mean
    and variance are exact and a beta law with those two is used for it [2]_; its tenths then lie
    within about half a point of the true ones.
    """
    return _chain_rate(tuple(steps))


@lru_cache(maxsize=8192)
def _chain_rate(steps: tuple[Rate, ...]) -> Rate:
    mean = prod(step.mean for step in steps)
    second = prod(step.variance + step.mean**2 for step in steps)
    variance = second - mean * mean
    if mean >= 1 or all(step.certain for step in steps):
        return Rate(mean)
    return Rate(mean, mean * (1 - mean) / variance - 1)


def chance_of_enough(started: int, wanted: int, rate: Rate) -> float:
    """Chance that at least `wanted` of `started` are left: binomial, or beta-binomial [1]_."""
    if wanted <= 0:
        return 1.0
    if started < wanted:
        return 0.0
    if rate.certain:
        return float(bdtrc(wanted - 1, started, rate.mean))
    # Sum over the shorter tail.
    if wanted <= started - wanted + 1:
        return max(0.0, 1.0 - float(np.exp(_log_chances(np.arange(wanted), started, rate)).sum()))
    tail = np.arange(wanted, started + 1)
    return min(1.0, float(np.exp(_log_chances(tail, started, rate)).sum()))


def number_to_start(wanted: int, rate: Rate, surety: float) -> int:
    """The least number to start so that `wanted` are left with at least the given surety.

    Exact; the number less one does not suffice. Raises ValueError for a surety outside 0 to
    below 1 and when more than ten million would be needed.
    """
    if not 0 <= surety < 1:
        raise ValueError(f"surety is a share from 0 to below 1, not {surety}")
    if wanted <= 0:
        return 0
    return _number_to_start(wanted, rate, surety)


@lru_cache(maxsize=8192)
def _number_to_start(wanted: int, rate: Rate, surety: float) -> int:
    def enough(started: int) -> bool:
        return chance_of_enough(started, wanted, rate) >= surety - _ROUNDING

    return _least(enough, wanted, ceil(wanted / rate.mean))


def number_to_start_chain(wanted: int, steps: Sequence[Rate], surety: float) -> int:
    """The least number to start for a chain of steps, the surety applied once over all of it."""
    return number_to_start(wanted, chain_rate(steps), surety)


def left_after_steps(started: float, steps: Sequence[Rate]) -> tuple[float, ...]:
    """Expected count after each step, for trays, pots and room."""
    left = []
    for step in steps:
        started *= step.mean
        left.append(started)
    return tuple(left)


def spread_of_success(
    started: int, rate: Rate, shares: Sequence[float] = (0.1, 0.5, 0.9)
) -> tuple[int, ...]:
    """Counts left that the given shares of outcomes do not exceed."""
    counts = np.arange(started + 1)
    if rate.certain:
        reached = bdtr(counts, started, rate.mean)
    else:
        reached = np.cumsum(np.exp(_log_chances(counts, started, rate)))
    return tuple(min(int(np.searchsorted(reached, share - _ROUNDING)), started) for share in shares)


def _log_chances(counts: np.ndarray, started: int, rate: Rate) -> np.ndarray:
    a, b = rate.mean * rate.strength, (1 - rate.mean) * rate.strength
    ways = gammaln(started + 1) - gammaln(counts + 1) - gammaln(started - counts + 1)
    return np.asarray(ways + betaln(counts + a, started - counts + b) - betaln(a, b))


def _least(enough: Callable[[int], bool], floor: int, guess: int) -> int:
    """The least whole number from `floor` up that is enough, for a test that only turns once."""
    low, high = floor - 1, max(floor, guess)
    while not enough(high):
        low, high = high, high * 2
        if low > MOST_TO_START:
            raise ValueError("more than ten million would have to be started")
    while high - low > 1:
        middle = (low + high) // 2
        if enough(middle):
            high = middle
        else:
            low = middle
    return high


def _check_test(successes: int, tested: int) -> None:
    if not 0 <= successes <= tested or tested < 1:
        raise ValueError(f"a test has 0 <= successes <= tested, not {successes} of {tested}")
