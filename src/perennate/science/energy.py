"""What a person needs to eat: energy and protein.

Mass in kg, age in completed years (fractions allowed), energy in kcal per day, protein in g per
day. The figures hold for groups of healthy people, not for one person, and not for pregnancy,
breast-feeding or illness.

References
----------
.. [1] FAO/WHO/UNU 2004, Human energy requirements (expert consultation 2001), tables 5.2 and 5.3
   and sections 4.2 to 4.4, 5.3, 5.4.1; basal equations after Schofield 1985,
   Hum. Nutr. Clin. Nutr. 39C suppl. 1:5-41.
.. [2] WHO/FAO/UNU 2007, Protein and amino acid requirements, WHO Technical Report Series 935.
"""

from typing import Literal

Sex = Literal["female", "male"]
Activity = Literal["light", "moderate", "vigorous"]

KCAL_PER_MJ = 238.846

ACTIVITY_LEVELS: dict[Activity, tuple[float, float]] = {
    "light": (1.40, 1.69),
    "moderate": (1.70, 1.99),
    "vigorous": (2.00, 2.40),
}
"""Classes of adult ways of life by physical activity level [1]_ table 5.3."""

LOWEST_LEVEL, HIGHEST_LEVEL = 1.40, 2.40


def way_of_life(level: float) -> Activity:
    """The class that a physical activity level lies in; levels beyond all are in the nearest."""
    reached = [name for name, (low, _) in ACTIVITY_LEVELS.items() if low <= level]
    return reached[-1] if reached else "light"


_AGE_TOP = (3.0, 10.0, 18.0, 30.0, 60.0, float("inf"))
# slope [kcal/kg], constant [kcal], standard error [kcal] for each age band
_BASAL: dict[Sex, tuple[tuple[float, float, float], ...]] = {
    "male": (
        (59.512, -30.4, 70),
        (22.706, 504.3, 67),
        (17.686, 658.2, 105),
        (15.057, 692.2, 153),
        (11.472, 873.1, 167),
        (11.711, 587.7, 164),
    ),
    "female": (
        (58.317, -31.1, 59),
        (20.315, 485.9, 70),
        (13.384, 692.6, 111),
        (14.818, 486.6, 119),
        (8.126, 845.6, 111),
        (9.082, 658.5, 108),
    ),
}
# Mass that we take as plausible for the band; outside it the equations are refused.
_MASS = ((3.0, 25.0), (9.0, 70.0), (18.0, 120.0), (30.0, 150.0), (30.0, 150.0), (30.0, 150.0))

_CHILD_EXPENDITURE: dict[Sex, tuple[float, float, float, float]] = {
    "male": (310.2, 63.3, -0.263, 124),
    "female": (263.4, 65.3, -0.454, 155),
}
_GROWTH = 1.01  # energy laid down in new tissue, about one part in a hundred
_CHILD_ACTIVITY: dict[Activity, float] = {"light": 0.85, "moderate": 1.0, "vigorous": 1.15}

# Age up to which the safe level holds: g per kg and day, boys and girls
_PROTEIN = (
    (1.5, 1.14, 1.14),
    (2.0, 1.03, 1.03),
    (3.0, 0.97, 0.97),
    (4.0, 0.90, 0.90),
    (7.0, 0.87, 0.87),
    (11.0, 0.92, 0.92),
    (15.0, 0.90, 0.89),
    (18.0, 0.87, 0.84),
    (float("inf"), 0.83, 0.83),
)


def basal_metabolic_rate(sex: Sex, age_years: float, mass_kg: float) -> float:
    """Basal metabolic rate [kcal/day] by Schofield's equations ([1]_ table 5.2), any age from 0.

    Raises ValueError for an age outside 0 to 110 or a mass implausible for the age.
    """
    slope, constant, _ = _BASAL[sex][_band(age_years, mass_kg)]
    return slope * mass_kg + constant


def basal_standard_error(sex: Sex, age_years: float, mass_kg: float) -> float:
    """Standard error of estimate of the basal rate of one person [kcal/day]."""
    return _BASAL[sex][_band(age_years, mass_kg)][2]


