"""Units that weather files use, and the questions asked where a file does not name them."""

import re
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from perennate.terms import Problem
from perennate.weather.table import DateOrder

Floats = NDArray[np.float64]
TemperatureUnit = Literal["degC", "degF"]
RainUnit = Literal["mm", "in"]

_NAMES = {
    "degc": "degC",
    "\u00b0c": "degC",
    "c": "degC",
    "celsius": "degC",
    "degf": "degF",
    "\u00b0f": "degF",
    "f": "degF",
    "fahrenheit": "degF",
    "mm": "mm",
    "mm/day": "mm",
    "l/m2": "mm",
    "in": "in",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "cm": "cm",
}


@dataclass(frozen=True, slots=True)
class Told:
    """What the person said about a file that does not say it itself."""

    temperature: TemperatureUnit | None = None
    rain: RainUnit | None = None
    dates: DateOrder | None = None


def unit_in(heading: str) -> tuple[str, str | None]:
    """A column heading parted into name and unit: "Tmin (°C)", "tmax_f" or "rain".

    The unit is degC, degF, mm, in or cm, or None where the heading names none.
    """
    bracketed = re.match(r"^(.*?)\s*[\(\[]([^()\[\]]*)[\)\]]\s*$", heading)
    if bracketed:
        return bracketed[1], _NAMES.get(bracketed[2].strip().casefold())
    name, mark, ending = heading.rpartition("_")
    if mark and ending.casefold() in _NAMES:
        return name, _NAMES[ending.casefold()]
    return heading, None


def to_si(values: Floats, unit: str) -> Floats:
    """Temperatures in degC, depths in mm."""
    if unit == "degF":
        return np.asarray((values - 32.0) / 1.8)
    factor = {"degC": 1.0, "mm": 1.0, "in": 25.4, "cm": 10.0}[unit]
    return values if factor == 1.0 else np.asarray(values * factor)


def question(
    file: str, column: str, values: Floats, what: Literal["temperature", "rain"]
) -> Problem:
    """What to ask where a column's unit is not told: what each unit would mean for its values.

    Fahrenheit and inch files look sane in Celsius and millimetres, so nothing is guessed.
    """
    known = values[np.isfinite(values)]
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 0.0)
    if what == "temperature":
        other = f"{(low - 32) / 1.8:.0f} to {(high - 32) / 1.8:.0f} degC if it is degF"
        found = f"{low:g} to {high:g} without a unit: {low:.0f} to {high:.0f} degC, or {other}"
        return Problem(file, None, column, found, "temperature_unit degC or degF")
    total = float(known.sum())
    found = f"a sum of {total:.0f} without a unit: {total:.0f} mm, or {total * 25.4:.0f} mm if inch"
    return Problem(file, None, column, found, "rain_unit mm or in")
