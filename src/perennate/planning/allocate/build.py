"""A first whole plan: bed by bed the relaxation is rounded, placed, and solved again for what
ground is left; then gaps are filled by price."""

from collections import defaultdict
from dataclasses import replace

import numpy as np

from perennate.planning.allocate.ground import Ground
from perennate.planning.allocate.judge import Judge
from perennate.planning.allocate.plant_bed import Wish, plant_bed
from perennate.planning.allocate.problem import Good, Piece, Problem, Rest
from perennate.planning.allocate.relax import Relaxed, relax
from perennate.planning.allocate.scarce import Scarce


def promising(problem: Problem, relaxed: Relaxed, per_group: int, per_good: int) -> list[int]:
    """Options that the relaxation takes, or prices lowest, with every good represented."""
    chosen: set[int] = set()
    for group in range(problem.groups):
        members = np.flatnonzero(relaxed.group == group)
        order = members[np.argsort(np.round(relaxed.reduced_cost[members], 7), kind="stable")]
        chosen.update(int(relaxed.option[k]) for k in order if relaxed.area[k] > 1e-6)
        chosen.update(int(relaxed.option[k]) for k in order[:per_group])
        seen: dict[int, int] = defaultdict(int)
        for k in order:
            option = int(relaxed.option[k])
            good = problem.options[option].good
            if seen[good] < per_good:
                seen[good] += 1
                chosen.add(option)
    return sorted(chosen)


def residual(
    problem: Problem, judge: Judge, ground: Ground, offered: list[int], open_beds: list[int]
) -> Problem:
    """What is left to decide: the same aims, each open bed a group of its own, the rest given.

    Its option k is `offered[k]` of the whole problem, its group k is `open_beds[k]`.
    """
    harvest = judge.harvest(ground.pieces)
    goods = tuple(_with_ready(good, harvest[index]) for index, good in enumerate(problem.goods))
    minutes = np.array(problem.minutes)
    for piece in ground.pieces:
        minutes = minutes - judge.tables.minutes[piece.option] * judge.area(piece)
    scarce = Scarce(problem, judge, ground.pieces)
    water = problem.water
    beds, rests = [], []
    families = sorted({problem.options[index].family for index in offered} - {-1})
    for number, bed in enumerate(open_beds):
        held = tuple(ground.held_boxes(bed))
        beds.append(replace(problem.beds[bed], group=number, taken=held))
        for family in families:
            rests += [
                Rest(number, family, first, strips, start, end)
                for first, strips, start, end in ground.held_boxes(bed, family)
            ]
    options = []
    for index in offered:
        option = problem.options[index]
        fitness = []
        for bed in open_beds:
            fit = option.fitness[problem.beds[bed].group] if bed not in option.refused else 0.0
            if fit > 0:
                room = max((length for _, length in ground.runs(bed, option)), default=0)
                fit = fit if room >= min(option.least_strips, problem.beds[bed].strips) else 0.0
            fitness.append(fit)
        options.append(replace(option, fitness=tuple(fitness), refused=frozenset()))
    return replace(
        problem,
        beds=tuple(beds),
        rests=tuple(rests),
        options=tuple(options),
        goods=goods,
        bench=tuple(np.maximum(scarce.left[:-1], 0.0).tolist()),
        minutes=tuple(np.maximum(minutes, 0.0).tolist()),
        compost=max(float(scarce.left[-1]), 0.0),
        water=None if water is None else water.with_spoken_for(scarce.drawn),
        groups=len(beds),
    )


def _with_ready(good: Good, harvest: np.ndarray) -> Good:
    weeks = np.flatnonzero(harvest)
    added = tuple((int(week), float(harvest[week])) for week in weeks)
    return replace(good, ready=(*good.ready, *added))


