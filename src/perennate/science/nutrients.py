"""Recommended daily intakes of two minerals and two vitamins.

References
----------
.. [1] FAO/WHO 2001, Human vitamin and mineral requirements, appendix 1, table 1 (calcium, iron
   at several shares of iron taken up); vitamins from the same report, known from memory.
"""

from typing import NamedTuple

from perennate.science.energy import Sex

VITAMIN_A_RE_PER_RAE = 2.0
"""One retinol activity equivalent of plant food counts as two retinol equivalents."""


class Intakes(NamedTuple):
    """Per day: calcium, iron, vitamin C in mg, vitamin A in ug retinol equivalents (RE)."""

    calcium: float
    iron: float
    vitamin_a: float
    vitamin_c: float


# sex or both, from age, below age: calcium, iron at 10 and at 5 % taken up, vitamin A, vitamin C
_GROUPS: tuple[tuple[Sex | None, float, float, tuple[float, float, float, float, float]], ...] = (
    (None, 1, 4, (500, 6, 12, 400, 30)),
    (None, 4, 7, (600, 6, 13, 450, 30)),
    (None, 7, 10, (700, 9, 18, 500, 35)),
    ("male", 19, 66, (1000, 14, 27, 600, 45)),
    ("female", 19, 51, (1000, 29, 59, 500, 45)),
    ("female", 51, 66, (1300, 11, 23, 500, 45)),
)


def daily_intakes(sex: Sex, age_years: float, iron_taken_up: float = 0.10) -> Intakes | None:
    """Recommended intakes [1]_, None for an age that the table at hand does not hold.

    `iron_taken_up` is 0.10 or 0.05; a diet of unrefined grain, roots and pulses without meat
    lies between the two. Raises ValueError for another share. Vitamin A is in RE: comparing
    plant food in RAE with it errs to the safe side.
    """
    if iron_taken_up not in (0.05, 0.10):
        raise ValueError(f"iron taken up is 0.05 or 0.10, not {iron_taken_up}")
    for group_sex, low, top, (calcium, iron10, iron5, vitamin_a, vitamin_c) in _GROUPS:
        if low <= age_years < top and group_sex in (None, sex):
            iron = iron10 if iron_taken_up == 0.10 else iron5
            return Intakes(calcium, iron, vitamin_a, vitamin_c)
    return None
