"""Head lost in pipes: printed values, and laws of flow."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.science.pipe_flow import (
    LAWS,
    friction_factor,
    head_loss,
    head_loss_darcy,
    head_loss_hazen_williams,
    kinematic_viscosity,
    reynolds,
    velocity,
)

FOOT_M, INCH_MM, GALLON_L = 0.3048, 25.4, 3.785411784
FLOWS = st.floats(0.0, 5000.0)
BORES = st.floats(4.0, 60.0)


@pytest.mark.parametrize(
    ("number", "factor"), [(1e4, 0.0309), (1e5, 0.0180), (1e6, 0.0116), (1e7, 0.0081)]
)
def test_smooth_pipe_has_the_friction_of_the_textbook(number: float, factor: float) -> None:
    """White 2003, Fluid Mechanics, numerical values after equation 6.54 (Prandtl's law, which the
    closed forms follow to 3 %)."""
    assert float(friction_factor(number)) == pytest.approx(factor, rel=0.03)


def test_slow_flow_has_the_friction_of_hagen_and_poiseuille() -> None:
    assert friction_factor([500.0, 1000.0, 2000.0]) == pytest.approx([0.128, 0.064, 0.032])


@pytest.mark.parametrize(
    ("number", "roughness", "factor"),
    # worked out with the implicit law of Colebrook, 1/sqrt f = -2 log10(r/3.7 + 2.51/(Re sqrt f))
    [(1e5, 1e-3, 0.0222), (1e6, 1e-3, 0.0199), (1e5, 1e-2, 0.0385)],
)
def test_rough_pipe_has_the_friction_of_the_implicit_law(
    number: float, roughness: float, factor: float
) -> None:
    assert 1.0 / np.sqrt(factor) == pytest.approx(
        -2.0 * np.log10(roughness / 3.7 + 2.51 / (number * np.sqrt(factor))), rel=0.005
    )
    assert float(friction_factor(number, roughness)) == pytest.approx(factor, rel=0.03)


def test_three_inch_pipe_with_200_gallons_a_minute() -> None:
    """Engineering ToolBox, Hazen-Williams equation, example: 3.048 in, C 140: 9 ft in 100 ft,
    2.7 ft in 30 ft, to half a unit of the last figure (its exponent of the diameter is 4.8655)."""
    flow, bore = 200 * 60 * GALLON_L, 3.048 * INCH_MM
    lost = head_loss_hazen_williams(flow, bore, np.array([100, 30]) * FOOT_M, smoothness=140)
    assert lost[0] / FOOT_M == pytest.approx(9.0, abs=0.5)
    assert lost[1] / FOOT_M == pytest.approx(2.7, abs=0.05)


def test_the_two_laws_agree_in_a_pipe_of_usual_flow() -> None:
    flow, bore, length = 1500.0, 20.0, 50.0
    assert float(velocity(flow, bore)) == pytest.approx(1.33, abs=0.01)
    both = [float(head_loss(flow, bore, length, law)) for law in LAWS]
    assert both[0] == pytest.approx(both[1], rel=0.1)


def test_slow_water_in_a_drip_line_by_hand() -> None:
    """Hagen and Poiseuille: 128 nu L Q / (pi g d^4) with 20 l/h in 13.6 mm over 10 m at 20 degC."""
    by_hand = 128 * 1.004e-6 * 10 * (20 / 3.6e6) / (np.pi * 9.80665 * 0.0136**4)
    assert float(reynolds(20, 13.6)) < 2000
    assert float(head_loss_darcy(20, 13.6, 10)) == pytest.approx(by_hand, rel=0.005)


def test_viscosity_of_water() -> None:
    """1.002 mPa s at 20 degC and 0.653 at 40 (handbook values, from memory), over the density."""
    assert kinematic_viscosity([20.0, 40.0]) * 1e6 == pytest.approx([1.004, 0.658], rel=0.006)


def test_cold_water_loses_more() -> None:
    assert float(head_loss_darcy(100, 13.6, 50, 5)) > float(head_loss_darcy(100, 13.6, 50, 30))


@settings(max_examples=100)
@given(FLOWS, FLOWS, BORES)
def test_more_flow_never_loses_less(less: float, more: float, bore: float) -> None:
    for law in LAWS:
        lost = head_loss(sorted((less, more)), bore, 10.0, law)
        assert lost[0] <= lost[1] + 1e-12
        assert float(head_loss(more, bore, 20.0, law)) == pytest.approx(
            2.0 * float(head_loss(more, bore, 10.0, law))
        )


def test_still_water_loses_nothing() -> None:
    assert [float(head_loss(0.0, 16.0, 100.0, law)) for law in LAWS] == [0.0, 0.0]


@pytest.mark.parametrize(
    ("flow", "bore", "length", "water"),
    [(-1, 16, 10, 20), (10, 0, 10, 20), (10, 16, -1, 20), (10, 16, 10, 90)],
)
def test_what_no_pipe_has_is_refused(flow: float, bore: float, length: float, water: float) -> None:
    with pytest.raises(ValueError, match=r"not below|above|between"):
        head_loss_darcy(flow, bore, length, water)
