"""Where the water comes from, and when it runs out."""

from dataclasses import replace

import numpy as np
import pytest
import wet
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.holding.model import Bed, WaterSource
from perennate.planning.water.sources import give, in_order, source_of_beds
from perennate.planning.water.stands import LEAD_DAYS

BUTT = WaterSource("butt", "roof", tank_l=500.0, roof_m2=20.0, roof_kind="metal", level_l=500.0)
WELL = WaterSource("well", "well", per_week_l=100.0)
TAP = WaterSource("tap", "mains")
TWO = (Bed("a", 4.0, 1.0, soil="loam"), Bed("b", 4.0, 1.0, soil="loam", source="tap"))


def weeks_of(*litres: float) -> np.ndarray:
    return np.array([litres])


def dry_days(weeks: int) -> np.ndarray:
    return np.zeros((1, LEAD_DAYS + 7 * weeks))


def test_beds_that_name_no_source_are_fed_by_rain_first() -> None:
    of = wet.holding(TWO, (TAP, WELL, BUTT, WaterSource("bath", "grey")))
    assert [source.key for source in in_order(of)] == ["butt", "well", "tap"]
    assert source_of_beds(of) == {"a": "butt", "b": "tap"}
    assert source_of_beds(wet.holding(TWO)) == {"a": "", "b": ""}


def test_a_full_tank_without_rain_serves_what_it_holds() -> None:
    given_ = give(BUTT, weeks_of(200.0, 200.0, 200.0), dry_days(3))
    assert given_.drawn.tolist() == [[200.0, 200.0, 100.0]]
    assert given_.level is not None
    assert given_.level.tolist() == [[300.0, 100.0, 0.0]]


def test_rain_fills_the_tank_to_its_brim_and_no_more() -> None:
    rain = dry_days(3)
    rain[0, LEAD_DAYS] = 100.0  # 1840 l from the roof
    given_ = give(replace(BUTT, level_l=0.0), weeks_of(400.0, 400.0, 0.0), rain)
    assert given_.drawn.tolist() == [[400.0, 100.0, 0.0]]


def test_a_tank_of_unknown_level_is_half_full_before_the_weeks_that_lead_up_to_the_plan() -> None:
    unknown = replace(BUTT, level_l=None)
    assert give(unknown, weeks_of(500.0), dry_days(1)).drawn.tolist() == [[250.0]]
    wet_lead = dry_days(1)
    wet_lead[0, :LEAD_DAYS] = 5.0
    assert give(unknown, weeks_of(500.0), wet_lead).drawn.tolist() == [[500.0]]


def test_rain_that_nothing_holds_can_be_drawn_only_when_it_falls() -> None:
    rain = dry_days(2)
    rain[0, LEAD_DAYS] = 5.0
    given_ = give(replace(BUTT, tank_l=None, level_l=None), weeks_of(50.0, 50.0), rain)
    assert given_.drawn.tolist() == [[50.0, 0.0]]


def test_a_source_gives_no_more_in_a_week_or_a_season_than_it_may() -> None:
    assert give(WELL, weeks_of(60.0, 150.0), dry_days(2)).drawn.tolist() == [[60.0, 100.0]]
    season = replace(TAP, per_season_l=150.0)
    assert give(season, weeks_of(100.0, 100.0), dry_days(2)).drawn.tolist() == [[100.0, 50.0]]
    held = replace(BUTT, per_season_l=150.0)
    assert give(held, weeks_of(100.0, 100.0), dry_days(2)).drawn.tolist() == [[100.0, 50.0]]


def test_what_the_tank_lacks_is_asked_of_the_next_source_and_of_no_other() -> None:
    grown = (wet.planting("cabbage"), wet.planting("cabbage", "b", key="two"))
    found = wet.water(of=wet.holding(TWO, (TAP, WELL, BUTT)), plantings=grown)
    butt, well, tap = (
        next(one for one in found.sources if one.source == key) for key in ("butt", "well", "tap")
    )
    assert sum(butt.drawn_l) > 0
    assert sum(well.drawn_l) > 0
    assert (butt.served, well.served) == (1.0, 1.0), "what they pass on is not theirs to lack"
    litres = {row.planting: row.watering_l.value for row in found.plantings}
    whole = sum(sum(one.drawn_l) for one in (butt, well, tap))
    assert whole == pytest.approx(sum(litres.values()), rel=0.01)
    assert sum(tap.drawn_l) >= 0.99 * litres["two"]


def test_the_last_source_is_left_with_what_is_lacking() -> None:
    found = wet.water(of=wet.holding(TWO[:1], (BUTT, replace(WELL, per_week_l=5.0))))
    butt, well = found.sources
    assert (butt.served, butt.years_without_lack) == (1.0, 1.0)
    assert well.served < 0.9
    assert well.years_without_lack == 0.0


def test_the_tank_that_would_do_is_told_and_does() -> None:
    weather, small_butt = wet.climate(14.0), replace(BUTT, roof_m2=40.0, tank_l=60.0, level_l=None)
    of = wet.holding(TWO[:1], (small_butt,))
    (short,) = wet.water(weather=weather, of=of).sources
    assert short.served < 0.95
    assert short.enough_tank_l is not None
    assert short.enough_tank_l > 60.0
    larger = replace(small_butt, tank_l=1.1 * short.enough_tank_l)
    (served,) = wet.water(weather=weather, of=wet.holding(TWO[:1], (larger,))).sources
    assert served.served >= 0.94
    tiny_roof = replace(small_butt, roof_m2=1.0)
    (none,) = wet.water(weather=weather, of=wet.holding(TWO[:1], (tiny_roof,))).sources
    assert none.enough_tank_l is None, "no tank holds rain that never fell on the roof"


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(0, 300).map(float), min_size=4, max_size=4),
    st.lists(st.integers(0, 30).map(float), min_size=4, max_size=4),
    st.sampled_from([100.0, 500.0]),
    st.sampled_from([None, 40.0]),
)
def test_what_a_tank_gives_never_exceeds_what_came_into_it(
    asked: list[float], rain_mm: list[float], tank: float, season: float | None
) -> None:
    rain = dry_days(4)
    rain[0, LEAD_DAYS::7] = rain_mm
    source = replace(BUTT, tank_l=tank, level_l=tank / 2, per_season_l=season)
    given_ = give(source, weeks_of(*asked), rain)
    came = tank / 2 + np.cumsum(np.array(rain_mm) * 20 * 0.92)
    assert (np.cumsum(given_.drawn[0]) <= came + 1e-6).all()
    assert (given_.drawn[0] <= np.array(asked) + 1e-9).all()
    assert given_.level is not None
    assert ((given_.level >= 0) & (given_.level <= tank)).all()
