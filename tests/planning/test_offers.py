"""Ways and weeks of growing a crop, against dates reckoned by hand."""

from dataclasses import replace
from datetime import date, timedelta
from math import ceil, exp, log

import numpy as np
import pytest
import small
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from perennate.planning.calendar_weeks import Weeks
from perennate.planning.offers import (
    NURSERY_TAKES_OFF,
    WORST_FROST_CHANCE,
    Growing,
    days_from_ground,
    offers,
    planned_yield,
    routes,
)
from perennate.terms import Estimate
from perennate.weather.climate import day_index

WEEKS = Weeks(date(2026, 3, 2), 60)
CROPS = small.shipped().crops
NORTH = Growing(small.weather(), WEEKS)


def growing_at(celsius: float) -> Growing:
    return Growing(small.steady(celsius), WEEKS)


@pytest.mark.parametrize("key", ["carrot", "radish", "spinach", "pea_shelling", "bean_snap_bush"])
def test_at_the_reference_warmth_a_crop_takes_the_catalogues_days(key: str) -> None:
    crop = CROPS[key]
    found = offers(crop, growing_at(crop.value("temp_reference")))
    assert found
    days = ceil(crop.value("days_to_first_harvest"))
    assert {(o.first_harvest - o.ground_from).days for o in found if o.route == "direct"} == {days}


@settings(max_examples=12, deadline=None)
@given(st.integers(10, 23))
def test_at_another_warmth_the_days_go_by_the_heat_above_the_base(celsius: int) -> None:
    crop = CROPS["carrot"]
    base, reference = crop.value("temp_base"), crop.value("temp_reference")
    days = crop.value("days_to_first_harvest") * (reference - base) / (celsius - base)
    found = offers(crop, growing_at(float(celsius)))
    assert {(o.first_harvest - o.ground_from).days for o in found} <= {ceil(days - 1e-6)}
    assert bool(found) == (days < 7 * WEEKS.count - 1)


def test_the_nursery_takes_days_off_the_bed() -> None:
    crop = CROPS["lettuce_leaf"]
    raised = round(7 * crop.value("nursery_time"))
    days = crop.value("days_to_first_harvest")
    assert days_from_ground(crop, "nursery", raised) == days - NURSERY_TAKES_OFF * raised
    assert days_from_ground(crop, "direct", 0) == days
    found = offers(crop, growing_at(crop.value("temp_reference")))
    out = {(o.ground_from - o.sow).days for o in found if o.route == "nursery"}
    assert out == {raised}
    assert all(o.sow >= WEEKS.start for o in found)


def test_harvest_falls_in_weeks_by_the_catalogues_shares() -> None:
    crop = CROPS["carrot"]
    offer = offers(crop, growing_at(15.0))[0]
    counted = planned_yield(crop)
    assert [kg for _, kg in offer.made] == pytest.approx(
        [counted * share for share in crop.harvest_shares], abs=1e-4
    )
    days = [day for day, _ in offer.made]
    assert days == [offer.first_harvest + timedelta(7 * k) for k in range(len(days))]
    assert offer.ground_to == offer.first_harvest + timedelta(7 * len(crop.harvest_shares))


def test_a_holding_without_records_counts_on_low_to_usual_yields() -> None:
    crop = CROPS["carrot"]
    figure = crop.figures["yield"]
    sigma = log(figure.high / figure.low) / (2 * norm.ppf(0.9))
    assert planned_yield(crop) == pytest.approx(figure.value * exp(sigma * norm.ppf(0.3)), abs=1e-4)
    assert figure.low < planned_yield(crop) < figure.value
    own = Estimate(3.3, 2.0, 5.0, "kg/m2", "own records", "own records")
    mine = replace(crop, figures={**crop.figures, "yield": own})
    assert planned_yield(mine) == 3.3


def test_where_no_frost_comes_there_are_no_frost_windows() -> None:
    tropics = growing_at(26.0)
    assert not tropics.has_frost
    found = offers(CROPS["okra"], tropics)
    starts = {o.ground_from for o in found if o.route == "direct"}
    assert len(starts) > 40, "any week will do"
    assert all(o.frost_risk == 0.0 for o in found)


