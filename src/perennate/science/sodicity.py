"""Sodium against calcium in water: adsorption ratios, lime in balance, and what soil takes in.

References
----------
.. [1] Ayers, R.S., Westcot, D.W. (1985), Water quality for agriculture, FAO Irrigation and
   Drainage Paper 29 rev. 1: equation of the adsorption ratio, table 1 (infiltration, seen in a
   secondary print), table 11 and the adjusted sodium adsorption ratio (from memory).
.. [2] Suarez, D.L. (1981), Relation between pHc and sodium adsorption ratio (SAR) and an
   alternative method of estimating SAR of soil or drainage waters, Soil Sci. Soc. Am. J. 45:469
   (from memory): calcium in balance with lime at the CO2 of soil near the surface, 0.0007 atm.
.. [3] Griffin, R.A., Jurinak, J.J. (1973), Soil Science 116:26: ionic strength from conductivity.
.. [4] Davies, C.W. (1962), Ion Association, Butterworths: activity coefficients.
.. [5] WateReuse Foundation (2007), Salinity Management Guide (limits of residual carbonate).
"""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Rating = Literal["none", "slight to moderate", "severe", "unknown"]

_SAR_BANDS = np.array([3.0, 6.0, 12.0, 20.0])
_NONE_FROM = np.array([0.7, 1.2, 1.9, 2.9, 5.0])
_SEVERE_BELOW = np.array([0.2, 0.3, 0.5, 1.3, 2.9])
_GREATEST_SAR = 40.0

SOIL_CO2_ATM = 0.0007
"""Carbon dioxide in soil near the surface [atm] [2]_."""
_LOG_LIME = -8.0
"""Ion product that lime keeps to in soil waters, dissolving and forming slowly [2]_; pure calcite
has -8.48."""
_LOG_CO2, _LOG_ACID_1, _LOG_ACID_2 = -1.47, -6.35, -10.33
"""Solubility of CO2 and the two steps of carbonic acid at 25 °C (textbook constants)."""
_STRENGTH_PER_EC = 0.0127
_DEBYE = 0.509
_RATIOS, _CONDUCTIVITIES = (0.05, 30.0), (0.1, 8.0)
"""Span of the published table; beyond it the nearest edge is taken."""


def sar(sodium: ArrayLike, calcium: ArrayLike, magnesium: ArrayLike) -> Floats:
    """Sodium adsorption ratio [(mmol/l)**0.5]: Na / sqrt((Ca + Mg) / 2), all in meq/l [1]_.

    0 without sodium; inf for sodium without calcium and magnesium. Raises ValueError for
    negatives.
    """
    na, ca, mg = (np.asarray(one, dtype=np.float64) for one in (sodium, calcium, magnesium))
    for name, one in (("sodium", na), ("calcium", ca), ("magnesium", mg)):
        if np.any(one < 0):
            raise ValueError(f"{name} is 0 meq/l or more, not {np.nanmin(one):g}")
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = na / np.sqrt((ca + mg) / 2.0)
    return np.where(na == 0.0, 0.0, ratio)


def calcium_in_balance(bicarbonate: ArrayLike, calcium: ArrayLike, ec_ds_m: ArrayLike) -> Floats:
    """Calcium that stays dissolved in the soil near the surface [meq/l]: Cax of table 11 [1]_.

    `bicarbonate`, `calcium` in meq/l. Solved from the balance of lime with CO2 [2]_ [3]_ [4]_
    with nothing fitted: (Ca)(HCO3)**2 = K pCO2 / activities, with HCO3 in its ratio to Ca as in
    the water. Within 1 % of the rows of table 11 that are known to us (ratios 0.05, 0.1 and 1).
    Ratios of HCO3 to Ca are kept to 0.05-30 and conductivity to 0.1-8 dS/m, as in the table.
    """
    hco3, ca = np.asarray(bicarbonate, dtype=np.float64), np.asarray(calcium, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        told = np.where(ca > 0.0, hco3 / ca, np.where(hco3 > 0.0, np.inf, 0.0))
    ratio = np.clip(np.where(np.isnan(hco3 + ca), np.nan, told), *_RATIOS)
    root = np.sqrt(_STRENGTH_PER_EC * np.clip(np.asarray(ec_ds_m, np.float64), *_CONDUCTIVITIES))
    log_activity = -_DEBYE * (root / (1.0 + root) - 0.3 * root**2)
    # one calcium of charge two counts four times, two bicarbonates once each
    log_product = (
        _LOG_LIME + _LOG_CO2 + _LOG_ACID_1 - _LOG_ACID_2 + np.log10(SOIL_CO2_ATM) - 6 * log_activity
    )
    log_molar = (log_product - np.log10(4.0) - 2.0 * np.log10(ratio)) / 3.0
    return np.asarray(2000.0 * 10.0**log_molar)


def adjusted_sar(
    sodium: ArrayLike,
    calcium: ArrayLike,
    magnesium: ArrayLike,
    bicarbonate: ArrayLike,
    ec_ds_m: ArrayLike,
) -> Floats:
    """Adjusted sodium adsorption ratio (adj RNa) [1]_: as `sar`, with `calcium_in_balance`."""
    return sar(sodium, calcium_in_balance(bicarbonate, calcium, ec_ds_m), magnesium)


def residual_sodium_carbonate(
    bicarbonate: ArrayLike, carbonate: ArrayLike, calcium: ArrayLike, magnesium: ArrayLike
) -> Floats:
    """HCO3 + CO3 - Ca - Mg [meq/l]: below 1.25 is safe, 2.5 and above unfit [5]_."""
    hco3, co3, ca, mg = (
        np.asarray(one, dtype=np.float64) for one in (bicarbonate, carbonate, calcium, magnesium)
    )
    return np.asarray(hco3 + co3 - ca - mg)


def infiltration_rating(sar_of_soil: float, ec_ds_m: float) -> Rating:
    """How far water of this conductivity [dS/m] keeps a soil from taking it in, by table 1 [1]_.

    `sar_of_soil`: adsorption ratio of the soil, or of the water that it has long been given. The
    hazard is the reverse of salinity: **little** salt is the danger, so rain on a sodic bed is
    severe. A ratio above 40, beyond the table, is severe whatever the salt.
    """
    if np.isnan(sar_of_soil) or np.isnan(ec_ds_m):
        return "unknown"
    if sar_of_soil > _GREATEST_SAR:
        return "severe"
    band = int(np.searchsorted(_SAR_BANDS, sar_of_soil, side="right"))
    if ec_ds_m >= _NONE_FROM[band]:
        return "none"
    return "severe" if ec_ds_m < _SEVERE_BELOW[band] else "slight to moderate"
