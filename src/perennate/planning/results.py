"""How far each aim is met, what holds it back, what the ground brings and how good the plan is."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Aim, Holding
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.demand import Demand, total_wanted
from perennate.planning.offers import planned_yield
from perennate.planning.placed import merged
from perennate.planning.plan import (
    AimResult,
    PlannedPlanting,
    ShadowPrice,
    SolverReport,
    WeekAmount,
    Yields,
)
from perennate.planning.pose import Posed
from perennate.terms import Estimate, Text, text

if TYPE_CHECKING:
    # the solvers take long to load, and results are reckoned anew where nothing is solved
    from perennate.planning.allocate.search import Found

NEARLY = 0.98
"""An aim met to this share counts as met."""


def aim_results(
    aims: Sequence[Aim],
    holding: Holding,
    catalogue: Catalogue,
    demand: Demand,
    posed: Posed | None,
    found: "Found | None",
    for_sale: Sequence[PlannedPlanting],
    weeks: Weeks,
) -> tuple[AimResult, ...]:
    """One result for each of the aims, in their order."""
    served = {aim.key: k for k, aim in enumerate(demand.amount_aims)}
    results = []
    for aim in aims:
        if aim.kind == "sell":
            results.append(_sale(aim, catalogue, for_sale))
        elif aim.key in served and found is not None and posed is not None:
            results.append(_amount(aim, served[aim.key], catalogue, demand, posed, found, weeks))
        elif demand.diet_aim is not None and aim.key == demand.diet_aim.key and found is not None:
            results.append(_household(aim, holding, catalogue, demand, found))
        else:
            code = demand.not_planned.get(aim.key, "aim.figures_missing")
            results.append(_unserved(aim, text(code, aim=aim.key, crop=aim.crop)))
    return tuple(results)


def _unserved(aim: Aim, why: Text) -> AimResult:
    nothing = Estimate(0.0, 0.0, 0.0, aim.unit, "computed", "computed")
    return AimResult(
        aim.key,
        aim.kind,
        aim.crop,
        aim.priority,
        aim.amount,
        nothing,
        aim.unit,
        0.0,
        (),
        (why,),
        (),
    )


def _sale(aim: Aim, catalogue: Catalogue, batches: Sequence[PlannedPlanting]) -> AimResult:
    batch = next((b for b in batches if aim.key in b.aims), None)
    if batch is None:
        return _unserved(aim, text("aim.crop_unknown", aim=aim.key, crop=aim.crop))
    late = aim.end is not None and batch.ground_from > aim.end
    held = (text("aim.too_late", crop=aim.crop, ready=batch.ground_from),) if late else ()
    plants = float(batch.plants)
    return AimResult(
        aim.key,
        aim.kind,
        aim.crop,
        aim.priority,
        aim.amount,
        Estimate(plants, plants, plants, "plants", "computed", "computed"),
        "plants",
        0.0 if late else 1.0,
        (),
        held,
        (),
    )


def _amount(
    aim: Aim,
    number: int,
    catalogue: Catalogue,
    demand: Demand,
    posed: Posed,
    found: "Found",
    weeks: Weeks,
) -> AimResult:
    amount = demand.amounts[number]
    met = round(found.judged.met[number], 4)
    wanted = total_wanted(aim, amount)
    by_week = tuple(
        WeekAmount(weeks.day(w), round(min(used, amount.weekly[w]), 3))
        for w, used in enumerate(found.judged.used[amount.good])
        if used > 0 and amount.weekly[w] > 0
    )
    unit = {"food": "kg", "seed": "m2", "habitat": "m2", "compost": "m2"}[aim.kind]
    notes: list[Text] = []
    expected = wanted * met
    low, high = expected, expected
    crop = catalogue.crops.get(aim.crop)
    if aim.kind == "food" and crop is not None:
        low, high = food_spread(expected, wanted, crop)
    if aim.kind == "seed":
        notes += [
            text("aim.seed_weight_unknown", crop=aim.crop, area=round(wanted, 2)),
            text("aim.isolation_unknown", crop=aim.crop),
        ]
    held = () if met >= NEARLY else held_back(number, demand, posed, found, weeks)
    return AimResult(
        aim.key,
        aim.kind,
        aim.crop,
        aim.priority,
        wanted,
        Estimate(
            round(expected, 3),
            round(min(low, expected), 3),
            round(max(high, expected), 3),
            unit,
            "computed",
            "computed",
        ),
        unit,
        met,
        by_week,
        held,
        tuple(notes),
    )


def food_spread(expected: float, wanted: float, crop: Crop) -> tuple[float, float]:
    """Ends of the spread of what an aim for food is to have, from the crop's own yield."""
    figure = crop.figure("yield")
    if figure is None:
        return expected, expected
    counted = planned_yield(crop)
    return expected * figure.low / counted, min(wanted, expected * figure.high / counted)


