"""How well a crop does in a bed's light and soil, as a share of its yield in the best place.

No table of yields by light was found for these crops: the shares are memory, set so that they
order places rightly, not so that they foretell a harvest.
"""

from typing import Final

from perennate.catalogue.model import Crop
from perennate.holding.model import Bed

LIGHT: Final[dict[tuple[str, str], float]] = {
    ("full sun", "full sun"): 1.0,
    ("full sun", "half shade"): 0.6,
    ("full sun", "shade"): 0.0,
    ("half shade", "full sun"): 1.0,
    ("half shade", "half shade"): 0.85,
    ("half shade", "shade"): 0.4,
}
"""(what the crop needs, what the bed has): share of the yield."""

FRUIT_FORMS = ("fruit", "pods", "seed", "grain", "ears", "kernel", "husked")
ROOT_FORMS = ("root", "corm", "tuber", "bulb")

SOIL_FOR_ROOTS: Final[dict[str, float]] = {"clay": 0.75, "clay loam": 0.9, "sand": 0.85}
SOIL_FOR_OTHERS: Final[dict[str, float]] = {"sand": 0.8, "loamy sand": 0.9, "clay": 0.9}


def fitness(crop: Crop, bed: Bed) -> float:
    """Share of the yield to expect in this bed; 0 where the crop should not stand."""
    light = LIGHT[crop.fact("light_need", "full sun"), bed.light]
    form = crop.fact("yield_form")
    if light < 1 and any(word in form for word in FRUIT_FORMS):
        light *= 0.75
    soils = SOIL_FOR_ROOTS if any(word in form for word in ROOT_FORMS) else SOIL_FOR_OTHERS
    return round(light * soils.get(bed.soil, 1.0), 3)
