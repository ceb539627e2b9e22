"""What an analysis of water says: for soil, for leaves, for lines, and for whoever eats.

A figure that was not measured is unknown, and unknown is never safe.

References
----------
.. [1] Ayers, R.S., Westcot, D.W. (1985), Water quality for agriculture, FAO Irrigation and
   Drainage Paper 29 rev. 1, table 1 (limits seen in a secondary print).
.. [2] Cayanan, D.F. and others (2009), HortScience: sprinkled for six weeks, Spiraea, Hydrangea,
   Weigela and Salix were marked from 2.5 mg/l of free chlorine, Physocarpus from 5.
.. [3] Donovan, C., Fisher, P., Huang, J. (2015), Proc. Florida State Hort. Soc. 128: basil and
   lettuce were marked from 8 mg/l five times a week, bedding plugs bore 16 mg/l once a day.
.. [4] Bucks, D.A., Nakayama, F.S. (1980), clogging of emitters (from memory).
.. [5] WateReuse Foundation (2007), Salinity Management Guide (residual carbonate).
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from types import MappingProxyType
from typing import Literal

from perennate.science.sodicity import (
    Rating,
    adjusted_sar,
    infiltration_rating,
    residual_sodium_carbonate,
    sar,
)
from perennate.science.water_units import (
    CATIONS_PER_EC,
    EQUIVALENT_WEIGHT,
    RAIN_EC,
    TDS_PER_EC,
    ec_from_tds,
    to_meq,
)

Kind = Literal["mains", "well", "roof", "surface", "grey", "unknown"]
Germs = Literal["untested", "clean", "found"]
Hazard = Literal[
    "salinity",
    "infiltration",
    "sodium",
    "chloride",
    "boron",
    "nitrate",
    "bicarbonate",
    "residual_carbonate",
    "ph",
    "iron",
    "chlorine",
]

_CATIONS = ("sodium", "calcium", "magnesium", "potassium")
_ANIONS = ("chloride", "bicarbonate", "carbonate", "sulphate", "nitrate_n")
_NEEDED = ("sodium", "calcium", "magnesium", "chloride", "bicarbonate", "sulphate")


@dataclass(frozen=True, slots=True)
class WaterAnalysis:
    """One water: what it is and what was found in it; None was not measured.

    Conductivity at 25 °C [dS/m], all else in mg/l: nitrate as nitrogen, chlorine and chloramine
    as Cl2; `sar_adjusted` as the laboratory gives it.
    """

    kind: Kind = "unknown"
    ec_ds_m: float | None = None
    ph: float | None = None
    tds_mg_l: float | None = None
    sodium_mg_l: float | None = None
    calcium_mg_l: float | None = None
    magnesium_mg_l: float | None = None
    potassium_mg_l: float | None = None
    chloride_mg_l: float | None = None
    bicarbonate_mg_l: float | None = None
    carbonate_mg_l: float | None = None
    sulphate_mg_l: float | None = None
    boron_mg_l: float | None = None
    nitrate_n_mg_l: float | None = None
    iron_mg_l: float | None = None
    free_chlorine_mg_l: float | None = None
    chloramine_mg_l: float | None = None
    sar_adjusted: float | None = None
    germs: Germs = "untested"

    def meq(self, ion: str) -> float | None:
        """An ion in meq/l; None where it was not measured."""
        found: float | None = getattr(self, f"{ion}_mg_l")
        return None if found is None else to_meq(found, ion)

    @property
    def salt_ds_m(self) -> float | None:
        """Conductivity [dS/m], measured, or else from all that is dissolved."""
        if self.ec_ds_m is not None:
            return self.ec_ds_m
        return None if self.tds_mg_l is None else ec_from_tds(self.tds_mg_l)

    @property
    def measured(self) -> tuple[str, ...]:
        """Names of the fields that hold a figure."""
        plain = ("kind", "germs")
        return tuple(
            one.name
            for one in fields(self)
            if one.name not in plain and getattr(self, one.name) is not None
        )


@dataclass(frozen=True, slots=True)
class WaterClass:
    """One hazard of a water with its figure, unit and rating; value None: not measured."""

    hazard: Hazard
    value: float | None
    unit: str
    rating: Rating


LIMITS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "salinity": (0.7, 3.0),
        "sodium": (3.0, 9.0),
        "chloride": (4.0, 10.0),
        "leaves": (3.0, math.inf),
        "boron": (0.7, 3.0),
        "nitrate": (5.0, 30.0),
        "bicarbonate": (1.5, 8.5),
        "residual_carbonate": (1.25, 2.5),
        "iron": (0.1, 1.5),
        "chlorine": (2.5, 8.0),
    }
)
"""Up to the first: no restriction; above the second: severe [1]_ [2]_ [3]_ [4]_ [5]_. Units as in
`water_classes`; "leaves" is sodium or chloride that is sprinkled."""
_SEVERE_AT = ("residual_carbonate", "chlorine")
"""Hazards that are severe at their upper limit, not only above it."""
NORMAL_PH = (6.5, 8.4)


def water_classes(
    analysis: WaterAnalysis, overhead: bool, bed_sar: float | None = None
) -> tuple[WaterClass, ...]:
    """Every hazard of a water by FAO-29, table 1 [1]_, the worst first, unknown ones among them.

    `overhead`: whether leaves are wetted; then sodium and chloride are judged by what burns
    leaves and bicarbonate by its white deposit, and chlorine counts (soil takes it away at once).
    `bed_sar`: adsorption ratio of the bed's soil; the higher of the two decides what pure water
    does to it. Roof water that was not measured counts there as rain.
    """
    salt, sodicity = analysis.salt_ds_m, sodium_ratio(analysis)[0]
    salt_to_soil = RAIN_EC if salt is None and analysis.kind == "roof" else salt
    of_bed = max((one for one in (sodicity, bed_sar) if one is not None), default=None)
    found = [
        _rated("salinity", salt, "dS/m", "salinity"),
        WaterClass(
            "infiltration",
            of_bed,
            "SAR",
            _infiltration(of_bed, salt_to_soil),
        ),
        _rated("boron", analysis.boron_mg_l, "mg/l", "boron"),
        _rated("nitrate", analysis.nitrate_n_mg_l, "mg/l", "nitrate"),
        _rated("residual_carbonate", carbonate_left(analysis), "meq/l", "residual_carbonate"),
        _rated("iron", analysis.iron_mg_l, "mg/l", "iron"),
        _ph(analysis.ph),
    ]
    if overhead:
        found += [
            _rated("sodium", analysis.meq("sodium"), "meq/l", "leaves"),
            _rated("chloride", analysis.meq("chloride"), "meq/l", "leaves"),
            _rated("bicarbonate", analysis.meq("bicarbonate"), "meq/l", "bicarbonate"),
            _rated("chlorine", chlorine(analysis), "mg/l", "chlorine"),
        ]
    else:
        found += [
            _rated("sodium", sodicity, "SAR", "sodium"),
            _rated("chloride", analysis.meq("chloride"), "meq/l", "chloride"),
        ]
    order: tuple[Rating, ...] = ("severe", "slight to moderate", "unknown", "none")
    return tuple(sorted(found, key=lambda one: order.index(one.rating)))


def _infiltration(sar_of_soil: float | None, salt: float | None) -> Rating:
    if sar_of_soil is None or salt is None:
        return "unknown"
    return infiltration_rating(sar_of_soil, salt)


def worst(classes: Iterable[WaterClass]) -> Rating:
    """The gravest rating; where none is grave but one of the hazards is unknown, unknown."""
    ratings = {one.rating for one in classes}
    for rating in ("severe", "slight to moderate", "unknown"):
        if rating in ratings:
            return rating
    return "none" if ratings else "unknown"


def _rated(hazard: Hazard, value: float | None, unit: str, limits: str) -> WaterClass:
    if value is None:
        return WaterClass(hazard, None, unit, "unknown")
    low, high = LIMITS[limits]
    severe = value > high or (value == high and hazard in _SEVERE_AT)
    rating: Rating = "severe" if severe else "none" if value <= low else "slight to moderate"
    return WaterClass(hazard, value, unit, rating)


def _ph(value: float | None) -> WaterClass:
    if value is None:
        return WaterClass("ph", None, "", "unknown")
    normal = NORMAL_PH[0] <= value <= NORMAL_PH[1]
    return WaterClass("ph", value, "", "none" if normal else "slight to moderate")


SarWay = Literal["laboratory", "lime in balance", "plain", "unknown"]


def sodium_ratio(analysis: WaterAnalysis) -> tuple[float | None, SarWay]:
    """Sodium adsorption ratio and how it came: the laboratory's adjusted value where it gives
    one, else adjusted by lime in balance where bicarbonate and salt are known, else plain."""
    if analysis.sar_adjusted is not None:
        return analysis.sar_adjusted, "laboratory"
    na, ca, mg = (analysis.meq(ion) for ion in ("sodium", "calcium", "magnesium"))
    if na is None or ca is None or mg is None:
        return None, "unknown"
    hco3, salt = analysis.meq("bicarbonate"), analysis.salt_ds_m
    if hco3 is None or salt is None:
        return float(sar(na, ca, mg)), "plain"
    return float(adjusted_sar(na, ca, mg, hco3, salt)), "lime in balance"


def carbonate_left(analysis: WaterAnalysis) -> float | None:
    """Residual sodium carbonate [meq/l]; carbonate itself counts as none where not measured, as
    there is hardly any below pH 8.3."""
    hco3, ca, mg = (analysis.meq(ion) for ion in ("bicarbonate", "calcium", "magnesium"))
    if hco3 is None or ca is None or mg is None:
        return None
    return float(residual_sodium_carbonate(hco3, analysis.meq("carbonate") or 0.0, ca, mg))


def chlorine(analysis: WaterAnalysis) -> float | None:
    """Free chlorine and chloramine together [mg/l as Cl2]; one alone where one was measured."""
    told = (analysis.free_chlorine_mg_l, analysis.chloramine_mg_l)
    found = [one for one in told if one is not None]
    return sum(found) if found else None


def nitrogen_fed(nitrate_n_mg_l: float, water_mm: float) -> float:
    """Nitrogen brought by water [g/m2]: 1 mg/l in 100 mm is 0.1 g/m2."""
    return nitrate_n_mg_l * water_mm / 1000.0


def acid_for(bicarbonate_mg_l: float, left_mg_l: float = 61.0) -> float:
    """Acid that takes bicarbonate down to `left_mg_l` [mmol/l]: 61 mg take one millimole."""
    return max(0.0, (bicarbonate_mg_l - left_mg_l) / EQUIVALENT_WEIGHT["bicarbonate"])


def carries_germs(kind: str, germs: str = "untested") -> bool:
    """Whether water is kept off leaves and fruit that are eaten raw (common practice).

    Surface, roof and household water always, since one test does not hold past the next rain; a
    well until a test is clean; mains only where germs were found; what is unknown always.
    """
    if germs == "found":
        return True
    if kind == "well":
        return germs != "clean"
    return kind != "mains"


def charge_balance(analysis: WaterAnalysis) -> float | None:
    """Cations less anions over their sum [%]; beyond 10 % an analysis is doubtful.

    None unless sodium, calcium, magnesium, chloride, bicarbonate and sulphate are all known;
    potassium, carbonate and nitrate count as none where they are not.
    """
    if any(analysis.meq(ion) is None for ion in _NEEDED):
        return None
    cations = sum(analysis.meq(ion) or 0.0 for ion in _CATIONS)
    anions = sum(analysis.meq(ion) or 0.0 for ion in _ANIONS)
    both = cations + anions
    return 0.0 if both == 0.0 else (cations - anions) / both * 100.0


_UNBALANCED, _BALANCED = 10.0, 5.0
_TOO_MUCH, _LEAST_MEQ = 1.5, 1.0


def likely_mistakes(analysis: WaterAnalysis) -> tuple[tuple[str, str, str], ...]:
    """What in an analysis cannot be: field, what was found, what was expected and likely meant.

    Asks after impossible figures first; where there are none, whether one ion in meq/l that was
    read as mg/l, or the reverse, would balance the charges.
    """
    found = [*_impossible(analysis)]
    if found:
        return tuple(found)
    return tuple(above_the_salt(analysis)) or tuple(_unbalanced(analysis))


def _impossible(analysis: WaterAnalysis) -> Iterable[tuple[str, str, str]]:
    for name in analysis.measured:
        value = getattr(analysis, name)
        if value < 0:
            yield name, f"{value:g}", f"0 or more; {-value:g} without the minus?"
        elif not math.isfinite(value):
            yield name, f"{value:g}", "a number"
    ph, ec = analysis.ph, analysis.ec_ds_m
    if ph is not None and ph > 14:
        meant = f"; {ph / 10:.1f}?" if ph <= 140 else ""
        yield "ph", f"a pH of {ph:g}", f"0 to 14{meant}"
    if ec is not None and ec > GREATEST_EC:
        expected = f"at most {GREATEST_EC:g} dS/m, as in sea water; {ec:g} uS/cm, which is"
        yield "ec_ds_m", f"{ec:g} dS/m", f"{expected} {ec / 1000:g} dS/m?"


GREATEST_EC = 60.0
"""Sea water has about 50 dS/m; no source of a garden has more [dS/m]."""


def above_the_salt(analysis: WaterAnalysis) -> Iterable[tuple[str, str, str]]:
    """What is dissolved of more than the conductivity allows: field, found, expected."""
    salt = analysis.ec_ds_m
    if salt is None:
        return
    most = CATIONS_PER_EC * salt
    for ion in ("sodium", "calcium", "magnesium", "chloride", "bicarbonate", "sulphate"):
        meq = analysis.meq(ion)
        if meq is None or meq <= most * _TOO_MUCH + _LEAST_MEQ:
            continue
        expected = f"up to about {most * EQUIVALENT_WEIGHT[ion]:.3g} mg/l, which is all that"
        expected += f" water of {salt:g} dS/m can hold: is one of the two in another unit?"
        yield f"{ion}_mg_l", f"{meq * EQUIVALENT_WEIGHT[ion]:.4g} mg/l of {ion}", expected
    tds = analysis.tds_mg_l
    if tds is not None and not 0.4 * TDS_PER_EC * salt - 30 <= tds <= 1.8 * TDS_PER_EC * salt + 60:
        expected = f"about {TDS_PER_EC * salt:.0f} mg/l in water of {salt:g} dS/m:"
        yield "tds_mg_l", f"{tds:g} mg/l dissolved", f"{expected} one of them in another unit?"


def _unbalanced(analysis: WaterAnalysis) -> Iterable[tuple[str, str, str]]:
    off = charge_balance(analysis)
    if off is None or abs(off) <= _UNBALANCED:
        return
    more, less = ("cations", "anions") if off > 0 else ("anions", "cations")
    found = f"{abs(off):.0f} % more {more} than {less}"
    best: tuple[float, str, str] | None = None
    for ion in _NEEDED:
        value, weight = getattr(analysis, f"{ion}_mg_l"), EQUIVALENT_WEIGHT[ion]
        for factor, meant in (
            (weight, f"{value:g} meq/l"),
            (1 / weight, f"{value / weight:.3g} mg/l"),
        ):
            other = replace(analysis, **{f"{ion}_mg_l": value * factor})
            left = charge_balance(other)
            if value > 0 and left is not None and abs(left) <= _BALANCED:
                best = min(best or (math.inf, "", ""), (_oddness(other, left), ion, meant))
    if best is not None:
        meant = f"charges that balance; was {best[2]} of {best[1]} meant, which would do it?"
        yield f"{best[1]}_mg_l", found, meant
        return
    expected = "the two equal within 10 %: a figure missing, or one in another unit?"
    yield "sodium_mg_l", found, expected


def _oddness(analysis: WaterAnalysis, left: float) -> float:
    """How unlikely an analysis is, by its charges and by what its conductivity leads to expect."""
    cations = sum(analysis.meq(ion) or 0.0 for ion in _CATIONS)
    if not analysis.ec_ds_m or cations <= 0.0:
        return abs(left)
    return abs(left) + 100.0 * abs(math.log(cations / (CATIONS_PER_EC * analysis.ec_ds_m)))
