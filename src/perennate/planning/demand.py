"""Aims become goods and amounts by week: what is wanted, what keeps, what people will eat."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Aim, Holding, Person
from perennate.planning.allocate.problem import AmountAim, DietAim, Good
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.eating import barred_as_food, most_per_week
from perennate.planning.labour import picking_minutes_per_kg
from perennate.planning.work_rates import handling_minutes_per_kg
from perennate.science.energy import Activity, adult_energy, child_energy, protein_safe_level

PRIORITY_VALUE = {1: 100.0, 2: 40.0, 3: 15.0}
"""What meeting an aim wholly is worth, by its priority; only the ratios matter."""
DIET_COUNTS = 5.0
"""A household aim stands for many single food aims and counts as this many."""
PLANT_PROTEIN_DIGESTIBILITY = 0.8
STORES = ("life_cellar", "life_room", "life_best")
PORTIONS_A_DAY = 1.0


@dataclass(frozen=True, slots=True)
class Use:
    """What a good is: food of a crop, or the ground of a seed, habitat or compost aim."""

    kind: str
    crop: str
    aim: str


@dataclass(frozen=True)
class Demand:
    goods: tuple[Good, ...]
    uses: tuple[Use, ...]
    amounts: tuple[AmountAim, ...]
    amount_aims: tuple[Aim, ...]
    diet: DietAim | None
    diet_aim: Aim | None
    not_planned: dict[str, str] = field(default_factory=dict)
    """Key of an aim that no planting can serve, and the code of the reason."""


def household_need(people: tuple[Person, ...]) -> tuple[float, float]:
    """(kcal, g of protein of a mixed plant diet) for a week of everyone."""
    energy = protein = 0.0
    for person in people:
        if person.age_years >= 18:
            energy += adult_energy(person.sex, person.age_years, person.weight_kg, person.activity)
        else:
            way: Activity = (
                "light"
                if person.activity < 1.7
                else "moderate"
                if person.activity < 2.0
                else "vigorous"
            )
            energy += child_energy(person.sex, person.age_years, person.weight_kg, way)
        protein += protein_safe_level(
            person.sex, person.age_years, person.weight_kg, PLANT_PROTEIN_DIGESTIBILITY
        )
    return energy * 7, protein * 7


def weeks_kept(crop: Crop) -> int:
    """Weeks after its harvest for which the crop keeps in the best plain store of a home."""
    lives = [crop.figures[name].value for name in STORES if name in crop.figures]
    return int(max(lives, default=7.0) // 7)


def food_crops(holding: Holding, catalogue: Catalogue) -> list[str]:
    """Keys of crops that may be planned as food, in order of key.

    With a household aim and no list of what is eaten, everything that the catalogue is sure of.
    """
    wanted = {aim.crop for aim in holding.aims if aim.kind == "food"}
    if any(aim.kind == "household" for aim in holding.aims):
        eaten = holding.eats or tuple(catalogue.crops)
        wanted |= set(eaten)
    return sorted(
        key
        for key in wanted
        if key in catalogue.crops
        and catalogue.crops[key].fact("plan_ready") == "yes"
        and "energy" in catalogue.crops[key].figures
        and barred_as_food(catalogue.crops[key], holding) is None
    )


def demand(
    holding: Holding,
    catalogue: Catalogue,
    weeks: Weeks,
    ready: Mapping[str, Sequence[tuple[date, float]]],
    covered: Mapping[str, Sequence[tuple[int, float]]] = MappingProxyType({}),
) -> Demand:
    """`ready`: kg of each crop by day, from what stands already; `covered`: m2 by week that the
    grower's own rows bring to an aim for seed, habitat or compost, by its key."""
    goods: list[Good] = []
    uses: list[Use] = []
    amounts: list[AmountAim] = []
    amount_aims: list[Aim] = []
    refused: dict[str, str] = {}
    groups = sorted({crop.fact("food_group") for crop in catalogue.crops.values()} - {""})
    wanted_kg: dict[str, float] = {}
    for aim in holding.aims:
        if aim.kind == "food":
            rate = aim.amount if aim.per == "week" else aim.amount / 4
            wanted_kg[aim.crop] = wanted_kg.get(aim.crop, 0.0) + rate
    index: dict[str, int] = {}
    for key in food_crops(holding, catalogue):
        index[key] = len(goods)
        uses.append(Use("food", key, ""))
        goods.append(
            _food(
                catalogue.crops[key],
                holding,
                catalogue,
                weeks,
                ready.get(key, []),
                groups,
                wanted_kg.get(key, 0.0),
            )
        )
    diet, diet_aim = None, None
    for aim in holding.aims:
        value = PRIORITY_VALUE[aim.priority]
        if aim.kind in ("food", "household", "habitat", "compost") and _outside(aim, weeks):
            refused[aim.key] = "aim.outside_weeks"
        elif aim.kind == "food":
            if aim.crop not in index:
                refused[aim.key] = _why_not(aim, holding, catalogue)
                continue
            amounts.append(_amount(aim, index[aim.crop], weeks, value))
            amount_aims.append(aim)
        elif aim.kind == "household":
            if not holding.people:
                refused[aim.key] = "aim.no_people"
                continue
            if diet is not None:
                refused[aim.key] = "aim.one_household"
                continue
            diet, diet_aim = _diet(aim, holding, groups, weeks, value * DIET_COUNTS), aim
        elif aim.kind in ("habitat", "compost"):
            goods.append(Good(aim.amount, 0, 0.0, ready=tuple(covered.get(aim.key, ()))))
            uses.append(Use(aim.kind, aim.crop, aim.key))
            amounts.append(_amount(aim, len(goods) - 1, weeks, value))
            amount_aims.append(aim)
        elif aim.kind == "seed":
            crop = catalogue.crops.get(aim.crop)
            if crop is None or crop.fact("life_cycle") not in ONE_SEASON:
                refused[aim.key] = "aim.seed_two_seasons"
                continue
            goods.append(Good(1e6, 60, 0.0, ready=tuple(covered.get(aim.key, ()))))
            uses.append(Use("seed", aim.crop, aim.key))
            wanted = seed_ground(crop)
            total = AmountAim(len(goods) - 1, (wanted,) * weeks.count, wanted, value)
            amounts.append(total)
            amount_aims.append(aim)
    return Demand(
        tuple(goods), tuple(uses), tuple(amounts), tuple(amount_aims), diet, diet_aim, refused
    )