def activity_level(activity: Activity) -> float:
    """Middle of a class of physical activity level; 1.85 for a moderately active life [1]_."""
    low, high = ACTIVITY_LEVELS[activity]
    return round((low + high) / 2, 2) if activity != "moderate" else 1.85


def adult_energy(sex: Sex, age_years: float, mass_kg: float, level: float) -> float:
    """Energy requirement of adults [kcal/day], basal rate x physical activity level ([1]_ 5.4.1).

    Raises ValueError under 18 years and for a level outside 1.40 to 2.40, which no one keeps up.
    """
    if age_years < 18:
        raise ValueError("under 18 years energy is reckoned from expenditure and growth")
    if not LOWEST_LEVEL <= level <= HIGHEST_LEVEL:
        raise ValueError(f"an activity level lies from 1.40 to 2.40, not {level}")
    return basal_metabolic_rate(sex, age_years, mass_kg) * level


def child_energy(sex: Sex, age_years: float, mass_kg: float, activity: Activity) -> float:
    """Energy requirement from 1 to 17 years [kcal/day] ([1]_ sections 4.2 to 4.4).

    Total expenditure, 310.2 + 63.3 W - 0.263 W^2 for boys and 263.4 + 65.3 W - 0.454 W^2 for
    girls, and one part in a hundred for growth; from 6 years on 15 % less for a light and more
    for a vigorous way of life. Raises ValueError outside 1 to 18 years: infants are fed by other
    advice.
    """
    if not 1 <= age_years < 18:
        raise ValueError(f"the equation holds from 1 to under 18 years, not at {age_years}")
    _band(age_years, mass_kg)
    constant, slope, curve, _ = _CHILD_EXPENDITURE[sex]
    expended = constant + slope * mass_kg + curve * mass_kg**2
    return expended * _GROWTH * (_CHILD_ACTIVITY[activity] if age_years >= 6 else 1.0)


def energy_requirement(sex: Sex, age_years: float, mass_kg: float, activity: Activity) -> float:
    """Energy requirement [kcal/day] at any age from 1 year, by the equation of that age."""
    if age_years < 18:
        return child_energy(sex, age_years, mass_kg, activity)
    return adult_energy(sex, age_years, mass_kg, activity_level(activity))


def energy_spread(sex: Sex, age_years: float, activity: Activity) -> tuple[float, float]:
    """Factors from the requirement to the ends of its class: 8 to 10 % either way for adults.

    For children the ends are 10 % either way, about the standard error of the equation.
    """
    if age_years < 18:
        return 0.9, 1.1
    low, high = ACTIVITY_LEVELS[activity]
    middle = activity_level(activity)
    return low / middle, high / middle


def protein_safe_level(
    sex: Sex, age_years: float, mass_kg: float, digestibility: float = 1.0
) -> float:
    """Safe level of protein [g/day]; 0.83 g per kg for adults [2]_.

    `digestibility` of the diet against good-quality protein: 1.0 gives the printed level, 0.80
    to 0.85 is usual for a mixed plant diet. Raises ValueError under 1 year or off that range.
    """
    if age_years < 1:
        raise ValueError("the levels begin at 1 year")
    if not 0.5 <= digestibility <= 1:
        raise ValueError(f"digestibility lies from 0.5 to 1, not {digestibility}")
    _band(age_years, mass_kg)
    column = 1 if sex == "male" else 2
    per_kg = next(row[column] for row in _PROTEIN if age_years < row[0])
    return per_kg * mass_kg / digestibility


def _band(age_years: float, mass_kg: float) -> int:
    if not 0 <= age_years <= 110:
        raise ValueError(f"an age lies from 0 to 110 years, not {age_years}")
    band = next(i for i, top in enumerate(_AGE_TOP) if age_years < top)
    low, high = _MASS[band]
    if not low <= mass_kg <= high:
        raise ValueError(
            f"a mass at {age_years:g} years lies from {low:g} to {high:g} kg, not {mass_kg:g}"
        )
    return band
