"""Checks of the living stock: too little, too old, too weak, treated, or below zero."""

from collections import defaultdict
from collections.abc import Iterator

from perennate.planning.checks.case import OWN, Case, finding
from perennate.planning.plan import Finding
from perennate.planning.seed_counts import start_of
from perennate.planning.stock import least_balance, lot_amount, seeds_in_lot

SEED_AS_FOOD = ("pulse", "grain", "oilseed")
WEAK_SHARE = 0.75
"""A germination under this share of the legal standard is called low; assumed."""


def _sown_from(case: Case) -> dict[str, list[str]]:
    """Plantings still to be sown, by the lot they are sown from."""
    found: dict[str, list[str]] = defaultdict(list)
    for planting, _ in case.chosen:
        if planting.lot in case.lots:
            found[planting.lot].append(planting.key)
    return dict(sorted(found.items()))


def seed_short(case: Case) -> Iterator[Finding]:
    """A lot that does not hold what the plan sows from it; or of which nobody knows how much."""
    wanted: dict[str, float] = defaultdict(float)
    crops = {planting.key: (planting, crop) for planting, crop in case.chosen}
    for job in case.plan.jobs:
        if job.kind in ("sow", "plant sets") and job.planting in crops:
            wanted[crops[job.planting][0].lot] += job.quantity
    for key, plantings in _sown_from(case).items():
        lot = case.lots[key]
        crop = case.catalogue.crops.get(lot.crop)
        if crop is None or not wanted[key]:
            continue
        have = lot_amount(lot, case.holding) if lot.unit == "pieces" else None
        have = seeds_in_lot(lot, crop, case.holding) if lot.unit != "pieces" else have
        said = {"lot": key, "crop": lot.crop, "variety": lot.variety or "any variety"}
        if have is None:
            yield finding("seed.unknown", "mind", [key, *plantings], OWN, **said)
        elif have < wanted[key] - 1e-6:
            yield finding(
                "seed.short",
                "grave" if have < wanted[key] / 2 else "mind",
                [key, *plantings],
                OWN,
                have=round(have),
                wanted=round(wanted[key]),
                short=round(wanted[key] - have),
                **said,
            )


def lot_too_old(case: Case) -> Iterator[Finding]:
    """Seed older than it usually keeps, and not tested since."""
    for key, plantings in _sown_from(case).items():
        lot = case.lots[key]
        crop = case.catalogue.crops.get(lot.crop)
        keeps = crop.figure("seed_store_years") if crop else None
        if lot.kind != "seed" or lot.year is None or keeps is None:
            continue
        age = case.plan.start.year - lot.year
        tested_lately = lot.tested is not None and (case.plan.start - lot.tested).days <= 365
        if age > keeps.value and not tested_lately:
            yield finding(
                "lot.old",
                "mind",
                [key, *plantings],
                keeps.source,
                lot=key,
                crop=lot.crop,
                age=age,
                keeps=keeps.value,
            )


def germination_low(case: Case) -> Iterator[Finding]:
    """Seed that sprouts much worse than seed on sale must: counts allow for it, vigour may not."""
    for key, plantings in _sown_from(case).items():
        lot = case.lots[key]
        crop = case.catalogue.crops.get(lot.crop)
        standard = crop.figure("germination_standard") if crop else None
        if lot.germination is None or standard is None or crop is None:
            continue
        if lot.germination < WEAK_SHARE * standard.value:
            planting = next(item for item, _ in case.chosen if item.key == plantings[0])
            extra = 1.0
            if planting.route == "nursery":
                extra = start_of(crop, planting, case.holding).seeds / max(planting.plants, 1)
            yield finding(
                "lot.germination_low",
                "mind",
                [key, *plantings],
                standard.source,
                lot=key,
                crop=lot.crop,
                germination=lot.germination,
                standard=standard.value,
                seeds_each=round(extra, 1),
            )


def seed_treated(case: Case) -> Iterator[Finding]:
    """Treated seed is never food; seed that looks like food and may be treated is said as well."""
    for key, plantings in _sown_from(case).items():
        lot = case.lots[key]
        crop = case.catalogue.crops.get(lot.crop)
        if lot.kind != "seed":
            continue
        if lot.treated:
            yield finding("seed.treated", "mind", [key, *plantings], OWN, lot=key, crop=lot.crop)
        elif lot.treated is None and crop is not None and crop.role in SEED_AS_FOOD:
            yield finding(
                "seed.treatment_unknown", "mind", [key, *plantings], OWN, lot=key, crop=lot.crop
            )


def below_zero(case: Case) -> Iterator[Finding]:
    """Movements that took out more than there was."""
    for lot in case.holding.lots:
        least = least_balance(lot, case.holding)
        if least < 0 or (lot.amount is not None and lot.amount < 0):
            yield finding(
                "lot.below_zero",
                "grave",
                [lot.key],
                OWN,
                lot=lot.key,
                crop=lot.crop,
                least=min(least, lot.amount or 0.0),
            )
