"""The grower's rows as the planner takes them: in order of key, made whole, without clashes."""

from collections.abc import Sequence
from dataclasses import replace

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Hand, HandPlanting, Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.demand import food_crops
from perennate.planning.fitness import fitness
from perennate.planning.hand import Standing, offer_of, resting
from perennate.planning.offers import WORST_FROST_CHANCE, Growing, frost_risk, heat_risk
from perennate.planning.plan import Plan, PlannedPlanting


def sorted_rows(holding: Holding) -> Holding:
    """The holding with its tables in order of key, so that the order of rows changes no plan.

    Rows of `plantings` that say where along the bed they stand come first, since the others are
    given what those leave free.
    """
    return replace(
        holding,
        people=tuple(sorted(holding.people, key=lambda p: (p.name, p.age_years, p.weight_kg))),
        eats=tuple(sorted(holding.eats)),
        processes=tuple(sorted(holding.processes)),
        beds=tuple(sorted(holding.beds, key=lambda bed: bed.key)),
        aims=tuple(sorted(holding.aims, key=lambda aim: aim.key)),
        lots=tuple(sorted(holding.lots, key=lambda lot: lot.key)),
        lot_moves=tuple(sorted(holding.lot_moves, key=lambda m: (m.lot, m.day, m.change, m.why))),
        plantings=tuple(sorted(holding.plantings, key=lambda row: (row.start_m is None, row.key))),
        records=tuple(sorted(holding.records, key=lambda record: (record.day, record.key))),
    )


def plannable_crops(holding: Holding, catalogue: Catalogue) -> list[str]:
    """Crops that the plan may need and that the catalogue knows enough of, in order of key."""
    wanted = set(food_crops(holding, catalogue))
    wanted |= {aim.crop for aim in holding.aims if aim.crop in catalogue.crops}
    wanted |= {row.crop for row in holding.plantings if row.crop in catalogue.crops}
    for aim in holding.aims:
        if aim.kind in ("habitat", "compost") and not aim.crop:
            role = "insectary" if aim.kind == "habitat" else "cover"
            wanted |= {key for key, crop in catalogue.crops.items() if crop.role == role}
    return [
        key
        for key in sorted(wanted)
        if "days_to_first_harvest" in catalogue.crops[key].figures
        and catalogue.crops[key].value("days_to_first_harvest") < 365
        and "temp_base" in catalogue.crops[key].figures
    ]


def families_of(catalogue: Catalogue) -> dict[str, int]:
    names = {crop.fact("rotation_group") for crop in catalogue.crops.values()}
    return {name: index for index, name in enumerate(sorted(names - {"", "none"}))}


def row_of(planting: PlannedPlanting, hand: Hand) -> HandPlanting:
    """A planting of a plan as a row of the grower's, just as it is and with its own key."""
    return HandPlanting(
        key=planting.key,
        hand=hand,
        crop=planting.crop,
        variety=planting.variety,
        bed=planting.bed,
        sown=planting.sow,
        ground_from=planting.ground_from,
        ground_to=planting.ground_to,
        start_m=planting.start_m,
        length_m=planting.length_m,
        plants=planting.plants,
        lot=planting.lot,
        aim=planting.aims[0] if planting.aims and not planting.by_week else "",
    )


def as_before(
    standing: Sequence[Standing], holding: Holding, catalogue: Catalogue, previous: Plan | None
) -> list[Standing]:
    """What the plan before had sown keeps the dates and the harvest that it was sown for."""
    sown = {old.key: old for old in previous.plantings} if previous else {}
    found = []
    for one in standing:
        old = sown.get(one.row.key)
        if old is not None and one.row.hand == "stands" and same_days(one.row, old):
            one = as_planned(one, old, holding, catalogue)
        found.append(one)
    return found


def same_days(row: HandPlanting, old: PlannedPlanting) -> bool:
    """Whether a row is of the planting's crop and of its days in the ground."""
    return (old.crop, old.ground_from, old.ground_to) == (row.crop, row.ground_from, row.ground_to)


def as_planned(
    one: Standing, old: PlannedPlanting, holding: Holding, catalogue: Catalogue
) -> Standing:
    """A row with the dates, harvest and odds by the m2 of a planting that is planned already."""
    bed = next((bed for bed in holding.beds if bed.key == old.bed), None)
    if bed is None:
        return one
    return replace(one, offer=offer_of(old, fitness(catalogue.crops[old.crop], bed)))


def with_odds(
    standing: Sequence[Standing], catalogue: Catalogue, growing: Growing
) -> list[Standing]:
    """Fixed and wished rows with what frost and heat do to them: the chances, and a harvest
    counted by the share of the years in which it is still there to be picked.

    As with what the planner offers itself, a frost before the first harvest takes off the harvest
    only where it comes too often for the planner to offer it.
    """
    found = []
    for one in standing:
        if one.row.hand in ("fixed", "wished"):
            offer, crop = one.offer, catalogue.crops[one.row.crop]
            first = offer.first_harvest
            frost = frost_risk(crop, offer.route, growing, offer.ground_from, first)
            spared = 1.0 - frost if frost > WORST_FROST_CHANCE else 1.0
            picking = (max(day for day, _ in offer.made) - first).days if offer.made else 0
            alive = growing.surviving(first, picking + 1, crop.value("kill_mature", -60.0))
            made = tuple(
                (day, round(kg * spared * float(alive[max((day - first).days, 0)]), 4))
                for day, kg in offer.made
            )
            offer = replace(
                offer,
                made=made,
                frost_risk=round(frost, 3),
                heat_risk=round(heat_risk(crop, growing, first), 3),
            )
            one = replace(one, offer=offer)
        found.append(one)
    return found


def without_misfits(
    standing: Sequence[Standing],
    holding: Holding,
    catalogue: Catalogue,
    families: dict[str, int],
    rest_years: dict[str, float],
    weeks: Weeks,
) -> list[Standing]:
    """The rows without those wished ones that clash with what stands, is fixed, or must rest."""
    firm = [one for one in standing if one.row.hand != "wished"]
    kept = list(firm)
    for one in standing:
        if one.row.hand != "wished":
            continue
        rests = resting(holding, catalogue, kept, families, rest_years, weeks)
        numbers = {bed.key: index for index, bed in enumerate(holding.beds)}
        family = families.get(catalogue.crops[one.row.crop].fact("rotation_group"), -1)
        start, end = weeks.of(one.offer.ground_from), weeks.up_to(one.offer.ground_to)
        clash = any(
            other.row.bed == one.row.bed
            and other.offer.ground_from < one.offer.ground_to
            and one.offer.ground_from < other.offer.ground_to
            and other.first_strip < one.first_strip + one.strips
            and one.first_strip < other.first_strip + other.strips
            for other in kept
        ) or any(
            rest.bed == numbers[one.row.bed]
            and rest.family == family
            and rest.start < end
            and start < rest.end
            and rest.first_strip < one.first_strip + one.strips
            and one.first_strip < rest.first_strip + rest.strips
            for rest in rests
        )
        if not clash:
            kept.append(one)
    order = {id(one): number for number, one in enumerate(standing)}
    return sorted(kept, key=lambda one: order[id(one)])
