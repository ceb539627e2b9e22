"""Every way and week in which a crop can be grown here, with its dates, harvest and odds."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Crop
from perennate.planning.calendar_weeks import Weeks, indices
from perennate.planning.nights import chance_of_hot_spell
from perennate.planning.plan import Route
from perennate.planning.windows import Span, sowing_spans
from perennate.science.development import NEVER, days_to_reach, heat_needed, spread_over_years
from perennate.science.yields import lognormal_quantile, sigma_of_range
from perennate.weather.climate import (
    Climate,
    FrostDates,
    day_index,
    degree_days,
    frost_dates,
    soil_temperature,
    tmean,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

PLANNED_QUANTILE = 0.3
"""Without own records a plan counts on the yield that seven gardens in ten reach."""
WORST_FROST_CHANCE = 0.15
WORST_NEVER_SHARE = 0.2
WORST_HOT_SHARE = 0.4
"""A planting is not offered when more of its growing days than this are too hot for it."""
NURSERY_TAKES_OFF = 0.7
"""Days in the nursery count this much towards the days from sowing in the open (memory)."""
SETTING_DAYS = 21
HOT_SPELL_K, HOT_SPELL_DAYS = 2.0, 5
"""So many days running so far above a crop's limit, in the weeks before picking, spoil its set or
its heads (memory)."""
SEEDLING_DAYS = 21
SET_SHOOTS_DAYS = 28
"""Days until the shoots of sets and tubers stand above ground (memory)."""
LONGEST_STAND = 400
SUN_WARMS_SOIL_K = 2.0
"""Open soil in the sun lies about so much above the air's mean in spring (memory)."""
HELD_BELOW_C = 10.0
"""Under this mean warmth a ripe crop that is picked as needed stands on without spoiling."""
COLD_BELOW_C = 10.0
"""Days of a mean below this count as cold for cloves and buds (memory)."""
HELD_DAYS = (28, 56, 84)


@dataclass(frozen=True, slots=True)
class Offer:
    """One crop by one route from one day, per m2. Dates are of the middle year."""

    crop: str
    route: Route
    sow: date
    ground_from: date
    first_harvest: date
    first_early: date
    first_late: date
    last_harvest: date
    ground_to: date
    made: tuple[tuple[date, float], ...]
    """kg per m2 expected in the week beginning on the day, counted on (not the median)."""
    frost_risk: float
    heat_risk: float


class Growing:
    """What the climate does to any crop: heat sums, cold nights, hot days, soil warmth."""

    def __init__(self, climate: Climate, weeks: Weeks) -> None:
        self.climate, self.weeks = climate, weeks
        self.soil: Floats = soil_temperature(climate, 0.05)
        self.mean: Floats = tmean(climate).mean(axis=0)
        self.frost: FrostDates = frost_dates(climate)
        self._heat: dict[tuple[float, float], Floats] = {}
        self._starts = [weeks.day(week) for week in range(weeks.count)]

    @property
    def has_frost(self) -> bool:
        """Whether frost comes in most years, so that frost-relative windows mean something."""
        spring, autumn = self.frost.spring.get(0.5), self.frost.autumn.get(0.5)
        return spring is not None and autumn is not None and self.frost.frost_free_days > 0

    def cold_enough(self, crop: Crop) -> bool:
        """Whether a crop that needs cold to form what is eaten gets it in the mean year."""
        days = crop.figure("vernal_days")
        if days is None or "cold needed" not in crop.fact("bolt_type"):
            return True
        return int((self.mean < COLD_BELOW_C).sum()) >= days.value

    def heat(self, base: float, ceiling: float) -> Floats:
        key = (base, ceiling)
        if key not in self._heat:
            self._heat[key] = degree_days(self.climate, base, ceiling)
        return self._heat[key]

    def days(
        self, crop: Crop, days_known: float, starts: list[date]
    ) -> tuple[Ints, Ints, Ints, Floats]:
        """(early, middle, late, share of years never) days from each start to first harvest."""
        base, ceiling = crop.value("temp_base"), crop.value("temp_ceiling")
        needed = heat_needed(days_known, crop.value("temp_reference"), base, ceiling)
        reached = days_to_reach(
            self.heat(base, ceiling),
            np.array([day_index(day) for day in starts]),
            needed,
            LONGEST_STAND,
        )
        spread = spread_over_years(reached)
        return spread.low, spread.median, spread.high, spread.never_share

    def surviving(self, first: date, days: int, limit_c: float) -> Floats:
        """Share of the years in which no night up to each day was at or below the limit."""
        cold = self.climate.tmin[:, indices(first, days)] <= limit_c
        return 1.0 - np.asarray(np.maximum.accumulate(cold, axis=1).mean(axis=0))

    def hot_share(self, first: date, days: int, limit_c: float) -> float:
        """Share of days at or above the limit."""
        return float((self.climate.tmax[:, indices(first, days)] >= limit_c).mean())


