"""What people will eat of a crop, and whether it may be counted as food at all."""

from perennate.catalogue.model import Crop, Hazard
from perennate.holding.model import Holding

SEASON_PEAK = 2.0
"""In its season a crop is eaten up to twice as fast as the year's mean of those who eat most of
it; assumed."""
WEEKS_PER_YEAR = 52.18


def most_per_week(crop: Crop, holding: Holding) -> float | None:
    """The most that the household eats of a crop in a week [kg]; None when not known.

    A holding without people has nobody to eat, and no ceiling either.
    """
    yearly = crop.figure("eaten_per_year")
    if yearly is None or not holding.people:
        return None
    return yearly.high / WEEKS_PER_YEAR * SEASON_PEAK * len(holding.people)


def barred_as_food(crop: Crop, holding: Holding) -> Hazard | None:
    """The hazard for which a crop may not be counted as food here; None when it may.

    "Food until processed" is lifted only when the holding names the processing (or the hazard's
    own key) among what it does.
    """
    done = {_plain(word) for word in holding.processes}
    for hazard in crop.hazards:
        if hazard.forbids == "food":
            return hazard
        names = {_plain(hazard.processing), _plain(hazard.key), _plain(crop.key)}
        if hazard.forbids == "food until processed" and not names & done:
            return hazard
    return None


def _plain(word: str) -> str:
    return " ".join(word.casefold().replace("_", " ").split())
