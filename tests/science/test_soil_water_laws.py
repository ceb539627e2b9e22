"""Laws that the soil-water run keeps under any weather and any watering."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_soil_water import plain_run

import perennate.science.in_pieces
import perennate.science.soil_water
from perennate.science.crop_water import root_depth_course
from perennate.science.ground_days import ground_days, profile
from perennate.science.soil_water import Watering, crop_days, soil_water_run

SUMS = ("rain", "watering", "crop_used", "soil_lost", "drained", "runoff", "water_at_end")


def made(seed, plantings, years, *, pan=False):
    """Weather, plantings and ground drawn at random, some wet, some dry, some deep."""
    rng = np.random.default_rng(seed)
    days = rng.integers(20, 90, plantings)
    first = rng.integers(0, 365, plantings)
    wet_days = rng.random((years, 365)) < rng.uniform(0, 0.8)
    rain = np.where(wet_days, rng.gamma(0.7, rng.uniform(2, 40), (years, 365)), 0.0)
    et0 = rng.uniform(0, 10, (years, 365))
    course = np.linspace(0.0, 1.0, 90)[None, :] ** rng.uniform(0.3, 2, (plantings, 1))
    basal = np.where(course < rng.uniform(0, 0.3, (plantings, 1)), 0.0, 0.15 + course)
    crop = crop_days(
        basal,
        1.25,
        0.5,
        rng.uniform(0.2, 0.8, (plantings, 1)),
        interception_mm=rng.uniform(0, 1, (plantings, 1)),
        evaporation_left=rng.uniform(0.3, 1, (plantings, 1)),
    )
    deep = rng.uniform(0.1, 1.2, plantings)
    roots = root_depth_course(basal, 0.15, 1.15, 0.1, deep)
    sand = rng.uniform(0.05, 0.9, plantings)
    soil = profile(
        sand,
        (1 - sand) * rng.uniform(0.05, 0.8, plantings),
        rng.uniform(0.5, 8, plantings),
        rng.uniform(0, 0.5, plantings),
        loosened_to_m=rng.uniform(0, 0.5, plantings),
        pan_at_m=rng.uniform(0.2, 0.6, plantings) if pan else np.inf,
    )
    numbers = rng.uniform(60, 95, (plantings, 1))
    ground = ground_days(soil, roots, 18.0, curve_number=numbers)
    return rain, et0, crop, ground, first, days


def any_watering(seed, plantings):
    rng = np.random.default_rng(seed)
    which = rng.integers(0, 3)
    if which == 0:
        some = rng.random((plantings, 90)) < 0.2
        return Watering(amounts_mm=np.where(some, rng.uniform(0, 60, some.shape), 0.0))
    group = rng.integers(0, 4, plantings) if which == 2 else None
    return Watering(
        at_share=rng.uniform(0.3, 1.2, (plantings, 1)),
        refill_share=rng.uniform(0.3, 1.0),
        allowed=rng.random((plantings, 90)) < 0.7,
        most_mm=rng.uniform(5, 40),
        wetted_share=rng.uniform(0.2, 1.0),
        group=group,
    )


seeds = st.integers(0, 2**32 - 1)


@settings(max_examples=40, deadline=None)
@given(seed=seeds, pan=st.booleans(), follows=st.booleans())
def test_water_in_less_water_out_is_what_is_held(seed, pan, follows):
    rng = np.random.default_rng(seed)
    found = soil_water_run(
        *made(seed, 7, 3, pan=pan),
        any_watering(seed, 7),
        start_share=rng.random((7, 3)),
        surface_start_share=rng.random(7),
        fraction_follows_etc=follows,
        keep_days=True,
    )
    assert np.abs(found.unaccounted).max() < 1e-9
    stress = found.by_day["stress"]
    assert np.nanmin(stress) >= 0.0
    assert np.nanmax(stress) <= 1.0
    for name in SUMS:
        assert getattr(found, name).min() >= 0.0, name
    assert np.nanmin(found.by_day["surface_depletion"]) >= 0.0
    assert np.nanmin(found.by_day["air"]) >= -1e-9
    assert (found.crop_used <= found.crop_wanted + 1e-9).all()


@settings(max_examples=25, deadline=None)
@given(seed=seeds, pan=st.booleans(), wetted=st.sampled_from([0.25, 0.6, 1.0]))
def test_a_plain_loop_over_days_comes_to_the_same(seed, pan, wetted):
    given_all = made(seed, 5, 2, pan=pan)
    found = soil_water_run(*given_all, Watering(wetted_share=wetted))
    for name, sums in plain_run(*given_all, wetted).items():
        assert getattr(found, name) == pytest.approx(sums, rel=1e-9, abs=1e-6), name


@settings(max_examples=40, deadline=None)
@given(seed=seeds, more=st.floats(0, 30), share=st.floats(0.01, 1))
def test_more_rain_never_brings_more_stress_to_the_same_soil(seed, more, share):
    # under full mulch and for a fixed p: a wet surface takes water that roots could have had, and
    # moves p, so that a shower on a small root zone may cost more than it brings
    rain, et0, crop, ground, first, days = made(seed, 5, 3)
    crop = dataclasses.replace(crop, evaporation_left=np.zeros((1, 1)))
    wetter = rain + more * (np.random.default_rng(seed).random(rain.shape) < share)
    less, plenty = (
        soil_water_run(
            water, et0, crop, ground, first, days, fraction_follows_etc=False, keep_days=True
        )
        for water in (rain, wetter)
    )
    gain = plenty.by_day["stress"] - less.by_day["stress"]
    assert np.nanmin(gain) > -1e-9
    assert (plenty.stress_days <= less.stress_days).all()


@settings(max_examples=25, deadline=None)
@given(seed=seeds)
def test_a_bed_watered_together_leaves_no_planting_past_its_line(seed):
    rain, et0, crop, ground, first, days = made(seed, 8, 2)
    group = np.random.default_rng(seed).integers(0, 3, 8)
    found = soil_water_run(
        rain, et0, crop, ground, first, days, Watering(group=group), keep_days=True
    )
    line = crop.depletion_fraction * ground.available_mm
    depletion, given_mm = found.by_day["depletion"], found.by_day["watering"]
    for row in range(8):
        for day in range(1, int(days[row])):
            if crop.basal[row, day] == 0.0:
                continue
            grown = ground.available_mm[row, day] - ground.available_mm[row, day - 1]
            # what a day asks, and new ground may have brought as depletion, is the most that can
            # be gone the evening after
            past = depletion[row, :, day - 1] > line[row, day] + 1e-6
            today = et0[:, (first[row] + day) % 365] * 1.25
            watered = given_mm[row, :, day] > 0.0
            assert (watered | ~past | (grown > 0.0)).all()
            assert (depletion[row, watered, day] <= today[watered] + 1e-6).all()


@settings(max_examples=20, deadline=None)
@given(seed=seeds)
def test_a_group_of_one_is_watered_as_if_it_had_none(seed):
    given_all = made(seed, 6, 3)
    alone = soil_water_run(*given_all, Watering(), keep_weeks=(60, 0))
    grouped = soil_water_run(*given_all, Watering(group=np.arange(6)), keep_weeks=(60, 0))
    for name in (*SUMS, "waterings", "stress_days", "airless_days", "airless_spell"):
        assert np.array_equal(getattr(alone, name), getattr(grouped, name)), name
    assert np.array_equal(grouped.group_occasions, grouped.waterings)
    for name, sums in alone.by_week.items():
        assert np.array_equal(sums, grouped.by_week[name], equal_nan=True), name


def test_a_bed_is_watered_less_often_together_than_each_planting_for_itself():
    rain, et0, crop, ground, first, days = made(11, 9, 5)
    first = first // 10
    alone = soil_water_run(rain, et0, crop, ground, first, days, Watering(), keep_days=True)
    bed = np.array([5, 5, 5, 9, 9, 9, 2, 2, 2])
    together = soil_water_run(rain, et0, crop, ground, first, days, Watering(group=bed))
    occasions = np.zeros((3, 5))
    for place, rows in enumerate(([6, 7, 8], [0, 1, 2], [3, 4, 5])):
        watered = np.zeros((5, 800), bool)
        for row in rows:
            on = np.nan_to_num(alone.by_day["watering"][row]) > 0.0
            watered[:, first[row] : first[row] + on.shape[1]] |= on
        occasions[place] = watered.sum(axis=1)
    assert together.group_occasions.shape == (3, 5)
    assert (together.group_occasions <= occasions).all()
    assert together.group_occasions.sum() < occasions.sum()


@pytest.mark.parametrize("grouped", [False, True])
@pytest.mark.parametrize(("piece", "cores"), [(1, 1), (7, 1), (40, 2), (10**6, 2)])
def test_pieces_and_cores_change_nothing(monkeypatch, grouped, piece, cores):
    given_all = made(3, 23, 5)
    group = np.random.default_rng(4).integers(0, 6, 23) if grouped else None
    watering = Watering(group=group)
    whole = soil_water_run(*given_all, watering, keep_weeks=(55, 3))
    monkeypatch.setattr(perennate.science.soil_water, "PIECE", piece)
    monkeypatch.setattr(perennate.science.in_pieces, "cores", lambda: cores)
    parts = soil_water_run(*given_all, watering, keep_weeks=(55, 3))
    for name in (*SUMS, "waterings", "stress_days", "airless_spell", "group_occasions"):
        assert np.array_equal(getattr(whole, name), getattr(parts, name)), name
    for name, sums in whole.by_week.items():
        assert np.array_equal(sums, parts.by_week[name], equal_nan=True), name


def test_half_precision_closes_to_a_tenth_of_a_millimetre():
    given_all = made(5, 12, 20)
    full = soil_water_run(*given_all, Watering())
    half = soil_water_run(*given_all, Watering(), precision=np.float32)
    assert np.abs(half.unaccounted).max() < 0.1
    assert half.crop_used == pytest.approx(full.crop_used, rel=0.02, abs=0.5)
