from math import exp, inf, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.stats import norm

from perennate.science.viability_fit import Prior, fit_lot

NOTHING_KNOWN = Prior(0.0, inf, 1.0, inf)

# Bliss 1935, beetles five hours in carbon disulphide: log10 dose [mg/l], exposed, killed; fitted by
# Dobson 1990 with a probit of -34.94 + 19.73 dose (table 7.2 and 7.3, from memory).
DOSE = np.array([1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.8610, 1.8839])
EXPOSED = np.array([59, 60, 62, 56, 63, 59, 62, 60])
KILLED = np.array([6, 13, 18, 28, 52, 53, 61, 60])

TESTS = st.lists(
    st.tuples(st.floats(0, 6), st.integers(1, 400), st.floats(0, 1)), min_size=0, max_size=6
)


def by_scipy(lost, sprouted, tested, prior):
    """The same mode by a general optimiser that is told nothing of slopes."""

    def height(at):
        v = at[0] - np.exp(at[1]) * lost
        below = (sprouted * norm.logcdf(v) + (tested - sprouted) * norm.logsf(v)).sum()
        below -= 0.5 * ((at[0] - prior.ki) / prior.ki_spread) ** 2
        return -(below - 0.5 * ((at[1] - log(prior.pace)) / prior.log_pace_spread) ** 2)

    start = [prior.ki, log(prior.pace)]
    found = minimize(
        height,
        start,
        method="Nelder-Mead",
        options={"xatol": 1e-9, "fatol": 1e-12, "maxiter": 9999},
    )
    return found.x[0], exp(found.x[1])


def shares_of(tests):
    lost = np.array([one[0] for one in tests])
    tested = np.array([one[1] for one in tests])
    sprouted = np.array([round(n * share) for _, n, share in tests])
    return lost, sprouted, tested


def test_a_published_probit_line_is_found_again():
    fit = fit_lot(DOSE, EXPOSED - KILLED, EXPOSED, NOTHING_KNOWN)
    assert fit.ki == pytest.approx(34.94, abs=0.01)
    assert fit.pace == pytest.approx(19.73, abs=0.01)
    # Dobson's standard errors: 2.64 and 1.48, from the same expected curvature.
    assert np.sqrt(fit.covariance[0][0]) == pytest.approx(2.64, abs=0.02)
    assert np.sqrt(fit.covariance[1][1]) * fit.pace == pytest.approx(1.48, abs=0.02)


def test_the_fit_is_the_one_that_a_general_optimiser_finds():
    lost, sprouted = np.array([0.0, 0.6, 1.1, 1.9]), np.array([47, 88, 41, 20])
    tested = np.array([50, 100, 50, 50])
    for prior in (Prior(), Prior(2.3, 0.2, 0.5, 0.3)):
        fit = fit_lot(lost, sprouted, tested, prior)
        assert (fit.ki, fit.pace) == pytest.approx(
            by_scipy(lost, sprouted, tested, prior), rel=1e-5
        )


def test_the_published_counts_with_a_prior_agree_with_a_general_optimiser():
    lost = DOSE - DOSE[0]
    prior = Prior(1.0, 0.5, 10.0, 0.5)
    fit = fit_lot(lost, EXPOSED - KILLED, EXPOSED, prior)
    there = by_scipy(lost, EXPOSED - KILLED, EXPOSED, prior)
    assert (fit.ki, fit.pace) == pytest.approx(there, rel=1e-5)


def test_without_tests_the_belief_stands():
    fit = fit_lot([], [], [])
    assert (fit.ki, fit.pace) == pytest.approx((Prior().ki, 1.0))
    middle, low, high = fit.share_at(0.0)
    assert (middle, low, high) == pytest.approx((0.95, 0.773, 0.9945), abs=0.007)
    # The pace of eight lots of ten lies within a factor of three of the species.
    paces = fit.paces[np.argsort(fit.paces)]
    weights = np.cumsum(fit.weights[np.argsort(fit.paces)])
    assert np.interp([0.1, 0.9], weights, paces) == pytest.approx([1 / 3, 3], rel=0.05)


def test_the_spread_is_that_of_many_lots_drawn_by_chance():
    random = np.random.default_rng(1)
    ki = random.normal(Prior().ki, Prior().ki_spread, 200_000)
    pace = np.exp(random.normal(0.0, Prior().log_pace_spread, 200_000))
    fit = fit_lot([], [], [])
    for lost in (0.0, 0.5, 1.0, 2.0):
        drawn = norm.cdf(np.quantile(ki - pace * lost, [0.5, 0.1, 0.9]))
        assert fit.share_at(lost) == pytest.approx(drawn, abs=0.008)
        until = np.quantile(np.maximum(ki - norm.ppf(0.6), 0) / pace, [0.1, 0.5, 0.9])
        found = [fit.lost_until(0.6, q) for q in (0.1, 0.5, 0.9)]
        assert found == pytest.approx(until, rel=0.03)


