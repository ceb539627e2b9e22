"""The grower's hand: what stands, what is fixed, wished and refused, and what stood before.

Rows of `plantings` become plantings of the plan that nobody moves; dates that a row leaves blank
are taken from the nearest offer of the crop, else from its days in the catalogue.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from perennate.catalogue.model import Catalogue, Crop
from perennate.catalogue.rotation_diseases import disease_named
from perennate.holding.model import Bed, HandPlanting, Holding
from perennate.planning.allocate.problem import Rest
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.offers import Offer, planned_yield, routes
from perennate.planning.plan import PlannedPlanting, Route

STRIP_M = 0.5
"""Beds are cut into strips of this length; the last part of a bed that is left over lies idle."""


def strips_of(bed: Bed) -> int:
    return max(1, int(bed.length_m / STRIP_M + 1e-9))


def _route(row: HandPlanting, crop: Crop, offered: Route | None) -> Route:
    """How a row was raised: by its days where it tells both, else as offered then, else usually."""
    known = routes(crop) or ("direct",)
    if row.sown and row.ground_from:
        if row.sown < row.ground_from:
            return "nursery"
        return next((route for route in known if route != "nursery"), "direct")
    return offered or known[0]


@dataclass(frozen=True, slots=True)
class Standing:
    """A row of the grower's made whole: where, from when to when, what it still brings."""

    row: HandPlanting
    offer: Offer
    first_strip: int
    strips: int
    start_m: float
    length_m: float


def whole_row(row: HandPlanting, crop: Crop, known: Sequence[Offer], weeks: Weeks) -> Offer:
    """The row's own dates, filled up from the nearest offer or the crop's days."""
    asked = row.ground_from or row.sown or weeks.start
    near = min(known, key=lambda o: abs((o.ground_from - asked).days), default=None)
    shares = crop.harvest_shares or (1.0,)
    near_enough = near is not None and abs((near.ground_from - asked).days) <= 28
    if near is not None and near_enough:
        days = (near.first_harvest - near.ground_from).days
    else:
        days = round(crop.value("days_to_first_harvest", 90.0))
    route = _route(row, crop, near.route if near is not None and near_enough else None)
    raised = round(7 * crop.value("nursery_time", 5.0))
    ground_from = row.ground_from or (
        row.sown + timedelta(raised if route == "nursery" else 0) if row.sown else asked
    )
    sow = row.sown or (ground_from - timedelta(raised if route == "nursery" else 0))
    first = ground_from + timedelta(days)
    ground_to = row.ground_to or max(first, weeks.start) + timedelta(7 * len(shares))
    if first >= ground_to:
        first = max(ground_from, ground_to - timedelta(7 * len(shares)))
    last = ground_to - timedelta(1)
    amount = planned_yield(crop) if "yield" in crop.figures else 0.0
    picked = [
        (first + timedelta(7 * k), share)
        for k, share in enumerate(shares)
        if first + timedelta(7 * k) <= last
    ] or [(first, 1.0)]
    whole = sum(share for _, share in picked)
    made = tuple(
        (day, round(amount * share / whole, 4)) for day, share in picked if day >= weeks.start
    )
    return Offer(
        crop.key, route, sow, ground_from, first, first, first, last, ground_to, made, 0.0, 0.0
    )


def offer_of(old: PlannedPlanting, fit: float) -> Offer:
    """A planting of the plan before as the offer that it was; `fit` is its bed's fitness."""
    share = old.area_m2 * fit
    first = old.first_harvest or old.ground_to
    return Offer(
        old.crop,
        old.route,
        old.sow,
        old.ground_from,
        first,
        first,
        first,
        old.last_harvest or old.ground_to,
        old.ground_to,
        tuple((week.week, week.kg / share) for week in old.by_week) if share > 0 else (),
        old.frost_risk,
        old.heat_risk,
    )


def standing_rows(
    holding: Holding,
    catalogue: Catalogue,
    offers: Mapping[str, Sequence[Offer]],
    weeks: Weeks,
) -> list[Standing]:
    """Rows that stand, are fixed or wished, in order of the grower's table.

    A row that says how long but not where along the bed is put at the first place that the rows
    before it leave free, or at the bed's beginning where they leave none.
    """
    beds = {bed.key: bed for bed in holding.beds}
    found: list[Standing] = []
    for row in holding.plantings:
        crop = catalogue.crops.get(row.crop)
        if row.hand not in ("stands", "fixed", "wished") or crop is None or row.bed not in beds:
            continue
        bed = beds[row.bed]
        offer = whole_row(row, crop, offers.get(row.crop, ()), weeks)
        start_m = row.start_m or 0.0
        length_m = row.length_m if row.length_m is not None else bed.length_m - start_m
        first, last = _strips(start_m, length_m, bed)
        if row.start_m is None and row.length_m is not None:
            first, last = _first_free(first, last, bed, offer, row, found)
            start_m = first * STRIP_M
        found.append(Standing(row, offer, first, max(1, last - first), start_m, length_m))
    return found


def _strips(start_m: float, length_m: float, bed: Bed) -> tuple[int, int]:
    """First strip, and the strip after the last, that a stretch of the bed touches."""
    first = int(start_m / STRIP_M + 1e-9)
    last = ceil((start_m + length_m) / STRIP_M - 1e-9)
    return min(first, strips_of(bed) - 1), min(last, strips_of(bed))


