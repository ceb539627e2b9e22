from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.catalogue.seed_life import seed_life
from perennate.learning.lot_life import DatedTest, Kept, LotLife, lot_life
from perennate.science.seed_life import deviate
from perennate.science.viability_fit import Prior

SURE = Prior(ki=1.6449, ki_spread=0.001, log_pace_spread=0.001)
"""A lot of 95 % that is just as its species."""

PLACES = st.lists(
    st.builds(Kept, st.floats(0, 2000), st.floats(1, 35), st.floats(15, 65)), min_size=1, max_size=4
)


def at(moisture: float, temperature: float, days: float = 365.0) -> Kept:
    return Kept(days, temperature, None, moisture, True)


@pytest.mark.parametrize(
    ("plant", "start", "place", "shares"),
    [
        # Germination after 1, 2, 3, 5 and 10 years of 365 days, reckoned from the published
        # constants by hand; sigma 741.4, 9712.8, 428.1, 2487.1, 984.7 and 655.0 days.
        ("onion_bulb", 0.90, at(8, 20), (0.785, 0.617, 0.423, 0.119, 0.0)),
        ("onion_bulb", 0.90, at(6.5, 4), (0.893, 0.886, 0.879, 0.863, 0.817)),
        ("lettuce_leaf", 0.95, at(6.5, 20), (0.786, 0.476, 0.181, 0.004, 0.0)),
        ("pea_dry", 0.95, at(11, 20), (0.933, 0.912, 0.886, 0.819, 0.570)),
        ("tomato", 0.92, at(7, 20), (0.850, 0.747, 0.615, 0.327, 0.011)),
        ("wheat_winter", 0.97, at(12, 15), (0.907, 0.778, 0.583, 0.183, 0.0)),
    ],
)
def test_a_lot_that_is_as_its_species_follows_the_equation(plant, start, place, shares):
    prior = replace(SURE, ki=float(deviate(start)))
    lot = lot_life(seed_life(plant), [place], (), prior)
    found = [lot.share_on(365.0 * years)[0] for years in (1, 2, 3, 5, 10)]
    assert found == pytest.approx(shares, abs=0.0011)


def test_each_place_takes_its_part_and_the_last_goes_on():
    room, cold = at(8, 20, 730), at(8, 4, 365)
    lot = lot_life(seed_life("onion_bulb"), [room, cold], (), SURE)
    in_room, in_cold = lot.sigmas
    assert lot.lost_by(300) == pytest.approx(300 / in_room)
    assert lot.lost_by(730) == pytest.approx(730 / in_room)
    assert lot.lost_by(3000) == pytest.approx(730 / in_room + 2270 / in_cold)


def test_open_seed_takes_the_moisture_of_the_air_and_keeps_it_when_shut_in():
    places = [Kept(365, 20, 50), Kept(365, 4, None, None, True)]
    lot = lot_life(seed_life("tomato"), places)
    assert lot.stays[0].moisture == pytest.approx(9.12, abs=0.01)
    assert lot.stays[1].moisture == lot.stays[0].moisture


def test_a_lot_that_tests_badly_is_taken_to_die_faster_than_its_species():
    places = [Kept(730, 20, 40)]
    untested = lot_life(seed_life("bean_dry"), places)
    bad = lot_life(seed_life("bean_dry"), places, [DatedTest(0, 97, 100), DatedTest(730, 60, 100)])
    good = lot_life(seed_life("bean_dry"), places, [DatedTest(0, 97, 100), DatedTest(730, 96, 100)])
    assert bad.fit.pace > untested.fit.pace > good.fit.pace
    assert bad.day_of(0.5) < untested.day_of(0.5) < good.day_of(0.5)
    assert bad.share_on(730)[0] == pytest.approx(0.60, abs=0.05)