def total_wanted(aim: Aim, amount: AmountAim) -> float:
    """What an aim for an amount wants in all: kg over its weeks, or m2 in each of them."""
    wanted = amount.total if amount.total is not None else sum(amount.weekly)
    if aim.kind in ("habitat", "compost"):
        wanted /= max(sum(1 for week in amount.weekly if week > 0), 1)
    return round(wanted, 3)


def wanted_by_aim(holding: Holding, catalogue: Catalogue, weeks: Weeks) -> dict[str, float]:
    """What each aim wants in all within the weeks, by its key, in the unit of its result."""
    asked = demand(holding, catalogue, weeks, {})
    wanted = {aim.key: aim.amount for aim in holding.aims}
    pairs = zip(asked.amount_aims, asked.amounts, strict=True)
    return wanted | {aim.key: total_wanted(aim, amount) for aim, amount in pairs}


ONE_SEASON = ("annual", "perennial grown annual")
SEED_PLANTS = {"selfing": 20, "crossing": 60}
"""Plants to keep for seed so that a variety stays itself (common practice, low end)."""
CROSSING_GROUPS = ("brassica", "cucurbit", "chenopod", "umbellifer", "cereal")


def seed_ground(crop: Crop) -> float:
    """m2 of plants to keep for seed."""
    breeding = "crossing" if crop.fact("rotation_group") in CROSSING_GROUPS else "selfing"
    plants = SEED_PLANTS[breeding]
    if crop.fact("rotation_group") == "cucurbit":
        plants = 12
    return round(max(plants / crop.value("plants_per_m2", 10.0), 0.6), 2)