def _first_free(
    first: int, last: int, bed: Bed, offer: Offer, row: HandPlanting, before: Sequence[Standing]
) -> tuple[int, int]:
    others = [
        one
        for one in before
        if one.row.bed == row.bed
        and one.offer.ground_from < offer.ground_to
        and offer.ground_from < one.offer.ground_to
    ]
    length = last - first
    for at in range(strips_of(bed) - length + 1):
        if all(
            one.first_strip + one.strips <= at or at + length <= one.first_strip for one in others
        ):
            return at, at + length
    return first, last


def longest_rests(crops: Iterable[Crop]) -> dict[str, float]:
    """Years for which each family rests: the longest that any of these crops of it needs.

    A crop's rest is what must lie between it and the last of its family before it, so a crop
    that needs none itself, say a green manure, still keeps its relatives away.
    """
    found: dict[str, float] = {}
    for crop in crops:
        family = crop.fact("rotation_group")
        found[family] = max(found.get(family, 0.0), crop.value("rest_years", 0.0))
    return found


def resting(
    holding: Holding,
    catalogue: Catalogue,
    standing: Sequence[Standing],
    families: Mapping[str, int],
    rest_years: Mapping[str, float],
    weeks: Weeks,
) -> list[Rest]:
    """Claims of families on ground, from what stood, stands or is fixed to the end of its rest."""
    numbers = {bed.key: index for index, bed in enumerate(holding.beds)}
    rests = []
    for row in holding.plantings:
        crop = catalogue.crops.get(row.crop)
        if row.hand != "past" or crop is None or row.bed not in numbers:
            continue
        left = row.ground_to or row.ground_from or row.sown
        family = crop.fact("rotation_group")
        if left is None or family not in families:
            continue
        bed = holding.beds[numbers[row.bed]]
        end = weeks.up_to(left + timedelta(round(365 * rest_years.get(family, 0.0))))
        first, strips = _stretch(row, bed, holding.habits.rotation_by)
        if end > 0:
            rests.append(Rest(numbers[row.bed], families[family], first, strips, 0, end))
    for one in standing:
        crop = catalogue.crops[one.row.crop]
        family = crop.fact("rotation_group")
        if family in families:
            rest = timedelta(round(365 * rest_years.get(family, 0.0)))
            end = weeks.up_to(one.offer.ground_to + rest)
            rests.append(
                Rest(
                    numbers[one.row.bed],
                    families[family],
                    one.first_strip,
                    one.strips,
                    weeks.of(one.offer.ground_from),
                    end,
                )
            )
    return rests


def _stretch(row: HandPlanting, bed: Bed, by: str) -> tuple[int, int]:
    """Strips that a past planting claims: its metres where known, else the bed or half bed."""
    all_strips = strips_of(bed)
    if row.start_m is not None and row.length_m is not None:
        first, last = _strips(row.start_m, row.length_m, bed)
        if by == "half bed":
            half = all_strips // 2
            first = 0 if first < half else half
            last = half if last <= half else all_strips
        return first, max(1, min(last, all_strips) - first)
    return 0, all_strips


def refused_beds(
    holding: Holding, crop: str, ground_from: date, ground_to: date
) -> frozenset[int] | None:
    """Beds in which a refusal bars the crop in this time; None when it is refused everywhere."""
    barred = set()
    numbers = {bed.key: index for index, bed in enumerate(holding.beds)}
    for row in holding.plantings:
        if row.hand != "refused" or row.crop not in ("", crop):
            continue
        begins = row.ground_from or row.sown or date.min
        ends = row.ground_to or date.max
        if ground_from >= ends or ground_to <= begins:
            continue
        if not row.bed:
            return None
        if row.bed in numbers:
            barred.add(numbers[row.bed])
    return frozenset(barred)


def diseased_beds(
    holding: Holding, catalogue: Catalogue, crop: Crop, ground_from: date
) -> frozenset[int]:
    """Beds where a disease of the crop is known and too few years without a host are on record."""
    barred = set()
    for number, bed in enumerate(holding.beds):
        for word in bed.diseases:
            disease = disease_named(word)
            if disease is None or not disease.is_host(crop):
                continue
            hosts = [
                row.ground_to
                for row in holding.plantings
                if row.bed == bed.key
                and row.hand in ("past", "stands")
                and row.ground_to is not None
                and row.crop in catalogue.crops
                and disease.is_host(catalogue.crops[row.crop])
            ]
            rested = (ground_from - max(hosts)).days >= 365.25 * disease.years if hosts else False
            if not (disease.cures and rested):
                barred.add(number)
    return frozenset(barred)


def kept_free(bed: Bed, weeks: Weeks) -> tuple[int, int] | None:
    """Weeks in which a bed is kept free of plan."""
    if bed.free_from is None and bed.free_to is None:
        return None
    start = weeks.of(bed.free_from) if bed.free_from else 0
    end = weeks.up_to(bed.free_to + timedelta(1)) if bed.free_to else weeks.count
    return max(start, 0), max(min(end, weeks.count), 0)
