import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science.salinity import (
    EXTRACT_PER_WATER,
    concentration_factor,
    ece_at_loss,
    free_leaching_share,
    leaching_requirement,
    leaching_requirement_often_watered,
    mixed,
    relative_yield,
    share_of_second,
    water_to_apply,
)

LOSSES = (0, 10, 25, 50, 100)
# Ayers and Westcot 1985 (FAO-29 rev. 1), crop tolerance, as printed in table 3 of PLOS ONE 13(6)
# e0198290: threshold, slope, ECe at 0, 10, 25, 50 and 100 % loss, and ECw where printed.
PRINTED = {
    "bean": (1.0, 19.0, (1.0, 1.5, 2.3, 3.6, 6.3), (0.7, 1.0, 1.5, 2.4, 4.2)),
    "sweet corn": (1.7, 12.0, (1.7, 2.5, 3.8, 5.9, 10.0), (1.1, 1.7, 2.5, 3.9, 6.7)),
    "scallop squash": (3.2, 16.0, (3.2, 3.8, 4.8, 6.3, 9.4), None),
    "zucchini": (4.7, 9.4, (4.7, 5.8, 7.4, 10.0, 15.0), None),
}


@pytest.mark.parametrize("crop", PRINTED)
def test_salt_at_each_loss_as_printed(crop):
    threshold, slope, of_soil, of_water = PRINTED[crop]
    found = ece_at_loss(LOSSES, threshold, slope)
    # figures without a decimal are printed to half a unit
    tolerance = [0.5 if printed >= 10 else 0.15 for printed in of_soil]
    assert np.all(np.abs(found - np.array(of_soil)) <= tolerance)
    if of_water is not None:
        # the printed water is the printed soil over 1.5
        assert np.array(of_soil) / EXTRACT_PER_WATER == pytest.approx(np.array(of_water), abs=0.06)


@given(st.floats(0, 100), st.floats(0, 10), st.floats(1, 40))
def test_loss_and_salt_go_round(loss, threshold, slope):
    ece = ece_at_loss(loss, threshold, slope)
    assert float(relative_yield(ece, threshold, slope)) == pytest.approx(1 - loss / 100)


@given(st.floats(0, 30), st.floats(0, 30))
def test_more_salt_never_yields_more(one, other):
    less, more = sorted((one, other))
    assert relative_yield(more, 2.5, 9.9) <= relative_yield(less, 2.5, 9.9)


def test_below_the_threshold_nothing_is_lost_and_far_above_all():
    assert relative_yield([0.0, 2.5, 50.0], 2.5, 9.9).tolist() == [1.0, 1.0, 0.0]


# Ayers and Westcot 1985, table 3 (from memory): ECe over ECw by leaching fraction.
TABLE_3 = {0.05: 3.2, 0.10: 2.1, 0.15: 1.6, 0.20: 1.3, 0.25: 1.2, 0.30: 1.0, 0.40: 0.9, 0.50: 0.8}


@pytest.mark.parametrize("fraction", TABLE_3)
def test_soil_concentrates_water_as_in_the_table(fraction):
    assert float(concentration_factor(fraction)) == pytest.approx(TABLE_3[fraction], abs=0.055)


@pytest.mark.parametrize(
    ("ecw", "ece", "share"),
    [(1.2, 2.5, 0.106), (1.2, 1.0, 0.316), (0.7, 1.0, 0.163), (0.5, 1.0, 0.111)],
)
def test_leaching_requirement_of_tomato_bean_strawberry_and_carrot(ecw, ece, share):
    assert float(leaching_requirement(ecw, ece)) == pytest.approx(share, abs=0.001)


def test_the_maize_of_the_worked_example():
    # Ayers and Westcot 1985, leaching example (from memory): ECw 1.2, 800 mm, efficiency 0.65.
    assert float(leaching_requirement(1.2, 1.7)) == pytest.approx(0.16, abs=0.01)
    share = float(leaching_requirement(1.2, 2.5))
    assert share == pytest.approx(0.10, abs=0.01)
    assert float(water_to_apply(800, 0.10)) == pytest.approx(890, abs=5)
    assert float(water_to_apply(800, 0.10, 0.65)) == pytest.approx(1370, abs=5)


@given(st.floats(0.01, 20), st.floats(0.1, 10), st.floats(1.001, 3))
def test_saltier_water_asks_for_more_leaching_until_nothing_fits(ecw, ece, times):
    first, second = leaching_requirement(np.array([ecw, ecw * times]), ece)
    assert np.isnan(second) or first < second < 1.0
    if np.isnan(first):
        assert ecw >= 2.5 * ece
        assert np.isnan(second)


def test_water_that_does_not_fit_the_crop_has_no_requirement():
    assert np.isnan(leaching_requirement([2.5, 4.0, 5.0, 6.0], 1.0)).all()
    assert np.isnan(leaching_requirement_often_watered(21.0, 10.0))
    assert float(leaching_requirement_often_watered(1.2, 10.0)) == pytest.approx(0.06)
    assert float(leaching_requirement(0.0, 1.0)) == 0.0


@given(
    st.lists(st.tuples(st.floats(0, 50), st.floats(0.1, 1000)), min_size=1, max_size=6),
    st.floats(0.1, 10),
)
def test_mixing_keeps_every_ion(waters, times):
    values, volumes = (np.array(one) for one in zip(*waters, strict=True))
    mixture = float(mixed(values, volumes))
    assert mixture * volumes.sum() == pytest.approx((values * volumes).sum(), abs=1e-9)
    assert float(mixed(values, volumes * times)) == pytest.approx(mixture, abs=1e-9)
    assert values.min() - 1e-9 <= mixture <= values.max() + 1e-9


@given(st.floats(0, 10), st.floats(0, 10), st.floats(0, 1))
def test_a_wanted_mixture_is_found_again(first, second, share):
    wanted = float(mixed([first, second], [1 - share, share]))
    found = float(share_of_second(first, second, wanted))
    assert not np.isnan(found)
    assert float(mixed([first, second], [1 - found, found])) == pytest.approx(wanted, abs=1e-9)


def test_a_mixture_beyond_both_is_not_to_be_had():
    assert np.isnan(share_of_second(1.2, 0.5, 0.4))
    assert np.isnan(share_of_second(1.0, 1.0, 0.5))


def test_rain_leaches_for_nothing():
    assert free_leaching_share([100.0, 100.0, 0.0], [40.0, 300.0, 0.0]).tolist() == [0.4, 1.0, 1.0]


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: relative_yield(1, -1, 10), "threshold is 0 dS/m or more, not -1"),
        (lambda: relative_yield(1, 1, 0), "slope is more than 0 %"),
        (lambda: ece_at_loss(101, 1, 10), "between 0 and 100"),
        (lambda: concentration_factor(0.0), "above 0 and up to 1"),
        (lambda: leaching_requirement(-1, 1), "0 dS/m or more, not -1"),
        (lambda: water_to_apply(800, 1.0), "from 0 to below 1"),
        (lambda: water_to_apply(800, 0.1, 0.0), "above 0 and up to 1"),
        (lambda: mixed([1.0], [0.0]), "some water must be there"),
    ],
)
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()
