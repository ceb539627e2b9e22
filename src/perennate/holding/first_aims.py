"""What a household that eats these crops is likely to want of them, fitted to its ground."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor, log10, sqrt

from perennate.catalogue.model import Crop
from perennate.holding.model import Aim, Bed
from perennate.holding.warmth import Warmth

WEEKS_PER_YEAR = 52.18
CHILD_EATS = 0.6
"""How much a child eats of what an adult eats (memory)."""
GROUND_USED_TWICE = 1.2
"""One square metre bears somewhat more than one crop in a year (memory)."""
COUNTED_ON = 0.7
"""Share of the catalogue's yield that a first guess counts on (memory)."""
KEEPS_DAYS = 42
"""What keeps at least so long is wanted for the year, anything else week by week."""
LEAST_WEEKS = 3
SEASON_PEAK = 2.0
"""In its season a crop is eaten about twice as fast as over the year (assumed)."""
LEAST_PORTIONS = 1.0
"""Who names a crop eats so many portions of it in a week at least, over the year (memory)."""
_STANDS_ON_DAYS = 42
_STORES = ("life_cellar", "life_room", "life_best")


@dataclass(frozen=True, slots=True)
class Eaters:
    adults: int
    children: int

    @property
    def portions(self) -> float:
        """How many adults eat as much; one where nobody is told."""
        return self.adults + CHILD_EATS * self.children or 1.0


@dataclass(frozen=True, slots=True)
class _Wish:
    crop: Crop
    weekly_kg: float
    weeks: float
    start: date | None
    end: date | None

    @property
    def ground_m2(self) -> float:
        return self.weekly_kg * self.weeks / (self.crop.value("yield") * COUNTED_ON)


def eaten_per_week(crop: Crop) -> float:
    """kg that someone who names a crop eats of it in a week of the year, 0 where not known.

    Between the mean of all people and of those who eat most of it, and at least a portion.
    """
    yearly = crop.figure("eaten_per_year")
    if yearly is None:
        return 0.0
    usual = sqrt(yearly.value * yearly.high) / WEEKS_PER_YEAR
    return max(usual, LEAST_PORTIONS * crop.value("portion", 0.0) / 1000)


def first_aims(
    crops: Sequence[Crop], eaters: Eaters, beds: Sequence[Bed], warmth: Warmth, weeks: int
) -> tuple[Aim, ...]:
    """A food aim for each crop that a plan can take, in the order given.

    Together they ask for little more ground than `beds` have: small wishes are left whole, large
    ones are cut to the same share of ground.
    """
    wishes = [
        _wish(crop, eaten_per_week(crop) * eaters.portions, warmth, weeks)
        for crop in crops
        if crop.fact("plan_ready") == "yes"
        and eaten_per_week(crop) > 0
        and crop.value("yield", 0.0) > 0
        and not any(hazard.forbids == "food" for hazard in crop.hazards)
    ]
    bare = sum(bed.area_m2 for bed in beds) or float("inf")
    ground = bare * GROUND_USED_TWICE * min(1.0, weeks / 40)
    level = _level([wish.ground_m2 for wish in wishes], ground)
    return tuple(_aim(wish, min(1.0, level / wish.ground_m2)) for wish in wishes)


def _wish(crop: Crop, weekly_kg: float, warmth: Warmth, weeks: int) -> _Wish:
    """Week by week from the first likely harvest to the last; kept crops for the time planned."""
    keeps = max((crop.value(name, 0.0) for name in _STORES), default=0.0)
    if keeps >= KEEPS_DAYS:
        return _Wish(crop, weekly_kg, min(weeks, keeps / 7 + 8), None, None)
    last = warmth.as_of + timedelta(7 * weeks - 1)
    stands_on = timedelta(min(_STANDS_ON_DAYS, round(crop.value("field_hold_cool", 7.0))))
    best: tuple[date, date] | None = None
    for first_day, last_day in warmth.spells(crop, 7 * weeks):
        start = first_day + timedelta(round(crop.value("days_to_first_harvest")))
        end = min(last_day + (stands_on if warmth.outlasts_frost(crop) else timedelta(0)), last)
        if best is None or end - start > best[1] - best[0]:
            best = (start, end)
    if best is None or (best[1] - best[0]).days < 7 * LEAST_WEEKS:
        return _Wish(crop, weekly_kg * SEASON_PEAK, LEAST_WEEKS, None, None)
    in_season = weekly_kg * SEASON_PEAK
    return _Wish(crop, in_season, ((best[1] - best[0]).days + 1) / 7, *best)


def _level(wanted_m2: Sequence[float], ground_m2: float) -> float:
    """The ground at which wishes are cut off so that together they fit; infinite where all do."""
    left, count = ground_m2, len(wanted_m2)
    for wanted in sorted(wanted_m2):
        if wanted * count > left:
            return left / count
        left, count = left - wanted, count - 1
    return float("inf")


def _aim(wish: _Wish, share: float) -> Aim:
    crop, key = wish.crop, wish.crop.common_name.lower()
    if wish.start is None:
        amount = _round(wish.weekly_kg * share * wish.weeks)
        return Aim(key, "food", crop.key, "", amount, "kg", "season", None, None)
    amount = _round(wish.weekly_kg * share)
    return Aim(key, "food", crop.key, "", amount, "kg", "week", wish.start, wish.end)


def _round(amount: float) -> float:
    """To two digits, and not below 10 g."""
    if amount <= 0.01:
        return 0.01
    return round(amount, 1 - floor(log10(amount)))