def routes(crop: Crop) -> tuple[Route, ...]:
    """Routes that the catalogue knows for an annual crop raised from seed, sets or tubers."""
    found: list[Route] = []
    for word in crop.fact("sow_method").split("/"):
        route: Route | None = {
            "direct": "direct",
            "transplant": "nursery",
            "set": "set",
            "tuber": "set",
            "slip": "set",
            "corm": "set",
        }.get(word)  # type: ignore[assignment]
        if route is not None and route not in found:
            found.append(route)
    return tuple(found)


def planned_yield(crop: Crop) -> float:
    """kg per m2 to count on: an own figure as it is, else the low to usual of the catalogue."""
    figure = crop.figures["yield"]
    if figure.basis == "own records":
        return figure.value
    sigma = float(sigma_of_range(figure.low, figure.high)) if figure.high > figure.low else 0.0
    return round(float(lognormal_quantile(figure.value, sigma, PLANNED_QUANTILE)), 4)


def offers(crop: Crop, growing: Growing) -> list[Offer]:
    """All offers of a crop within the plan's weeks, in order of route and start."""
    found = [offer for route in routes(crop) for offer in _by_route(crop, route, growing)]
    return sorted(found, key=lambda offer: (offer.route, offer.ground_from))


def _by_route(crop: Crop, route: Route, growing: Growing) -> Iterator[Offer]:
    starts = [growing.weeks.day(week) for week in range(growing.weeks.count)]
    nursery_days = round(crop.value("nursery_time", 5.0) * 7) if route == "nursery" else 0
    known = days_from_ground(crop, route, nursery_days)
    spans = sowing_spans(crop, route, growing)
    if not growing.cold_enough(crop):
        return
    early, middle, late, never = growing.days(crop, known, starts)
    for k, ground_from in enumerate(starts):
        if middle[k] == NEVER or never[k] > WORST_NEVER_SHARE:
            continue
        sow = ground_from - timedelta(nursery_days)
        if sow < growing.weeks.today or not _in_season(crop, route, ground_from, spans, growing):
            continue
        latest = int(late[k]) if late[k] != NEVER else LONGEST_STAND
        days = (int(early[k]), int(middle[k]), latest)
        offer = _offer(crop, route, growing, sow, ground_from, days)
        if offer is None:
            continue
        yield offer
        for held in HELD_DAYS:
            if not _stands_on(crop, growing, offer.first_harvest, held):
                break
            later = _offer(crop, route, growing, sow, ground_from, days, held)
            if later is not None:
                yield later


def _stands_on(crop: Crop, growing: Growing, ripe: date, days: int) -> bool:
    """Whether a crop picked as needed keeps on the bed so long after it is ripe: it is cool."""
    hold = crop.figure("field_hold_cool")
    if hold is None or hold.high < days or crop.fact("pick_style") != "as_needed":
        return False
    warmth = growing.mean[indices(ripe + timedelta(14), days)]
    return bool(warmth.mean() < HELD_BELOW_C)


