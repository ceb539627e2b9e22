"""The units that people write into a cell, and their exact size in ours."""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Unit:
    """`size` base units of its dimension, counted from `zero` (temperatures only)."""

    dimension: str
    size: Fraction
    zero: Fraction = Fraction(0)


def _unit(dimension: str, size: str, zero: str = "0") -> Unit:
    return Unit(dimension, Fraction(size), Fraction(zero))


_FOOT, _POUND, _GALLON = "0.3048", "0.45359237", "3.785411784"
"""International foot and pound of 1959; the US liquid gallon is 231 cubic inches (NIST
Handbook 44, appendix C)."""

_PSI = str(Fraction("4.4482216152605") / Fraction("0.0254") ** 2 / 100_000)
"""A pound-force on a square inch, in bar: the pound by standard gravity, 9.80665 m/s2 (ibid.)."""

_SPELLINGS: dict[Unit, tuple[str, ...]] = {
    _unit("length", "1"): ("m", "metre", "metres", "meter", "meters"),
    _unit("length", "0.01"): ("cm",),
    _unit("length", "0.001"): ("mm",),
    _unit("length", _FOOT): ("ft", "foot", "feet", "'", "′", "’"),
    _unit("length", "0.0254"): ("in", "inch", "inches", '"', "″", "”", "''"),
    _unit("length", "0.9144"): ("yd", "yard", "yards"),
    _unit("pressure", "1"): ("bar",),
    _unit("pressure", "0.001"): ("mbar", "hpa"),
    _unit("pressure", "0.01"): ("kpa",),
    _unit("pressure", _PSI): ("psi",),
    _unit("flow", "1"): ("l/min", "lpm"),
    _unit("flow", "60"): ("l/s",),
    _unit("flow", "1/60"): ("l/h",),
    _unit("flow", "50/3"): ("m3/h", "m³/h"),
    _unit("flow", _GALLON): ("us gal/min", "us gpm"),
    _unit("area", "1"): ("m2", "m²", "sqm"),
    _unit("area", "0.09290304"): ("ft2", "ft²", "sqft", "sq ft"),
    _unit("mass", "1"): ("kg", "kilo", "kilos"),
    _unit("mass", "0.001"): ("g", "gram", "grams", "gr"),
    _unit("mass", "0.000001"): ("mg",),
    _unit("mass", _POUND): ("lb", "lbs", "pound", "pounds"),
    _unit("mass", "0.028349523125"): ("oz", "ounce", "ounces"),
    _unit("volume", "1"): ("l", "litre", "litres", "liter", "liters"),
    _unit("volume", "0.001"): ("ml",),
    _unit("volume", "1000"): ("m3", "m³"),
    _unit("volume", _GALLON): ("us gal", "us gallon", "us gallons"),
    _unit("volume", "4.54609"): ("imp gal", "imperial gallon", "imperial gallons"),
    _unit("time", "1"): ("min", "mins", "minute", "minutes"),
    _unit("time", "60"): ("h", "hr", "hrs", "hour", "hours"),
    _unit("days", "1"): ("d", "day", "days"),
    _unit("temperature", "1"): ("degc", "°c", "c", "ºc"),
    _unit("temperature", "5/9", "32"): ("degf", "°f", "f", "ºf"),
    _unit("speed", "1"): ("m/s",),
    _unit("speed", "5/18"): ("km/h", "kmh"),
    _unit("speed", "0.44704"): ("mph",),
    _unit("share", "1"): ("share",),
    _unit("share", "0.01"): ("%", "percent"),
    _unit("servings", "1"): ("servings", "serving", "portions", "portion"),
    _unit("plants", "1"): ("plants", "plant"),
    _unit("seeds", "1"): ("seeds", "seed"),
    _unit("pieces", "1"): ("pieces", "piece", "pcs"),
}
_BY_SPELLING = {word: unit for unit, words in _SPELLINGS.items() for word in words}
_GALLONS = ("gal", "gallon", "gallons", "gal/min", "gpm")


def find_unit(word: str, us: bool) -> Unit | None:
    """The unit of that spelling, or None. A bare gallon is one only where `us` is set."""
    spelled = " ".join(word.casefold().strip().rstrip(".").split())
    if us and spelled in _GALLONS:
        spelled = f"us {spelled}"
    return _BY_SPELLING.get(spelled)


def convert(value: Fraction, source: Unit, target: Unit) -> Fraction:
    """`value` of one unit in another of the same dimension; exact."""
    if source.dimension != target.dimension:
        raise ValueError(f"{source.dimension} is no {target.dimension}")
    return (value - source.zero) * source.size / target.size + target.zero


def spellings(dimension: str) -> tuple[str, ...]:
    """The first spelling of each unit of a dimension, for messages."""
    return tuple(words[0] for unit, words in _SPELLINGS.items() if unit.dimension == dimension)