@pytest.mark.parametrize("prior", [Prior(), Prior(1.2, 0.4, 2.0, 0.3)])
def test_the_quantiles_are_those_of_a_dense_sum_over_all_that_is_possible(prior):
    lost, sprouted, tested = np.array([0.0, 0.7]), np.array([46, 17]), np.array([50, 25])
    ki, log_pace = np.meshgrid(np.linspace(-2, 5, 500), np.linspace(-5, 4, 500))
    height = norm.logpdf(ki, prior.ki, prior.ki_spread)
    height += norm.logpdf(log_pace, log(prior.pace), prior.log_pace_spread)
    for x, good, all_ in zip(lost, sprouted, tested, strict=True):
        v = ki - np.exp(log_pace) * x
        height += good * norm.logcdf(v) + (all_ - good) * norm.logsf(v)
    weights = np.exp(height - height.max()).ravel()
    fit = fit_lot(lost, sprouted, tested, prior)
    for x in (0.0, 0.7, 1.5):
        v = (ki - np.exp(log_pace) * x).ravel()
        order = np.argsort(v)
        dense = np.interp([0.5, 0.1, 0.9], np.cumsum(weights[order]) / weights.sum(), v[order])
        assert fit.share_at(x) == pytest.approx(norm.cdf(dense), abs=0.01)


def test_much_testing_overrules_the_belief():
    # A lot that dies four times as fast as its species, tested on thousands.
    lost = np.array([0.0, 0.2, 0.4, 0.6])
    alive = norm.cdf(2.0 - 4.0 * lost)
    fit = fit_lot(lost, np.round(20_000 * alive), np.full(4, 20_000))
    assert fit.pace == pytest.approx(4, rel=0.03)
    middle, low, high = fit.share_at(0.8)
    assert middle == pytest.approx(norm.cdf(2.0 - 3.2), abs=0.01)
    assert high - low < 0.03


def test_a_test_narrows_what_is_believed():
    before, after = fit_lot([], [], []), fit_lot([0.5], [90], [100])
    for lost in (0.0, 0.5, 1.0, 2.0):
        _, low, high = before.share_at(lost)
        _, lower, higher = after.share_at(lost)
        assert higher - lower < high - low


def test_the_spread_holds_the_truth_about_as_often_as_it_says():
    # Lots drawn from the very belief, two tests of 100 each: a later day is held in 8 of 10.
    random = np.random.default_rng(20)
    belief, held, lots = Prior(), 0, 300
    for _ in range(lots):
        ki = random.normal(belief.ki, belief.ki_spread)
        pace = exp(random.normal(0.0, belief.log_pace_spread))
        lost = np.array([0.1, 0.5])
        sprouted = random.binomial(100, norm.cdf(ki - pace * lost))
        _, low, high = fit_lot(lost, sprouted, [100, 100]).share_at(1.0)
        held += low <= norm.cdf(ki - pace) <= high
    assert 0.74 <= held / lots <= 0.86


@given(TESTS, st.floats(0, 5), st.floats(0, 5), st.sampled_from([0.5, 0.8, 0.95]))
def test_the_estimate_lies_within_its_limits_and_never_rises_in_store(tests, lost, more, surety):
    fit = fit_lot(*shares_of(tests))
    before, after = fit.share_at(lost, surety), fit.share_at(lost + more, surety)
    for middle, low, high in (before, after):
        assert 0 <= low <= middle <= high <= 1
    assert all(late <= early + 1e-12 for early, late in zip(before, after, strict=True))


@given(TESTS, st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_where_a_share_is_reached_the_share_is_that(tests, share, quantile):
    fit = fit_lot(*shares_of(tests))
    lost = fit.lost_until(share, quantile)
    surety, which = abs(1 - 2 * quantile), 1 if quantile < 0.5 else 2
    if lost > 0 and surety > 0:
        assert fit.share_at(lost, surety)[which] == pytest.approx(share, abs=0.02)
    assert fit.lost_until(share, min(0.99, quantile + 0.04)) >= lost


def test_of_the_start_is_counted_from_each_start():
    fit = fit_lot([0.0, 0.5], [380, 330], [400, 400])
    start = fit.share_at(0.0)[0]
    lost = fit.lost_until(0.85, of_start=True)
    assert fit.share_at(lost)[0] == pytest.approx(0.85 * start, abs=0.003)


@pytest.mark.parametrize(
    ("lost", "sprouted", "tested", "says"),
    [
        ([0.1], [3, 4], [5, 5], "as many losses as tests"),
        ([0.1], [6], [5], "0 <= sprouted <= tested"),
        ([-0.1], [3], [5], "not below 0"),
        ([inf], [3], [5], "not below 0"),
    ],
)
def test_tests_that_cannot_be_are_refused(lost, sprouted, tested, says):
    with pytest.raises(ValueError, match=says):
        fit_lot(lost, sprouted, tested)


def test_one_test_and_no_belief_leave_all_open():
    with pytest.raises(ValueError, match="too few tests"):
        fit_lot([0.5], [40], [50], NOTHING_KNOWN)
    with pytest.raises(ValueError, match="above 0"):
        Prior(pace=0)
