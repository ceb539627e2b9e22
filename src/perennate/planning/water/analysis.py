"""The analysis of a holding's source as science reads it."""

from dataclasses import fields

from perennate.holding.model import WaterSource
from perennate.science.water_quality import WaterAnalysis, WaterClass, water_classes

RAIN_EC_DS_M = 0.05
"""Salt of rain that ran off a roof, where nobody has measured it: 0.01 to 0.1 dS/m; memory."""

SALT_FIGURES = ("ec_ds_m", "tds_mg_l")


def analysis_of(source: WaterSource) -> WaterAnalysis:
    """What was found in a source's water; a figure that was not measured stays unknown."""
    return WaterAnalysis(**{one.name: getattr(source, one.name) for one in fields(WaterAnalysis)})


def has_analysis(source: WaterSource) -> bool:
    """Whether at least the salt of a source is known."""
    return any(getattr(source, name) is not None for name in SALT_FIGURES)


def classes_of(source: WaterSource, overhead: bool) -> tuple[WaterClass, ...]:
    """The hazards of a source's water by FAO 29; `overhead`: whether leaves are wetted."""
    return water_classes(analysis_of(source), overhead)


def salt_of(source: WaterSource | None) -> float | None:
    """Conductivity of a source's water [dS/m]; None where nothing tells it. Rain from a roof is
    known to hold hardly any."""
    if source is None:
        return None
    known = analysis_of(source).salt_ds_m
    if known is None and source.kind == "roof":
        return RAIN_EC_DS_M
    return known
