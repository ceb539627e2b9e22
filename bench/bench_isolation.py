"""How long the isolation check of a holding and its neighbours takes, beside all pairs in a loop.

Two thousand stands of the catalogue's kinds with bloom windows, on a holding and as far round it
as pollen is carried; the plain loop asks every pair. Both must find the same pairs.
"""

import time
from collections.abc import Callable, Iterator
from typing import Any, TypeVar

import numpy as np

from perennate.catalogue.crossing import crossing_kinds, crossing_matrix, crossing_tables
from perennate.catalogue.isolation import reach_m
from perennate.science.isolation_pairs import pairs_within_reach

STANDS = 2000
SQUARE_M = 3000.0
OWN_SHARE = 0.4
OWN_SQUARE_M = 150.0
OUR_RUNS = 5

Result = TypeVar("Result")
Found = list[tuple[int, int]]
Array = np.ndarray[Any, Any]


def reports() -> Iterator[tuple[str, float, float, str]]:
    """Name, seconds of ours, the loop's seconds over ours, and a sentence."""
    every = list(crossing_tables().kinds)
    yield _report("of all kinds", every)
    yield _report("all of one kindred", [kind.key for kind in crossing_kinds("cabbage")])


def _report(of: str, keys: list[str]) -> tuple[str, float, float, str]:
    stands = _invented(keys)
    our_seconds, found = _timed(lambda: pairs_within_reach(*stands), OUR_RUNS)
    their_seconds, expected = _timed(lambda: _all_pairs(*stands), 1)
    ours = list(zip(found.first.tolist(), found.second.tolist(), strict=True))
    if ours != expected:
        raise AssertionError(f"{len(ours)} pairs found, {len(expected)} expected")
    statement = (
        f"{len(ours)} pairs within reach and in bloom together, the same in both: "
        f"{1000 * our_seconds:.0f} ms, all pairs in a loop {1000 * their_seconds:.0f} ms"
    )
    name = f"isolation of {STANDS} plantings and neighbours, {of}"
    return name, our_seconds, their_seconds / our_seconds, statement


def _timed(run: Callable[[], Result], runs: int) -> tuple[float, Result]:
    best = float("inf")
    for _ in range(runs):
        started = time.perf_counter()
        found = run()
        best = min(best, time.perf_counter() - started)
    return best, found


def _all_pairs(
    x: Array,
    y: Array,
    reach: Array,
    first: Array,
    last: Array,
    kind: Array,
    crossing: Array,
) -> Found:
    places = list(zip(x.tolist(), y.tolist(), strict=True))
    reaches, firsts, lasts = reach.tolist(), first.tolist(), last.tolist()
    kinds, cross = kind.tolist(), crossing.tolist()
    found = []
    for one in range(len(places)):
        for other in range(one + 1, len(places)):
            if not cross[kinds[one]][kinds[other]]:
                continue
            if min(lasts[one], lasts[other]) < max(firsts[one], firsts[other]):
                continue
            across = places[one][0] - places[other][0]
            along = places[one][1] - places[other][1]
            if np.hypot(across, along) <= max(reaches[one], reaches[other]):
                found.append((one, other))
    return found


def _invented(keys: list[str]) -> tuple[Array, Array, Array, Array, Array, Array, Array]:
    """Places [m], reach [m], first and last day of bloom, kinds, and which of them cross."""
    rng = np.random.default_rng(5)
    crossing = crossing_matrix(keys)
    kind = rng.integers(0, len(keys), STANDS)
    own = rng.random(STANDS) < OWN_SHARE
    place = rng.uniform(-0.5, 0.5, (2, STANDS)) * np.where(own, OWN_SQUARE_M, SQUARE_M)
    reach = np.array([reach_m(key) for key in keys])[kind]
    first = rng.integers(90, 240, STANDS)
    return place[0], place[1], reach, first, first + rng.integers(10, 60, STANDS), kind, crossing


def print_reports() -> None:
    for name, seconds, ratio, statement in reports():
        print(f"{name}: {seconds:.2f} s (aim: under 1), {ratio:.0f} times as fast ({statement})")


if __name__ == "__main__":
    print_reports()
