from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.catalogue.crossing import crosses
from perennate.catalogue.isolation import barrier, reach_m
from perennate.planning.true_to_type import (
    Foreign,
    Stand,
    expected_off_types,
    foreign_of,
    meetings,
)

CARROT = Stand("own", "carrot", 0, 0, plants=40, bloom=(180, 210), bloom_sd=5)


def beside(kind, metres, **more):
    return Stand(f"{kind} {metres}", kind, metres, 0, **{"bloom": (180, 210), **more})


def keys(found):
    return [(one.first.key, one.second.key) for one in found]


def test_what_crosses_within_reach_and_blooms_together_meets():
    wild, far = beside("wild_carrot", 300), beside("wild_carrot", 5000)
    late, other = beside("carrot", 10, bloom=(280, 300)), beside("parsnip", 10)
    (found,) = meetings([CARROT, far, late, other, wild])
    assert (found.first.key, found.second.key) == ("own", "wild_carrot 300")
    assert found.distance_m == 300
    # the same days, but the own bloom may come some days early or late
    assert found.overlap[0] == pytest.approx(found.overlap[1])
    assert 0.8 < found.overlap[0] < 1.0
    assert found.crossing.verdict == "yes"


def test_a_bloom_that_is_not_known_may_fall_at_any_time():
    (found,) = meetings([CARROT, beside("wild_carrot", 300, bloom=None)])
    assert not found.bloom_known
    assert found.overlap == (1.0, 1.0)


def test_a_kind_of_unknown_kindred_meets_and_leaves_off_types_unknown():
    onion = Stand("onions", "onion_bulb", 0, 0, plants=30, bloom=(180, 210))
    found = meetings([onion, beside("garlic", 20)])
    assert [one.crossing.verdict for one in found] == ["unknown"]
    assert expected_off_types("onion_bulb", 30, foreign_of(onion, found)) is None
    assert expected_off_types("garlic", 30, []) is None


def test_off_types_of_all_stands_add_up_and_a_cage_keeps_them_out():
    near, farther = beside("wild_carrot", 30, plants=40), beside("wild_carrot", 60, plants=40)

    def share(*stands, closed=None):
        found = meetings([CARROT, *stands])
        return expected_off_types("carrot", 40, foreign_of(CARROT, found), closed)

    one, both = share(near), share(near, farther)
    assert 0 < one.low < one.value < one.high < 1
    assert one.value < both.value
    assert share().high == 0
    caged = share(near, farther, closed=barrier("cage", "insect"))
    assert caged.value == 0 < caged.high < both.high


def test_wild_plants_do_not_shed_onto_each_other_in_the_sum():
    one, other = beside("wild_carrot", 30), beside("wild_carrot", 60)
    found = meetings([CARROT, one, other])
    assert len(found) == 3
    assert [foreign.distance_m for foreign in foreign_of(CARROT, found)] == [30, 60]


def test_no_stands_do_not_meet():
    assert meetings([]) == ()
    assert meetings([CARROT]) == ()


def test_a_kind_that_is_not_there_is_no_kind():
    with pytest.raises(KeyError):
        meetings([CARROT, beside("moon_cheese", 5)])


KINDS = ["carrot", "wild_carrot", "parsnip", "beet", "chard", "garlic", "leek", "pea_dry"]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 1000), st.integers(0, 25))
def test_meetings_are_those_that_asking_every_two_finds(seed, count):
    rng = np.random.default_rng(seed)
    stands = []
    for number in range(count):
        first = float(rng.integers(150, 250))
        bloom = None if rng.random() < 0.2 else (first, first + float(rng.integers(5, 40)))
        x, y = rng.uniform(-1500, 1500, 2).tolist()
        stands.append(Stand(f"s{number}", str(rng.choice(KINDS)), x, y, None, bloom))
    expected = [
        (one.key, other.key)
        for one, other in combinations(stands, 2)
        if crosses(one.kind, other.kind).verdict != "no"
        and np.hypot(one.x_m - other.x_m, one.y_m - other.y_m)
        <= max(reach_m(one.kind), reach_m(other.kind))
        and (
            one.bloom is None
            or other.bloom is None
            or min(one.bloom[1], other.bloom[1]) >= max(one.bloom[0], other.bloom[0])
        )
    ]
    found = meetings(stands)
    assert keys(found) == expected
    assert found == meetings(stands)


@given(st.floats(0, 3000), st.floats(0, 3000), st.floats(0, 1), st.integers(1, 500))
def test_farther_or_less_overlap_never_brings_more(one, other, overlap, plants):
    near, far = sorted((one, other))
    pair = crosses("carrot", "wild_carrot")
    at_near, at_far, apart = (
        expected_off_types("carrot", 40, [Foreign(*of)])
        for of in (
            (near, pair, plants, 1.0),
            (far, pair, plants, 1.0),
            (near, pair, plants, overlap),
        )
    )
    for end in ("low", "value", "high"):
        assert getattr(at_far, end) <= getattr(at_near, end) + 1e-12
        assert getattr(apart, end) <= getattr(at_near, end) + 1e-12
