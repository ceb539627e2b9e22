"""How long dry seed lives in store.

Improved viability equation [1]_: the share alive, as a normal deviate (probit without its 5),
falls straight with time, v = Ki - p / sigma, and log10(sigma) = KE - CW log10(m) - CH t - CQ t^2.
Ki is the deviate of the lot at the start, p days in store, sigma days in which one probit is lost,
m moisture in per cent of the fresh weight, t temperature in degC. Shares are of one. Arguments
may be arrays and broadcast.

The equation holds for seed that bears drying, shut in, from -20 to 90 degC and 5 to 25 % moisture
[2]_; for some species down to a dry limit of their own, below which no more life is won [3]_.
Kept open in rooms, seed has lived two to six times as long as it says, and in genebank cold less
long than it says [4]_: it ranks ways of storing and says when to test again, and promises nothing.

References
----------
.. [1] Ellis and Roberts 1980, Annals of Botany 45:13-30.
.. [2] viabilitymetrics, reference pages with printed examples (limits; correction of 0 and 100 %
   after Miller and Tainter 1944).
.. [3] Ellis, Hong and Roberts 1988 to 1990, Annals of Botany 61:405, 63:601, 65:493 (memory).
.. [4] Solberg and others 2020, Frontiers in Plant Science 11:1007; Nagel and Boerner 2010, Seed
   Science Research 20:1.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

from perennate.science.seed_moisture import NO_ICE_UNDER_PCT

Floats = NDArray[np.float64]

LEAST_TEMPERATURE, GREATEST_TEMPERATURE = -20.0, 90.0
LEAST_MOISTURE, GREATEST_MOISTURE = 5.0, 25.0
DAYS_PER_YEAR = 365.0

OFF_BY = 3.0
"""Factor by which a lot may live longer or less long than the equation says (assumed, [4]_)."""
ROOM_YEARS, COOL_YEARS, FROZEN_YEARS = 10.0, 25.0, 50.0
COOL_UP_TO = 10.0


@dataclass(frozen=True, slots=True)
class LifeConstants:
    """KE, CW, CH, CQ of a species, and the moisture [%] below which no more life is won.

    `dry_limit` None: not known, and 5 % is the limit.
    """

    ke: float
    cw: float
    ch: float
    cq: float
    dry_limit: float | None = None

    @property
    def driest(self) -> float:
        """The least moisture [%] at which the equation is used."""
        return LEAST_MOISTURE if self.dry_limit is None else self.dry_limit


@dataclass(frozen=True, slots=True)
class Stay:
    """Days that seed lies at one temperature [degC] and one moisture [%]."""

    days: float
    temperature: float
    moisture: float


def deviate(share: ArrayLike) -> Floats:
    """Normal deviate of a share above 0 and below 1: 0.25 gives -0.6745. ValueError at the ends."""
    found = np.asarray(share, dtype=np.float64)
    if np.any(~((found > 0) & (found < 1))):
        raise ValueError("a share lies above 0 and below 1; use deviate_of_test for none or all")
    return np.asarray(ndtri(found))


def share_alive(deviate: ArrayLike) -> Floats:
    """The share of a normal deviate: 0 gives 0.5."""
    return np.asarray(ndtr(np.asarray(deviate, dtype=np.float64)))


def deviate_of_test(sprouted: int, tested: int) -> float:
    """Normal deviate of a test; none or all are taken as a quarter of a seed less or more [2]_.

    50 of 50 gives 2.5758.
    """
    if not 0 <= sprouted <= tested or tested < 1:
        raise ValueError(f"a test has 0 <= sprouted <= tested, not {sprouted} of {tested}")
    return float(ndtri(min(max(sprouted, 0.25), tested - 0.25) / tested))


def driest_useful(moisture: ArrayLike, constants: LifeConstants) -> Floats:
    """The moisture [%], or the dry limit where it is drier: life no longer grows beyond it [3]_."""
    return np.maximum(np.asarray(moisture, dtype=np.float64), constants.driest)


def sigma_days(moisture: ArrayLike, temperature: ArrayLike, constants: LifeConstants) -> Floats:
    """Days in which seed of a moisture [%] loses one probit at a temperature [degC] [1]_.

    Raises ValueError outside -20 to 90 degC and the dry limit to 25 % moisture, and for seed that
    is too moist to be frozen.
    """
    m, t = np.asarray(moisture, dtype=np.float64), np.asarray(temperature, dtype=np.float64)
    if not np.all((t >= LEAST_TEMPERATURE) & (t <= GREATEST_TEMPERATURE)):
        raise ValueError(f"the equation holds from -20 to 90 degC, not at {_some(t)}")
    if not np.all((m >= constants.driest) & (m <= GREATEST_MOISTURE)):
        raise ValueError(
            f"the equation holds from {constants.driest:g} to 25 % moisture, not at {_some(m)}"
        )
    if np.any((t < 0) & (m >= NO_ICE_UNDER_PCT)):
        raise ValueError(
            f"seed is frozen only when drier than {NO_ICE_UNDER_PCT:g} %: ice would kill it"
        )
    log = constants.ke - constants.cw * np.log10(m) - constants.ch * t - constants.cq * t * t
    return np.asarray(10.0**log)


def days_until(share: ArrayLike, ki: ArrayLike, sigma: ArrayLike) -> Floats:
    """Days until a lot of deviate `ki` falls to a share; 0 when it is there already."""
    until = (np.asarray(ki, np.float64) - deviate(share)) * np.asarray(sigma, np.float64)
    return np.maximum(until, 0.0)


def moisture_for(
    days: float, temperature: float, probits: float, constants: LifeConstants
) -> float:
    """Moisture [%] at which seed loses `probits` in `days` at a temperature.

    Raises ValueError where that lies outside the limits: such a store cannot keep the seed so.
    """
    if days <= 0 or probits <= 0:
        raise ValueError("days and probits lie above 0")
    t = temperature
    log_sigma = np.log10(days / probits)
    exponent = (constants.ke - constants.ch * t - constants.cq * t * t - log_sigma) / constants.cw
    found = float(10.0**exponent)
    sigma_days(found, temperature, constants)
    return found


def temperature_for(
    days: float, moisture: float, probits: float, constants: LifeConstants
) -> float:
    """Temperature [degC] at which seed of a moisture [%] loses `probits` in `days`.

    Raises ValueError where no temperature within the limits does.
    """
    if days <= 0 or probits <= 0:
        raise ValueError("days and probits lie above 0")
    log = constants.ke - constants.cw * np.log10(moisture) - np.log10(days / probits)
    inside = constants.ch**2 + 4.0 * constants.cq * log
    if inside < 0:
        raise ValueError("no temperature keeps this seed so long at this moisture")
    found = float((-constants.ch + np.sqrt(inside)) / (2.0 * constants.cq))
    sigma_days(moisture, found, constants)
    return found


def longest_reckoned_years(temperature: float) -> float:
    """Years beyond which no life is counted on: 10 in a room, 25 cool, 50 frozen (assumed).

    The equation runs on to thousands of years in the cold, which nobody has seen.
    """
    if temperature > COOL_UP_TO:
        return ROOM_YEARS
    return COOL_YEARS if temperature > 0 else FROZEN_YEARS


def _some(values: Floats) -> str:
    low, high = float(np.min(values)), float(np.max(values))
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"
