"""The holding's season posed as an allocation problem, and its answer read back in dates."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil

import numpy as np

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Bed, Holding
from perennate.planning.allocate.problem import BedGround, Option, Prices, Problem, Rest
from perennate.planning.allocate.supply import WaterSupply
from perennate.planning.calendar_weeks import Weeks, by_week
from perennate.planning.demand import Demand, Use
from perennate.planning.fitness import fitness
from perennate.planning.hand import (
    STRIP_M,
    Standing,
    diseased_beds,
    kept_free,
    refused_beds,
    strips_of,
)
from perennate.planning.nights import chance_of_night
from perennate.planning.offers import Offer
from perennate.planning.serving import GREEN_AFTER_DAYS
from perennate.planning.water.of_offers import ByWeek, water_of_offers
from perennate.planning.water.watering_jobs import minutes_per_litre
from perennate.planning.work_rates import (
    bench_per_plant,
    dressing_mm,
    upkeep_minutes_per_m2_week,
    work_by_day,
)
from perennate.weather.climate import Climate

GROUND_SHARE = 0.03
"""All ground in all weeks costs this share of all aims' value: enough to leave none idle by
chance and none taken without gain."""
LEAST_GROUND_SHARE = 0.4
"""The same where the least ground that meets the aims is asked for."""
WORK_SHARE = 0.01
"""An hour a week for each 10 m2, all season, costs this share."""
WATER_SHARE = 0.005
"""A season's usual watering of all ground (300 mm) costs this share: of two crops that bring as
much, the one that is thirstier loses."""
SOWING_SHARE = 0.00006
"""Each separate planting costs this share: the trouble of one more thing to mind."""
WORST_SEED_CHANCE = 0.1
SEED_RIPENS = {"dry": 7, "grain": 7, "fruit": 21, "seed": 35, "pods": 40, "head": 85, "root": 90}
"""Days from the first eating harvest to ripe seed, by what is eaten; others 75 (memory)."""


@dataclass(frozen=True)
class Posed:
    problem: Problem
    offers: tuple[Offer, ...]
    """`offers[k]` is what `problem.options[k]` stands for."""
    uses: tuple[Use, ...]
    bed_groups: tuple[int, ...]


def pose(
    holding: Holding,
    catalogue: Catalogue,
    weeks: Weeks,
    demand: Demand,
    offers: Mapping[str, Sequence[Offer]],
    standing: Sequence[Standing],
    rests: Sequence[Rest],
    families: Mapping[str, int],
    rest_years: Mapping[str, float],
    bench_taken: Sequence[float],
    minutes_taken: Sequence[float],
    climate: Climate,
    water: WaterSupply | None,
) -> Posed:
    """Everything in numbers: m2, weeks, minutes, litres. Beds of like light, soil and width are
    alike."""
    groups, bed_groups = like_beds(holding.beds)
    beds = tuple(
        BedGround(
            strips_of(bed),
            round(STRIP_M * bed.width_m, 4),
            bed_groups[number],
            _taken(number, bed, holding, standing, weeks),
        )
        for number, bed in enumerate(holding.beds)
    )
    options: list[Option] = []
    chosen: list[Offer] = []
    rates = _Rates(holding, catalogue, climate)
    for good, use in enumerate(demand.uses):
        for key in _crops_for(use, holding, catalogue):
            crop = catalogue.crops[key]
            for offer in offers.get(key, ()):
                option = _option(
                    good, use, crop, offer, weeks, holding, groups, families, rest_years, rates
                )
                if option is not None:
                    options.append(option)
                    chosen.append(offer if use.kind != "seed" else _to_ripe_seed(crop, offer))
    thirst = water_of_offers(chosen, holding, catalogue, climate, weeks)
    each_litre = minutes_per_litre(holding.beds, catalogue)
    options = [
        replace(option, water=litres, minutes=_with_watering(option.minutes, litres, each_litre))
        for option, litres in zip(options, thirst, strict=True)
    ]
    limits = holding.limits
    minutes = (
        tuple(max(limits.hours_per_week * 60 - taken, 0.0) for taken in minutes_taken)
        if limits.hours_per_week is not None
        else (float("inf"),) * weeks.count
    )
    problem = Problem(
        weeks=weeks.count,
        beds=beds,
        rests=tuple(rests),
        options=tuple(options),
        goods=demand.goods,
        amounts=demand.amounts,
        diet=demand.diet,
        families=len(families),
        bench=tuple(round(max(holding.nursery.bench_m2 - taken, 0.0), 3) for taken in bench_taken),
        minutes=minutes,
        compost=_compost_left(holding, catalogue, standing, weeks),
        upkeep=round(upkeep_minutes_per_m2_week(catalogue), 4),
        prices=_prices(holding, weeks, demand),
        groups=len(groups),
        most_goods=holding.habits.most_kinds_at_once,
        water=water,
    )
    return Posed(problem, tuple(chosen), demand.uses, bed_groups)


def _with_watering(
    minutes: tuple[tuple[int, float], ...], litres: ByWeek, each_litre: float
) -> tuple[tuple[int, float], ...]:
    """Minutes by week with those of watering."""
    found = dict(minutes)
    for week, amount in litres:
        found[week] = found.get(week, 0.0) + amount * each_litre
    return tuple(sorted((week, round(spent, 3)) for week, spent in found.items()))


def _compost_left(
    holding: Holding, catalogue: Catalogue, standing: Sequence[Standing], weeks: Weeks
) -> float:
    """Litres left for the plan, after what the grower's own rows still to be planted are given."""
    if holding.limits.compost_l is None:
        return float("inf")
    widths = {bed.key: bed.width_m for bed in holding.beds}
    spoken_for = sum(
        dressing_mm(catalogue.crops[one.row.crop], holding.habits)
        * one.length_m
        * widths[one.row.bed]
        for one in standing
        if one.offer.ground_from >= weeks.today
    )
    return round(max(holding.limits.compost_l - spoken_for, 0.0), 3)


