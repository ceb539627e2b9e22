"""What beds need, get and lose, and what one thing about a bed changes of it."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
import small
import wet
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.holding.model import Bed, WaterSource
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.completed import completed
from perennate.planning.water.keeping import water_kept
from perennate.planning.water.season_water import season_water
from perennate.planning.water_plan import same_water

CLAY = wet.bed(soil="clay")


def test_nothing_in_a_bed_needs_no_water() -> None:
    weeks = Weeks(wet.START, 20)
    assert season_water((), wet.holding(), small.shipped(), wet.DRY, weeks) is None


def test_what_beds_get_is_what_plantings_get() -> None:
    two = (wet.planting("cabbage"), wet.planting("lettuce_leaf", key="two", days=50))
    found = wet.water(plantings=two)
    by_bed = sum(
        mm * area
        for bed in found.beds
        for mm, area in zip(bed.watering_mm, bed.area_m2, strict=True)
    )
    by_planting = sum(row.watering_l.value for row in found.plantings)
    assert by_bed == pytest.approx(by_planting, rel=1e-3)
    assert found.total_l.value == pytest.approx(by_planting, rel=1e-3)


def test_plantings_of_one_bed_are_watered_on_the_same_occasions() -> None:
    two = (wet.planting("cabbage"), wet.planting("lettuce_leaf", key="two"))
    together = wet.water(plantings=two)
    apart = tuple(wet.water(plantings=(one,)) for one in two)
    occasions = sum(together.beds[0].occasions)
    assert occasions < sum(sum(one.beds[0].occasions) for one in apart)
    assert occasions >= max(sum(one.beds[0].occasions) for one in apart) - 1


def test_a_watered_crop_keeps_its_yield_and_one_on_rain_alone_loses_it() -> None:
    row = wet.one("cabbage")
    assert row.yield_left is not None
    assert row.yield_left_rain is not None
    assert row.yield_left > 0.97 > 0.9 > row.yield_left_rain
    rainy = wet.one("cabbage", wet.climate(45.0))
    assert rainy.watering_l.value < 0.25 * row.watering_l.value
    assert (rainy.yield_left_rain or 0) > 0.97


@pytest.mark.parametrize(
    "change",
    [
        {"mulch": "straw", "mulch_cm": 6.0},
        {"mulch": "sheet"},
        {"cover": "shade net"},
        {"sheltered": True},
        {"watering": "drip"},
    ],
)
def test_what_holds_water_saves_water(change: dict) -> None:
    plain = wet.one(of=wet.holding((wet.bed(),)))
    kept = wet.one(of=wet.holding((wet.bed(**change),)))
    assert kept.watering_l.value < 0.99 * plain.watering_l.value


def test_more_organic_matter_means_fewer_waterings() -> None:
    poor, rich = (
        wet.one(of=wet.holding((wet.bed(soil="sandy loam", organic_matter=percent),)))
        for percent in (1.0, 6.0)
    )
    assert rich.waterings < poor.waterings


def test_a_rain_cover_lets_no_rain_in() -> None:
    covered = wet.water(weather=wet.MOIST, of=wet.holding((wet.bed(cover="rain cover"),)))
    assert set(covered.beds[0].rain_mm) == {0.0}
    opened = wet.one(weather=wet.MOIST)
    assert covered.plantings[0].watering_l.value > opened.watering_l.value


def test_sparing_gives_less_than_full_and_none_only_settles_in() -> None:
    full, sparing, none = (
        wet.one(of=wet.holding(watering=way)) for way in ("full", "sparing", "none")
    )
    assert full.watering_l.value > sparing.watering_l.value > none.watering_l.value > 0
    assert full.yield_left is not None
    assert full.yield_left > (sparing.yield_left or 0) > (none.yield_left or 0)
    late = wet.water(of=wet.holding(watering="none")).beds[0].occasions[3:]
    assert sum(late) == 0.0


def test_watering_every_few_days_only_waters_on_those_days() -> None:
    found = wet.water(of=wet.holding(watering_every_days=7))
    assert max(found.beds[0].occasions) <= 1.0
    assert found.plantings[0].yield_left == pytest.approx(1.0, abs=0.1)


def test_wet_clay_over_a_pan_takes_the_air_from_roots_and_a_loam_does_not() -> None:
    rain = wet.climate(90.0, rain_every=2)
    low = wet.one(weather=rain, of=wet.holding((replace(CLAY, pan_cm=25.0),)))
    high = wet.one(weather=rain, of=wet.holding((wet.bed(loosened_cm=40.0),)))
    assert low.airless_years > 0.5
    assert high.airless_days < low.airless_days / 4
    assert wet.one("taro", rain, wet.holding((replace(CLAY, pan_cm=25.0),))).airless_days == 0


def test_a_wet_winter_on_clay_does_not_cry_wolf() -> None:
    cold = replace(small.weather(mean=5.0, swing=9.0), rain=np.full((4, 365), 2.5))
    sown = wet.planting("garlic", days=250, sown=date(2026, 10, 20))
    weeks = Weeks(date(2026, 10, 5), 40)
    found = season_water((sown,), wet.holding((CLAY,)), small.shipped(), cold, weeks)
    assert found is not None
    assert found.plantings[0].airless_years < 0.2


def test_what_stood_before_the_plan_is_not_counted_short_before_it() -> None:
    early = wet.planting("cabbage", days=150, sown=wet.START - timedelta(100))
    row = wet.water(plantings=(early,)).plantings[0]
    assert row.short_days < 5
    assert row.watering_l.value < wet.one("cabbage").watering_l.value


def test_a_plan_of_three_weeks_and_one_over_new_year_and_a_leap_day() -> None:
    for start in (date(2027, 12, 20), date(2028, 2, 14)):
        sown = wet.planting("cabbage", days=60, sown=start)
        found = season_water((sown,), wet.holding(), small.shipped(), wet.DRY, Weeks(start, 3))
        assert found is not None
        assert len(found.beds[0].held) == 3
        assert min(found.beds[0].area_m2) > 0


@settings(max_examples=15, deadline=None)
@given(
    st.sampled_from(["sand", "loam", "clay", "peat", "unknown"]),
    st.sampled_from(["cabbage", "rice_upland", "carrot", "cover_rye", "taro"]),
    st.sampled_from(["", "drip", "can"]),
    st.one_of(st.none(), st.floats(5.0, 80.0)),
    st.floats(0.0, 60.0),
)
def test_any_bed_any_crop_any_rain_comes_to_sound_figures(
    soil: str, crop: str, way: str, pan: float | None, rain: float
) -> None:
    ground = wet.bed(soil=soil, watering=way, pan_cm=pan)
    found = wet.water(crop, wet.climate(round(rain, 1)), wet.holding((ground,)))
    row, bed = found.plantings[0], found.beds[0]
    assert 0.0 <= (row.yield_left or 1.0) <= 1.0
    assert row.watering_l.low <= row.watering_l.value <= row.watering_l.high
    assert all(0.0 <= held <= 1.0 for held in (*bed.held, *bed.held_dry))
    assert all(low <= middle + 1e-9 for low, middle in zip(bed.held_dry, bed.held, strict=True))


def test_what_would_save_water_is_told_by_running_the_bed_with_it() -> None:
    weeks = Weeks(wet.START, 26)
    told = {
        kept.change: kept
        for kept in water_kept(
            "a", (wet.planting("cabbage"),), wet.holding(), small.shipped(), wet.DRY, weeks
        )
    }
    assert set(told) == {
        "as it is", "mulch", "organic matter", "loosened", "shade net", "shelter",
    }  # fmt: skip
    assert told["mulch"].litres < told["as it is"].litres
    assert told["shade net"].litres < told["shelter"].litres
    mulched = wet.holding((wet.bed(mulch="straw", mulch_cm=8.0),))
    again = water_kept("a", (wet.planting("cabbage"),), mulched, small.shipped(), wet.DRY, weeks)
    assert "mulch" not in {kept.change for kept in again}
    assert water_kept("z", (), mulched, small.shipped(), wet.DRY, weeks) == ()


@pytest.fixture(scope="module")
def planned():
    tap = WaterSource("tap", "mains", flow_l_min=10.0)
    beds = tuple(replace(b, source="tap", watering="hose") for b in small.holding().beds)
    of = small.holding(water_sources=(tap,), beds=beds)
    return of, small.plan(of)


def test_waterings_are_jobs_of_the_plan_with_litres_time_and_reason(planned) -> None:
    _, plan = planned
    jobs = [job for job in plan.jobs if job.kind == "water"]
    assert jobs
    by_bed = {bed.bed: bed for bed in plan.water.beds}
    for job in jobs:
        week = (job.latest - plan.start).days // 7
        bed = by_bed[job.place]
        assert job.quantity == pytest.approx(bed.watering_mm[week] * bed.area_m2[week], abs=0.1)
        given = dict(job.why.params)
        assert job.why.code == "job.water.run"
        assert given["minutes"] == pytest.approx(given["litres"] / 10.0, abs=0.06)
        assert job.minutes.value > 0
        assert [rule.code for rule in job.go] == ["go.water"]
    assert len({job.key for job in jobs}) == len(jobs)


def test_a_new_plan_of_the_same_holding_keeps_the_keys_of_its_waterings(planned) -> None:
    of, plan = planned
    again = small.plan(of, previous=plan)
    keys = {job.key for job in plan.jobs if job.kind == "water"}
    assert {job.key for job in again.jobs if job.kind == "water"} == keys


def test_water_is_among_the_needs(planned) -> None:
    _, plan = planned
    (need,) = [need for need in plan.needs if need.kind == "water"]
    assert need.item == "tap"
    assert need.amount == pytest.approx(plan.water.total_l.value, rel=0.01)
    assert need.to_get == 0.0


def test_what_does_not_change_is_not_made_anew(planned) -> None:
    of, plan = planned
    weeks = Weeks(plan.start, plan.weeks, plan.as_of)
    again = completed(plan, of, small.shipped(), small.weather(), weeks, None, plan.jobs)
    assert again.water == plan.water
    assert again.jobs == plan.jobs


def test_scarce_water_grows_less_and_says_so() -> None:
    wants = small.holding()
    plenty = small.plan(wants, wet.DRY)
    used = plenty.water.total_l.value
    few = replace(wants, limits=replace(wants.limits, water_l=round(used / 3)))
    scarce = small.plan(few, wet.DRY)
    assert scarce.water.total_l.value < 0.75 * used
    assert sum(aim.met for aim in scarce.aims) < sum(aim.met for aim in plenty.aims)
    assert any(price.scarce == "water" for price in scarce.solver.shadow_prices)
    assert not any(price.scarce == "water" for price in plenty.solver.shadow_prices)
    said = {cause.code for aim in scarce.aims for cause in aim.held_back_by}
    assert "aim.water_short" in said


def test_beds_alike_but_for_their_cover_get_other_water() -> None:
    two = (Bed("a", 4.0, 1.0, soil="loam"), Bed("b", 4.0, 1.0, soil="loam", cover="greenhouse"))
    grown = (wet.planting("cabbage"), wet.planting("cabbage", "b", key="two"))
    found = wet.water(weather=wet.MOIST, of=wet.holding(two), plantings=grown)
    opened, house = found.plantings
    assert house.need_mm < opened.need_mm
    assert house.watering_l.value > opened.watering_l.value


def test_water_that_comes_to_the_same_is_given_back_and_other_water_is_not() -> None:
    grown, weeks = (wet.planting("cabbage"),), Weeks(wet.START, 26)

    def reckoned(before=None, **bed: object):
        of = wet.holding((wet.bed(**bed),))
        return season_water(grown, of, small.shipped(), wet.DRY, weeks, before)

    first = reckoned()
    assert reckoned(first) is first
    mulched = reckoned(first, mulch="straw", mulch_cm=6.0)
    assert mulched == reckoned(mulch="straw", mulch_cm=6.0)
    assert mulched.ways != first.ways
    pan = reckoned(first, pan_cm=55.0)
    assert pan is not first, "roots end at it only where nothing is watered"
    assert [way.way for way in pan.ways] == ["full", "sparing", "none"]


def test_a_larger_tank_is_other_water_though_nothing_lacked_before() -> None:
    tank = WaterSource("butt", "roof", tank_l=9000.0, roof_m2=90.0)
    grown, weeks = (wet.planting("cabbage"),), Weeks(wet.START, 26)
    found = [
        season_water(
            grown,
            wet.holding(sources=(replace(tank, tank_l=litres),)),
            small.shipped(),
            wet.MOIST,
            weeks,
        )
        for litres in (9000.0, 20_000.0)
    ]
    assert [one.sources[0].served for one in found] == [1.0, 1.0]
    assert not same_water(*found)