def days_from_ground(crop: Crop, route: Route, nursery_days: int) -> float:
    """Days at the reference temperature from the day in the bed to the first harvest."""
    days = crop.value("days_to_first_harvest")
    if route == "nursery" and crop.fact("days_counted_from") == "direct sowing":
        return max(days - NURSERY_TAKES_OFF * nursery_days, 0.4 * days)
    if route == "direct" and crop.fact("days_counted_from") == "transplanting":
        return days + NURSERY_TAKES_OFF * round(crop.value("nursery_time", 5.0) * 7)
    return days


def _in_season(
    crop: Crop, route: Route, day: date, spans: list[Span] | None, growing: Growing
) -> bool:
    if spans is not None and not any(span.holds(day_index(day)) for span in spans):
        return False
    if route == "nursery":
        return True
    warmth = growing.soil[day_index(day)]
    least = crop.value("soil_temp_sow_min") - SUN_WARMS_SOIL_K
    return bool(least <= warmth <= crop.value("soil_temp_sow_max", 45.0))


def _offer(
    crop: Crop,
    route: Route,
    growing: Growing,
    sow: date,
    ground_from: date,
    days: tuple[int, int, int],
    held: int = 0,
) -> Offer | None:
    first = ground_from + timedelta(days[1] + held)
    if first >= growing.weeks.end:
        return None
    frost = frost_risk(crop, route, growing, ground_from, first)
    if frost > WORST_FROST_CHANCE:
        return None
    shares = crop.harvest_shares or (1.0,)
    limit = crop.value("kill_mature", -60.0)
    whole = growing.surviving(first, 7 * len(shares), limit)
    alive = [float(whole[7 * k]) for k in range(len(shares))]
    kept = next((k for k, share in enumerate(alive) if share < 0.5), len(shares))
    if kept == 0:
        return None
    last = first + timedelta(7 * kept - 1)
    hot = crop.figure("heat_day")
    if hot is not None:
        begin = max(ground_from, first - timedelta(28))
        if growing.hot_share(begin, (last - begin).days + 1, hot.value) > WORST_HOT_SHARE:
            return None
    amount = planned_yield(crop) if "yield" in crop.figures else 0.0
    made = tuple(
        (first + timedelta(7 * k), round(amount * shares[k] * alive[k], 4)) for k in range(kept)
    )
    return Offer(
        crop.key,
        route,
        sow,
        ground_from,
        first,
        ground_from + timedelta(days[0] + held),
        ground_from + timedelta(days[2] + held),
        last,
        last + timedelta(1),
        made,
        round(frost, 3),
        round(heat_risk(crop, growing, first), 3),
    )


def frost_risk(crop: Crop, route: Route, growing: Growing, ground_from: date, first: date) -> float:
    """Chance that a night kills it, as a seedling or later, before its first harvest."""
    stand = max((first - ground_from).days, 1)
    lost = 0.0
    if route == "direct" and "kill_seedling" in crop.figures:
        begin = min(10, stand - 1)
        seedling = min(SEEDLING_DAYS, stand - begin)
        limit = crop.value("kill_seedling")
        alive = growing.surviving(ground_from + timedelta(begin), seedling, limit)
        lost = 1.0 - float(alive[-1])
    limit = crop.value("kill_vegetative", -60.0)
    shielded = {"direct": SEEDLING_DAYS, "set": SET_SHOOTS_DAYS, "nursery": 0}[route]
    begin = min(shielded, stand - 1)
    alive = growing.surviving(ground_from + timedelta(begin), stand - begin, limit)
    return max(lost, 1.0 - float(alive[-1]))


def heat_risk(crop: Crop, growing: Growing, first: date) -> float:
    """Chance that a hot spell spoils the set or the heads in the weeks before the first harvest."""
    hot = crop.figure("heat_day")
    if hot is None:
        return 0.0
    return chance_of_hot_spell(
        growing.climate,
        first - timedelta(SETTING_DAYS),
        first,
        hot.value + HOT_SPELL_K,
        HOT_SPELL_DAYS,
    )
