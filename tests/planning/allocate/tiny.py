"""Tiny allocation problems that can be solved by trying everything, and the trying."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np
from hypothesis import strategies as st

from perennate.planning.allocate.ground import Ground
from perennate.planning.allocate.judge import Judge
from perennate.planning.allocate.problem import (
    AmountAim,
    BedGround,
    Good,
    Option,
    Piece,
    Prices,
    Problem,
    Rest,
)
from perennate.planning.allocate.supply import WaterSupply

WEEKS = 8
PRICES = Prices(ground=0.05, minute=0.01, compost=0.002, sowing=0.1, waste=0.001)


def option(good: int, start: int, end: int, kg: float, **others: object) -> Option:
    """An option that brings its harvest in its last week, in a problem of two groups of beds."""
    plain = Option(
        good=good,
        start=start,
        end=end,
        family=good,
        rest=3,
        made=((end - 1, kg),),
        minutes=((start, 4.0), (end - 1, 2.0)),
        bench=(),
        compost=5.0,
        cost=0.0,
        fitness=(1.0, 0.6),
    )
    return replace(plain, **others)  # type: ignore[arg-type]


def good(**others: object) -> Good:
    plain = Good(most_per_week=3.0, keeps=2, weekly_loss=0.1, minutes_per_unit=1.0)
    return replace(plain, **others)  # type: ignore[arg-type]


def aim(of: int, weekly: dict[int, float], value: float) -> AmountAim:
    return AmountAim(of, tuple(weekly.get(week, 0.0) for week in range(WEEKS)), None, value)


def problem(**others: object) -> Problem:
    """Two beds of two strips, three crops, eight weeks: more wanted than the ground can bear."""
    plain = Problem(
        weeks=WEEKS,
        beds=(BedGround(2, 1.0, 0), BedGround(2, 1.5, 1, taken=((0, 1, 0, 2),))),
        rests=(Rest(0, 1, 1, 1, 0, 5),),
        options=(
            option(0, 0, 3, 2.0),
            option(0, 3, 6, 2.5),
            option(1, 1, 5, 3.0, bench=((0, 1, 0.4),)),
            option(1, 4, 8, 2.2),
            option(2, 1, 5, 2.0, least_strips=2),
        ),
        goods=(good(), good(keeps=0, weekly_loss=0.0), good(keeps=7, ready=((1, 0.5),))),
        amounts=(
            aim(0, {3: 1.5, 4: 1.5, 6: 2.0}, 30.0),
            aim(1, {4: 2.0, 7: 2.0}, 20.0),
            AmountAim(2, (1.0,) * WEEKS, 4.0, 60.0),
        ),
        diet=None,
        families=3,
        bench=(1.0,) * WEEKS,
        minutes=(30.0,) * WEEKS,
        compost=40.0,
        upkeep=0.5,
        prices=PRICES,
        groups=2,
    )
    return replace(plain, **others)  # type: ignore[arg-type]


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Any two small beds, three crops and one or two options of each."""
    small = st.integers(0, WEEKS - 2)
    options = []
    for number in range(3):
        for _ in range(draw(st.integers(1, 2))):
            start = draw(small)
            end = draw(st.integers(start + 1, WEEKS))
            kg = draw(st.integers(1, 40)) / 10
            bench = draw(st.sampled_from([(), ((max(start - 1, 0), start + 1, 0.5),)]))
            options.append(
                option(
                    number,
                    start,
                    end,
                    kg,
                    family=draw(st.sampled_from([-1, 0, 1])),
                    rest=draw(st.integers(0, 9)),
                    bench=bench,
                    fitness=draw(st.sampled_from([(1.0, 0.6), (1.0, 1.0), (0.0, 1.0)])),
                    least_strips=draw(st.integers(1, 2)),
                    refused=draw(st.sampled_from([frozenset(), frozenset({0}), frozenset({1})])),
                    water=draw(st.sampled_from([(), ((start, 4.0), (end - 1, 6.0))])),
                )
            )
    beds = tuple(
        BedGround(draw(st.integers(1, 3)), 1.0, group, draw(st.sampled_from([(), ((0, 1, 0, 3),)])))
        for group in range(2)
    )
    rests = draw(st.sampled_from([(), (Rest(0, 0, 0, 1, 0, 4),), (Rest(1, 1, 0, 1, 2, 9),)]))
    goods = tuple(
        good(
            keeps=draw(st.integers(0, 3)),
            weekly_loss=draw(st.sampled_from([0.0, 0.2])),
            ready=draw(st.sampled_from([(), ((2, 1.0),)])),
        )
        for _ in range(3)
    )
    amounts = tuple(
        AmountAim(
            number,
            tuple(float(w) for w in draw(st.lists(st.integers(0, 2), min_size=8, max_size=8))),
            draw(st.sampled_from([None, 3.0])),
            float(draw(st.integers(1, 40))),
        )
        for number in range(3)
    )
    return problem(
        beds=beds,
        rests=rests,
        options=tuple(options),
        goods=goods,
        amounts=amounts,
        bench=(draw(st.sampled_from([0.4, 3.0])),) * WEEKS,
        minutes=(draw(st.sampled_from([6.0, 40.0, float("inf")])),) * WEEKS,
        compost=draw(st.sampled_from([7.0, 50.0, float("inf")])),
        water=draw(st.one_of(st.none(), supplies())),
    )


