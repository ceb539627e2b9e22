"""How far aims are met and what the ground brings after a change by hand, without a solver.

The solver shares what is picked among all aims at once. After a change by hand each crop is
reckoned for itself, before and after the change, by one plain rule: what is picked is used as
soon as it is wanted, oldest first, and keeps as long as the crop keeps. By as much as that comes
to less or more, the plan's own figure falls or rises. What the change does not touch stays as
it was, to the last digit.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from perennate.catalogue.model import Catalogue
from perennate.holding.model import Aim, Holding
from perennate.planning.allocate.problem import AmountAim, Good
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.demand import Demand, demand
from perennate.planning.plan import AimResult, Plan, PlannedPlanting, WeekAmount, Yields
from perennate.planning.results import NEARLY, VITAMINS, food_spread, yields_of
from perennate.planning.serving import serving_weeks
from perennate.terms import Estimate, Text, text


@dataclass(frozen=True, slots=True)
class Eaten:
    """What becomes of a harvest by week: used, in store at the week's end, and lost in all."""

    used: tuple[float, ...]
    stored: tuple[float, ...]
    lost: float


def larder(picked: Sequence[float], wanted: Sequence[float], good: Good) -> Eaten:
    """Use what is picked week by week [kg], oldest first, up to what is wanted in each week.

    What is not used keeps for the good's weeks with its weekly loss, and is lost after them.
    """
    store: list[tuple[int, float]] = []
    used, stored, lost = [], [], 0.0
    for week, fresh in enumerate(picked):
        left = [(kept_from, kg * (1 - good.weekly_loss)) for kept_from, kg in store]
        lost += sum(kg for kept_from, kg in left if week - kept_from > good.keeps)
        store = [(kept_from, kg) for kept_from, kg in left if week - kept_from <= good.keeps]
        if fresh > 0:
            store.append((week, fresh))
        asked = wanted[week]
        rest: list[tuple[int, float]] = []
        for kept_from, kg in store:
            taken = min(kg, asked)
            asked -= taken
            if kg > taken:
                rest.append((kept_from, kg - taken))
        used.append(wanted[week] - asked)
        store = rest
        stored.append(sum(kg for _, kg in store))
    return Eaten(tuple(used), tuple(stored), lost)


@dataclass(frozen=True)
class _Count:
    """What a set of plantings comes to by the plain rule."""

    plantings: Sequence[PlannedPlanting]
    wanted: Demand
    weeks: Weeks
    like: "_Count | None" = None
    """A count of other plantings, from which what is the same is taken over."""

    @cached_property
    def picked(self) -> dict[str, tuple[float, ...]]:
        """kg of each crop by week."""
        found: dict[str, list[float]] = {}
        for planting in self.plantings:
            row = found.setdefault(planting.crop, [0.0] * self.weeks.count)
            for amount in planting.by_week:
                week = self.weeks.of(amount.week)
                if 0 <= week < self.weeks.count:
                    row[week] += amount.kg
        # rounded, so that the order of plantings is no change
        return {crop: tuple(round(kg, 6) for kg in row) for crop, row in sorted(found.items())}

    def of(self, crop: str) -> tuple[float, ...]:
        return self.picked.get(crop, (0.0,) * self.weeks.count)

    @cached_property
    def eaten(self) -> dict[str, Eaten]:
        """What the household makes of each crop when it eats as much as it will each week."""
        found = {}
        for use, good in zip(self.wanted.uses, self.wanted.goods, strict=True):
            if use.kind != "food":
                continue
            picked = self.of(use.crop)
            if self.like is not None and self.like.of(use.crop) == picked:
                found[use.crop] = self.like.eaten[use.crop]
            else:
                found[use.crop] = larder(picked, (good.most_per_week,) * self.weeks.count, good)
        return found

    def served(self, number: int) -> tuple[float, ...]:
        """What an aim for an amount has by week: kg, or m2 of standing ground.

        Of aims for one crop the first in priority takes first.
        """
        amount = self.wanted.amounts[number]
        use = self.wanted.uses[amount.good]
        if use.kind != "food":
            return self._ground(use.kind, use.aim, amount)
        left = list(self.of(use.crop))
        aims = self.wanted.amount_aims
        same = [k for k, other in enumerate(self.wanted.amounts) if other.good == amount.good]
        for k in sorted(same, key=lambda k: (aims[k].priority, k)):
            good = self.wanted.goods[amount.good]
            used = _within_total(left, self.wanted.amounts[k], good)
            if k == number:
                return used
            left = _without(left, used)
        return (0.0,) * self.weeks.count

    def _ground(self, kind: str, aim: str, amount: AmountAim) -> tuple[float, ...]:
        area = [0.0] * self.weeks.count
        for planting in self.plantings:
            if aim not in planting.aims:
                continue
            first, last = serving_weeks(kind, planting, self.weeks)
            for week in range(max(first, 0), min(last, self.weeks.count)):
                area[week] += planting.area_m2
        if amount.total is None:
            return tuple(min(m2, most) for m2, most in zip(area, amount.weekly, strict=True))
        left = amount.total
        for week, m2 in enumerate(area):
            area[week] = min(m2, left)
            left -= area[week]
        return tuple(area)