def _food(
    crop: Crop,
    holding: Holding,
    catalogue: Catalogue,
    weeks: Weeks,
    ready: Sequence[tuple[date, float]],
    groups: list[str],
    wanted_kg: float,
) -> Good:
    edible = crop.value("edible_fraction", 1.0)
    ceiling = most_per_week(crop, holding)
    keeps = weeks_kept(crop)
    month_loss = crop.value("weight_loss_month", 5.0) / 100
    diet = any(aim.kind == "household" for aim in holding.aims)
    eaten = ceiling if diet and (not holding.eats or crop.key in holding.eats) else 0.0
    group = crop.fact("food_group")
    portions = max(len(holding.people), 1) * PORTIONS_A_DAY * 7 * crop.value("portion", 80.0) / 1000
    came: dict[int, float] = {}
    for day, kg in ready:
        week = weeks.of(day)
        if 0 <= week < weeks.count:
            came[week] = round(came.get(week, 0.0) + kg, 3)
    return Good(
        most_per_week=round(max(eaten or 0.0, wanted_kg), 3),
        keeps=keeps,
        weekly_loss=round(1 - (1 - min(month_loss, 0.5)) ** (7 / 30.4), 5) if keeps else 0.0,
        minutes_per_unit=round(
            picking_minutes_per_kg(crop, catalogue) + handling_minutes_per_kg(crop, catalogue), 2
        ),
        ready=tuple(sorted(came.items())),
        energy=round(crop.value("energy") * 10 * edible, 1),
        protein=round(crop.value("protein") * 10 * edible, 2),
        food_group=groups.index(group) if group in groups else -1,
        group_share=round(1 / portions, 4)
        if portions > 0 and crop.value("portion", 80.0) > 15
        else 0.0,
        eaten_per_week=round(eaten or 0.0, 3),
    )


def _outside(aim: Aim, weeks: Weeks) -> bool:
    """Whether no week of the plan lies between the aim's dates."""
    over = aim.end is not None and weeks.of(aim.end) < 0
    return over or (aim.start is not None and weeks.of(aim.start) >= weeks.count)


def _amount(aim: Aim, good: int, weeks: Weeks, value: float) -> AmountAim:
    first = weeks.of(aim.start) if aim.start else 0
    last = weeks.of(aim.end) if aim.end else weeks.count - 1
    rate = aim.amount
    weekly = tuple(
        round(rate, 4) if max(first, 0) <= week <= last else 0.0 for week in range(weeks.count)
    )
    total = round(rate, 4) if aim.per == "season" and aim.kind == "food" else None
    return AmountAim(good, weekly, total, value)


def _diet(aim: Aim, holding: Holding, groups: list[str], weeks: Weeks, value: float) -> DietAim:
    energy, protein = household_need(holding.people)
    first = max(weeks.of(aim.start), 0) if aim.start else 0
    last = min(weeks.of(aim.end) + 1, weeks.count) if aim.end else weeks.count
    return DietAim(
        round(energy * aim.amount, 1),
        round(protein * aim.amount, 1),
        tuple(0.0 if group.startswith("condiment") else 1.0 for group in groups),
        first,
        last,
        value,
    )


def _why_not(aim: Aim, holding: Holding, catalogue: Catalogue) -> str:
    crop = catalogue.crops.get(aim.crop)
    if crop is None:
        return "aim.crop_unknown"
    if barred_as_food(crop, holding) is not None:
        return "aim.needs_processing"
    if crop.fact("life_cycle") == "perennial" or crop.value("days_to_first_harvest", 0) >= 365:
        return "aim.perennial"
    return "aim.figures_missing"
