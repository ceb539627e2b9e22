import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science.gene_flow import (
    SIZE_POWER,
    SIZE_POWER_HIGH,
    SIZE_POWER_LOW,
    Spread,
    bloom_overlap,
    crossing_share,
    fit_power,
    foreign_genes_after,
    foreign_odds,
    off_types,
    within_points,
)

# Share of kernels with a foreign father [%] at a distance [m].
BALTAZAR_2015 = (
    (1, 2, 4, 8, 12, 16, 20, 25),
    (12.9, 4.6, 2.7, 1.4, 1.0, 0.9, 0.5, 0.5),
)
GOGGI_2007 = ((1, 10, 35), (30.1, 2.7, 0.4))
GOGGI_2007_THINNED = ((1, 10, 35), (42.2, 6.3, 1.3))
FITS = [
    (BALTAZAR_2015, 10.922, 0.973, 0.985),
    (GOGGI_2007, 32.881, 1.194, 0.990),
    (GOGGI_2007_THINNED, 45.730, 0.960, 0.987),
]


def fitted(points):
    far, percent = points
    return fit_power(far, np.array(percent) / 100.0)


@pytest.mark.parametrize(("points", "at_1_m", "exponent", "r_squared"), FITS)
def test_power_fits_to_measured_maize(points, at_1_m, exponent, r_squared):
    found = fitted(points)
    assert 100 * found.at_1_m == pytest.approx(at_1_m, abs=5e-4)
    assert found.exponent == pytest.approx(exponent, abs=5e-4)
    assert found.r_squared == pytest.approx(r_squared, abs=5e-4)


# Crane and Mather 1943, radish at 0.23 and 4.6 m; Nyambo and others 2024, amaranth at 10 and 150 m.
@pytest.mark.parametrize(
    ("far", "percent", "at_1_m", "exponent"),
    [((0.23, 4.6), (35, 1), 6.117, 1.187), ((10, 150), (12.9, 0.45), 223.748, 1.239)],
)
def test_two_points_give_a_line_but_no_error(far, percent, at_1_m, exponent):
    found = fit_power(far, np.array(percent) / 100.0)
    assert 100 * found.at_1_m == pytest.approx(at_1_m, rel=1e-4)
    assert found.exponent == pytest.approx(exponent, abs=5e-4)
    assert math.isnan(found.residual_sd)
    with pytest.raises(ValueError, match="a fit of 2 points"):
        crossing_share(found, 5.0)


@pytest.mark.parametrize("points", [BALTAZAR_2015, GOGGI_2007, GOGGI_2007_THINNED])
def test_the_points_lie_within_the_error_of_their_fit(points):
    far, percent = points
    found = crossing_share(fitted(points), far, chance=0.95)
    seen = np.array(percent) / 100.0
    assert np.all((found.low <= seen) & (seen <= found.high))


def test_beyond_the_points_nothing_is_claimed_but_a_bound():
    fit = fitted(BALTAZAR_2015)
    end, beyond = crossing_share(fit, 25.0), crossing_share(fit, 180.0)
    # Byrne and Fromherz 2003 measured 0.05 % at 180 m
    assert float(beyond.low) == 0.0
    assert float(beyond.high) == float(end.high) > 0.0005
    assert within_points(fit, [0.5, 1.0, 25.0, 26.0]).tolist() == [False, True, True, False]


def test_nearer_than_the_points_it_may_be_half_and_more():
    near = crossing_share(fitted(BALTAZAR_2015), [0.1, 1.0])
    assert near.high[0] == 0.5 > near.high[1]
    assert near.value[0] == near.value[1]


def test_a_power_of_distance_is_a_better_tail_than_an_exponential():
    far, percent = (np.array(one) for one in BALTAZAR_2015)
    line = np.polyfit(far, np.log(percent), 1)
    left = np.log(percent) - np.polyval(line, far)
    r_squared = 1 - (left @ left) / np.sum((np.log(percent) - np.log(percent).mean()) ** 2)
    assert r_squared == pytest.approx(0.831, abs=5e-4)
    assert fitted(BALTAZAR_2015).r_squared > r_squared


