"""Units of water analyses: what is dissolved, as mass, equivalents or hardness, and conductivity.

References
----------
.. [1] Ayers, R.S., Westcot, D.W. (1985), Water quality for agriculture, FAO Irrigation and
   Drainage Paper 29 rev. 1, laboratory determinations: equivalents, sum of cations about ten times
   the conductivity, dissolved salts about 640 times (from memory).
.. [2] IUPAC (2021), standard atomic weights, abridged; divided by the charge.
"""

import unicodedata
from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", float, NDArray[np.float64])

Ion = Literal[
    "sodium",
    "calcium",
    "magnesium",
    "potassium",
    "chloride",
    "bicarbonate",
    "carbonate",
    "sulphate",
    "nitrate_n",
]

EQUIVALENT_WEIGHT: Mapping[str, float] = MappingProxyType(
    {
        "sodium": 22.990,
        "calcium": 20.039,
        "magnesium": 12.1525,
        "potassium": 39.098,
        "chloride": 35.45,
        "bicarbonate": 61.016,
        "carbonate": 30.004,
        "sulphate": 48.03,
        "nitrate_n": 14.007,
    }
)
"""Milligrams in a milliequivalent [2]_; of nitrate, the nitrogen alone."""

_CHARGE: Mapping[str, int] = MappingProxyType(
    {"calcium": 2, "magnesium": 2, "carbonate": 2, "sulphate": 2}
)
_HARDNESS_IONS = ("calcium", "magnesium", "bicarbonate", "carbonate")
"""What may be told as the lime that would answer to it."""
_CARRIED: Mapping[str, tuple[str, float]] = MappingProxyType(
    {"no3": ("nitrate_n", 14.007 / 62.004), "so4-s": ("sulphate", 96.06 / 32.06)}
)

_GRAIN_MG = 64.79891
_US_GALLON_L = 3.785411784
_IMPERIAL_GALLON_L = 4.54609
_LIME_MG_PER_MEQ = 50.0435
_OXIDE_MG_PER_MEQ = 28.0385

_MASS: Mapping[str, float] = MappingProxyType(
    {
        "mg/l": 1.0,
        "ppm": 1.0,
        "g/m3": 1.0,
        "mg/kg": 1.0,
        "g/l": 1000.0,
        "ug/l": 0.001,
        "ppb": 0.001,
        "grains/gal": _GRAIN_MG / _US_GALLON_L,
        "gpg": _GRAIN_MG / _US_GALLON_L,
        "grains/us gal": _GRAIN_MG / _US_GALLON_L,
        "grains/imp gal": _GRAIN_MG / _IMPERIAL_GALLON_L,
    }
)
"""Unit of mass in a volume -> mg/l. A gallon not said to be imperial is the US one."""

_EQUIVALENT: Mapping[str, float] = MappingProxyType(
    {"meq/l": 1.0, "me/l": 1.0, "mval/l": 1.0, "mmolc/l": 1.0}
)
_HARDNESS: Mapping[str, float] = MappingProxyType(
    {
        "mg/l caco3": 1.0 / _LIME_MG_PER_MEQ,
        "ppm caco3": 1.0 / _LIME_MG_PER_MEQ,
        "°dh": 10.0 / _OXIDE_MG_PER_MEQ,
        "dh": 10.0 / _OXIDE_MG_PER_MEQ,
        "°fh": 10.0 / _LIME_MG_PER_MEQ,
        "fh": 10.0 / _LIME_MG_PER_MEQ,
        "grains/gal caco3": _GRAIN_MG / _US_GALLON_L / _LIME_MG_PER_MEQ,
        "grains/imp gal caco3": _GRAIN_MG / _IMPERIAL_GALLON_L / _LIME_MG_PER_MEQ,
    }
)
"""Unit of hardness or alkalinity -> milliequivalents per litre: German degrees are 10 mg/l of CaO,
French ones 10 mg/l of CaCO3, a Clark degree a grain of CaCO3 in an imperial gallon."""

_CONDUCTIVITY: Mapping[str, float] = MappingProxyType(
    {
        "ds/m": 1.0,
        "ms/cm": 1.0,
        "mmho/cm": 1.0,
        "mmhos/cm": 1.0,
        "us/cm": 0.001,
        "umho/cm": 0.001,
        "umhos/cm": 0.001,
        "ms/m": 0.01,
        "s/m": 10.0,
    }
)

ANALYSIS_UNITS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "conductivity": ("dS/m", "mS/cm", "uS/cm", "mmhos/cm", "umhos/cm", "mS/m"),
        "mass": ("mg/l", "ppm", "meq/l", "mmol/l", "grains/gal", "grains/imp gal"),
        "hardness": ("mg/l CaCO3", "°dH", "°fH", "grains/gal CaCO3", "meq/l"),
        "nitrate_n": ("mg/l N", "mg/l NO3", "meq/l"),
    }
)
"""Spellings for messages, by what is told."""

TDS_PER_EC = 640.0
"""Milligrams of salts in a litre for each dS/m, from 0.1 to 5 dS/m [1]_; 800 and more above."""
CATIONS_PER_EC = 10.0
"""Milliequivalents of cations in a litre for each dS/m, from 0.1 to 5 dS/m [1]_."""