def _within_total(picked: Sequence[float], amount: AmountAim, good: Good) -> tuple[float, ...]:
    """Served by week; an aim for a season takes no more than its whole, as early as it can."""
    most = [min(weekly, good.most_per_week) for weekly in amount.weekly]
    used = list(larder(picked, most, good).used)
    if amount.total is not None:
        left = amount.total
        for week, kg in enumerate(used):
            used[week] = min(kg, left)
            left -= used[week]
    return tuple(used)


def _without(picked: Sequence[float], used: Sequence[float]) -> list[float]:
    """What is left of a harvest for the next aim: what was used goes off it, oldest first."""
    left, due = list(picked), 0.0
    for week in reversed(range(len(left))):
        due += used[week]
        taken = min(left[week], due)
        left[week] -= taken
        due -= taken
    return left


def share_now(share: float, before: float, after: float) -> float:
    """A share as the plan had it, changed by what the plain count comes to before and after.

    It falls in proportion, and rises by as much as the plain count does, up to 1.
    """
    if after == before:
        return share
    if after < before:
        return share * after / before
    return min(1.0, share + after - before)


def recounted(
    plan: Plan,
    plantings: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    weeks: Weeks,
) -> tuple[tuple[AimResult, ...], Yields]:
    """The plan's aims and yields as these plantings bear them out."""
    wanted = demand(holding, catalogue, weeks, {})
    before = _Count(plan.plantings, wanted, weeks)
    after = _Count(plantings, wanted, weeks, before)
    shares = _diet_now(plan, before, after)
    aims = _aims(plan, holding, before, after, shares, catalogue)
    return aims, _yields(plan, holding, before, after, shares, catalogue)


def _aims(
    plan: Plan,
    holding: Holding,
    before: _Count,
    after: _Count,
    shares: tuple[float | None, float | None],
    catalogue: Catalogue,
) -> tuple[AimResult, ...]:
    wanted = after.wanted
    numbers = {aim.key: number for number, aim in enumerate(wanted.amount_aims)}
    fed_anew = shares != (plan.yields.energy_share, plan.yields.protein_share)
    aims = {aim.key: aim for aim in holding.aims}
    found = []
    for result in plan.aims:
        if result.aim in numbers and result.wanted > 0:
            result = _amount(result, numbers[result.aim], before, after, catalogue)
        elif result.kind == "sell":
            result = _sale(result, after.plantings)
        elif wanted.diet_aim is not None and result.aim == wanted.diet_aim.key and fed_anew:
            result = _household(result, aims[result.aim], shares, before, after, catalogue)
        found.append(result)
    return tuple(found)


def _amount(
    result: AimResult, number: int, before: _Count, after: _Count, catalogue: Catalogue
) -> AimResult:
    food = after.wanted.uses[after.wanted.amounts[number].good].kind == "food"
    if food and before.of(result.crop) == after.of(result.crop):
        return result
    had, has = before.served(number), after.served(number)
    if had == has:
        return result
    amount = after.wanted.amounts[number]
    whole = amount.total if amount.total is not None else sum(amount.weekly)
    met = share_now(result.met, sum(had) / whole, sum(has) / whole)
    if result.kind == "food":
        met = min(met, sum(after.of(result.crop)) / result.wanted)
    met = round(met, 4)
    expected = result.wanted * met
    low, high = expected, expected
    crop = catalogue.crops.get(result.crop)
    if result.kind == "food" and crop is not None:
        low, high = food_spread(expected, result.wanted, crop)
    by_week = tuple(
        WeekAmount(after.weeks.day(week), round(kg, 3))
        for week, kg in enumerate(has)
        if kg > 0 and amount.weekly[week] > 0
    )
    return replace(
        result,
        met=met,
        expected=Estimate(
            round(expected, 3),
            round(min(low, expected), 3),
            round(max(high, expected), 3),
            result.unit,
            "computed",
            "computed",
        ),
        by_week=by_week,
        held_back_by=_held_back(result, met),
    )


def _held_back(result: AimResult, met: float) -> tuple[Text, ...]:
    if met >= NEARLY:
        return ()
    if met >= result.met:
        return result.held_back_by
    named = text("aim.less_by_hand")
    return (*(one for one in result.held_back_by if one != named), named)


