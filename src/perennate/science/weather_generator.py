"""A daily weather generator of the Richardson family (WGEN).

Wet and dry days follow a two-state Markov chain; rain on a wet day follows a gamma law; the
departures of tmax, tmin and solar radiation from their means follow a first-order autoregression
in three variables. Rain in mm, temperatures in degC; the matrices are pure numbers in the order
tmax, tmin, radiation.

The matrices were fitted to stations in the United States. Known limits: too few long dry spells,
and years that differ from each other less than real ones do.

References
----------
.. [1] Richardson, C.W. (1981), Stochastic simulation of daily precipitation, temperature, and
   solar radiation, Water Resources Research 17:182-190.
.. [2] Richardson, C.W., Wright, D.A. (1984), WGEN: a model for generating daily weather
   variables, USDA Agricultural Research Service ARS-8.
.. [3] Thom, H.C.S. (1958), A note on the gamma distribution, Monthly Weather Review 86:117-122.
.. [4] Geng, S., Penning de Vries, F.W.T., Supit, I. (1986), A simple method for generating daily
   rainfall data, Agricultural and Forest Meteorology 36:363-376 (equations from memory).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

A = np.array([[0.567, 0.086, -0.002], [0.253, 0.504, -0.050], [-0.006, -0.039, 0.244]])
"""Weight of yesterday's departures in today's [2]_."""

B = np.array([[0.781, 0.0, 0.0], [0.328, 0.637, 0.0], [0.238, -0.341, 0.873]])
"""Weight of today's chance in today's departures [2]_."""

WET_DAY_MM = 0.2
"""A day with at least this much rain counts as wet; the usual 0.01 inch is 0.254 mm."""


def lag_correlations(a: ArrayLike = A, b: ArrayLike = B) -> tuple[Floats, Floats]:
    """Same-day and day-after correlations (M0, M1) that the matrices imply, shape (3, 3).

    M0 solves M0 = A M0 A' + B B'; M1 = A M0 [1]_.
    """
    # slow to start, and only a generator that is fitted anew asks for it
    from scipy.linalg import solve_discrete_lyapunov

    a, b = np.asarray(a, dtype=np.float64), np.asarray(b, dtype=np.float64)
    m0 = np.asarray(solve_discrete_lyapunov(a, b @ b.T))
    return m0, a @ m0


def matrices_from_correlations(m0: ArrayLike, m1: ArrayLike) -> tuple[Floats, Floats]:
    """A and B of same-day and day-after correlations: A = M1 M0^-1, B B' = M0 - A M1' [1]_.

    B is the lower triangle. Raises ValueError when no such process exists.
    """
    m0, m1 = np.asarray(m0, dtype=np.float64), np.asarray(m1, dtype=np.float64)
    try:
        a = np.linalg.solve(m0.T, m1.T).T
        return a, np.linalg.cholesky(m0 - a @ m1.T)
    except np.linalg.LinAlgError as error:
        raise ValueError("these correlations belong to no first-order process") from error


def wet_days(chance_after_dry: ArrayLike, chance_after_wet: ArrayLike, draws: ArrayLike) -> Bools:
    """Wet (True) and dry days of the two-state Markov chain [1]_, shape (days,).

    `chance_after_dry`, `chance_after_wet`: chance that a day is wet when the day before was dry
    or wet; `draws`: even random numbers in [0, 1). All have shape (days,). The first day is wet
    with the share to which the chain settles.
    """
    after_dry = _chances(chance_after_dry)
    after_wet = _chances(chance_after_wet)
    draw = np.asarray(draws, dtype=np.float64)
    wet = bool(draw[0] < long_run_wet_share(after_dry[0], after_wet[0]))
    chain = [wet]
    days = zip(draw[1:].tolist(), after_dry[1:].tolist(), after_wet[1:].tolist(), strict=True)
    for today, dry, moist in days:
        wet = today < (moist if wet else dry)
        chain.append(wet)
    return np.asarray(chain, dtype=np.bool_)


def long_run_wet_share(chance_after_dry: ArrayLike, chance_after_wet: ArrayLike) -> Floats:
    """Share of wet days to which the chain settles, P(W|D) / (1 + P(W|D) - P(W|W))."""
    dry, wet = _chances(chance_after_dry), _chances(chance_after_wet)
    gap = 1.0 + dry - wet
    return np.asarray(np.where(gap > 0, dry / np.where(gap > 0, gap, 1.0), 1.0))


def chances_from_wet_share(wet_share: ArrayLike) -> tuple[Floats, Floats]:
    """P(W|D) and P(W|W) from the share of wet days alone: 0.75 f and 0.25 + 0.75 f [4]_."""
    share = _chances(wet_share)
    return np.asarray(0.75 * share), np.asarray(0.25 + 0.75 * share)


def gamma_from_rain(wet_rain: ArrayLike) -> tuple[float, float]:
    """Shape and scale [mm] of the gamma law of rain on wet days, Thom's estimate [3]_.

    Raises ValueError for fewer than two amounts or amounts not above 0.
    """
    rain = np.asarray(wet_rain, dtype=np.float64)
    if rain.size < 2 or np.any(rain <= 0):
        raise ValueError("two amounts of rain above 0 at least")
    mean = float(rain.mean())
    spread = float(np.log(mean) - np.log(rain).mean())
    if spread <= 1e-6:
        raise ValueError("amounts that are all alike have no gamma law")
    shape = (1.0 + np.sqrt(1.0 + 4.0 * spread / 3.0)) / (4.0 * spread)
    return float(shape), mean / float(shape)


def gamma_from_mean(mean_wet_rain: ArrayLike) -> tuple[Floats, Floats]:
    """Shape and scale [mm] from the mean rain of a wet day [mm] alone [4]_.

    The scale is 1.83 mean - 2.16, held so that the shape stays between 0.4 and 1: the line was
    fitted to means above some 3 mm.
    """
    mean = np.asarray(mean_wet_rain, dtype=np.float64)
    if np.any(mean <= 0):
        raise ValueError("rain on a wet day must be above 0")
    scale = np.clip(1.83 * mean - 2.16, mean, mean / 0.4)
    return np.asarray(mean / scale), np.asarray(scale)


def departures(chances: ArrayLike, a: ArrayLike = A, b: ArrayLike = B) -> Floats:
    """Departures of each variable from its mean, in standard deviations, shape (days, k) [1]_.

    X(i) = A X(i-1) + B e(i) with `chances` e standard normal, shape (days, k). The first day
    is drawn from the process itself (its same-day correlations), not from zero.
    """
    e = np.asarray(chances, dtype=np.float64)
    a = np.asarray(a, dtype=np.float64)
    b = np.asarray(b, dtype=np.float64)
    m0, _ = lag_correlations(a, b)
    noise = e @ b.T
    x = np.linalg.cholesky(m0) @ e[0]
    out = np.empty_like(e)
    out[0] = x
    for i in range(1, len(e)):
        x = a @ x + noise[i]
        out[i] = x
    return out


def _chances(value: ArrayLike) -> Floats:
    chance = np.asarray(value, dtype=np.float64)
    if not np.all((chance >= 0) & (chance <= 1)):
        raise ValueError("chances must lie between 0 and 1")
    return chance
