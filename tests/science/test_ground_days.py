import numpy as np
import pytest

from perennate.science.ground_days import ground_days, profile
from perennate.science.soil_hydraulics import Hydraulics, hydraulics, runoff_storage
from perennate.science.soil_water import crop_days, soil_water_run

SAND, CLAY = 0.4, 0.2


def roots(*depths):
    return np.array([depths], float)


def test_the_root_zone_holds_what_its_depth_does():
    soil = hydraulics(SAND, CLAY, 2.5)
    found = ground_days(profile(SAND, CLAY, 2.5), roots(0.2, 0.3))
    share = float(soil.field_capacity - soil.wilting_point)
    assert found.available_mm[0] == pytest.approx([200 * share, 300 * share])
    air = float(soil.saturation - soil.field_capacity)
    assert found.drained_air_mm[0] == pytest.approx([200 * air, 300 * air])


def test_deeper_ground_has_less_organic_matter():
    found = ground_days(profile(SAND, CLAY, 6.0), roots(0.3, 0.6))
    upper, whole = found.available_mm[0]
    assert whole < 2 * upper


def test_ground_at_field_capacity_stays_so_as_roots_deepen():
    deepening = np.linspace(0.1, 1.0, 80)[None, :]
    held = ground_days(profile(SAND, CLAY, 5.0, loosened_to_m=0.4), deepening)
    crop = crop_days(np.full((1, 1), 1.0), 1.2, 0.4, 0.5)
    dry = np.zeros((1, 80))
    found = soil_water_run(dry, dry, crop, held, 0, 80, keep_days=True)
    assert found.by_day["depletion"][0, 0] == pytest.approx(np.zeros(80), abs=1e-9)
    assert found.drained[0, 0] == pytest.approx(0.0, abs=1e-9)


def test_loosened_ground_holds_more_air_and_drains_faster():
    plain = ground_days(profile(0.25, 0.40), roots(0.3))
    loose = ground_days(profile(0.25, 0.40, loosened_to_m=0.3), roots(0.3))
    assert loose.drained_air_mm[0, 0] > 1.2 * plain.drained_air_mm[0, 0]
    assert loose.drains[0, 0] > plain.drains[0, 0]


def test_a_pan_stops_roots_and_holds_water_back():
    free = ground_days(profile(0.25, 0.40), roots(0.1, 0.3, 0.6))
    pan = ground_days(profile(0.25, 0.40, pan_at_m=0.35), roots(0.1, 0.3, 0.6))
    assert pan.available_mm[0, 2] == pytest.approx(free.available_mm[0, 2] * 0.35 / 0.6, rel=0.05)
    # far above the pan roots feel nothing of it, on it they do
    assert pan.drains[0, 0] == free.drains[0, 0]
    assert pan.drains[0, 2] < 0.8 * free.drains[0, 2]
    assert pan.rooted_share[0, 2] > 0.0


def test_a_pan_brings_airless_days_after_heavy_rain_that_open_ground_does_not():
    rain, et0 = np.zeros((1, 30)), np.full((1, 30), 2.0)
    rain[0, 5:8] = 25.0
    crop = crop_days(np.full((1, 1), 0.6), 1.2, 0.4, 0.5)
    airless = []
    for pan_at in (np.inf, 0.25):
        ground = profile(0.40, 0.25, pan_at_m=pan_at)
        held = ground_days(ground, np.full((1, 30), 0.25), 20.0)
        airless.append(int(soil_water_run(rain, et0, crop, held, 0, 30).airless_days[0, 0]))
    assert airless[0] < airless[1]
    assert airless[1] >= 3


def test_cold_roots_and_wet_land_plants_are_spared():
    ground = profile([0.25, 0.25], [0.40, 0.40])
    depth = np.full((2, 3), 0.3)
    found = ground_days(ground, depth, [[20.0, 8.0, 2.0]], wants_air=[[1.0], [0.0]])
    warm, cool, cold = found.airless_under_mm[0]
    assert warm > cool > cold == 0.0
    assert found.airless_under_mm[1].tolist() == [0.0, 0.0, 0.0]


def test_known_figures_stand_in_place_of_reckoned_ones():
    gap = np.nan
    peat = Hydraulics(*(np.array([gap, x]) for x in (0.25, 0.60, 0.86, 20.0, 0.3)), np.array(True))
    found = ground_days(profile([SAND, SAND], CLAY, known=peat), np.full((2, 1), 0.2))
    assert found.available_mm[1, 0] == pytest.approx(70.0)
    assert found.available_mm[0, 0] == pytest.approx(
        ground_days(profile(SAND, CLAY), roots(0.2)).available_mm[0, 0]
    )


def test_a_curve_number_sends_rain_off_and_without_one_none_goes():
    level = ground_days(profile(SAND, CLAY), roots(0.2))
    slope = ground_days(profile(SAND, CLAY), roots(0.2), curve_number=[[78.0]])
    assert np.isinf(level.runoff_storage_mm).all()
    assert slope.runoff_storage_mm[0, 0] == pytest.approx(float(runoff_storage(78)))


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: ground_days(profile(SAND, CLAY), roots(0.3, 0.2)), "never shrink"),
        (lambda: ground_days(profile(SAND, CLAY), roots(1.8)), "beyond the profile of 1.5"),
        (lambda: ground_days(profile(SAND, CLAY), roots(np.nan)), "known on every day"),
        (lambda: profile(0.6, 0.6), "add to 120 %"),
        (lambda: profile(SAND, CLAY, pan_at_m=0.0), "below the surface"),
        (
            lambda: profile(
                SAND, CLAY, known=Hydraulics(*(np.array(x) for x in (0.5, 0.4, 0.6, 9.0, 1.0)),
                                             np.array(False))
            ),
            "holds less at wilting",
        ),
    ],
)  # fmt: skip
def test_ground_that_cannot_be_is_refused(make, said):
    with pytest.raises(ValueError, match=said):
        make()