def place_by_group(
    problem: Problem, judge: Judge, relaxed: Relaxed, ground: Ground, keep: float = 0.5
) -> float:
    """Round the grouped relaxation and lay it out in order of time over each group's beds.

    In order of their starts, intervals use no more strips than stand at once; what finds no bed
    whole is split over several, never under its least size. Returns what the rounded plantings
    would cost if each found its bed.
    """
    options = problem.options
    strip = {g: problem.beds[problem.group_beds(g)[0]].strip_m2 for g in set(relaxed.group)}
    takes = [
        (int(g), int(o), float(area) / strip[g])
        for o, g, area in zip(relaxed.option, relaxed.group, relaxed.area, strict=True)
        if area > 1e-6
    ]
    wanted = sorted(
        rounded(problem, _gathered(problem, takes), keep),
        key=lambda w: (options[w[1]].start, -options[w[1]].end, -w[2], w),
    )
    first = {group: problem.group_beds(group)[0] for group in strip}
    unplaced = [Piece(first[group], 0, option, strips) for group, option, strips in wanted]
    cost = judge.cost([*ground.pieces, *unplaced])
    scarce = Scarce(problem, judge, ground.pieces)
    for group, option, strips in wanted:
        beds = problem.group_beds(group)
        while strips >= options[option].least_strips:
            piece = _whole_or_largest(ground, option, strips, beds)
            if piece is None or not scarce.admits(piece):
                break
            scarce.take(piece)
            ground.add(piece)
            strips -= piece.strips
    return cost


def _whole_or_largest(ground: Ground, option: int, strips: int, beds: list[int]) -> Piece | None:
    """The closest fit for the whole, else for the largest part that any bed can take."""
    least = ground.problem.options[option].least_strips
    longest = max(ground.problem.beds[bed].strips for bed in beds)
    for size in range(min(strips, longest), least - 1, -1):
        piece = ground.best_place(option, size, beds)
        if piece is not None:
            return piece
    return None


def _gathered(
    problem: Problem, takes: list[tuple[int, int, float]]
) -> list[tuple[int, int, float]]:
    """Takes too small for a piece in their group moved to the group that has most of the good."""
    sums: dict[tuple[int, int], float] = defaultdict(float)
    for group, option, strips in takes:
        sums[problem.options[option].good, group] += strips
    largest: dict[int, int] = {}
    for good, group in sorted(sums, key=lambda key: (-round(sums[key], 4), key)):
        largest.setdefault(good, group)
    found = []
    for group, option, strips in takes:
        chosen = problem.options[option]
        home = largest[chosen.good]
        small = sums[chosen.good, group] < chosen.least_strips
        found.append((home if small and chosen.fitness[home] > 0 else group, option, strips))
    return found


def rounded(
    problem: Problem, takes: list[tuple[int, int, float]], keep: float
) -> list[tuple[int, int, int]]:
    """(group, option, whole strips) that add up, good by good, to the fractions taken.

    Small takes of neighbouring weeks are carried forward until they make a least piece; a last
    remainder counts when it is at least `keep` of one.
    """
    share: dict[tuple[int, int], list[tuple[int, int, float]]] = defaultdict(list)
    for group, option, strips in takes:
        chosen = problem.options[option]
        share[group, chosen.good].append((chosen.start, option, round(strips, 4)))
    pieces = []
    for (group, _), entries in sorted(share.items()):
        carried, last, biggest = 0.0, -1, 0.0
        for _, option, strips in sorted(entries):
            carried += strips
            if strips > biggest or last < 0:
                last, biggest = option, strips
            if carried >= problem.options[last].least_strips - 1e-6:
                whole = int(carried + 1e-6)
                pieces.append((group, last, whole))
                carried -= whole
                last, biggest = -1, 0.0
        if last >= 0 and carried >= keep * problem.options[last].least_strips:
            pieces.append((group, last, problem.options[last].least_strips))
    return pieces


