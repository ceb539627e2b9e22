"""What a germination test shows: limits, replicates that agree, how many to test, how fast.

Shares and surety are of one; replicates in per cent; days from sowing. `counts.wilson_interval`
gives the limits that are narrowest for what they hold; the exact ones here never promise too much.

References
----------
.. [1] Clopper and Pearson 1934, Biometrika 26:404 (exact limits of a share).
.. [2] Wilson 1927, J. Am. Stat. Assoc. 22:209.
.. [3] Miles 1963, Proc. Int. Seed Test. Assoc. 28:525 (tolerances), as in US Code of Federal
   Regulations 7 part 201.55 (four replicates of 100; averages under 87 from memory).
.. [4] Coolbear, Francis and Grierson 1984, J. Exp. Bot. 35:1609; Farooq and others 2005, J. Integr.
   Plant Biol. 47:187 (time to half of the final count).
.. [5] AOSA 1983, Seed Vigor Testing Handbook (speed of germination); Ellis and Roberts 1980, Seed
   Production, page 605 (mean time).
.. [6] El-Kassaby and others 2008, Forest Science 54:220 (Hill curve of the course of a test).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, inf, sqrt
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import bdtr, bdtrc, betaincinv, ndtri

Floats = NDArray[np.float64]

_ROUNDING = 1e-12

_STUDENTISED = {2: 3.16982, 3: 3.68227, 4: 3.98401, 5: 4.19703, 6: 4.36091, 8: 4.60486}
"""Studentised range at 0.975 of so many replicates with endless degrees of freedom."""

_FOUR_OF_100: tuple[tuple[int, int], ...] = (
    *((99, 5), (98, 6), (97, 7), (96, 8), (95, 9), (93, 10), (91, 11), (89, 12), (87, 13)),
    *((84, 14), (81, 15), (78, 16), (73, 17), (67, 18), (56, 19), (51, 20)),
)
"""From this average [%] up, the greatest range [%] of four replicates of 100 [3]_."""


def exact_interval(successes: int, tested: int, surety: float = 0.95) -> tuple[float, float]:
    """Range of the true share behind a test, wide enough always [1]_. 8 of 10: 0.444 to 0.975."""
    _check_test(successes, tested, surety)
    tail = (1 - surety) / 2
    low = 0.0 if successes == 0 else float(betaincinv(successes, tested - successes + 1, tail))
    if successes == tested:
        return low, 1.0
    return low, float(betaincinv(successes + 1, tested - successes, 1 - tail))


def shown_at_least(successes: int, tested: int, surety: float = 0.95) -> float:
    """The share that a test shows the lot to have at least [1]_. 10 of 10 shows 0.741."""
    _check_test(successes, tested, surety)
    if successes == 0:
        return 0.0
    return float(betaincinv(successes, tested - successes + 1, 1 - surety))


def fewest_that_show(standard: float, tested: int, surety: float = 0.95) -> int | None:
    """The fewest sprouts of `tested` that show at least the standard; None when even all do not.

    For 0.75: 19 of 20, and never with 10.
    """
    _check_share(standard, "standard")
    _check_test(0, tested, surety)
    counts = np.arange(tested + 1)
    chance = bdtrc(counts - 1.0, tested, standard)
    chance[0] = 1.0
    enough = np.flatnonzero(chance <= 1 - surety + _ROUNDING)
    return int(enough[0]) if enough.size else None


def most_that_show_below(standard: float, tested: int, surety: float = 0.95) -> int | None:
    """The most sprouts of `tested` that show the lot below the standard; None when none do."""
    _check_share(standard, "standard")
    _check_test(0, tested, surety)
    counts = np.arange(tested + 1)
    few = np.flatnonzero(bdtr(counts, tested, standard) <= 1 - surety + _ROUNDING)
    return int(few[-1]) if few.size else None


def seeds_for_precision(share: float, half_width: float, surety: float = 0.95) -> int:
    """Seeds to test so that the limits lie no further than `half_width` about the middle [2]_.

    Where a share of 0.8 is awaited, 0.1 either way takes 60 seeds. The width is that of Wilson's
    interval, solved for the number.
    """
    if not 0 <= share <= 1:
        raise ValueError(f"a share lies from 0 to 1, not {share}")
    if not 0 < half_width < 0.5:
        raise ValueError(f"half a width lies above 0 and below 0.5, not {half_width}")
    _check_share(surety, "surety")
    z2 = float(ndtri((1 + surety) / 2)) ** 2
    h2, spread = half_width**2, share * (1 - share)
    b = 2 * h2 * z2 - z2 * spread
    c = h2 * z2 * z2 - z2 * z2 / 4
    return max(1, ceil((-b + sqrt(b * b - 4 * h2 * c)) / (2 * h2) - 1e-9))


def greatest_range(average: float, replicates: int, seeds_each: int) -> float:
    """Greatest range [%] between replicates that chance alone explains at 2.5 % [3]_.

    Four of 100 by the printed table, others by its formula, q sqrt(average (100 - average) / n).
    A wider range: test again.
    """
    if not 0 <= average <= 100:
        raise ValueError(f"an average lies from 0 to 100 %, not {average}")
    if replicates not in _STUDENTISED:
        known = ", ".join(str(count) for count in _STUDENTISED)
        raise ValueError(f"replicates are {known} in number, not {replicates}")
    if seeds_each < 1:
        raise ValueError(f"a replicate has one seed at least, not {seeds_each}")
    upper = max(average, 100 - average)
    if (replicates, seeds_each) == (4, 100):
        rounded = int(upper + 0.5)
        return float(next((wide for low, wide in _FOUR_OF_100 if rounded >= low), 20))
    return _STUDENTISED[replicates] * sqrt(average * (100 - average) / seeds_each)


def mean_germination_time(days: ArrayLike, sprouted: ArrayLike) -> tuple[float, float]:
    """Mean time to sprout [d] and its variance [d2], of the seeds that sprouted [5]_.

    `sprouted` is how many came on each day; the variance is 0 for a single seed.
    """
    t, n = _counted(days, sprouted)
    total = float(n.sum())
    mean = float((n * t).sum()) / total
    return mean, float((n * (t - mean) ** 2).sum()) / max(total - 1, 1.0)


def time_to_half(
    days: ArrayLike, sprouted: ArrayLike, form: Literal["coolbear", "farooq"] = "coolbear"
) -> float:
    """Days until half of all that sprouted had come, straight between counts [4]_.

    "coolbear" seeks seed (N + 1)/2, "farooq" N/2. Raises ValueError when half came by the first
    count: when, nobody saw.
    """
    t, n = _counted(days, sprouted)
    so_far = np.cumsum(n)
    wanted = (so_far[-1] + 1) / 2 if form == "coolbear" else so_far[-1] / 2
    after = int(np.searchsorted(so_far, wanted - _ROUNDING))
    if after == 0:
        raise ValueError(f"half had come by the first count, on day {t[0]:g}")
    after = min(after, t.size - 1)
    gained = float(so_far[after] - so_far[after - 1])
    share = (float(wanted) - float(so_far[after - 1])) / gained if gained else 1.0
    return float(t[after - 1] + share * (t[after] - t[after - 1]))


def speed_of_germination(days: ArrayLike, sprouted: ArrayLike) -> float:
    """Sum of sprouts over their day, also called germination index [1/d] [5]_."""
    t, n = _counted(days, sprouted)
    if np.any((t <= 0) & (n > 0)):
        raise ValueError("nothing sprouts on day 0 or before")
    came = n > 0
    return float((n[came] / t[came]).sum())


@dataclass(frozen=True, slots=True)
class Course:
    """The course of a test as a Hill curve: final x t^steepness / (half^steepness + t^steepness).

    `final`: share that sprouts in the end; `half`: day by which half of that has come;
    `error`: root of the mean square distance to the counts, as a share.
    """

    final: float
    half: float
    steepness: float
    error: float

    def share_by(self, day: ArrayLike) -> Floats:
        """Share of the sown seed that has sprouted by a day."""
        t = np.maximum(np.asarray(day, dtype=np.float64), 0.0)
        return np.asarray(self.final * _hill(t, self.half, self.steepness))

    def day_of(self, share: float) -> float:
        """The day by which a share of all that will come has come; below 1."""
        _check_share(share, "share")
        return float(self.half * (share / (1 - share)) ** (1 / self.steepness))


def fit_course(days: ArrayLike, sprouted: ArrayLike, sown: int) -> Course:
    """The Hill curve through the cumulative counts of a test, by least squares [6]_.

    Raises ValueError for fewer than three counts with sprouts in them: any steepness fits those.
    """
    t, n = _counted(days, sprouted)
    if n.sum() > sown:
        raise ValueError(f"{n.sum():g} sprouts of {sown} seeds")
    if np.any(t <= 0):
        raise ValueError("counts of a course begin after day 0")
    if np.count_nonzero(n) < 3:
        raise ValueError("sprouts on three days at least are needed to draw their course")
    # a third of a second to start, which most single answers need not wait for
    from scipy.optimize import least_squares

    share = np.cumsum(n) / sown

    def off(at: Floats) -> Floats:
        return np.asarray(at[0] * _hill(t, float(np.exp(at[1])), float(np.exp(at[2]))) - share)

    mean = float((n * t).sum() / n.sum())
    start = [float(share[-1]), float(np.log(mean)), float(np.log(4.0))]
    bounds = ([1e-9, -inf, float(np.log(0.3))], [1.0 + 1e-12, inf, float(np.log(200.0))])
    found = least_squares(off, start, bounds=bounds, xtol=1e-12, ftol=1e-12, gtol=1e-12)
    return Course(
        min(1.0, float(found.x[0])),
        float(np.exp(found.x[1])),
        float(np.exp(found.x[2])),
        float(np.sqrt(np.mean(found.fun**2))),
    )


def _hill(t: Floats, half: float, steepness: float) -> Floats:
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(1.0 / (1.0 + (half / t) ** steepness))


def _counted(days: ArrayLike, sprouted: ArrayLike) -> tuple[Floats, Floats]:
    t = np.atleast_1d(np.asarray(days, dtype=np.float64))
    n = np.atleast_1d(np.asarray(sprouted, dtype=np.float64))
    if t.shape != n.shape:
        raise ValueError(f"as many counts as days, not {n.size} for {t.size}")
    if np.any(np.diff(t) <= 0):
        raise ValueError("days of counts follow one another")
    if np.any(n < 0):
        raise ValueError(f"a count is not below 0, found {np.min(n):g}")
    if not n.sum() > 0:
        raise ValueError("nothing sprouted, so there is no speed to tell")
    return t, n


def _check_share(share: float, what: str) -> None:
    if not 0 < share < 1:
        raise ValueError(f"{what} lies above 0 and below 1, not {share}")


def _check_test(successes: int, tested: int, surety: float) -> None:
    if not 0 <= successes <= tested or tested < 1:
        raise ValueError(f"a test has 0 <= successes <= tested, not {successes} of {tested}")
    _check_share(surety, "surety")


def seeds_each(replicates: Sequence[int], tested: int) -> int:
    """Seeds of each of equal replicates; ValueError when they do not come out even."""
    if not replicates or tested % len(replicates):
        raise ValueError(f"{tested} seeds do not make {len(replicates)} equal replicates")
    return tested // len(replicates)