def test_size_counts_less_than_mass_action():
    # Goggi and others 2007: own pollen cut to a fifth made 2.7 % at 10 m into 6.3 %; mass action
    # would have made it 12.2 %
    normal = np.array(0.027)
    found = foreign_odds(Spread(normal, normal, normal), size_ratio=5.0)
    shares = [float(one / (1 + one)) for one in (found.low, found.value, found.high)]
    assert shares[1] == pytest.approx(0.063, abs=0.001)
    assert shares[2] == pytest.approx(0.122, abs=0.0005)
    assert shares[0] < shares[1] < shares[2]


def test_measured_effects_of_size_lie_within_those_reckoned_with():
    for (_, normal), (_, thinned) in [(GOGGI_2007, GOGGI_2007_THINNED)]:
        before, after = (np.array(one) / 100.0 for one in (normal, thinned))
        powers = np.log(after / (1 - after) / (before / (1 - before))) / np.log(5.0)
        assert np.all((powers > SIZE_POWER_LOW - 0.01) & (powers < SIZE_POWER_HIGH))
        assert np.median(powers) == pytest.approx(SIZE_POWER, abs=0.01)


def exactly(share):
    one = np.asarray(share, float)
    return Spread(one, one, one)


def test_hybrid_share_by_mass_action():
    # h = t f / (f + o): t 0.05 and equal patches side by side
    assert off_types(exactly([1.0]), (0.05, 0.05, 0.05))[0] == pytest.approx(0.025)
    assert off_types(exactly([0.02775 / 0.2]), (1, 1, 1))[0] == pytest.approx(0.121844, abs=5e-7)
    # two sources add their odds before the last step
    assert off_types(exactly([0.1, 0.1]), (1, 1, 1))[0] == pytest.approx(0.2 / 1.2)


@pytest.mark.parametrize(
    ("share", "seasons", "genes"), [(0.01, 5, 0.024751), (0.05, 5, 0.118904), (0.05, 10, 0.223670)]
)
def test_foreign_genes_over_the_seasons(share, seasons, genes):
    assert float(foreign_genes_after(share, seasons)) == pytest.approx(genes, abs=5e-7)


def test_blooms_overlap_by_their_days():
    assert float(bloom_overlap(100, 109, 100, 109)) == 1.0
    assert float(bloom_overlap(100, 109, 105, 130)) == pytest.approx(0.5)
    assert float(bloom_overlap(100, 109, 110, 120)) == 0.0
    assert float(bloom_overlap(100, 199, 110, 119)) == pytest.approx(0.1)
    # not certain of the days, there is some chance of meeting, and of missing
    assert 0.0 < float(bloom_overlap(100, 109, 115, 124, spread_days=7)) < 0.3
    assert float(bloom_overlap(100, 109, 100, 109, spread_days=7)) < 1.0


def test_the_expected_overlap_is_that_of_many_years():
    rng = np.random.default_rng(3)
    late = rng.normal(0.0, 6.0, 200_000)
    drawn = bloom_overlap(100, 119, 110 + late, 125 + late).mean()
    assert float(bloom_overlap(100, 119, 110, 125, 6.0)) == pytest.approx(drawn, abs=0.003)


# Bannert, Vogler and Stamp 2008: 5 to 7 days between mid-silk and mid-pollen cut maize crossing by
# 80 % or more; stands of maize shed pollen and show silk for about a week.
def test_a_week_between_maize_blooms_cuts_as_much_as_was_measured():
    assert float(bloom_overlap(100, 106, 107, 113)) < 0.2


distances = st.floats(0.0, 5000.0)
curves = st.sampled_from([fitted(points) for points in (BALTAZAR_2015, GOGGI_2007)])
spreads = st.floats(0.0, 30.0)