def like_beds(beds: Sequence[Bed]) -> tuple[list[Bed], tuple[int, ...]]:
    """(one bed of each kind, kind of each bed): like light, soil and width."""
    kinds: dict[tuple[str, str, float], int] = {}
    first: list[Bed] = []
    numbers = []
    for bed in beds:
        key = (bed.light, bed.soil, bed.width_m)
        if key not in kinds:
            kinds[key] = len(first)
            first.append(bed)
        numbers.append(kinds[key])
    return first, tuple(numbers)


def _taken(
    number: int, bed: Bed, holding: Holding, standing: Sequence[Standing], weeks: Weeks
) -> tuple[tuple[int, int, int, int], ...]:
    found = []
    for one in standing:
        if one.row.bed == bed.key:
            start, end = weeks.of(one.offer.ground_from), weeks.up_to(one.offer.ground_to)
            if end > 0 and start < weeks.count:
                found.append((one.first_strip, one.strips, max(start, 0), min(end, weeks.count)))
    free = kept_free(bed, weeks)
    if free is not None and free[0] < free[1]:
        found.append((0, strips_of(bed), *free))
    return tuple(found)


def _crops_for(use: Use, holding: Holding, catalogue: Catalogue) -> list[str]:
    if use.kind in ("food", "seed"):
        return [use.crop]
    if use.crop:
        return [use.crop]
    role = {"habitat": "insectary", "compost": "cover"}[use.kind]
    return sorted(
        key
        for key, crop in catalogue.crops.items()
        if crop.role == role and crop.fact("life_cycle") == "annual"
    )


class _Rates:
    """Work and bench of a planting per m2, reckoned once for stands of like length."""

    def __init__(self, holding: Holding, catalogue: Catalogue, climate: Climate) -> None:
        self.holding, self.catalogue, self.climate = holding, catalogue, climate
        self._work: dict[tuple[str, str, int, int], tuple[tuple[int, str, float], ...]] = {}
        self._bench: dict[tuple[str, int], tuple[tuple[int, int, float], ...]] = {}

    def work(self, crop: Crop, offer: Offer) -> list[tuple[date, float]]:
        nursery = (offer.ground_from - offer.sow).days
        stand = max(14 * ceil((offer.ground_to - offer.ground_from).days / 14), 14)
        key = (crop.key, offer.route, nursery, stand)
        if key not in self._work:
            self._work[key] = work_by_day(
                crop,
                offer.route,
                plants_per_m2(crop),
                crop.value("spacing_close", 20.0),
                nursery,
                stand,
                self.catalogue,
                self.holding,
            )
        return [
            (min(offer.sow + timedelta(day), offer.ground_to), minutes)
            for day, _, minutes in self._work[key]
        ]

    def ripens(self, crop: Crop, eaten: Offer, whole: Offer) -> bool:
        """Whether seed is ripe before frost takes the plants, in nine years of ten."""
        limit = crop.value("kill_mature", -60.0)
        first, ripe = eaten.first_harvest, whole.last_harvest
        return chance_of_night(self.climate, first, ripe, limit) <= WORST_SEED_CHANCE

    def bench(self, crop: Crop, offer: Offer) -> tuple[tuple[int, int, float], ...]:
        nursery = (offer.ground_from - offer.sow).days
        key = (crop.key, nursery)
        if key not in self._bench:
            self._bench[key] = bench_per_plant(
                crop,
                offer.route,
                self.catalogue,
                self.holding.nursery,
                nursery,
                self.holding.habits.surety,
            )
        return self._bench[key]


