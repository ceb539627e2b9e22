import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science.soil_hydraulics import (
    air_limit,
    daily_drainage_share,
    days_to_drain,
    hydraulics,
    readily_evaporable_water,
    runoff,
    runoff_storage,
    total_evaporable_water,
)

# Saxton, Rawls (2006), values by texture at 2.5 % organic matter, read in a second print:
# sand %, clay %, water at 1500 kPa, at 33 kPa, saturation [m3 m-3], conductivity [mm h-1]
PUBLISHED = {
    "sand": (88, 5, 0.05, 0.10, 0.46, 108.1),
    "loamy sand": (80, 5, 0.05, 0.12, 0.46, 96.7),
    "sandy loam": (65, 10, 0.08, 0.18, 0.45, 50.3),
    "loam": (40, 20, 0.14, 0.28, 0.46, 15.5),
    "silt loam": (20, 15, 0.11, 0.31, 0.48, 16.1),
    "silt": (10, 5, 0.06, 0.30, 0.48, 22.0),
    "sandy clay loam": (60, 25, 0.17, 0.27, 0.43, 11.3),
    "clay loam": (30, 35, 0.22, 0.36, 0.48, 4.3),
    "silty clay loam": (10, 35, 0.22, 0.38, 0.51, 5.7),
    "silty clay": (10, 45, 0.27, 0.41, 0.52, 3.7),
}


@pytest.mark.parametrize("texture", PUBLISHED)
def test_the_published_texture_values_come_out(texture):
    sand, clay, wilting, capacity, saturation, conductivity = PUBLISHED[texture]
    soil = hydraulics(sand / 100, clay / 100)
    assert soil.wilting_point == pytest.approx(wilting, abs=0.006)
    assert soil.field_capacity == pytest.approx(capacity, abs=0.006)
    assert soil.saturation == pytest.approx(saturation, abs=0.006)
    assert soil.conductivity_mm_h == pytest.approx(conductivity, abs=0.1)
    assert not soil.clamped


@pytest.mark.parametrize(
    ("organic", "available"), [(1, 0.135), (2.5, 0.143), (5, 0.155), (8, 0.172)]
)
def test_organic_matter_holds_water_in_a_loam(organic, available):
    # worked out from the equations by hand, not printed
    soil = hydraulics(0.4, 0.2, organic)
    assert soil.field_capacity - soil.wilting_point == pytest.approx(available, abs=0.001)


def test_beyond_the_equations_range_their_end_is_taken_and_said():
    heavy, end = hydraulics(0.1, 0.75), hydraulics(0.1, 0.60)
    assert heavy.clamped
    assert not end.clamped
    assert heavy.field_capacity == end.field_capacity
    rich = hydraulics(0.4, 0.2, [8.0, 20.0])
    assert rich.clamped.tolist() == [False, True]
    assert rich.field_capacity[0] == rich.field_capacity[1]


def test_stones_take_the_room_of_water():
    plain, stony = hydraulics(0.4, 0.2), hydraulics(0.4, 0.2, 2.5, 0.3)
    # 30 % by weight at a bulk density of 1.43 are about 19 % of the room
    assert stony.field_capacity / plain.field_capacity == pytest.approx(0.81, abs=0.01)
    assert stony.conductivity_mm_h < plain.conductivity_mm_h
    assert stony.bulk_density > plain.bulk_density


def test_loosened_ground_holds_more_air_and_compacted_ground_less():
    loose, usual, hard = (hydraulics(0.3, 0.35, 2.5, 0.0, f) for f in (0.9, 1.0, 1.2))
    air = [soil.saturation - soil.field_capacity for soil in (loose, usual, hard)]
    assert air[0] > air[1] > air[2] > 0
    assert loose.conductivity_mm_h > usual.conductivity_mm_h > hard.conductivity_mm_h


@given(
    sand=st.floats(0, 1),
    rest=st.floats(0, 1),
    organic=st.floats(0, 60),
    gravel=st.floats(0, 0.89),
    packing=st.floats(0.8, 1.4),
)
def test_every_soil_holds_less_at_wilting_than_at_capacity_than_when_full(
    sand, rest, organic, gravel, packing
):
    soil = hydraulics(sand, (1 - sand) * rest, organic, gravel, packing)
    assert 0 < soil.wilting_point < soil.field_capacity < soil.saturation < 1
    assert 0 < soil.conductivity_mm_h < 2000


