"""Numbers, units and days as people type them: "1,5", "3 ft", "5 ft 6 in", "61 F", "10 May"."""

import re
from dataclasses import dataclass
from datetime import date

_UNITS: dict[str, tuple[str, float, float]] = {}
"""Spelling -> dimension, factor to its base unit, offset added before the factor."""


def _say_units(dimension: str, factor: float, *spellings: str, offset: float = 0.0) -> None:
    for spelling in spellings:
        _UNITS[spelling] = (dimension, factor, offset)


_say_units("length", 1.0, "m", "metre", "metres", "meter", "meters")
_say_units("length", 0.01, "cm")
_say_units("length", 0.001, "mm")
_say_units("length", 1000.0, "km")
_say_units("length", 0.3048, "ft", "foot", "feet", "'", "′")
_say_units("length", 0.0254, "in", "inch", "inches", '"', "″")
_say_units("length", 0.9144, "yd", "yard", "yards")
_say_units("area", 1.0, "m2", "m²", "sqm")
_say_units("area", 0.09290304, "ft2", "ft²", "sqft", "sq ft")
_say_units("volume", 1.0, "l", "litre", "litres", "liter", "liters")
_say_units("volume", 1000.0, "m3", "m³")
_say_units("volume", 3.785411784, "gal", "us gal")
_say_units("volume", 4.54609, "imp gal")
_say_units("mass", 1.0, "kg")
_say_units("mass", 0.001, "g")
_say_units("mass", 0.45359237, "lb", "lbs", "pound", "pounds")
_say_units("mass", 0.45359237 / 16, "oz", "ounce", "ounces")
_say_units("temperature", 1.0, "degc", "°c", "c", "celsius")
_say_units("temperature", 5 / 9, "degf", "°f", "f", "fahrenheit", offset=-32.0)
_say_units("time", 1.0, "d", "day", "days")
_say_units("time", 7.0, "week", "weeks", "wk")
_say_units("time", 30.0, "month", "months")
_say_units("time", 365.0, "year", "years")
_say_units("share", 1.0, "1")
_say_units("share", 0.01, "%", "percent", "pct")
_say_units("flow", 1.0, "l/h", "lph")
_say_units("flow", 60.0, "l/min", "lpm")
_say_units("flow", 3.785411784, "gal/h", "gph")
_say_units("flow", 60 * 3.785411784, "gal/min", "gpm")
_say_units("pressure", 1.0, "kpa")
_say_units("pressure", 100.0, "bar")
_say_units("pressure", 6.894757, "psi")
_say_units("rate", 1.0, "mm/h")
_say_units("rate", 25.4, "in/h")
_say_units("speed", 1.0, "m/s")
_say_units("speed", 1 / 3.6, "km/h", "kph")
_say_units("speed", 0.44704, "mph")
_say_units("speed", 1852 / 3600, "kn", "knots")
_say_units("sun", 1.0, "mj/m2", "mj/m²")
_say_units("sun", 3.6, "kwh/m2", "kwh/m²")
_say_units("sun", 0.0864, "w/m2", "w/m²")
_say_units("angle", 1.0, "deg", "°", "degree", "degrees")

_NUMBER = re.compile(
    # the 2 of W/m2, m2 or ft2 and the 3 of m3 are none
    r"(?<!/m)(?!(?:(?<=m)|(?<=ft))[23]\s*$)[+\-−]?\d[\d.,]*"
)
_GROUPED = {",": re.compile(r"\d{1,3}(,\d{3})+(\.\d+)?"), ".": re.compile(r"\d{1,3}(\.\d{3})+,\d+")}


@dataclass(frozen=True, slots=True)
class UnreadableError(Exception):
    """A value that cannot be read for sure: what would have been expected."""

    expected: str


def read_number(typed: str) -> float:
    """A number with a decimal point or comma.

    Raises UnreadableError where a comma may stand for thousands as well ("1,234"): never guessed.
    """
    found = typed.strip().replace("−", "-").replace("\u00a0", "")
    sign, digits = (-1.0, found[1:]) if found.startswith("-") else (1.0, found.removeprefix("+"))
    if re.fullmatch(r"\d+(\.\d+)?", digits):
        return sign * float(digits)
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits):
        raise UnreadableError(
            f"{digits.replace(',', '.')} or {digits.replace(',', '')}, without a comma"
        )
    if re.fullmatch(r"\d+,\d+", digits):
        return sign * float(digits.replace(",", "."))
    if _GROUPED[","].fullmatch(digits):
        return sign * float(digits.replace(",", ""))
    if _GROUPED["."].fullmatch(digits):
        return sign * float(digits.replace(".", "").replace(",", "."))
    raise UnreadableError("a number")


