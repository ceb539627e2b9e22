"""Who eats, as typed: "female 35 62 moderate; male 8 27 vigorous", or the same as JSON."""

import json
from dataclasses import dataclass
from typing import Any

from perennate.reckoner.quantities import UnreadableError, read_quantity
from perennate.science.energy import (
    ACTIVITY_LEVELS,
    Activity,
    Sex,
    energy_requirement,
    energy_spread,
    protein_safe_level,
)
from perennate.terms import BadInput, Problem

PLANT_PROTEIN_DIGESTED = 0.8
"""Share of plant protein that the body takes up, against good-quality protein."""

_SHAPE = 'sex, age, weight and way of life, as "female 35 62 moderate"'
_SEXES: dict[str, Sex] = {
    "female": "female",
    "f": "female",
    "woman": "female",
    "girl": "female",
    "male": "male",
    "m": "male",
    "man": "male",
    "boy": "male",
}


@dataclass(frozen=True, slots=True)
class Eater:
    """One person with what they need a day."""

    sex: Sex
    age_years: float
    weight_kg: float
    activity: Activity
    energy_kcal: float
    energy_range: tuple[float, float]
    protein_g: float

    def shown(self) -> dict[str, Any]:
        return {
            "sex": self.sex,
            "age": self.age_years,
            "weight": self.weight_kg,
            "activity": self.activity,
            "kcal": self.energy_kcal,
        }


def read_people(reckoner: str, typed: str) -> list[Eater]:
    """Every person named; BadInput with every problem."""
    problems: list[Problem] = []
    eaters: list[Eater] = []
    for parts, shown in _split(reckoner, typed):
        try:
            eaters.append(_eater(parts))
        except (UnreadableError, ValueError) as wrong:
            expected = wrong.expected if isinstance(wrong, UnreadableError) else str(wrong)
            problems.append(Problem(reckoner, None, "people", shown, expected))
    if not eaters and not problems:
        problems.append(Problem(reckoner, None, "people", typed, _SHAPE))
    if problems:
        raise BadInput(problems)
    return eaters


def _split(reckoner: str, typed: str) -> list[tuple[list[str], str]]:
    if typed.lstrip().startswith(("[", "{")):
        try:
            rows = json.loads(typed)
        except json.JSONDecodeError as wrong:
            expected = f"people as JSON ({wrong.msg} at {wrong.pos})"
            raise BadInput([Problem(reckoner, None, "people", typed, expected)]) from None
        rows = rows if isinstance(rows, list) else [rows]
        return [(_of_row(row), json.dumps(row)) for row in rows]
    pieces = [piece.strip() for piece in typed.replace("\n", ";").split(";")]
    return [(piece.split(), piece) for piece in pieces if piece]


def _of_row(row: Any) -> list[str]:
    if not isinstance(row, dict):
        return []
    weight = row.get("weight", row.get("weight_kg", ""))
    age = row.get("age", row.get("age_years", ""))
    return [str(row.get("sex", "")), str(age), str(weight), str(row.get("activity", "moderate"))]


def _eater(parts: list[str]) -> Eater:
    if len(parts) == 3:
        parts = [*parts, "moderate"]
    if len(parts) != 4:
        raise UnreadableError(_SHAPE)
    sex, activity = _SEXES.get(parts[0].casefold()), parts[3].casefold()
    if sex is None:
        raise UnreadableError("female or male first: the equations are made so")
    if activity not in ACTIVITY_LEVELS:
        raise UnreadableError(f"one of {', '.join(ACTIVITY_LEVELS)} last")
    way: Activity = activity
    age, weight = read_quantity(parts[1], "years"), read_quantity(parts[2], "kg")
    need = energy_requirement(sex, age, weight, way)
    low, high = energy_spread(sex, age, way)
    protein = protein_safe_level(sex, age, weight, PLANT_PROTEIN_DIGESTED)
    return Eater(sex, age, weight, way, need, (need * low, need * high), protein)
