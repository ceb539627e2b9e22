"""Quantities as people read them: metric or US customary, three figures, a unit's sign.

Inside, everything stays in SI; only what is shown is converted. Factors are exact by definition
(international yard and pound agreement of 1959; US gallon of 231 cubic inches).
"""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

Units = Literal["metric", "us"]

_FOOT_M = 0.3048
_POUND_KG = 0.45359237
_OUNCE_G = 28.349523125
_GALLON_L = 3.785411784

US: Mapping[str, tuple[str, float, float]] = MappingProxyType(
    {
        # unit inside: (unit shown, factor, offset)
        "m": ("ft", 1 / _FOOT_M, 0.0),
        "cm": ("in", 1 / 2.54, 0.0),
        "mm": ("in", 1 / 25.4, 0.0),
        "m2": ("sq ft", 1 / _FOOT_M**2, 0.0),
        "kg": ("lb", 1 / _POUND_KG, 0.0),
        "g": ("oz", 1 / _OUNCE_G, 0.0),
        "l": ("US gal", 1 / _GALLON_L, 0.0),
        "kg/m2": ("lb/sq ft", _FOOT_M**2 / _POUND_KG, 0.0),
        "kcal/m2": ("kcal/sq ft", _FOOT_M**2, 0.0),
        "1/m2": ("1/sq ft", _FOOT_M**2, 0.0),
        "kg/week": ("lb/week", 1 / _POUND_KG, 0.0),
        "l/h": ("gal/h", 1 / _GALLON_L, 0.0),
        "l/min": ("gal/min", 1 / _GALLON_L, 0.0),
        "mm/h": ("in/h", 1 / 25.4, 0.0),
        "kPa": ("psi", 1 / 6.894757, 0.0),
        "bar": ("psi", 100 / 6.894757, 0.0),
        "m/s": ("mph", 1 / 0.44704, 0.0),
        "degC": ("degF", 1.8, 32.0),
        # differences of temperature and sums of degree days: a factor, never an offset
        "K": ("degF", 1.8, 0.0),
        "degC d": ("degF d", 1.8, 0.0),
    }
)

_SIGNS: Mapping[str, str] = MappingProxyType(
    {
        "m2": "m²",
        "kg/m2": "kg/m²",
        "kcal/m2": "kcal/m²",
        "1/m2": "/m²",
        "1/sq ft": "/sq ft",
        "g/m2": "g/m²",
        "l": "L",
        "l/m2": "L/m²",
        "l/h": "L/h",
        "l/min": "L/min",
        "dS/m": "dS/m",
        "degC": "°C",
        "degF": "°F",
        "K": "°C",
        "degC d": "°C d",
        "degF d": "°F d",
        "1": "",
    }
)

_SINGULAR: Mapping[str, str] = MappingProxyType(
    {"seeds": "seed", "plants": "plant", "pieces": "piece", "sets": "set", "weeks": "week"}
)

SHOWN: frozenset[str] = frozenset(US) | frozenset(_SIGNS) | {"min", "h", "d", "week"}
"""Units that a sentence may ask for by name, as in {depth:cm}."""

COUNTED: frozenset[str] = frozenset(_SINGULAR)
"""What is counted in whole things; a sentence may be given these as the unit of an amount."""


def plain(value: float) -> str:
    """A number with at least three significant figures, never with an exponent.

    Whole from 100 up; trailing zeros after the point are dropped: 61.0 -> "61", 0.0456 -> "0.0456",
    1234.5 -> "1234". Not a number or endless: "unknown".
    """
    if not math.isfinite(value):
        return "unknown"
    if value == 0:
        return "0"
    decimals = max(0, 2 - math.floor(math.log10(abs(value))))
    shown = f"{value:.{decimals}f}"
    if "." in shown:
        shown = shown.rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown


def convert(value: float, unit: str, units: Units) -> tuple[float, str]:
    """The value and its unit as shown under `units`; a unit without a US form stays as it is.

    A share becomes percent under both.
    """
    if is_share(unit):
        return value * 100, unit.replace("share", "%", 1)
    if units == "us" and unit in US:
        shown, factor, offset = US[unit]
        return value * factor + offset, shown
    return value, unit


def is_share(unit: str) -> bool:
    """Whether the unit is a share of one, said of what or not: "share of energy"."""
    return unit == "share" or unit.startswith("share of ")


def symbol(unit: str, units: Units = "metric") -> str:
    """The sign of a unit as shown under `units`: "m2" -> "m²" or "sq ft"."""
    _, shown = convert(0.0, unit, units)
    return _SIGNS.get(shown, shown)


def show(value: float, unit: str, units: Units = "metric") -> str:
    """The value with its unit, converted for showing: show(0.9, "m", "us") -> "2.95 ft".

    A share is shown in whole percent, one piece as "1 piece".
    """
    number, _ = convert(value, unit, units)
    if is_share(unit):
        return f"{value:.0%}{unit.removeprefix('share')}"
    shown, sign = plain(number), symbol(unit, units)
    if shown == "1":
        sign = _SINGULAR.get(sign, sign)
    gap = "" if not sign or sign.startswith("/") else " "
    return f"{shown}{gap}{sign}"