def read_quantity(typed: str, unit: str) -> float:
    """A number in `unit`; another unit of the same kind may follow it and is converted.

    "3 ft" in m is 0.9144, "5 ft 6 in" adds up, "61 F" in degC is 16.1. A unit of "" takes plain
    numbers alone. Raises UnreadableError.
    """
    found = typed.strip()
    numbers = list(_NUMBER.finditer(found))
    if not numbers or numbers[0].start() != 0:
        raise UnreadableError(_expected(unit))
    total, seen = 0.0, set()
    for i, match in enumerate(numbers):
        end = numbers[i + 1].start() if i + 1 < len(numbers) else len(found)
        suffix = found[match.end() : end].strip().casefold()
        if (len(numbers) > 1 and not suffix) or suffix in seen:
            raise UnreadableError(_expected(unit))
        seen.add(suffix)
        total += _converted(read_number(match.group()), suffix, unit)
        if len(numbers) > 1 and _UNITS[suffix][0] == "temperature":
            raise UnreadableError(_expected(unit))
    return total


def _converted(number: float, suffix: str, unit: str) -> float:
    if not suffix or suffix == unit.casefold():
        return number
    wanted, given = _UNITS.get(unit.casefold()), _UNITS.get(suffix)
    if wanted is None or given is None or wanted[0] != given[0]:
        raise UnreadableError(_expected(unit))
    if wanted[0] == "temperature" and wanted[2] == 0.0 and given[2] != 0.0:
        return (number + given[2]) * given[1]
    return number * given[1] / wanted[1]


def _expected(unit: str) -> str:
    known = _UNITS.get(unit.casefold())
    if known is None:
        return f"a number in {unit}" if unit else "a number without a unit"
    others = [
        spelling
        for spelling, (dimension, _, _) in _UNITS.items()
        if dimension == known[0] and spelling in _SHORT and spelling != unit.casefold()
    ]
    return f"a number in {unit}" + (f" (or with {', '.join(others)})" if others else "")


_SHORT = (
    *("m", "cm", "ft", "in", "kg", "g", "lb", "oz", "c", "f", "days", "weeks", "%"),
    *("l/h", "l/min", "gal/h", "gal/min", "kpa", "bar", "psi", "mm/h", "in/h"),
    *("km/h", "mph", "kwh/m2", "w/m2"),
    *("m2", "ft2", "l", "m3", "gal", "imp gal"),
)

_MONTH_NAMES = (
    ("january", "jan"),
    ("february", "feb"),
    ("march", "mar"),
    ("april", "apr"),
    ("may",),
    ("june", "jun"),
    ("july", "jul"),
    ("august", "aug"),
    ("september", "sep", "sept"),
    ("october", "oct"),
    ("november", "nov"),
    ("december", "dec"),
)
_MONTHS = {name: i + 1 for i, names in enumerate(_MONTH_NAMES) for name in names}

_DAY_PATTERNS = (
    r"(?:\d{4}-)?(?P<month>\d{2})-(?P<day>\d{2})",
    r"(?P<day>\d{1,2})\.\s?(?P<month>\d{1,2})\.?(?:\s?\d{4})?",
    r"(?P<day>\d{1,2})(?:st|nd|rd|th)?\.? (?P<month>[a-z]+)",
    r"(?P<month>[a-z]+) (?P<day>\d{1,2})(?:st|nd|rd|th)?",
)

_ANY_LEAP_YEAR = 2000


def read_month_day(typed: str) -> tuple[int, int]:
    """Month and day of "05-10", "10 May", "May 10", "2026-05-10", "10.5." or "10.05.2026".

    Raises UnreadableError, also for "5/10", which is read two ways.
    """
    found = typed.strip().casefold()
    for pattern in _DAY_PATTERNS:
        match = re.fullmatch(pattern, found)
        if match is None:
            continue
        month = match["month"]
        number = int(month) if month.isdecimal() else _MONTHS.get(month, 0)
        try:
            date(_ANY_LEAP_YEAR, number, int(match["day"]))
        except ValueError:
            break
        return number, int(match["day"])
    raise UnreadableError('a day such as "10 May" or "05-10" (month-day)')