@st.composite
def supplies(draw: st.DrawFn) -> WaterSupply:
    """Any tank with its rain, other water by the week, and all of it together limited or not."""
    tank = float(draw(st.integers(0, 12)))
    litres = st.integers(0, 8).map(float)
    return WaterSupply(
        tank,
        min(tank, draw(litres)),
        tuple(draw(st.lists(litres, min_size=WEEKS, max_size=WEEKS))),
        (draw(st.sampled_from([0.0, 2.0, float("inf")])),) * WEEKS,
        draw(st.sampled_from([5.0, 30.0, float("inf")])),
        draw(st.sampled_from([(), (3.0,) * WEEKS])),
    )


def all_pieces(tiny: Problem) -> list[Piece]:
    """Every piece that the problem allows when nothing else is planted.

    A bed shorter than an option's least piece may be planted as a whole.
    """
    ground = Ground(tiny)
    found = []
    for number, option_ in enumerate(tiny.options):
        for bed, ground_of in enumerate(tiny.beds):
            if bed in option_.refused or option_.fitness[ground_of.group] <= 0:
                continue
            free = ground.open_strips(bed, option_)
            least = min(option_.least_strips, ground_of.strips)
            for strips in range(least, ground_of.strips + 1):
                for first in range(ground_of.strips - strips + 1):
                    if free[first : first + strips].all():
                        found.append(Piece(bed, first, number, strips))
    return found


def clash(tiny: Problem, one: Piece, other: Piece) -> bool:
    """Whether two pieces cannot both stand: the same strips at one time, or a family too soon."""
    if one.bed != other.bed:
        return False
    if one.first_strip >= other.first_strip + other.strips:
        return False
    if other.first_strip >= one.first_strip + one.strips:
        return False
    a, b = tiny.options[one.option], tiny.options[other.option]
    rest_a = a.rest if a.family >= 0 and a.family == b.family else 0
    rest_b = b.rest if b.family >= 0 and a.family == b.family else 0
    return a.start < b.end + rest_b and b.start < a.end + rest_a


def within_limits(tiny: Problem, pieces: list[Piece]) -> bool:
    """Bench, compost and water hold; hours may be overrun at a price."""
    bench, water = np.zeros(tiny.weeks), np.zeros(tiny.weeks)
    compost = 0.0
    for piece in pieces:
        area = piece.strips * tiny.beds[piece.bed].strip_m2
        compost += tiny.options[piece.option].compost * area
        for first, after, m2 in tiny.options[piece.option].bench:
            bench[max(first, 0) : max(after, 0)] += m2 * area
        for week, litres in tiny.options[piece.option].water:
            water[week] += litres * area
    if tiny.water is not None and tiny.water.lack(water) > tiny.water.lack(0.0 * water) + 1e-6:
        return False
    return bool((bench <= np.array(tiny.bench) + 1e-9).all()) and compost <= tiny.compost + 1e-9


def layouts(tiny: Problem) -> Iterator[list[Piece]]:
    """Every set of pieces that can stand together within the limits."""
    candidates = all_pieces(tiny)
    bars = {
        frozenset((i, j))
        for i, j in combinations(range(len(candidates)), 2)
        if clash(tiny, candidates[i], candidates[j])
    }

    def grow(first: int, chosen: list[int]) -> Iterator[list[Piece]]:
        pieces = [candidates[i] for i in chosen]
        if not within_limits(tiny, pieces):
            return
        yield pieces
        for i in range(first, len(candidates)):
            if all(frozenset((i, j)) not in bars for j in chosen):
                yield from grow(i + 1, [*chosen, i])

    yield from grow(0, [])


def optimum(tiny: Problem, most: int = 4000) -> tuple[float, list[Piece]] | None:
    """The least cost by trying everything, first among equals; None where that is too many."""
    judge = Judge(tiny)
    seen: dict[tuple[tuple[int, int, int], ...], float] = {}
    best: tuple[float, list[Piece]] | None = None
    for count, pieces in enumerate(layouts(tiny)):
        if count > 40 * most:
            return None
        # where a piece stands within its bed changes nothing of what it is worth
        kind = tuple(sorted((p.bed, p.option, p.strips) for p in pieces))
        if kind not in seen:
            if len(seen) >= most:
                return None
            seen[kind] = judge.cost(pieces)
        if best is None or seen[kind] < best[0] - 1e-9:
            best = (seen[kind], pieces)
    return best
