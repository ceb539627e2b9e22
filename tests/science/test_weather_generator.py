import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from perennate.science import weather_generator as wgen

CHANCES = st.floats(0.02, 0.98)


def test_the_matrices_solve_to_the_correlations_they_were_made_from() -> None:
    """Richardson and Wright 1984: M0 off its diagonal 0.634, 0.186, -0.193, and M1 = A M0.
    Copies with 0.718, +0.039 or -0.314 are about and fail here."""
    m0, m1 = wgen.lag_correlations()
    assert np.diag(m0) == pytest.approx([1, 1, 1], abs=0.005)
    assert m0[np.triu_indices(3, 1)] == pytest.approx([0.634, 0.186, -0.193], abs=0.005)
    expected = [[0.621, 0.446, 0.087], [0.563, 0.674, -0.100], [0.015, -0.090, 0.250]]
    assert m1 == pytest.approx(np.array(expected), abs=0.01)


def test_matrices_come_back_from_their_correlations() -> None:
    a, b = wgen.matrices_from_correlations(*wgen.lag_correlations())
    assert a == pytest.approx(wgen.A, abs=1e-9)
    assert b == pytest.approx(wgen.B, abs=1e-9)


def test_correlations_of_no_process_are_refused() -> None:
    with pytest.raises(ValueError, match="no first-order process"):
        wgen.matrices_from_correlations(np.eye(2), 1.5 * np.eye(2))


def test_generated_departures_have_those_correlations() -> None:
    x = wgen.departures(np.random.default_rng(3).standard_normal((60_000, 3)))
    m0, m1 = wgen.lag_correlations()
    assert np.corrcoef(x.T) == pytest.approx(m0, abs=0.02)
    assert (x[1:].T @ x[:-1]) / len(x) == pytest.approx(m1, abs=0.03)


@given(dry=CHANCES, wet=CHANCES, seed=st.integers(0, 20))
def test_wet_days_settle_to_the_long_run_share(dry: float, wet: float, seed: int) -> None:
    days = 20_000
    draws = np.random.default_rng(seed).random(days)
    chain = wgen.wet_days(np.full(days, dry), np.full(days, wet), draws)
    share = float(wgen.long_run_wet_share(dry, wet))
    # The chain's memory widens the spread of its mean by (1 + r) / (1 - r), r = P(W|W) - P(W|D).
    memory = max((1 + wet - dry) / (1 - wet + dry), 0.0)
    error = np.sqrt(share * (1 - share) / days * memory)
    assert abs(chain.mean() - share) < 5 * error + 0.002


@given(share=st.floats(0, 1))
def test_geng_keeps_the_share_of_wet_days(share: float) -> None:
    """Geng and others 1986: 0.75 f and 0.25 + 0.75 f."""
    dry, wet = wgen.chances_from_wet_share(share)
    assert float(wgen.long_run_wet_share(dry, wet)) == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize(("shape", "scale"), [(0.6, 9.0), (0.8, 5.0), (1.0, 12.0)])
def test_thom_finds_the_gamma_law_again(shape: float, scale: float) -> None:
    """Thom 1958; held against scipy's maximum likelihood on the same amounts."""
    rain = np.random.default_rng(5).gamma(shape, scale, 20_000)
    found = wgen.gamma_from_rain(rain)
    likely = stats.gamma.fit(rain, floc=0)
    assert found[0] == pytest.approx(likely[0], rel=0.035)
    assert found[0] * found[1] == pytest.approx(rain.mean())


@given(mean=st.floats(0.1, 60))
def test_the_gamma_law_of_a_mean_keeps_the_mean(mean: float) -> None:
    shape, scale = wgen.gamma_from_mean(mean)
    assert float(shape * scale) == pytest.approx(mean)
    assert 0.4 - 1e-9 <= float(shape) <= 1.0 + 1e-9


def test_geng_scale_of_a_usual_wet_day() -> None:
    """Geng and others 1986 (from memory): scale = 1.83 mean - 2.16."""
    assert float(wgen.gamma_from_mean(8.0)[1]) == pytest.approx(12.48)


def test_it_refuses_chances_beyond_one_and_rain_that_is_none() -> None:
    with pytest.raises(ValueError, match="chances"):
        wgen.long_run_wet_share(1.2, 0.5)
    with pytest.raises(ValueError, match="two amounts"):
        wgen.gamma_from_rain([0.0, 1.0])
    with pytest.raises(ValueError, match="all alike"):
        wgen.gamma_from_rain([2.0, 2.0])
    with pytest.raises(ValueError, match="above 0"):
        wgen.gamma_from_mean(0.0)
