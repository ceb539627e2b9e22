import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.science.isolation_pairs import pairs_within_reach


def all_pairs(x, y, reach, first, last, kind, crossing):
    return [
        (one, other)
        for one in range(len(x))
        for other in range(one + 1, len(x))
        if crossing[kind[one]][kind[other]]
        and min(last[one], last[other]) >= max(first[one], first[other])
        and np.hypot(x[one] - x[other], y[one] - y[other]) <= max(reach[one], reach[other])
    ]


def listed(pairs):
    return list(zip(pairs.first.tolist(), pairs.second.tolist(), strict=True))


KINDS = 5


@st.composite
def stands(draw):
    count = draw(st.integers(0, 30))
    seed = draw(st.integers(0, 10_000))
    rng = np.random.default_rng(seed)
    step = draw(st.sampled_from([1.0, 7.5]))
    # places on a grid, so that distances equal to a reach come up
    x, y = np.round(rng.uniform(0, 100, (2, count)) / step) * step
    reach = rng.choice([0.0, 7.5, 30.0, 45.0], count)
    first = rng.integers(1, 300, count)
    last = first + rng.integers(0, 60, count)
    half = rng.random((KINDS, KINDS)) < 0.4
    return x, y, reach, first, last, rng.integers(0, KINDS, count), half | half.T


@settings(max_examples=150, deadline=None)
@given(stands())
def test_the_index_finds_what_asking_every_pair_finds(given_stands):
    assert listed(pairs_within_reach(*given_stands)) == all_pairs(*given_stands)


@settings(max_examples=30, deadline=None)
@given(stands(), st.integers(0, 1000))
def test_the_order_of_the_stands_does_not_matter(given_stands, seed):
    x, y, reach, first, last, kind, crossing = given_stands
    order = np.random.default_rng(seed).permutation(len(x))
    mixed = pairs_within_reach(
        x[order], y[order], reach[order], first[order], last[order], kind[order], crossing
    )
    back = sorted(tuple(sorted((order[a], order[b]))) for a, b in listed(mixed))
    assert back == listed(pairs_within_reach(*given_stands))


def test_distance_and_days_together_are_told():
    found = pairs_within_reach([0, 3, 500], [0, 4, 0], 10, [100, 105, 100], [110, 120, 110])
    assert listed(found) == [(0, 1)]
    assert len(found) == 1
    assert found.distance_m.tolist() == [5.0]
    assert found.days_together.tolist() == [6.0]


def test_the_greater_reach_of_two_counts():
    days = ([1, 1], [9, 9])
    assert len(pairs_within_reach([0, 50], [0, 0], [10, 60], *days)) == 1
    assert len(pairs_within_reach([0, 50], [0, 0], [10, 40], *days)) == 0


def test_kinds_that_do_not_cross_are_left_out():
    crossing = [[True, False], [False, True]]
    found = pairs_within_reach([0, 1, 2], [0, 0, 0], 10, 1, 9, [0, 1, 0], crossing)
    assert listed(found) == [(0, 2)]


def test_no_stands_are_no_pairs():
    assert len(pairs_within_reach([], [], [], [], [])) == 0
    assert len(pairs_within_reach([], [], [], [], [], [], [[True]])) == 0


@pytest.mark.parametrize(
    ("stands", "words"),
    [
        (([np.nan], [0], 1, 1, 2), "no number"),
        (([0], [0], -1, 1, 2), "reach of -1"),
        (([0], [0], 1, 5, 2), "ends before"),
        (([0, 1], [0, 0], 1, 1, 2, [0]), "1 kinds for 2 stands"),
        (([0, 1], [0, 0], 1, 1, 2, [0, 1], [[True]]), "a matrix of"),
        (([0, 1], [0, 0], 1, 1, 2, [0, 1], [[True, True], [False, True]]), "not symmetric"),
        (([0], [0], 1, 1, 2, [-1], [[True]]), "below 0"),
    ],
)
def test_what_cannot_be_is_refused(stands, words):
    with pytest.raises(ValueError, match=words):
        pairs_within_reach(*stands)
