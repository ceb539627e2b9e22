import numpy as np
import pytest

from perennate.science.soil_water import (
    CropDays,
    Ground,
    Watering,
    crop_days,
    soil_water_run,
)


def bed(available=80.0, air=60.0, limit=0.0, drains=1.0, tew=0.0, below=0.0, **other):
    """Ground of one bed that stays the same; nothing evaporates from its surface unless asked."""
    parts = {
        "available_mm": available,
        "drained_air_mm": air,
        "airless_under_mm": limit,
        "drains": drains,
        "below_available_mm": below,
        "below_air_mm": 1000.0,
        "below_drains": 1.0,
        "rooted_share": 0.0,
        "total_evaporable_mm": tew,
        "readily_evaporable_mm": tew / 2,
        "runoff_storage_mm": np.inf,
        "rain_share": 1.0,
    }
    return Ground(**{name: np.atleast_2d(value) for name, value in (parts | other).items()})


def crop(basal=1.0, p=0.5, **other):
    parts = {
        "basal": basal,
        "most": 1.2,
        "exposed": 0.5,
        "evaporation_left": 1.0,
        "depletion_fraction": p,
        "et0_share": 1.0,
        "interception_mm": 0.0,
    }
    return CropDays(**{name: np.atleast_2d(value) for name, value in (parts | other).items()})


def run(rain, et0, crop, ground, watering=None, first=0, **other):
    rain = np.atleast_2d(np.asarray(rain, float))
    et0 = np.broadcast_to(np.asarray(et0, float), rain.shape)
    given = Watering(amounts_mm=0.0) if watering is None else watering
    days = other.pop("days", rain.shape[1])
    return soil_water_run(
        rain, et0, crop, ground, first, days, given, keep_days=True, fraction_follows_etc=False,
        **other,
    )  # fmt: skip


# FAO Irrigation and Drainage Paper 56 (1998), example 37: tomato, ten days without rain
EXAMPLE_37_KS = [1, 1, 0.97, 0.91, 0.85, 0.80, 0.75, 0.70, 0.66, 0.62]
EXAMPLE_37_DEPLETION = [61, 67, 72.8, 78.3, 83.4, 88.2, 92.6, 96.9, 100.8, 104.5]


def test_example_37_water_stress_of_a_tomato():
    ground = bed(available=1000 * (0.32 - 0.12) * 0.8)
    found = run(np.zeros(10), 5.0, crop(1.2, p=0.40), ground, start_share=1 - 55 / 160)
    assert found.by_day["stress"][0, 0] == pytest.approx(EXAMPLE_37_KS, abs=0.0051)
    assert found.by_day["depletion"][0, 0] == pytest.approx(EXAMPLE_37_DEPLETION, abs=0.1)
    assert found.stress_days[0, 0] == 8


# The same paper, example 35: cotton on a sandy loam, 40 mm of furrow watering on 0.8 of the
# ground on the first day and 6 mm of rain on the sixth; read in a second print
EXAMPLE_35 = {
    "et0": [4.5, 5.0, 3.9, 4.2, 4.8, 2.7, 5.8, 5.1, 4.7, 5.2],
    "basal": [0.30, 0.31, 0.32, 0.33, 0.34, 0.36, 0.37, 0.38, 0.39, 0.40],
    "exposed": [0.80, 0.80, 0.80, 0.80, 0.80, 0.89, 0.88, 0.87, 0.87, 0.86],
    "evaporation": [4.1, 4.5, 2.4, 1.5, 0.8, 1.7, 2.6, 0.9, 0.4, 0.2],
    "surface_depletion": [5, 11, 14, 16, 17, 13, 16, 17, 18, 18],
}


def test_example_35_evaporation_from_a_drying_surface():
    cotton = crop(
        [EXAMPLE_35["basal"]], exposed=[EXAMPLE_35["exposed"]], most=1.21, depletion_fraction=0.5
    )
    ground = bed(available=400.0, tew=18.0, readily_evaporable_mm=8.0)
    rain, amounts = np.zeros(10), np.zeros((1, 10))
    rain[5], amounts[0, 0] = 6.0, 40.0
    found = run(
        rain,
        EXAMPLE_35["et0"],
        cotton,
        ground,
        Watering(amounts_mm=amounts, wetted_share=0.8),
        surface_start_share=1.0,
    )
    soil_lost, dried = found.by_day["soil_lost"][0, 0], found.by_day["surface_depletion"][0, 0]
    # day 3 is printed as 2.8 mm, against 0.62 x 3.9 = 2.4 by its own row; day 6 prints a reduction
    # of 0.75 beside the 0.70 of its own depletion
    assert soil_lost == pytest.approx(EXAMPLE_35["evaporation"], abs=0.16)
    assert dried == pytest.approx(EXAMPLE_35["surface_depletion"], abs=0.7)


