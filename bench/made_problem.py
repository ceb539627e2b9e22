"""Made allocation problems of any size: numbers drawn from a seed, no plant named."""

import numpy as np

from perennate.planning.allocate.problem import (
    AmountAim,
    BedGround,
    DietAim,
    Good,
    Option,
    Prices,
    Problem,
    Rest,
)
from perennate.planning.allocate.supply import WaterSupply


def made_problem(beds: int, crops: int, weeks: int, seed: int = 7) -> Problem:
    """Scarce ground, hours, bench, tank and history; starts every two weeks save quick crops."""
    random = np.random.Generator(np.random.PCG64(seed))
    thirst = np.random.Generator(np.random.PCG64(seed + 1)).uniform(6.0, 14.0, crops).round(1)
    groups, families = 4, 10
    ground = tuple(
        BedGround(int(random.integers(8, 17)), 0.6, int(random.integers(0, groups)))
        for _ in range(beds)
    )
    rests = tuple(
        Rest(bed, int(random.integers(0, families)), 0, ground[bed].strips, 0, int(end))
        for bed in range(beds)
        for end in random.integers(20, 150, 2)
    )
    goods, options = [], []
    for crop in range(crops):
        duration = int(random.integers(6, 28))
        window = int(random.integers(1, 12))
        family = int(random.integers(0, families)) if crop % 4 else -1
        rest = int(random.choice([52, 104, 156, 208])) if family >= 0 else 0
        energy = float(random.choice([200.0, 300.0, 700.0, 3300.0], p=[0.5, 0.2, 0.2, 0.1]))
        total = float(np.round(np.exp(random.normal(np.log(2.5), 0.6)), 3))
        if energy > 3000:
            total = round(total / 8, 3)
        keeps = int(random.choice([1, 2, 4, 16, 26, 60]))
        fitness = tuple(
            float(f) for f in np.round([1.0, 0.8, *random.uniform(0, 0.9, groups - 2)], 2)
        )
        nursery = bool(random.random() < 0.4)
        season = (int(random.integers(0, 20)), int(random.integers(26, 44)))
        goods.append(
            Good(
                most_per_week=round(total * float(random.uniform(0.4, 1.5)), 3),
                keeps=keeps,
                weekly_loss=0.005,
                minutes_per_unit=round(float(random.uniform(0.5, 8)), 2),
                energy=energy,
                protein=round(energy * 0.03, 1),
                food_group=int(random.integers(0, 6)),
                group_share=1.0,
            )
        )
        step = 1 if duration < 10 else 2
        for start in range(0, weeks - duration - 1, step):
            if not season[0] <= start % 52 <= season[1]:
                continue
            first = start + duration
            shares = [(first + k, round(total / window, 3)) for k in range(window)]
            made = tuple((w, a) for w, a in shares if w < weeks)
            options.append(
                Option(
                    good=crop,
                    start=start,
                    end=min(first + window, weeks),
                    family=family,
                    rest=rest,
                    made=made,
                    minutes=((start, 12.0), (min(start + 3, weeks - 1), 4.0)),
                    bench=((max(start - 5, 0), start, 0.03),) if nursery else (),
                    compost=float(random.choice([0.0, 10.0])),
                    cost=0.0,
                    fitness=fitness,
                    least_strips=2,
                    water=tuple(
                        (week, float(thirst[crop]))
                        for week in range(start, min(first + window, weeks))
                        if 20 <= week % 52 < 38
                    ),
                )
            )
    amounts = []
    for crop in range(0, crops, 2):
        weekly = round(goods[crop].most_per_week * 0.8, 3)
        season_weeks = tuple(weekly if 14 <= w % 52 < 50 else 0.0 for w in range(weeks))
        value = float(random.choice([100.0, 40.0, 15.0]))
        amounts.append(AmountAim(crop, season_weeks, None, value))
    diet = DietAim(16000.0, 450.0, (10.0,) * 6, 12, weeks, 600.0)
    return Problem(
        weeks=weeks,
        beds=ground,
        rests=rests,
        options=tuple(options),
        goods=tuple(goods),
        amounts=tuple(amounts),
        diet=diet,
        families=families,
        bench=(6.0,) * weeks,
        minutes=(20 * 60.0,) * weeks,
        compost=float(beds * 6 * weeks / 52 * 12),
        upkeep=0.3,
        prices=Prices(0.0015, 0.0006, 0.002, 0.12, 0.0005, 0.0002),
        groups=groups,
        water=_tank(beds, weeks),
    )


def _tank(beds: int, weeks: int) -> WaterSupply:
    """Rain all year but in the dry weeks, a tank that they empty, and a thin pipe."""
    rain = tuple(0.0 if 20 <= week % 52 < 38 else 15.0 * beds for week in range(weeks))
    return WaterSupply(160.0 * beds, 160.0 * beds, rain, (30.0 * beds,) * weeks)
