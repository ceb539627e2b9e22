import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from perennate.science.salinity import concentration_factor
from perennate.science.salt_balance import drainage, salt_balance

water = arrays(np.float64, (3, 24), elements=st.floats(0, 400))


def closes(balance):
    brought, leached = balance.brought.cumsum(axis=-1), balance.leached.cumsum(axis=-1)
    left = balance.start[..., np.newaxis] + brought - leached - balance.stored
    return np.abs(left).max() <= 1e-9 * max(1.0, brought.max())


@settings(deadline=None, max_examples=50)
@given(water, water, water, st.floats(0, 8), st.floats(10, 400), st.floats(0, 10))
def test_salt_in_less_salt_out_is_the_change_whatever_comes(given_mm, rain, drained, ec, held, ece):
    balance = salt_balance(given_mm, ec, rain, drained, held, ece)
    assert closes(balance)
    assert (balance.stored >= -1e-9).all()
    assert (balance.leached >= -1e-9).all()
    assert balance.quarters.mean(axis=-2) == pytest.approx(balance.ece)


@settings(deadline=None, max_examples=50)
@given(water, water, st.floats(0, 200))
def test_water_in_less_water_out_is_what_the_soil_can_hold(applied, et, available):
    drained = drainage(applied, et, available)
    assert (drained >= 0).all()
    assert (drained.cumsum(axis=-1) <= available + applied.cumsum(axis=-1) + 1e-9).all()


@pytest.mark.parametrize("fraction", [0.05, 0.1, 0.15, 0.2, 0.3, 0.5])
def test_long_even_watering_comes_to_the_published_concentration(fraction):
    # Ayers and Westcot 1985, table 3, by way of its own formula: within 6 %.
    et = 10.0
    given_mm = et / (1 - fraction)
    balance = salt_balance(np.full(3000, given_mm), 1.0, 0.0, given_mm - et, 100.0, rain_ec=0.0)
    assert balance.ece[-1] == pytest.approx(float(concentration_factor(fraction)), rel=0.06)
    assert balance.leached[-1] == pytest.approx(balance.brought[-1], rel=1e-6)


YEARS = 20
ET = np.tile([10.0, 15, 35, 60, 90, 110, 120, 100, 60, 30, 12, 8], YEARS)
RAIN = np.tile([80.0, 70, 60, 50, 50, 50, 40, 50, 60, 80, 90, 90], YEARS)
WELL = np.tile([0.0, 0, 0, 10, 40, 60, 80, 50, 0, 0, 0, 0], YEARS)


def years(rain, ec=1.0):
    balance = salt_balance(WELL, ec, rain, drainage(WELL + rain, ET, 60.0), 100.0)
    assert closes(balance)
    return balance.ece.reshape(YEARS, 12)


def test_well_water_does_not_salt_a_soil_that_winter_rain_washes():
    ece = years(RAIN)
    assert ece[-1].max() < 1.5
    assert ece[-1] == pytest.approx(ece[4], abs=0.01)


def test_the_same_water_salts_a_dry_place_and_a_greenhouse_year_by_year():
    for share in (0.0, 0.25):
        ece = years(RAIN * share)
        assert (np.diff(ece[:, -1]) > 0.5).all()
        assert ece[-1, -1] > 20.0


def test_leaching_mends_what_the_greenhouse_has_gathered():
    dry = years(RAIN * 0.0)[-1, -1]
    washed = salt_balance([300.0], 0.3, 0.0, [300.0], 100.0, dry)
    assert washed.ece[-1] < 0.25 * dry


def test_salt_stays_deep_where_little_drains():
    et, given_mm = 10.0, 11.0
    balance = salt_balance(np.full(500, given_mm), 1.0, 0.0, given_mm - et, 100.0)
    assert (np.diff(balance.quarters[:, -1]) > 0).all()


def test_one_long_step_and_many_short_ones_tell_much_the_same():
    whole = salt_balance([240.0], 1.0, 0.0, [120.0], 100.0)
    parts = salt_balance(np.full(24, 10.0), 1.0, 0.0, np.full(24, 5.0), 100.0)
    assert whole.stored[-1] == pytest.approx(parts.stored[-1], rel=0.1)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: salt_balance([-1.0], 1.0, 0.0, 0.0, 100.0), "irrigation of a step is 0 or more"),
        (lambda: salt_balance([1.0], 1.0, -5.0, 0.0, 100.0), "rain of a step .* not -5"),
        (lambda: salt_balance([1.0], 1.0, 0.0, 0.0, 0.0), "more than 0 mm"),
        (lambda: salt_balance([1.0], 1.0, 0.0, 0.0, 10.0, -1.0), "0 dS/m or more"),
        (lambda: drainage([1.0], [-1.0], 50.0), "0 mm or more"),
        (lambda: drainage([1.0], [1.0], 50.0, 2.0), "0 to 1, not 2"),
    ],
)
def test_what_cannot_be_is_refused_in_the_balance(call, words):
    with pytest.raises(ValueError, match=words):
        call()