def test_a_tomato_on_the_silt_of_example_36_is_watered_every_ten_days():
    # example 36: tomato on silt, 0.32 and 0.15, roots 0.8 m, p 0.40: TAW 136, RAW 54 mm
    ground = bed(available=1000 * (0.32 - 0.15) * 0.8)
    found = run(np.zeros(60), 6.0, crop(1.0, p=0.40), ground, Watering())
    watered = found.by_day["watering"][0, 0]
    # ten days at 6 mm pass 54 mm, and 60 mm are given
    assert np.flatnonzero(watered).tolist() == [10, 20, 30, 40, 50]
    assert watered[10] == pytest.approx(60.0)
    assert found.waterings[0, 0] == 5


def test_a_day_by_hand():
    ground = bed(available=80.0, drains=0.5)
    found = run([30.0], 5.0, crop(interception_mm=1.0), ground, start_share=0.75)
    # 60 + 29 - 5 = 84, of which half of the 4 above capacity go down
    assert found.crop_used[0, 0] == 5.0
    assert found.by_day["depletion"][0, 0] == pytest.approx([-2.0])
    assert found.water_at_end[0, 0] == pytest.approx(84.0)
    assert found.intercepted[0, 0] == 1.0


def test_what_drains_reaches_the_ground_below_first():
    ground = bed(available=50.0, drains=1.0, below=100.0)
    found = run([40.0, 0.0, 0.0], 0.0, crop(), ground, start_share=0.9)
    # 45 + 40 fills the root zone and sends 35 down, where 10 were lacking; the rest is lost
    assert found.by_day["drained"][0, 0] == pytest.approx([0.0, 25.0, 0.0])


def test_roots_take_over_ground_with_the_water_that_it_holds():
    ground = bed(
        available=[[50.0, 75.0]], below=[[100.0, 75.0]], rooted_share=[[0.25, 0.25]], air=60.0
    )
    found = run([0.0, 0.0], 10.0, crop(p=0.9), ground, start_share=0.4)
    # 20 mm less 10, then a quarter of the 40 below, less 10; on the first day they are where they
    # are
    assert found.by_day["depletion"][0, 0] == pytest.approx([40.0, 65.0])


def test_heavy_rain_runs_off_by_the_curve_number():
    # National Engineering Handbook: 74.4 mm of rain at curve number 76.8 leave 25.7 mm
    ground = bed(available=200.0, runoff_storage_mm=25400 / 76.8 - 254)
    found = run([74.4, 5.0], 0.0, crop(), ground, start_share=0.2)
    assert found.by_day["runoff"][0, 0] == pytest.approx([25.7, 0.0], abs=0.05)


def test_what_pores_cannot_hold_runs_off():
    ground = bed(available=50.0, air=30.0, drains=0.0)
    found = run([100.0], 0.0, crop(), ground)
    assert found.runoff[0, 0] == pytest.approx(70.0)


def test_days_without_air_are_counted_and_their_longest_run():
    ground = bed(available=50.0, air=30.0, limit=20.0, drains=0.25)
    found = run([20, 0, 0, 0, 20, 0, 0, 0], 0.0, crop(), ground)
    # 10 mm above capacity is the line: 15, 11.25, 8.4, 6.3, then 19.7, 14.8, 11.1, 8.3
    assert found.airless_days[0, 0] == 5
    assert found.airless_spell[0, 0] == 3


@pytest.mark.parametrize("spared", [bed(air=30.0, limit=0.0, drains=0.0), "bare"])
def test_wet_land_roots_and_bare_ground_are_never_short_of_air(spared):
    ground = bed(air=30.0, limit=20.0, drains=0.0) if spared == "bare" else spared
    found = run([100.0, 0.0], 0.0, crop(basal=0.0 if spared == "bare" else 1.0), ground)
    assert found.airless_days[0, 0] == 0


def test_bare_ground_before_a_planting_is_neither_watered_nor_thirsty():
    basal = np.concatenate([np.zeros(20), np.ones(20)])[None, :]
    ground = bed(available=60.0, tew=20.0)
    found = run(np.zeros(40), 6.0, crop(basal), ground, Watering(), start_share=0.3)
    given = found.by_day["watering"][0, 0]
    assert np.flatnonzero(given)[0] == 20
    dry = run(np.zeros(40), 6.0, crop(basal), ground, start_share=0.3)
    assert dry.stress_days[0, 0] == 20


def test_a_rain_cover_and_a_mulch_change_what_comes_and_goes():
    rain, ground = np.tile([12.0, 0], 20), bed(available=100.0, tew=20.0)
    open_bed = run(rain, 5.0, crop(0.3), ground)
    covered = run(rain, 5.0, crop(0.3), bed(available=100.0, tew=20.0, rain_share=0.0))
    mulched = run(rain, 5.0, crop(0.3, evaporation_left=0.5), ground)
    assert covered.rain[0, 0] == 0.0
    assert mulched.soil_lost[0, 0] < 0.8 * open_bed.soil_lost[0, 0]
    assert mulched.crop_wanted[0, 0] == open_bed.crop_wanted[0, 0]


