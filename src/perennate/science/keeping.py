"""How long produce keeps and what is left of it.

Temperatures in degC, times in days, losses and amounts as shares of one.

References
----------
.. [1] Time-temperature tolerance with additive use of shelf life: van Arsdel, Copley and Olson
   1969, Quality and stability of frozen foods.
.. [2] Olsen and Frazier 2017, Managing weight loss in storage, Potato Grower: about 3 % in the
   first month, 5 % after five; 55 to 70 % of all loss within 30 days.
"""

from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ethylene = Literal["", "VL", "L", "M", "H", "VH"]
"""Classes of ethylene made or of harm by it, from very low to very high; "" is not known."""

DAYS_PER_MONTH = 30.0
_CLASSES: tuple[Ethylene, ...] = ("", "VL", "L", "M", "H", "VH")


def life_used(days: ArrayLike, life_days: ArrayLike) -> float:
    """Share of its life that produce has used up, summed over stays in several places [1]_.

    `days` spent and `life_days` under the conditions of each stay; due at 1. An approximation:
    the order of the stays is taken not to matter.
    """
    spent, life = np.asarray(days, dtype=np.float64), np.asarray(life_days, dtype=np.float64)
    if np.any(spent < 0) or not np.all(life > 0):
        raise ValueError("days are not negative and a life is above 0")
    return float(np.sum(spent / life))


def days_still_to_keep(used: float, life_days: float) -> float:
    """Days left at the present place after a share of life is used; 0 when it is over."""
    if used < 0 or life_days <= 0:
        raise ValueError("a used share is not negative and a life is above 0")
    return max(0.0, 1.0 - used) * life_days


def share_left(days: ArrayLike, first_month_loss: float, later_month_loss: float) -> Floats:
    """Share of the weight left after `days`, losing one share in the first 30 and less later.

    Each runs evenly in logarithm within its span, so the shares multiply: potatoes at 0.03 and
    0.005 keep 0.97 x 0.995^4 = 0.951 after five months [2]_.
    """
    spent = np.asarray(days, dtype=np.float64)
    if np.any(spent < 0):
        raise ValueError("days are not negative")
    for loss in (first_month_loss, later_month_loss):
        if not 0 <= loss < 1:
            raise ValueError(f"a monthly loss is a share from 0 to below 1, not {loss}")
    first = np.minimum(spent, DAYS_PER_MONTH) / DAYS_PER_MONTH
    later = np.maximum(spent - DAYS_PER_MONTH, 0.0) / DAYS_PER_MONTH
    left = (1 - first_month_loss) ** first * (1 - later_month_loss) ** later
    return np.asarray(left, dtype=np.float64)


def even_share_left(days: ArrayLike, month_loss: float) -> Floats:
    """Share of the weight left after `days` at one loss a month throughout."""
    return share_left(days, month_loss, month_loss)


def life_at(
    temperature: float,
    reference: float,
    life_days: float,
    chilling_limit: float | None,
    factor_per_10_degc: float = 2.5,
) -> float:
    """Life [d] at another temperature, from the life at a reference near the best point.

    Life shrinks by `factor_per_10_degc` (2 to 3) for each 10 degC above the reference. Raises
    ValueError below the reference (colder is not always longer), below the chilling limit, and
    more than 20 degC above the reference, where the rule is not known to hold. Not for dry seed.
    """
    if not 2 <= factor_per_10_degc <= 3:
        raise ValueError(f"the factor lies from 2 to 3, not {factor_per_10_degc}")
    if chilling_limit is not None and temperature < chilling_limit:
        raise ValueError(f"{temperature:g} degC is below the chilling limit {chilling_limit:g}")
    if not reference <= temperature <= reference + 20:
        raise ValueError(
            f"the rule holds from {reference:g} to {reference + 20:g} degC, not {temperature:g}"
        )
    return float(life_days * factor_per_10_degc ** (-(temperature - reference) / 10))


def ethylene_conflicts(
    made: Sequence[Ethylene], harmed: Sequence[Ethylene]
) -> tuple[tuple[int, int], ...]:
    """Pairs (maker, harmed) of one store that should be kept apart.

    A maker from class M up beside one harmed from class M up; positions in the two sequences,
    which list the same produce. What is not known ("") is in no pair: ask
    `ethylene_not_known` for those.
    """
    if len(made) != len(harmed):
        raise ValueError("both sequences list the same produce")
    middle = _CLASSES.index("M")
    makers = [i for i, grade in enumerate(made) if _CLASSES.index(grade) >= middle]
    tender = [i for i, grade in enumerate(harmed) if _CLASSES.index(grade) >= middle]
    return tuple((i, j) for i in makers for j in tender if i != j)


def ethylene_not_known(made: Sequence[Ethylene], harmed: Sequence[Ethylene]) -> tuple[int, ...]:
    """Positions of produce of which one of the two classes is not known."""
    return tuple(i for i, grades in enumerate(zip(made, harmed, strict=True)) if "" in grades)
