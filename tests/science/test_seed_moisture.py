import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import seed_moisture as sm

OIL = st.floats(0, 0.6)
AIR = st.floats(10, 70)
WARMTH = st.floats(0, 40)

# Harrington 1960 and Justice and Bass 1978 (from memory): moisture [% of the fresh weight] in
# balance with air at 30, 45 and 60 %, about 25 degC; and the oil of the seed, a share.
HARRINGTON = {
    "cabbage": (0.36, (5.4, 6.4, 7.6)),
    "lettuce": (0.36, (5.1, 5.9, 7.1)),
    "tomato": (0.24, (6.3, 7.8, 9.2)),
    "onion": (0.20, (8.0, 9.5, 11.2)),
    "carrot": (0.18, (6.8, 7.9, 9.2)),
    "sweet corn": (0.07, (7.0, 9.0, 10.6)),
    "pea": (0.017, (8.6, 10.1, 11.9)),
}


def test_the_printed_balance_of_moisture_and_humidity():
    # viabilitymetrics, reference pages: oil 29 %, 25 degC.
    wet = sm.equilibrium_moisture(13, 25, 0.29)
    assert wet == pytest.approx(3.877459, abs=5e-7)
    assert sm.dry_from_wet(wet) == pytest.approx(4.03387, abs=5e-6)
    assert sm.equilibrium_humidity(5, 25, 0.29) == pytest.approx(21.10662, abs=5e-6)
    assert sm.equilibrium_humidity(sm.wet_from_dry(5), 25, 0.29) == pytest.approx(
        19.26179, abs=5e-6
    )


def test_printed_conversions_of_moisture():
    assert sm.dry_from_wet(25) == pytest.approx(33.33333, abs=5e-6)
    assert sm.wet_from_dry(30) == pytest.approx(23.07692, abs=5e-6)


@pytest.mark.parametrize("crop", HARRINGTON)
def test_the_law_comes_near_to_what_was_measured(crop):
    oil, measured = HARRINGTON[crop]
    assert sm.equilibrium_moisture([30, 45, 60], 25, oil) == pytest.approx(measured, abs=1.6)


@given(AIR, WARMTH, OIL)
def test_the_balance_is_turned_round_exactly(air, warmth, oil):
    moisture = sm.equilibrium_moisture(air, warmth, oil)
    assert sm.equilibrium_humidity(moisture, warmth, oil) == pytest.approx(air, rel=1e-9)


@given(AIR, st.floats(0, 20), WARMTH, OIL, st.floats(0, 0.1))
def test_seed_is_moister_in_moister_air_drier_in_warmth_and_with_oil(air, more, warmth, oil, fat):
    here = sm.equilibrium_moisture(air, warmth, oil)
    assert sm.equilibrium_moisture(min(70, air + more), warmth, oil) >= here
    assert sm.equilibrium_moisture(air, min(40, warmth + more), oil) <= here
    assert sm.equilibrium_moisture(air, warmth, oil + fat) <= here


@pytest.mark.parametrize(
    ("air", "warmth", "oil", "says"),
    [
        (75, 20, 0.2, "humidity lies from 10 to 70 %, not 75"),
        (9, 20, 0.2, "humidity lies from 10 to 70 %, not 9"),
        (50, -5, 0.2, "temperature lies from 0 to 40 degC, not -5"),
        (50, 20, 20, "share of oil lies from 0 to 0.7, not 20"),
        ([50, float("nan")], 20, 0.2, "humidity lies"),
    ],
)
def test_it_refuses_what_was_not_measured(air, warmth, oil, says):
    with pytest.raises(ValueError, match=says):
        sm.equilibrium_moisture(air, warmth, oil)


def test_seed_drier_than_any_measured_air_is_refused():
    with pytest.raises(ValueError, match="air of 6 % humidity; the law holds from 10 to 70 %"):
        sm.equilibrium_humidity(3, 20, 0.24)


def test_oily_seed_was_measured_in_mild_warmth_alone():
    assert sm.measured_for_oily(4, 0.02)
    assert sm.measured_for_oily(20, 0.36)
    assert not sm.measured_for_oily(4, 0.36)


@pytest.mark.parametrize(
    ("seed", "have", "wanted", "water"),
    [(20, 9, 5, 0.84), (50, 10, 6, 2.13), (100, 12, 7, 5.38), (200, 14, 8, 13.04)],
)
def test_water_to_remove_is_a_balance_of_mass(seed, have, wanted, water):
    out = float(sm.water_to_remove(seed, have, wanted))
    assert out == pytest.approx(water, abs=0.005)
    # What is left holds the same dry matter at the wanted moisture.
    assert seed * (100 - have) == pytest.approx((seed - out) * (100 - wanted))
    assert float(sm.desiccant(out, 0.1)) == pytest.approx(10 * out)


def test_drying_to_a_moister_state_is_refused():
    with pytest.raises(ValueError, match="no moister"):
        sm.water_to_remove(100, 8, 9)
    with pytest.raises(ValueError, match="not below 0 g"):
        sm.water_to_remove(-1, 9, 8)
    with pytest.raises(ValueError, match="more than nothing"):
        sm.desiccant(3, 0)


def test_gel_holds_more_in_moister_air():
    assert sm.silica_gel_capacity([0, 22.5, 40, 90]) == pytest.approx([0, 0.10, 0.22, 0.22])
    assert np.all(np.diff(sm.silica_gel_capacity(np.arange(0, 41, 5))) > 0)


def test_the_moister_the_seed_the_cooler_the_drying_air():
    # Harrington 1972 (from memory).
    assert list(sm.warmest_drying_air([25, 18, 10, 9.9])) == [32, 38, 38, 43]