def test_sixty_per_cent_clay_and_sixty_sand_are_refused():
    with pytest.raises(ValueError, match="sand and clay add to 120 %"):
        hydraulics(0.6, 0.6)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"sand": 40.0}, "per cent"),
        ({"clay": -0.1}, "share from 0 to 1"),
        ({"organic_matter_percent": 120.0}, "organic matter"),
        ({"gravel_weight_share": 0.95}, "gravel"),
        ({"density_factor": 2.0}, "density factor"),
        ({"sand": float("nan")}, "share"),
    ],
)
def test_what_cannot_be_a_soil_is_refused(wrong, said):
    with pytest.raises(ValueError, match=said):
        hydraulics(**({"sand": 0.4, "clay": 0.2} | wrong))


# FAO Irrigation and Drainage Paper 56 (1998), table 19, read in a second print: field capacity,
# wilting point [m3 m-3], readily and total evaporable water [mm] of a layer of 0.10 m
TABLE_19 = {
    "sand": ((0.07, 0.17), (0.02, 0.07), (2, 7), (6, 12)),
    "loamy sand": ((0.11, 0.19), (0.03, 0.10), (4, 8), (9, 14)),
    "sandy loam": ((0.18, 0.28), (0.06, 0.16), (6, 10), (15, 20)),
    "loam": ((0.20, 0.30), (0.07, 0.17), (8, 10), (16, 22)),
    "silt loam": ((0.22, 0.36), (0.09, 0.21), (8, 11), (18, 25)),
}


@pytest.mark.parametrize("texture", TABLE_19)
def test_the_field_values_of_fao_56_agree(texture):
    capacity, wilting, readily, total = TABLE_19[texture]
    sand, clay = (part / 100 for part in PUBLISHED[texture][:2])
    soil = hydraulics(sand, clay)
    assert capacity[0] - 0.005 <= soil.field_capacity <= capacity[1]
    assert wilting[0] <= soil.wilting_point <= wilting[1]
    assert readily[0] - 1 <= readily_evaporable_water(sand, clay) <= readily[1] + 1
    evaporable = total_evaporable_water(soil.field_capacity, soil.wilting_point)
    assert total[0] - 2 <= evaporable <= total[1] + 2


def test_evaporable_water_of_example_35():
    # FAO-56, example 35: sandy loam of 0.23 and 0.10, 18 mm in 0.10 m
    assert total_evaporable_water(0.23, 0.10) == pytest.approx(18.0)


def test_sand_drains_in_a_day_loam_in_three_clay_in_many():
    # textbook: about one day in sand, two to three in loam, three to five in clay; Jabro and
    # others (2009) measured 50 h in a sandy loam and 450 h in a clay loam
    days = {
        name: float(days_to_drain(daily_drainage_share(row[5]))) for name, row in PUBLISHED.items()
    }
    assert days["sand"] == 1.0
    assert 1.0 <= days["sandy loam"] <= 2.1
    assert 1.5 <= days["loam"] <= 3.0
    assert 3.0 <= days["clay loam"] <= 19.0
    assert days["silty clay"] > days["clay loam"]


def test_runoff_by_curve_number():
    # National Engineering Handbook: 74.4 mm of rain, curve number 76.8, 25.7 mm run off
    assert runoff(74.4, 76.8) == pytest.approx(25.7, abs=0.05)
    assert runoff_storage(100) == 0.0
    assert runoff(0.2 * runoff_storage(80), 80) == 0.0
    assert runoff(40.0, 100) == 40.0
    with pytest.raises(ValueError, match="curve number"):
        runoff_storage(0.5)


def test_roots_in_sand_want_a_tenth_of_air_and_in_clay_what_there_is():
    sand = air_limit(0.10, 0.46)
    clay = air_limit(0.41, 0.49)
    assert sand == pytest.approx(0.10)
    assert clay == pytest.approx(0.04)


def test_cold_roots_want_less_air_and_resting_roots_none():
    warm, cool, cold = air_limit(0.28, 0.46, np.array([25.0, 8.0, 3.0]))
    assert warm == pytest.approx(0.09)
    assert 0 < cool < warm
    assert cold == 0.0