def test_a_sowing_is_reckoned_with_the_doubt_about_the_lot():
    places = [Kept(730, 20, 40)]
    tests = [DatedTest(0, 97, 100), DatedTest(730, 85, 100)]
    lot = lot_life(seed_life("bean_dry"), places, tests)
    now, later = lot.rate_on(730), lot.rate_on(2000)
    assert now.mean == pytest.approx(lot.share_on(730)[0], abs=0.02)
    assert now.quantile(0.1) == pytest.approx(lot.share_on(730)[1], abs=0.02)
    assert later.mean < now.mean
    assert later.strength < now.strength


def test_what_had_to_be_assumed_is_told():
    def codes(lot: LotLife) -> list[str]:
        return [said.code for said in lot.told]

    cabbage = seed_life("cabbage")
    assert codes(lot_life(cabbage, [Kept(365, 4, 40)])) == ["lot_life.oily"]
    assert codes(lot_life(cabbage, [Kept(365, 4, 40, None, True)])) == ["lot_life.shut_in"]
    dry = lot_life(cabbage, [at(3, 4)])
    assert codes(dry) == ["lot_life.too_dry"]
    assert dry.stays[0].moisture == 5.0
    listed = lot_life(seed_life("carrot"), [Kept(365, 20, 50)], listed_years=3)
    assert codes(listed) == ["lot_life.listed"]
    assert listed.lost_by(3 * 365) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("plant", "places", "says"),
    [
        ("tomato", [], "one place at least"),
        ("Quercus robur", [Kept(1, 20, 50)], "this is recalcitrant"),
        ("Carica papaya", [Kept(1, 20, 50)], "this is intermediate"),
        ("garlic", [Kept(1, 20, 50)], "this is unknown"),
        ("carrot", [Kept(1, 20, 50)], "no constants of this plant or a relative"),
        ("tomato", [Kept(1, 20)], "its humidity"),
        ("tomato", [Kept(1, -5, 50)], "frozen only when shut in"),
        ("tomato", [Kept(1, 4, None, None, True)], "the humidity it was dried in"),
        ("pea_dry", [at(15, -18)], "ice would kill it"),
        ("tomato", [Kept(-1, 20, 50)], "not shorter than 0 days"),
        ("tomato", [Kept(1, 20, 85)], "humidity lies from 10 to 70 %"),
    ],
)
def test_it_refuses_to_go_beyond_what_is_known(plant, places, says):
    with pytest.raises(ValueError, match=says):
        lot_life(seed_life(plant), places)


@given(PLACES, st.floats(0, 6000), st.floats(0, 3000))
def test_the_modelled_share_never_rises_in_store(places, day, more):
    lot = lot_life(seed_life("onion_bulb"), places, [DatedTest(200, 40, 50)])
    before, after = lot.share_on(day), lot.share_on(day + more)
    assert all(late <= early + 1e-12 for early, late in zip(before, after, strict=True))
    for middle, low, high in (before, after):
        assert 0 <= low <= middle <= high <= 1


@given(PLACES, st.floats(0.1, 0.9), st.sampled_from([0.1, 0.5, 0.9]))
def test_on_the_day_of_a_share_the_lot_is_there(places, share, quantile):
    lot = lot_life(seed_life("onion_bulb"), places)
    day = lot.day_of(share, quantile)
    reached = lot.fit.lost_until(share, quantile)
    assert lot.lost_by(day) == pytest.approx(reached, rel=1e-9, abs=1e-9)


@given(st.floats(1, 35), st.floats(0, 15), st.floats(20, 65), st.floats(0, 20), st.floats(30, 4000))
def test_dry_and_cool_and_sealed_never_shortens(warmth, cooler, air, drier, days):
    onion = seed_life("onion_bulb")

    def left(temperature: float, humidity: float) -> float:
        place = Kept(days, max(0.0, temperature), max(15.0, humidity), None, True)
        return lot_life(onion, [place], (), SURE).share_on(days)[0]

    assert left(warmth - cooler, air) >= left(warmth, air) - 1e-12
    assert left(warmth, air - drier) >= left(warmth, air) - 1e-12