def replant(
    problem: Problem,
    judge: Judge,
    ground: Ground,
    offered: list[int],
    beds: list[int],
    effort: float,
) -> float:
    """Solve the relaxation of these beds, each by itself, and lay them out for good.

    Returns the relaxation's cost, which no layout of these beds can undercut.
    """
    left = residual(problem, judge, ground, offered, beds)
    answer = relax(left)
    takes: dict[tuple[int, int], list[tuple[float, int, int]]] = defaultdict(list)
    for option, number, area in zip(answer.option, answer.group, answer.area, strict=True):
        if area > 1e-6:
            bed, whole = beds[number], offered[option]
            group = problem.beds[bed].group
            strips = float(area) / problem.beds[bed].strip_m2
            takes[group, problem.options[whole].good].append((round(strips, 4), bed, whole))
    wishes: dict[int, list[Wish]] = defaultdict(list)
    for (group, _), members in sorted(takes.items()):
        sums = [(group, whole, strips) for strips, _, whole in members]
        for _, option, strips in rounded(problem, sums, 0.5):
            bed = max(
                ((s, b) for s, b, whole in members if whole == option),
                default=max((s, b) for s, b, _ in members),
            )[1]
            worth = _worth(judge, answer, option, bed, problem)
            wishes[bed].append(Wish(option, float(strips), worth))
    scarce = Scarce(problem, judge, ground.pieces)
    for bed in beds:
        for piece in plant_bed(ground, bed, wishes[bed], effort):
            if scarce.admits(piece):
                scarce.take(piece)
                ground.add(piece)
    return answer.bound


def _worth(judge: Judge, answer: Relaxed, option: int, bed: int, problem: Problem) -> float:
    """What a strip brings at the relaxation's prices of the harvest, less its own cost."""
    chosen = problem.options[option]
    ground = problem.beds[bed]
    price = answer.harvest_price[chosen.good]
    gain = judge.tables.made[option] @ price * chosen.fitness[ground.group]
    return round(float((gain - judge.tables.cost[option]) * ground.strip_m2), 6)


def fill(
    problem: Problem,
    judge: Judge,
    ground: Ground,
    rounds: int,
    beds: list[int],
    least_gain: float = 1e-6,
    tries: int = 400,
) -> None:
    """Add the planting that gains most by today's prices until none gains, or `rounds` are up.

    In a round at most `tries` options are looked at, the dearest first. The size is tried by
    judging it, doubling from the least piece for as long as that gains.
    """
    if not problem.options:
        return
    current = judge.cost(ground.pieces)
    groups = sorted({problem.beds[bed].group for bed in beds})
    by_group = {g: [b for b in beds if problem.beds[b].group == g] for g in groups}
    made = np.array(judge.tables.made)
    good = np.array([option.good for option in problem.options])
    fitness = np.array([[option.fitness[g] for g in groups] for option in problem.options])
    least = np.array([option.least_strips for option in problem.options], float)
    failed = np.zeros(fitness.shape, bool)
    for _ in range(rounds):
        prices = judge.prices(ground.pieces)
        value = np.einsum("ow,ow->o", made, prices[good])
        gain = (value[:, None] * fitness - judge.tables.cost[:, None]) * least[:, None]
        gain = np.where(failed, -1.0, np.round(gain, 6))
        order = np.argsort(-gain, axis=None, kind="stable")
        added = False
        for place in order[:tries]:
            option, column = np.unravel_index(place, gain.shape)
            if gain[option, column] <= problem.prices.sowing:
                break
            piece = _largest_gain(
                problem,
                judge,
                ground,
                int(option),
                by_group[groups[column]],
                current - least_gain,
            )
            if piece is None:
                failed[option, column] = True
                continue
            ground.add(piece)
            current = judge.cost(ground.pieces)
            added = True
            break
        if not added:
            return


def _largest_gain(
    problem: Problem, judge: Judge, ground: Ground, option: int, beds: list[int], ceiling: float
) -> Piece | None:
    """The size (one, two, four ... least pieces) that brings the cost furthest under a ceiling."""
    least = problem.options[option].least_strips
    longest = max(problem.beds[bed].strips for bed in beds)
    piece = ground.best_place(option, least, beds)
    if piece is None:
        return None
    scarce = Scarce(problem, judge, ground.pieces)
    best: tuple[float, Piece] | None = None
    size = least
    while piece is not None and size <= longest:
        if not scarce.admits(piece):
            break
        cost = round(judge.cost([*ground.pieces, piece]), 6)
        if cost >= (best[0] if best else ceiling):
            break
        best = (cost, piece)
        size *= 2
        piece = ground.best_place(option, size, beds)
    return best[1] if best else None
