import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import soil_temperature


@pytest.mark.parametrize(
    ("diffusivity", "period", "depth", "tolerance"),
    [(0.5e-6, 365, 2.24, 0.001), (0.5e-6, 1, 0.1173, 0.0001)],
)
def test_damping_depth_of_the_yearly_and_the_daily_wave(
    diffusivity: float, period: float, depth: float, tolerance: float
) -> None:
    """Hillel 1982, d = sqrt(2 D / omega)."""
    found = soil_temperature.damping_depth(diffusivity, period)
    assert float(found) == pytest.approx(depth, abs=tolerance)


def test_damping_depth_from_conductivity_and_heat_capacity() -> None:
    """Hillel 1982: 0.30 W/m/K and 1.3e6 J/m3/K, daily wave, 7.97 cm."""
    d = soil_temperature.diffusivity(0.30, 1.3e6)
    assert float(soil_temperature.damping_depth(d, 1)) * 100 == pytest.approx(7.97, abs=0.01)


@pytest.mark.parametrize(
    ("depth", "expected"), [(0.05, 10.57), (0.1, 10.37), (0.5, 9.06), (1, 8.11)]
)
def test_the_yearly_wave_on_day_110(depth: float, expected: float) -> None:
    """Hillel 1982: mean 11, half range 10, coldest surface on day 20, D 0.5e-6 m2/s."""
    found = float(soil_temperature.yearly_wave(110, depth, 11, 10, 20))
    assert found == pytest.approx(expected, abs=0.01)


@given(
    depth=st.floats(0, 3), mean=st.floats(-5, 28), half=st.floats(0, 20), cold=st.integers(0, 364)
)
def test_a_yearly_cosine_goes_down_as_the_wave_formula_says(
    depth: float, mean: float, half: float, cold: int
) -> None:
    day = np.arange(3 * 365)
    surface = mean - half * np.cos(2 * np.pi * (day - cold) / 365)
    wave = soil_temperature.yearly_wave(day, depth, mean, half, cold)
    assert soil_temperature.soil_from_surface(surface, depth) == pytest.approx(wave, abs=1e-6)


@given(depth=st.floats(0.01, 2), seed=st.integers(0, 99))
def test_soil_keeps_the_mean_and_loses_the_swing(depth: float, seed: int) -> None:
    surface = np.random.default_rng(seed).normal(10, 6, 365)
    soil = soil_temperature.soil_from_surface(surface, depth)
    deeper = soil_temperature.soil_from_surface(surface, depth + 0.1)
    assert soil.mean() == pytest.approx(surface.mean())
    assert deeper.std() < soil.std() < surface.std()


def test_at_the_surface_it_is_the_surface() -> None:
    surface = np.random.default_rng(1).normal(10, 6, 366)
    assert soil_temperature.soil_from_surface(surface, 0.0) == pytest.approx(surface)


def test_it_refuses_height_above_the_ground_and_no_diffusivity() -> None:
    with pytest.raises(ValueError, match="counted downwards"):
        soil_temperature.soil_from_surface([1.0, 2.0], -0.1)
    with pytest.raises(ValueError, match="above 0"):
        soil_temperature.damping_depth(0.0)
    with pytest.raises(ValueError, match="one row"):
        soil_temperature.soil_from_surface([[1.0, 2.0]], 0.1)