def _sale(result: AimResult, plantings: Sequence[PlannedPlanting]) -> AimResult:
    """Plants to sell stand on the bench, where rows of the grower's do not reach them."""
    if result.met == 0 or any(result.aim in planting.aims for planting in plantings):
        return result
    none = Estimate(0.0, 0.0, 0.0, result.unit, "computed", "computed")
    return replace(result, met=0.0, expected=none, held_back_by=(text("aim.less_by_hand"),))


def _diet_now(plan: Plan, before: _Count, after: _Count) -> tuple[float | None, float | None]:
    """Shares of the household's energy and protein after the change."""
    wanted, aim = after.wanted.diet, after.wanted.diet_aim
    shares = plan.yields.energy_share, plan.yields.protein_share
    if wanted is None or aim is None or shares[0] is None or shares[1] is None:
        return shares
    found = []
    for share, asked, each in (
        (shares[0], wanted.energy, lambda good: good.energy),
        (shares[1], wanted.protein, lambda good: good.protein),
    ):
        had, has = (_fed(count, asked, each) for count in (before, after))
        now = share_now(min(1.0, share / aim.amount) if aim.amount else 0.0, had, has)
        found.append(share if had == has else round(now * aim.amount, 4))
    return found[0], found[1]


def _fed(count: _Count, asked: float, each: Callable[[Good], float]) -> float:
    """Share of what is asked of the ground for each week of the diet, over all its weeks."""
    diet = count.wanted.diet
    if diet is None or asked <= 0 or diet.last <= diet.first:
        return 0.0
    fed = np.zeros(diet.last - diet.first)
    for use, good in zip(count.wanted.uses, count.wanted.goods, strict=True):
        if use.kind == "food" and use.crop in count.picked:
            used = np.array(count.eaten[use.crop].used[diet.first : diet.last])
            fed += np.minimum(used, good.eaten_per_week) * each(good)
    return round(float(np.minimum(fed, asked).sum()) / (asked * len(fed)), 9)


def _household(
    result: AimResult,
    aim: Aim,
    shares: tuple[float | None, float | None],
    before: _Count,
    after: _Count,
    catalogue: Catalogue,
) -> AimResult:
    energy, protein = shares
    if energy is None or protein is None or not aim.amount:
        return result
    met = round(min(energy, protein) / aim.amount, 4)
    old = result.expected
    grown = energy / old.value if old.value > 0 else 0.0
    high = max(energy, min(aim.amount, old.high * grown))
    low = min(energy, old.low * grown)
    fed = text("aim.household_share", energy=round(100 * energy), protein=round(100 * protein))
    notes = [
        fed
        if note.code == fed.code
        else _vitamin(note, before, after, catalogue)
        if note.code == "aim.vitamin_share"
        else note
        for note in result.notes
    ]
    return replace(
        result,
        met=met,
        expected=replace(old, value=round(energy, 4), low=round(low, 4), high=round(high, 4)),
        held_back_by=_held_back(result, met),
        notes=tuple(notes),
    )


def _vitamin(note: Text, before: _Count, after: _Count, catalogue: Catalogue) -> Text:
    said = dict(note.params)
    figure = next((figure for figure, name, _ in VITAMINS if name == said["name"]), "")
    sums = []
    for count in (before, after):
        got = 0.0
        for key, eaten in count.eaten.items():
            crop = catalogue.crops.get(key)
            if crop is None:
                continue
            each = crop.value(figure, 0.0) * crop.value("edible_fraction", 1.0)
            got += sum(eaten.used) * each
        sums.append(got)
    if sums[0] <= 0:
        return note
    percent = round(float(str(said["percent"])) * sums[1] / sums[0])
    return text("aim.vitamin_share", name=said["name"], percent=min(percent, 999))


def _yields(
    plan: Plan,
    holding: Holding,
    before: _Count,
    after: _Count,
    shares: tuple[float | None, float | None],
    catalogue: Catalogue,
) -> Yields:
    """What the ground brings now; as it was where the harvest is the same."""
    if before.picked == after.picked:
        return plan.yields
    had = plan.yields
    brought = yields_of(after.plantings, holding, catalogue, after.wanted, None, after.weeks)

    def now(value: float, count: Callable[[_Count], float]) -> float:
        return round(max(0.0, value + count(after) - count(before)), 2)

    eaten = now(had.eaten_kg, lambda count: sum(sum(one.used) for one in count.eaten.values()))
    return replace(
        brought,
        eaten_kg=min(eaten, brought.harvest_kg.value),
        stored_kg=now(had.stored_kg, _most_stored),
        lost_kg=now(had.lost_kg, lambda count: sum(one.lost for one in count.eaten.values())),
        energy_share=shares[0],
        protein_share=shares[1],
        notes=had.notes,
    )


def _most_stored(count: _Count) -> float:
    by_week = zip(*(one.stored for one in count.eaten.values()), strict=True)
    return max((sum(week) for week in by_week), default=0.0)