@pytest.mark.parametrize("key", ["spinach", "lettuce_leaf", "pea_shelling", "broccoli", "carrot"])
def test_heat_bars_cool_crops(key: str) -> None:
    crop = CROPS[key]
    assert offers(crop, growing_at(16.0))
    hot = crop.value("heat_day")
    assert not offers(crop, growing_at(hot + 1.0))


def test_tender_crops_stand_between_the_frosts() -> None:
    for key in ("tomato", "bean_snap_bush", "zucchini"):
        found = offers(CROPS[key], NORTH)
        assert found, key
        for offer in found:
            first, ready = day_index(offer.ground_from), day_index(offer.first_harvest)
            nights = NORTH.climate.tmin[:, first + 28 : ready] <= CROPS[key].value(
                "kill_vegetative"
            )
            assert nights.any(axis=1).mean() <= WORST_FROST_CHANCE
            assert offer.ground_from.month in (3, 4, 5, 6, 7, 8)
            assert offer.frost_risk <= WORST_FROST_CHANCE


def test_a_crop_that_frost_takes_is_harvested_up_to_the_frost() -> None:
    found = offers(CROPS["zucchini"], NORTH)
    frost = NORTH.frost.autumn[0.5]
    assert frost is not None
    assert max(day_index(o.last_harvest) for o in found) <= frost + 7


def south() -> Growing:
    climate = small.weather(-46.0)
    half = small.HALF_YEAR.days
    turned = replace(
        climate,
        tmin=np.roll(climate.tmin, half, axis=1),
        tmax=np.roll(climate.tmax, half, axis=1),
    )
    return Growing(turned, WEEKS)


def test_in_the_south_seasons_cross_the_new_year() -> None:
    found = offers(CROPS["tomato"], south())
    assert found
    for offer in found:
        assert offer.ground_from.month in (9, 10, 11, 12, 1)
    assert any(o.ground_from.year < o.last_harvest.year for o in found)


def test_a_winter_crop_sown_in_autumn_stands_over_new_year() -> None:
    found = offers(CROPS["garlic"], Growing(small.weather(), Weeks(WEEKS.start, 90)))
    assert found
    frost = NORTH.frost.autumn[0.5]
    assert frost is not None
    before = [(frost - day_index(o.ground_from)) / 7 for o in found]
    window = CROPS["garlic"].figures["overwinter_sow_before_first_frost"]
    assert all(window.low - 0.1 <= weeks <= window.high + 0.1 for weeks in before)
    assert all(o.first_harvest.year == o.ground_from.year + 1 for o in found)


def test_hardy_roots_may_wait_in_cool_ground() -> None:
    found = offers(CROPS["carrot"], NORTH)
    by_start: dict[date, list] = {}
    for offer in found:
        by_start.setdefault(offer.ground_from, []).append(offer)
    waits = [one for one in by_start.values() if len(one) > 1]
    assert waits
    for one in waits:
        first = min(o.first_harvest for o in one)
        assert first.month in (8, 9, 10, 11, 12), "not into the warmth"
    summer = [one for start, one in by_start.items() if start.month == 4]
    assert all(len(one) == 1 for one in summer)


def test_every_offer_is_in_order_and_inside_the_plan() -> None:
    for key, crop in CROPS.items():
        ready = crop.fact("plan_ready") == "yes" and "temp_base" in crop.figures
        for offer in offers(crop, NORTH) if ready else ():
            assert WEEKS.start <= offer.sow <= offer.ground_from < offer.first_harvest, key
            assert offer.first_early <= offer.first_harvest <= offer.first_late, key
            assert offer.first_harvest <= offer.last_harvest < offer.ground_to, key
            assert offer.first_harvest < WEEKS.end, key
            assert offer.route in routes(crop), key
            assert all(kg >= 0 for _, kg in offer.made), key
