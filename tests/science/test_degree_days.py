import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import degree_days

MCMASTER_WILHELM_1997_TABLE_1 = [
    # tmax, tmin, method 1, method 2, base 0 degC
    (20, 10, 15.0, 15.0),
    (10, 1, 5.5, 5.5),
    (8, -2, 3.0, 4.0),
    (6, 0, 3.0, 3.0),
    (10, 5, 7.5, 7.5),
    (5, -5, 0.0, 2.5),
    (-2, -7, 0.0, 0.0),
    (-5, -10, 0.0, 0.0),
    (10, -2, 4.0, 5.0),
    (15, 2, 8.5, 8.5),
]

ZALOM_1983_TABLE_7 = [
    # case, tmin, tmax, single sine; thresholds 55 and 90 degF, horizontal cutoff
    (1, 96, 110, 35.0),
    (1, 91, 105, 35.0),
    (2, 45, 54, 0.0),
    (2, 38, 50, 0.0),
    (3, 60, 80, 15.0),
    (3, 75, 88, 26.5),
    (4, 50, 82, 11.85),
    (4, 45, 70, 5.31),
    (5, 60, 100, 22.82),
    (5, 75, 95, 28.91),
    (6, 50, 101, 18.95),
    (6, 48, 95, 16.96),
]

WARM = st.floats(-30, 45)


@pytest.mark.parametrize(("tmax", "tmin", "first", "second"), MCMASTER_WILHELM_1997_TABLE_1)
def test_the_two_readings_of_one_equation(
    tmax: float, tmin: float, first: float, second: float
) -> None:
    """McMaster and Wilhelm 1997, table 1."""
    assert float(degree_days.degree_days_mean(tmin, tmax, 0)) == pytest.approx(first, abs=0.001)
    assert float(degree_days.degree_days_floored(tmin, tmax, 0)) == pytest.approx(second, abs=0.001)


@pytest.mark.parametrize(("case", "tmin", "tmax", "expected"), ZALOM_1983_TABLE_7)
def test_single_sine_in_all_six_cases(case: int, tmin: float, tmax: float, expected: float) -> None:
    """Zalom and others 1983, table 7, degF."""
    assert float(degree_days.degree_days_sine(tmin, tmax, 55, 90)) == pytest.approx(
        expected, abs=0.02
    )


@given(low=WARM, range_=st.floats(0, 30), base=st.floats(-5, 20), room=st.floats(1, 30))
def test_the_sine_lies_where_summing_it_hour_by_hour_lies(
    low: float, range_: float, base: float, room: float
) -> None:
    turn = (np.arange(20000) + 0.5) / 20000 * 2 * np.pi
    course = low + range_ / 2 + range_ / 2 * np.sin(turn)
    summed = (np.clip(course, base, base + room) - base).mean()
    ours = float(degree_days.degree_days_sine(low, low + range_, base, base + room))
    assert ours == pytest.approx(summed, abs=0.01)


@given(
    low=WARM,
    range_=st.floats(0, 30),
    base=st.floats(-5, 20),
    warmer=st.floats(0, 5),
    method=st.sampled_from(degree_days.METHODS),
)
def test_a_warmer_day_never_counts_less(
    low: float, range_: float, base: float, warmer: float, method: degree_days.Method
) -> None:
    cool = float(degree_days.degree_days(low, low + range_, base, base + 15, method))
    warm = float(
        degree_days.degree_days(low + warmer, low + range_ + warmer, base, base + 15, method)
    )
    assert -1e-9 <= cool <= warm + 1e-9 <= 15 + 2e-9


@given(low=WARM, range_=st.floats(0, 30), base=st.floats(-5, 20))
def test_fahrenheit_degree_days_are_nine_fifths_of_celsius_ones(
    low: float, range_: float, base: float
) -> None:
    celsius = float(degree_days.degree_days_sine(low, low + range_, base))
    in_f = [value * 1.8 + 32 for value in (low, low + range_, base)]
    assert float(degree_days.degree_days_sine(*in_f)) == pytest.approx(1.8 * celsius, abs=1e-5)


def test_it_refuses_crossed_temperatures_and_a_ceiling_under_the_base() -> None:
    with pytest.raises(ValueError, match="tmax must not be below tmin"):
        degree_days.degree_days_sine(10, 9, 5)
    with pytest.raises(ValueError, match="ceiling must lie above"):
        degree_days.degree_days_mean(1, 9, 5, 5)
    with pytest.raises(ValueError, match="unknown method"):
        degree_days.degree_days(1, 9, 5, method="guess")  # type: ignore[arg-type]
