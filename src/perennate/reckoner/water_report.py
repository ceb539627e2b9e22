"""A laboratory's report on water, as people copy it: "450 uS/cm", "1,2 dS/m", "7.5 meq/l"."""

import re
from collections.abc import Callable, Mapping
from dataclasses import fields
from typing import Any, get_args

from perennate.reckoner.quantities import UnreadableError, read_number
from perennate.science.water_quality import Germs, Kind, WaterAnalysis, likely_mistakes
from perennate.science.water_units import (
    ANALYSIS_UNITS,
    EQUIVALENT_WEIGHT,
    ec_to_ds_m,
    hardness_meq,
    to_mg_l,
    unit_key,
)
from perennate.terms import BadInput, Problem

KINDS: tuple[Kind, ...] = get_args(Kind)
GERMS: tuple[Germs, ...] = get_args(Germs)
MEASURED = tuple(one.name for one in fields(WaterAnalysis) if one.name not in ("kind", "germs"))
SHORT: Mapping[str, str] = {re.sub(r"(_n)?_(mg_l|ds_m)$", "", name): name for name in MEASURED}
"""What a figure is called for short ("ec", "sodium", "nitrate") -> field of WaterAnalysis."""

_PLAIN = ("ph", "sar_adjusted")
_BARE_EC_LIMIT = 10.0
_CELL = re.compile(r"(?P<below><\s*)?(?P<number>[+\-−]?\d[\d.,]*)\s*(?P<unit>\D.*|)", re.DOTALL)


def read_analysis(cells: Mapping[str, str], place: str = "water analysis") -> WaterAnalysis:
    """The analysis in the cells, by short name or by field; empty cells were not measured.

    A bare number is in dS/m (conductivity) or mg/l; "< 0.05" counts as 0.05. `hardness` stands for
    calcium and magnesium where calcium is not told: the sodium ratio needs their sum alone. Raises
    BadInput with every doubt at once, each with the mistake that is likely: a unit that does not
    fit, a pH of 70, 450 dS/m, more sodium than the conductivity allows, charges that do not
    balance.
    """
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    told_as: dict[str, str] = {}
    hardness: float | None = None
    for column, typed in cells.items():
        name = SHORT.get(column, column)
        written = typed.strip()
        if not written:
            continue
        try:
            if name == "hardness":
                hardness = _hardness(written)
            elif name == "kind":
                values[name] = _one_of(written, KINDS)
            elif name == "germs":
                values[name] = _one_of(written, GERMS)
            elif name in MEASURED:
                values[name] = _figure(name, column, written)
            else:
                known = ", ".join(("kind", *SHORT, "hardness", "germs"))
                problems.append(Problem(place, None, column, column, f"one of {known}"))
                continue
        except UnreadableError as unreadable:
            problems.append(Problem(place, None, column, written, unreadable.expected))
        told_as[name] = column
    _spread(hardness, values, problems, place)
    for name, found, expected in likely_mistakes(WaterAnalysis(**values)):
        problems.append(Problem(place, None, told_as.get(name, name), found, expected))
    if problems:
        raise BadInput(problems)
    return WaterAnalysis(**values)


def _one_of(written: str, allowed: tuple[str, ...]) -> str:
    found = written.casefold()
    if found not in allowed:
        raise UnreadableError(f"one of {', '.join(allowed)}")
    return found


def _split(written: str) -> tuple[float, str]:
    match = _CELL.fullmatch(written)
    if match is None:
        raise UnreadableError('a number with its unit, or "< 0.05" for what was not found')
    return read_number(match["number"].rstrip(".,")), match["unit"].strip()


def _figure(name: str, column: str, written: str) -> float:
    value, unit = _split(written)
    if name in _PLAIN:
        if unit:
            raise UnreadableError("a number without a unit")
        return value
    if name == "ec_ds_m":
        if not unit and value > _BARE_EC_LIMIT:
            raise UnreadableError(
                f"its unit too: {value:g} uS/cm, which is {value / 1000:g} dS/m, perhaps?"
            )
        return _converted(lambda: ec_to_ds_m(value, unit or "dS/m"))
    ion = name.removesuffix("_mg_l")
    if ion == "nitrate_n" and column == "nitrate" and unit_key(unit) in ("", "mg/l", "ppm"):
        raise UnreadableError(
            f"{value:g} mg/l NO3 or {value:g} mg/l N: nitrate is told in two ways, 4.4 apart"
        )
    return _converted(lambda: to_mg_l(value, unit or "mg/l", "boron" if ion == "tds" else ion))


def _hardness(written: str) -> float:
    value, unit = _split(written)
    if not unit:
        raise UnreadableError(f"its unit too, one of {', '.join(ANALYSIS_UNITS['hardness'])}")
    return _converted(lambda: hardness_meq(value, unit))


def _converted(convert: Callable[[], float]) -> float:
    try:
        return convert()
    except ValueError as wrong:
        raise UnreadableError(str(wrong)) from None


def _spread(
    hardness: float | None, values: dict[str, Any], problems: list[Problem], place: str
) -> None:
    """Gives hardness to calcium where that was not told, and magnesium what it has."""
    if hardness is None or "calcium_mg_l" in values:
        return
    magnesium = values.get("magnesium_mg_l", 0.0) / EQUIVALENT_WEIGHT["magnesium"]
    if magnesium > hardness:
        expected = f"at least the {magnesium:.3g} meq/l of the magnesium in it"
        problems.append(Problem(place, None, "hardness", f"{hardness:.3g} meq/l", expected))
        return
    values.setdefault("magnesium_mg_l", 0.0)
    values["calcium_mg_l"] = (hardness - magnesium) * EQUIVALENT_WEIGHT["calcium"]