RAIN_EC = 0.02
"""Conductivity of rain [dS/m] (common practice: 0.01 to 0.05, more beside the sea)."""

_CLARK = ("°clark", "clark", "°e")


def unit_key(unit: str) -> str:
    """A unit as the tables spell it: small letters, one micro sign, no exponents."""
    plain = unicodedata.normalize("NFKC", unit).casefold().replace("μ", "u").replace("µ", "u")
    plain = " ".join(plain.replace("liter", "l").replace("litre", "l").split())
    for found, written in (
        ("grain/", "grains/"),
        ("gr/gal", "grains/gal"),
        ("gallon", "gal"),
        ("imperial", "imp"),
        (" as ", " "),
        (" per ", "/"),
        ("mg l-1", "mg/l"),
        ("ds m-1", "ds/m"),
        ("ms cm-1", "ms/cm"),
        ("us cm-1", "us/cm"),
    ):
        plain = plain.replace(found, written)
    return "grains/imp gal caco3" if plain in _CLARK else plain


def to_mg_l(value: Number, unit: str, ion: str) -> Number:
    """An amount of an ion [`unit`] in mg/l.

    `ion`: a key of `EQUIVALENT_WEIGHT`, or any other name (boron, iron, chlorine), which takes
    mass units alone. Hardness and alkalinity units go with calcium, magnesium, bicarbonate and
    carbonate; "mg/l NO3" with nitrate_n, "mg/l SO4-S" with sulphate. Raises ValueError.
    """
    found = unit_key(unit)
    if found in _MASS:
        return value * _MASS[found]
    mass, _, form = found.partition(" ")
    if mass in _MASS and _CARRIED.get(form, ("", 0.0))[0] == ion:
        return value * _MASS[mass] * _CARRIED[form][1]
    if mass in _MASS and form in _FORMS.get(ion, ()):
        return value * _MASS[mass]
    if ion in EQUIVALENT_WEIGHT:
        if found in _EQUIVALENT:
            return value * EQUIVALENT_WEIGHT[ion]
        if found == "mmol/l":
            return value * EQUIVALENT_WEIGHT[ion] * float(_CHARGE.get(ion, 1))
        if found in _HARDNESS and ion in _HARDNESS_IONS:
            return value * _HARDNESS[found] * EQUIVALENT_WEIGHT[ion]
    raise ValueError(f"an amount of {ion} is told in {', '.join(units_of(ion))}, not in {unit}")


_FORMS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "nitrate_n": ("n", "no3-n"),
        "sodium": ("na",),
        "calcium": ("ca",),
        "magnesium": ("mg",),
        "potassium": ("k",),
        "chloride": ("cl",),
        "bicarbonate": ("hco3",),
        "carbonate": ("co3",),
        "sulphate": ("so4",),
        "boron": ("b",),
        "iron": ("fe",),
        "free_chlorine": ("cl2",),
        "chloramine": ("cl2",),
    }
)


def units_of(ion: str) -> tuple[str, ...]:
    """The usual spellings of the units that an ion is told in, for messages."""
    if ion in ("nitrate_n", "conductivity"):
        return ANALYSIS_UNITS[ion]
    if ion in _HARDNESS_IONS:
        return tuple(dict.fromkeys(ANALYSIS_UNITS["mass"] + ANALYSIS_UNITS["hardness"]))
    if ion in EQUIVALENT_WEIGHT:
        return ANALYSIS_UNITS["mass"]
    return tuple(unit for unit in ANALYSIS_UNITS["mass"] if unit_key(unit) in _MASS)


def to_meq(mg_l: Number, ion: str) -> Number:
    """Milliequivalents per litre of an ion given in mg/l."""
    return mg_l / EQUIVALENT_WEIGHT[ion]


def hardness_meq(value: Number, unit: str) -> Number:
    """Calcium and magnesium together [meq/l] from a hardness in one of the units of hardness.

    Bare "mg/l", "ppm" and "grains/gal" are of lime, CaCO3, as everyone means it. Raises
    ValueError.
    """
    found = unit_key(unit)
    if found in _EQUIVALENT:
        return value
    if found == "mmol/l":
        return value * 2.0
    if found in _MASS:
        return value * _MASS[found] / _LIME_MG_PER_MEQ
    if found in _HARDNESS:
        return value * _HARDNESS[found]
    raise ValueError(
        f"a hardness is told in {', '.join(ANALYSIS_UNITS['hardness'])}, not in {unit}"
    )


def ec_to_ds_m(value: Number, unit: str) -> Number:
    """A conductivity [`unit`] in dS/m. Raises ValueError for another unit.

    "mS/cm" is the same as dS/m, "mS/m" a hundredth of it: both are in use.
    """
    found = unit_key(unit)
    if found not in _CONDUCTIVITY:
        expected = ", ".join(ANALYSIS_UNITS["conductivity"])
        raise ValueError(f"a conductivity is told in {expected}, not in {unit}")
    return value * _CONDUCTIVITY[found]


def ec_from_tds(tds_mg_l: Number) -> Number:
    """Conductivity [dS/m] from dissolved salts [mg/l], for 64 to 3200 mg/l [1]_."""
    return tds_mg_l / TDS_PER_EC
