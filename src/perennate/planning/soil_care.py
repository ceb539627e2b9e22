"""How much compost a planting's ground is given."""

from perennate.catalogue.model import Crop
from perennate.holding.model import Habits

DRESSING_SHARE = {"heavy": 1.0, "medium": 0.5, "light": 0.0}
"""Share of the year's dressing by how a crop feeds: compost goes to the hungry, the light feeder
follows on what is left. Common practice, shares from memory."""


def dressing_mm(crop: Crop, habits: Habits) -> float:
    """Compost before a planting [mm, which is l/m2]. An unknown feeder gets the middle share."""
    if crop.role in ("cover", "insectary"):
        return 0.0
    return habits.compost_mm_per_year * DRESSING_SHARE.get(crop.fact("feeder"), 0.5)