def held_back(
    number: int, demand: Demand, posed: Posed, found: "Found", weeks: Weeks
) -> tuple[Text, ...]:
    """Why an aim falls short: no way to grow it, weeks out of reach, or something scarce."""
    amount = demand.amounts[number]
    good = demand.goods[amount.good]
    use = demand.uses[amount.good]
    crop = use.crop or {"habitat": "flowering ground", "compost": "compost crops"}[use.kind]
    options = [o for o in posed.problem.options if o.good == amount.good]
    reach = np.zeros(weeks.count, bool)
    for option in options:
        for week, _ in option.made:
            reach[week : week + good.keeps + 1] = True
    for week, _ in good.ready:
        reach[week : week + good.keeps + 1] = True
    wanted = np.array(amount.weekly) > 0
    if not options and not good.ready:
        return (text("aim.no_season", crop=crop),)
    causes = []
    missed = wanted & ~reach
    if amount.total is None and missed.any():
        first = int(np.flatnonzero(missed)[0])
        causes.append(
            text("aim.out_of_reach", crop=crop, weeks=int(missed.sum()), first=weeks.day(first))
        )
    prices = found.relaxed
    standing = sorted({w for o in options for w in range(o.start, o.end)})
    family = next((o.family for o in options), -1)
    if family >= 0 and prices.rest_price[:, family].max() > posed.problem.prices.ground:
        causes.append(text("aim.rotation_short", crop=crop))
    if standing and prices.ground_price[:, standing].max() > posed.problem.prices.ground:
        causes.append(text("aim.ground_short", crop=crop))
    bench = sorted(
        {w for o in options for a, b, _ in o.bench for w in range(max(a, 0), min(b, weeks.count))}
    )
    if bench and prices.bench_price[bench].max() > posed.problem.prices.ground:
        code = "aim.bench_short" if max(posed.problem.bench, default=0.0) > 0 else "aim.no_bench"
        causes.append(text(code, crop=crop))
    if prices.compost_price > posed.problem.prices.compost and any(o.compost for o in options):
        causes.append(text("aim.compost_short", crop=crop))
    if prices.water_price.max() > posed.problem.prices.water and any(o.water for o in options):
        causes.append(text("aim.water_short", crop=crop))
    if prices.minute_price.max() > posed.problem.prices.minute:
        causes.append(text("aim.hours_short", crop=crop))
    return tuple(causes) or (text("aim.not_worth_it", crop=crop),)


def _household(
    aim: Aim, holding: Holding, catalogue: Catalogue, demand: Demand, found: "Found"
) -> AimResult:
    energy_met, protein_met, _ = found.judged.diet_met
    diet = demand.diet
    assert diet is not None
    share = aim.amount * energy_met
    low, high = _energy_spread(catalogue, demand, found)
    notes = [
        text(
            "aim.household_share",
            energy=round(100 * aim.amount * energy_met),
            protein=round(100 * aim.amount * protein_met),
        ),
        text("aim.not_covered"),
    ]
    notes += _vitamins(holding, catalogue, demand, found, diet.last - diet.first)
    return AimResult(
        aim.key,
        aim.kind,
        aim.crop,
        aim.priority,
        aim.amount,
        Estimate(
            round(share, 4),
            round(share * low, 4),
            round(max(share, min(aim.amount, share * high)), 4),
            "share of energy",
            "computed",
            "computed",
        ),
        "share of energy",
        round(min(energy_met, protein_met), 4),
        (),
        () if min(energy_met, protein_met) >= NEARLY else (text("aim.diet_short"),),
        tuple(notes),
    )


def _energy_spread(catalogue: Catalogue, demand: Demand, found: "Found") -> tuple[float, float]:
    """Factors from the energy counted on to the ends of its spread, all crops going one way."""
    counted = low = high = 0.0
    for use, good, used in zip(demand.uses, demand.goods, found.judged.used, strict=True):
        if use.kind == "food":
            figure = catalogue.crops[use.crop].figures["yield"]
            energy = sum(used) * good.energy
            counted += energy
            low += energy * figure.low / planned_yield(catalogue.crops[use.crop])
            high += energy * figure.high / planned_yield(catalogue.crops[use.crop])
    return (min(low / counted, 1.0), max(high / counted, 1.0)) if counted > 0 else (1.0, 1.0)


VITAMINS = (
    ("vitamin_a", "vitamin A", 500.0),
    ("vitamin_c", "vitamin C", 45.0),
    ("iron", "iron", 24.0),
    ("calcium", "calcium", 1000.0),
)
"""Figure, name and daily recommended intake of a grown woman (FAO/WHO 2001, appendix 1, table 1:
calcium, and iron at 12 % uptake; vitamins of the same report from memory)."""