def plants_per_m2(crop: Crop) -> float:
    """Plants on a m2 of a real bed: some fewer than the spacing's plain density, for the edges."""
    return round(crop.value("plants_per_m2", 25.0) * 0.88, 2)


def _option(
    good: int,
    use: Use,
    crop: Crop,
    offer: Offer,
    weeks: Weeks,
    holding: Holding,
    groups: Sequence[Bed],
    families: Mapping[str, int],
    rest_years: Mapping[str, float],
    rates: _Rates,
) -> Option | None:
    whole = offer if use.kind != "seed" else _to_ripe_seed(crop, offer)
    start, end = weeks.of(whole.ground_from), min(weeks.up_to(whole.ground_to), weeks.count)
    refused = refused_beds(holding, crop.key, whole.ground_from, whole.ground_to)
    made = _made(use, crop, whole, weeks)
    if refused is None or not made or end <= start:
        return None
    refused |= diseased_beds(holding, rates.catalogue, crop, whole.ground_from)
    if use.kind == "seed" and not rates.ripens(crop, offer, whole):
        return None
    group = crop.fact("rotation_group")
    family = families.get(group, -1)
    if use.kind == "food":
        fit = tuple(fitness(crop, bed) for bed in groups)
    else:
        fit = tuple(1.0 if fitness(crop, bed) >= 0.5 else 0.0 for bed in groups)
    density = plants_per_m2(crop)
    bench = tuple(
        (
            weeks.of(whole.sow + timedelta(first)),
            weeks.up_to(whole.sow + timedelta(after)),
            round(m2 * density, 5),
        )
        for first, after, m2 in rates.bench(crop, whole)
    )
    return Option(
        good=good,
        start=start,
        end=end,
        family=family,
        rest=ceil(rest_years.get(group, 0.0) * 365 / 7) if family >= 0 else 0,
        made=made,
        minutes=tuple(
            sorted((w, round(m, 3)) for w, m in by_week(weeks, rates.work(crop, whole)).items())
        ),
        bench=bench,
        compost=round(dressing_mm(crop, holding.habits), 3),
        cost=0.0,
        fitness=fit,
        least_strips=max(1, ceil(holding.habits.least_piece_m / STRIP_M - 1e-9)),
        refused=refused,
    )


def _made(use: Use, crop: Crop, offer: Offer, weeks: Weeks) -> tuple[tuple[int, float], ...]:
    if use.kind == "food":
        found = by_week(weeks, offer.made)
        return tuple(sorted((week, round(kg, 4)) for week, kg in found.items() if kg > 0))
    if use.kind == "seed":
        week = weeks.of(offer.last_harvest)
        return ((week, 1.0),) if week < weeks.count else ()
    green = offer.ground_from + timedelta(GREEN_AFTER_DAYS)
    begins = offer.first_harvest if use.kind == "habitat" else green
    first, last = weeks.up_to(begins), min(weeks.up_to(offer.ground_to), weeks.count)
    return tuple((week, 1.0) for week in range(max(first, 0), last))


def _to_ripe_seed(crop: Crop, offer: Offer) -> Offer:
    form = crop.fact("yield_form")
    extra = next((days for word, days in SEED_RIPENS.items() if word in form), 75)
    ripe = offer.first_harvest + timedelta(extra)
    return Offer(
        offer.crop,
        offer.route,
        offer.sow,
        offer.ground_from,
        ripe - timedelta(7),
        ripe - timedelta(14),
        ripe + timedelta(14),
        ripe,
        ripe + timedelta(1),
        (),
        offer.frost_risk,
        offer.heat_risk,
    )


def _prices(holding: Holding, weeks: Weeks, demand: Demand) -> Prices:
    value = sum(aim.value for aim in demand.amounts) + (demand.diet.value if demand.diet else 0)
    ground = max(sum(bed.area_m2 for bed in holding.beds), 1.0)
    share = LEAST_GROUND_SHARE if holding.habits.least_ground else GROUND_SHARE
    return Prices(
        ground=_rounded(value * share / (ground * weeks.count)),
        minute=_rounded(value * WORK_SHARE / (6.0 * ground * weeks.count)),
        compost=_rounded(value * 0.002 / (10.0 * ground)),
        sowing=_rounded(value * SOWING_SHARE),
        waste=_rounded(value * 1e-6),
        water=_rounded(value * WATER_SHARE / (300.0 * ground)),
    )


def _rounded(number: float) -> float:
    """Four significant digits, so that the last bits of a sum do not reach the solver."""
    return float(np.format_float_scientific(number, precision=3)) if number else 0.0