@given(curves, distances, distances, st.floats(0.01, 100.0))
def test_farther_is_never_more(fit, one, other, ratio):
    near, far = sorted((one, other))
    at_near, at_far = (foreign_odds(crossing_share(fit, d), ratio) for d in (near, far))
    for end in ("low", "value", "high"):
        assert getattr(at_far, end) <= getattr(at_near, end) * (1 + 1e-12)


@given(curves, distances, st.floats(0.01, 100), st.floats(1.0, 50.0))
def test_a_larger_foreign_stand_is_never_less(fit, far, ratio, times):
    small, large = (foreign_odds(crossing_share(fit, far), r) for r in (ratio, ratio * times))
    for end in ("low", "value", "high"):
        assert getattr(large, end) >= getattr(small, end) * (1 - 1e-9)


@given(curves, distances, st.floats(0, 1), st.floats(0, 1), st.floats(0.01, 100))
def test_more_overlap_or_more_passing_is_never_less(fit, far, one, other, ratio):
    less, more = sorted((one, other))
    share = crossing_share(fit, far)
    for apart, together in (
        (foreign_odds(share, ratio, less), foreign_odds(share, ratio, more)),
        (
            foreign_odds(share, ratio, 1, exactly(less)),
            foreign_odds(share, ratio, 1, exactly(more)),
        ),
    ):
        assert off_types(apart, (1, 1, 1)) <= off_types(together, (1, 1, 1))


@given(curves, distances, st.floats(0.01, 100), st.floats(0, 1))
def test_low_and_high_enclose_the_expected(fit, far, ratio, rate):
    found = foreign_odds(crossing_share(fit, far), ratio)
    value, low, high = off_types(found, (rate, rate / 2, min(1.0, rate * 1.5)))
    assert 0.0 <= low <= value <= high <= 1.0


@given(st.integers(0, 365), st.integers(0, 90), st.integers(0, 365), st.integers(0, 90), spreads)
def test_overlap_is_a_share_and_the_days_shared_are_the_same_both_ways(a, long_a, b, long_b, sd):
    one = float(bloom_overlap(a, a + long_a, b, b + long_b, sd))
    other = float(bloom_overlap(b, b + long_b, a, a + long_a, sd))
    assert 0.0 <= one <= 1.0
    assert one * (long_a + 1) == pytest.approx(other * (long_b + 1), abs=1e-6)


@given(st.integers(0, 100), st.integers(1, 60), st.integers(0, 60), st.integers(0, 30), spreads)
def test_a_longer_foreign_bloom_never_overlaps_less(start, long, gap, more, sd):
    first = start + gap
    short = bloom_overlap(start, start + long, first, first + 10, sd)
    longer = bloom_overlap(start, start + long, first, first + 10 + more, sd)
    assert float(longer) >= float(short) - 1e-9


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: fit_power([1], [0.1]), "two or more"),
        (lambda: fit_power([5, 5], [0.1, 0.2]), "two or more"),
        (lambda: fit_power([0, 5], [0.1, 0.2]), "more than 0 m"),
        (lambda: fit_power([1, 5], [0.0, 0.2]), "within 0 and 1"),
        (lambda: fit_power([1, 5], [0.1, 0.2]), "grows as distance"),
        (lambda: crossing_share(fitted(BALTAZAR_2015), -1.0), "0 m or more"),
        (lambda: crossing_share(fitted(BALTAZAR_2015), 5.0, 1.0), "a chance of 1"),
        (lambda: foreign_odds(exactly(0.1), 0.0), "size ratio of 0"),
        (lambda: foreign_odds(exactly(0.1), 1.0, 1.5), "an overlap of 1.5"),
        (lambda: foreign_odds(exactly(0.1), 1.0, 1.0, exactly(2.0)), "more than all"),
        (lambda: off_types(exactly(0.1), (0.5, 0.6, 0.7)), "in order"),
        (lambda: bloom_overlap(10, 9, 1, 5), "ends before"),
        (lambda: bloom_overlap(1, 9, 1, 5, -1), "spread of -1"),
        (lambda: foreign_genes_after(1.5, 3), "0 to 1"),
    ],
)
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()
