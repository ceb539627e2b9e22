"""Yields: their spread, what own harvests teach, and how they depend on density.

Yields in kg/m2, densities in plants per m2, weights in kg per plant; sigmas are standard
deviations of the natural logarithm.

References
----------
.. [1] Aitchison and Brown 1957, The lognormal distribution.
.. [2] Shinozaki and Kira 1956, J. Inst. Polytech. Osaka City Univ. D 7:35-72.
.. [3] Bleasdale and Nelder 1960, Nature 188:342.
.. [4] Holliday 1960, Field Crop Abstr. 13:159-167, 247-254.
.. [5] Fenton 1960, IRE Trans. Commun. Syst. 8:57-67 (sum of lognormals).
.. [6] Gelman and others 2013, Bayesian data analysis, 3rd ed., chapters 2 and 5.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

Floats = NDArray[np.float64]


def lognormal_quantile(median: ArrayLike, sigma: ArrayLike, share: ArrayLike) -> Floats:
    """The yield that a share of seasons stays below, m exp(z s) [1]_; z is -0.524 at 0.3."""
    m, s, p = _positive(median, "median"), _sigma(sigma), np.asarray(share, dtype=np.float64)
    if not np.all((p > 0) & (p < 1)):
        raise ValueError("a share lies between 0 and 1")
    return np.asarray(m * np.exp(ndtri(p) * s), dtype=np.float64)


def lognormal_mean(median: ArrayLike, sigma: ArrayLike) -> Floats:
    """Mean of a lognormal yield, m exp(s^2 / 2) [1]_; 1.38 m at sigma 0.8."""
    return np.asarray(
        _positive(median, "median") * np.exp(_sigma(sigma) ** 2 / 2), dtype=np.float64
    )


def sigma_of_range(low: ArrayLike, high: ArrayLike) -> Floats:
    """Sigma of a lognormal with one tenth below `low` and one tenth above `high`."""
    ratio = _positive(high, "high") / _positive(low, "low")
    if np.any(ratio < 1):
        raise ValueError("high is at least low")
    return np.asarray(np.log(ratio) / (2 * ndtri(0.9)), dtype=np.float64)


def total_sigma(garden: ArrayLike, crop: ArrayLike, year: ArrayLike) -> Floats:
    """Sigma of one harvest in a new garden: root of the sum of squares of the three factors."""
    return np.asarray(
        np.sqrt(_sigma(garden) ** 2 + _sigma(crop) ** 2 + _sigma(year) ** 2), dtype=np.float64
    )


def pooled_median(measured: float, weight: float, typical: float, ratio: float) -> float:
    """Prior median from measurements of a study weight and a handbook figure scaled by a ratio.

    ln m = (W ln measured + 2 ln(typical x ratio)) / (W + 2): the handbook counts as two studies
    (assumed). With no weight the measured figure is not used.
    """
    if weight < 0:
        raise ValueError("a study weight is not negative")
    guess = np.log(_positive(typical, "typical") * _positive(ratio, "ratio"))
    own = np.log(_positive(measured, "measured")) if weight else 0.0
    return float(np.exp((weight * own + 2 * guess) / (weight + 2)))


def lognormal_sum(medians: ArrayLike, covariance: ArrayLike) -> tuple[float, float]:
    """Median and sigma of a sum of lognormals that vary together, by matching two moments [5]_.

    `medians` (n,), `covariance` (n, n) of their logarithms. Adding all lows and all highs instead
    would overstate the spread.
    """
    m = np.atleast_1d(_positive(medians, "median"))
    cov = np.atleast_2d(np.asarray(covariance, dtype=np.float64))
    means = m * np.exp(np.diag(cov) / 2)
    total = float(means.sum())
    variance = float((np.outer(means, means) * np.expm1(cov)).sum())
    sigma2 = np.log1p(variance / total**2)
    return float(total * np.exp(-sigma2 / 2)), float(np.sqrt(sigma2))


class Learned(NamedTuple):
    """A normal law of a logarithm: its mean and standard deviation."""

    mean: float
    sd: float


def garden_factor(
    log_ratios: ArrayLike, sigma_garden: float, sigma_crop: float, sigma_year: float
) -> Learned:
    """What k harvests of different crops say of the whole garden, as ln(own / prior median).

    Normal with normal noise [6]_ (2.11): the mean log ratio d shrinks to d k/(k + c) with
    c = (crop^2 + year^2) / garden^2, about 0.5 for vegetables. Without records: (0, garden).
    """
    ratios = np.atleast_1d(np.asarray(log_ratios, dtype=np.float64))
    if sigma_garden <= 0:
        return Learned(0.0, 0.0)
    noise = sigma_crop**2 + sigma_year**2
    if ratios.size and noise <= 0:
        raise ValueError("harvests of crops differ: crop or year sigma must be above 0")
    precision = 1 / sigma_garden**2 + (ratios.size / noise if ratios.size else 0.0)
    mean = float(ratios.sum()) / noise / precision if ratios.size else 0.0
    return Learned(mean, float(precision**-0.5))


def learned_crop_factors(
    crop_of_record: ArrayLike,
    log_ratios: ArrayLike,
    sigma_garden: float,
    sigma_crop: ArrayLike,
    sigma_year: ArrayLike,
) -> tuple[Floats, Floats]:
    """Garden and crop factors learned together from own harvests of several crops.

    ln(own / prior median) of record i of crop j = garden + crop_j + year_i, all normal [6]_.
    `crop_of_record` (k,) gives positions into `sigma_crop` (n,) and `sigma_year` (n,). Returns
    mean and standard deviation (n,) of garden + crop_j: multiply a crop's prior median by
    exp(mean); a crop without records still learns from the garden.
    """
    crops = np.atleast_1d(np.asarray(crop_of_record, dtype=np.int64))
    ratios = np.atleast_1d(np.asarray(log_ratios, dtype=np.float64))
    crop_sd, year_sd = _sigma(sigma_crop), _sigma(sigma_year)
    prior = sigma_garden**2 + np.diag(crop_sd**2)
    if ratios.size == 0:
        return np.zeros(crop_sd.size), np.sqrt(np.diag(prior))
    cross = prior[:, crops]
    seen = prior[np.ix_(crops, crops)] + np.diag(year_sd[crops] ** 2)
    weights = np.linalg.solve(seen, cross.T).T
    spread = np.diag(prior) - np.einsum("ij,ij->i", weights, cross)
    return weights @ ratios, np.sqrt(np.maximum(spread, 0.0))


def plant_weight(density: ArrayLike, a: float, b: float, theta: float = 1.0) -> Floats:
    """Mean weight of a plant [kg] at a density: w^-theta = a + b r [3]_; theta 1 is [2]_.

    `a` is 1 / weight of a lone plant (to the power theta), `b` in m2/kg; all above 0, theta at
    most 1.
    """
    if a <= 0 or b <= 0 or not 0 < theta <= 1:
        raise ValueError("a and b are above 0 and theta lies above 0 and up to 1")
    r = _positive(density, "density")
    return np.asarray((a + b * r) ** (-1 / theta), dtype=np.float64)


def yield_at_density(density: ArrayLike, a: float, b: float, theta: float = 1.0) -> Floats:
    """Yield [kg/m2] at a density; with theta 1 it rises to 1 / b, the constant final yield [2]_."""
    return np.asarray(
        np.asarray(density, dtype=np.float64) * plant_weight(density, a, b, theta),
        dtype=np.float64,
    )


def density_for_share(share: float, a: float, b: float) -> float:
    """Density at which yield is a share of its plateau 1 / b (theta 1): 9 a/b for 0.9."""
    if not 0 < share < 1:
        raise ValueError("a share lies between 0 and 1")
    return share / (1 - share) * a / b


def best_density(a: float, b: float, theta: float) -> float:
    """Density of the greatest yield where yield falls again (theta < 1) [3]_."""
    if a <= 0 or b <= 0 or not 0 < theta < 1:
        raise ValueError("a greatest yield needs a, b above 0 and theta between 0 and 1")
    return theta * a / (b * (1 - theta))


def holliday_yield(density: ArrayLike, a: float, b: float, c: float) -> Floats:
    """Yield [kg/m2] of a parabolic crop, 1/w = a + b r + c r^2 [4]_; greatest at sqrt(a/c)."""
    if a <= 0 or b < 0 or c <= 0:
        raise ValueError("a and c are above 0 and b is not negative")
    r = _positive(density, "density")
    return np.asarray(r / (a + b * r + c * r**2), dtype=np.float64)


def _positive(number: ArrayLike, name: str) -> Floats:
    value = np.asarray(number, dtype=np.float64)
    if not np.all(value > 0):
        raise ValueError(f"{name} must be above 0")
    return value


def _sigma(number: ArrayLike) -> Floats:
    value = np.asarray(number, dtype=np.float64)
    if not np.all(value >= 0):
        raise ValueError("a sigma is not negative")
    return value