def _vitamins(
    holding: Holding, catalogue: Catalogue, demand: Demand, found: "Found", weeks: int
) -> list[Text]:
    people = max(len(holding.people), 1)
    shares = []
    for figure, name, daily in VITAMINS:
        got = 0.0
        for use, used in zip(demand.uses, found.judged.used, strict=True):
            if use.kind == "food":
                crop = catalogue.crops[use.crop]
                each = crop.value(figure, 0.0) * 10 * crop.value("edible_fraction", 1.0)
                got += sum(used) * each
        share = round(100 * got / (daily * 7 * weeks * people))
        shares.append(text("aim.vitamin_share", name=name, percent=min(share, 999)))
    return shares


def yields_of(
    plantings: Sequence[PlannedPlanting],
    holding: Holding,
    catalogue: Catalogue,
    demand: Demand,
    found: "Found | None",
    weeks: Weeks,
) -> Yields:
    """Harvest by week and per m2 of ground, what is eaten, stored and lost."""
    by_week: dict[object, float] = {}
    kcal = 0.0
    for planting in plantings:
        # a crop that a newer catalogue no longer has brings no known energy
        crop = catalogue.crops.get(planting.crop)
        each = crop.value("energy", 0.0) * 10 * crop.value("edible_fraction", 1.0) if crop else 0.0
        for week in planting.by_week:
            if week.week < weeks.end:
                by_week[week.week] = by_week.get(week.week, 0.0) + week.kg
                kcal += week.kg * each
    total = sum(by_week.values())
    low = sum(p.harvest.low for p in plantings)
    high = sum(p.harvest.high for p in plantings)
    ground = max(sum(bed.area_m2 for bed in holding.beds), 0.01)
    eaten = stored = lost = 0.0
    for index, use in enumerate(demand.uses):
        if use.kind == "food" and found is not None:
            eaten += sum(found.judged.used[index])
            lost += found.judged.lost[index]
    if found is not None:
        food = [i for i, use in enumerate(demand.uses) if use.kind == "food"]
        if food:
            stored = float(np.array([found.judged.stored[i] for i in food]).sum(axis=0).max())
    energy = protein = None
    if demand.diet is not None and demand.diet_aim is not None and found is not None:
        energy = round(demand.diet_aim.amount * found.judged.diet_met[0], 4)
        protein = round(demand.diet_aim.amount * found.judged.diet_met[1], 4)
    weeks_of = tuple(
        WeekAmount(weeks.day(w), round(by_week.get(weeks.day(w), 0.0), 3))
        for w in range(weeks.count)
    )
    return Yields(
        Estimate(
            round(total, 2),
            round(min(low, total), 2),
            round(max(high, total), 2),
            "kg",
            "computed",
            "computed",
        ),
        round(total / ground, 3),
        round(kcal / ground, 1),
        round(eaten, 2),
        round(stored, 2),
        round(lost, 2),
        energy,
        protein,
        weeks_of,
        (text("yields.counted_on"),),
    )


def solver_report(
    found: "Found | None", posed: Posed | None, holding: Holding, weeks: Weeks
) -> SolverReport:
    """How good the plan is, in numbers and in plain words."""
    if found is None or posed is None:
        return SolverReport(
            "nothing to plan", 0.0, 0.0, 0.0, 0.0, 0.0, 0, 0, 0, 0, (), text("solver.nothing")
        )
    problem = posed.problem
    # rounded up, so that the promise holds
    percent = max(float(np.ceil(found.gap * 1000) / 10), 0.1)
    return SolverReport(
        "closed" if found.closed else "steps",
        round(float(found.judged.cost), 3),
        round(float(found.bound), 3),
        round(float(found.gap), 4),
        round(float(found.gap_before_placing), 4),
        round(float(found.gap_after_placing), 4),
        len(merged(found.pieces)),
        found.relaxed.columns,
        found.relaxed.rows,
        found.relaxed.nonzeros,
        shadow_prices(found, posed, weeks),
        text("solver.no_better", percent=percent, value=round(problem.value)),
    )


def shadow_prices(found: "Found", posed: Posed, weeks: Weeks) -> tuple[ShadowPrice, ...]:
    """The dearest week of each scarce thing: what one more unit of it would bring."""
    value = max(posed.problem.value, 1e-9)
    prices: list[ShadowPrice] = []
    kinds: Mapping[str, tuple[np.ndarray, str]] = {
        "ground": (found.relaxed.ground_price.max(axis=0), "m2"),
        "bench": (found.relaxed.bench_price, "m2"),
        "hours": (60 * found.relaxed.minute_price, "hour"),
        "water": (1000 * found.relaxed.water_price, "1000 l"),
    }
    for scarce, (row, unit) in kinds.items():
        week = int(np.argmax(np.round(row, 9)))
        gain = float(row[week]) / value
        if gain > 1e-6:
            prices.append(
                ShadowPrice(
                    scarce,
                    "",
                    weeks.day(week),
                    round(gain, 6),
                    unit,
                    text(
                        f"solver.more_{scarce}",
                        week=weeks.day(week),
                        percent=round(100 * gain, 3),
                    ),
                )
            )
    return tuple(prices)