def test_a_planting_may_run_over_the_end_of_the_year():
    rain = np.zeros((2, 365))
    rain[:, :3] = 7.0
    found = run(rain, 1.0, crop(), bed(), first=360, days=10)
    assert found.rain[0].tolist() == [21.0, 21.0]
    with pytest.raises(ValueError, match="beyond the 365 days"):
        run(rain, 1.0, crop(), bed(), first=360, days=10, wraps=False)


def test_a_first_day_beyond_the_axis_is_a_day_of_a_later_year():
    rain = np.random.default_rng(1).gamma(0.3, 9.0, (3, 365))
    late = run(rain, 3.0, crop(), bed(), first=40 + 365, days=90)
    early = run(rain, 3.0, crop(), bed(), first=40, days=90)
    assert np.array_equal(late.crop_used, early.crop_used)


def test_weeks_add_up_to_the_whole():
    rng = np.random.default_rng(2)
    rain, et0 = rng.gamma(0.3, 9.0, (4, 365)), rng.uniform(1, 6, (4, 365))
    first, days = np.array([10, 33, 300]), np.array([100, 61, 95])
    wanting, ground = crop(np.full((3, 1), 1.0)), bed(tew=15.0, limit=20.0, drains=0.2)
    found = soil_water_run(
        rain, et0, wanting, ground, first, days, Watering(), keep_weeks=(60, 0), keep_days=True
    )
    for name, sums in found.by_week.items():
        if name == "depletion":
            continue
        assert sums.shape == (3, 4, 60)
        assert sums.dtype == np.float32
        assert sums.sum(axis=2) == pytest.approx(getattr(found, name), rel=1e-5, abs=1e-3), name
    # the second planting stands from day 33 to 93; week 4 has two of its days
    given = found.by_day["crop_used"][1]
    assert found.by_week["crop_used"][1, :, 4] == pytest.approx(given[:, :2].sum(axis=1), rel=1e-5)
    assert found.by_week["crop_used"][1, :, 5] == pytest.approx(given[:, 2:9].sum(axis=1), rel=1e-5)
    short = found.by_day["depletion"][1, :, 2:9].mean(axis=1) / 80.0
    assert found.by_week["depletion"][1, :, 5] == pytest.approx(short, rel=1e-4)
    short = found.by_day["depletion"][1, :, :2].mean(axis=1) / 80.0
    assert found.by_week["depletion"][1, :, 4] == pytest.approx(short, rel=1e-4)
    assert np.isnan(found.by_week["depletion"][1, :, [0, 3, 14]]).all()


def test_weeks_outside_those_asked_for_are_left_out():
    found = run(np.full(40, 2.0), 1.0, crop(), bed(), keep_weeks=(2, 14))
    assert found.by_week["rain"][0, 0].tolist() == [14.0, 14.0]


def test_one_of_a_bed_that_may_not_be_watered_is_left_dry():
    rain = np.zeros((2, 40))
    allowed = [[1.0], [0.0]]
    found = soil_water_run(
        rain,
        rain + 6.0,
        crop(np.full((2, 1), 1.0)),
        bed(available=60.0),
        [0, 0],
        [40, 40],
        Watering(group=[7, 7], allowed=allowed),
    )
    assert found.waterings[1].tolist() == [0, 0]
    assert (found.waterings[0] >= 5).all()
    assert np.array_equal(found.group_occasions[0], found.waterings[0])


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"rain": -1.0}, "rain must be known"),
        ({"et0": np.nan}, "ET0 must be known"),
        ({"watering": Watering(amounts_mm=-3.0)}, "watering must not be negative"),
        ({"days": 0}, "a day or more"),
        ({"start_share": 1.2}, "start share lies between"),
        ({"crop": crop(basal=-0.1)}, "basal"),
        ({"ground": bed(available=0.0)}, "above 0"),
        ({"watering": Watering(group=[1, 2])}, "one number for each of 1"),
    ],
)
def test_what_cannot_be_is_refused(change, said):
    given = {"rain": 0.0, "et0": 4.0, "crop": crop(), "ground": bed()} | change
    given["rain"] = np.full((1, 30), given["rain"])
    with pytest.raises(ValueError, match=said):
        run(**given)


def test_the_canopy_leaves_less_bare_ground_as_it_grows():
    basal = np.array([[0.15, 0.6, 1.1]])
    found = crop_days(basal, 1.2, 0.5, 0.4, wetted_share=0.8)
    assert found.exposed[0, 0] == pytest.approx(0.8)
    assert found.exposed[0, 0] > found.exposed[0, 1] > found.exposed[0, 2]
