import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import betabinom, binom

from perennate.science import counts
from perennate.science.counts import Rate

rates = st.one_of(
    st.floats(0.05, 1.0).map(Rate),
    st.builds(Rate, st.floats(0.1, 0.95), st.floats(3.0, 500.0)),
)
wishes = st.integers(1, 300)
sureties = st.floats(0.05, 0.95)


def test_germination_and_seedling_losses_multiply_before_dividing():
    # Wanted 60 and a tenth spare, 85 % germinate, 90 % of those grow on: 86.3, so 87.
    rate = counts.chain_rate([Rate(0.85), Rate(0.90)])
    assert 66 / rate.mean == pytest.approx(86.3, abs=0.05)
    assert counts.number_to_start(66, rate, 0.5) in (86, 87)


def test_losses_of_a_survey_are_points_of_the_start():
    # Of 100 started 20, 11 and 9 are lost (a survey of the young-plant trade): 60 are sold.
    steps = counts.survivals_of_losses([0.20, 0.11, 0.09], "start")
    assert steps == pytest.approx((0.80, 0.8625, 0.8696), abs=5e-5)
    assert np.prod(steps) == pytest.approx(0.60)
    left = counts.survivals_of_losses([0.20, 0.11, 0.09], "left")
    assert np.prod(left) == pytest.approx(0.648, abs=5e-4)


def test_losses_that_leave_nothing_are_refused():
    with pytest.raises(ValueError, match="nothing"):
        counts.survivals_of_losses([0.6, 0.5], "start")


@pytest.mark.parametrize("surety", [0.5, 0.9, 0.99])
@pytest.mark.parametrize("rate", [0.1, 0.63, 0.95])
def test_numbers_to_start_agree_with_scipy(rate, surety):
    started = counts.number_to_start(40, Rate(rate), surety)
    assert binom.sf(39, started, rate) >= surety > binom.sf(39, started - 1, rate)


@pytest.mark.parametrize("strength", [4.0, 40.0, 4000.0])
@pytest.mark.parametrize("wanted", [1, 25, 400])
def test_numbers_from_an_uncertain_rate_agree_with_scipy(wanted, strength):
    started = counts.number_to_start(wanted, Rate(0.7, strength), 0.9)
    a, b = 0.7 * strength, 0.3 * strength
    assert betabinom.sf(wanted - 1, started, a, b) >= 0.9
    assert betabinom.sf(wanted - 1, started - 1, a, b) < 0.9


def test_plants_to_see_a_rare_kind_once_for_sure():
    # Published in breeding handbooks: 47 for 1/16 and 191 for 1/64 at 95 %.
    assert counts.number_to_start(1, Rate(1 / 16), 0.95) == 47
    assert counts.number_to_start(3, Rate(1 / 16), 0.95) == 99
    assert counts.number_to_start(1, Rate(1 / 64), 0.95) == 191


@settings(deadline=None)
@given(wishes, rates, sureties)
def test_the_number_suffices_and_one_less_does_not(wanted, rate, surety):
    started = counts.number_to_start(wanted, rate, surety)
    assert counts.chance_of_enough(started, wanted, rate) >= surety - 1e-9
    assert started == wanted or counts.chance_of_enough(started - 1, wanted, rate) < surety


@settings(deadline=None)
@given(wishes, rates, sureties, st.floats(0.0, 0.04))
def test_more_wanted_or_more_surety_never_needs_fewer(wanted, rate, surety, more):
    started = counts.number_to_start(wanted, rate, surety)
    assert counts.number_to_start(wanted + 1, rate, surety) >= started
    assert counts.number_to_start(wanted, rate, surety + more) >= started


def test_nothing_wanted_starts_nothing_and_a_sure_step_needs_no_spare():
    assert counts.number_to_start(0, Rate(0.5), 0.9) == 0
    assert counts.number_to_start(12, Rate(1.0), 0.99) == 12


@pytest.mark.parametrize("surety", [1.0, -0.1, 1.5])
def test_full_surety_is_refused(surety):
    with pytest.raises(ValueError, match="surety"):
        counts.number_to_start(10, Rate(0.9), surety)


def test_a_hopeless_wish_is_refused():
    with pytest.raises(ValueError, match="ten million"):
        counts.number_to_start(1000, Rate(0.00001), 0.9)


@settings(deadline=None)
@given(st.floats(0.2, 0.9), st.floats(0.02, 0.09))
def test_the_beta_law_keeps_the_mean_and_the_width_of_the_range(value, half):
    rate = counts.rate_from_spread(value, value - half, value + half)
    assert rate.mean == value
    width = rate.quantile(0.9) - rate.quantile(0.1)
    assert width == pytest.approx(2 * half, abs=1e-6)


def test_a_rate_without_spread_is_certain():
    assert counts.rate_from_spread(0.8, 0.8, 0.8).certain


def test_a_spread_that_no_law_has_is_refused():
    with pytest.raises(ValueError, match="80 %"):
        counts.rate_from_spread(0.98, 0.1, 1.0)
    with pytest.raises(ValueError, match="order"):
        counts.rate_from_spread(0.5, 0.6, 0.9)


def test_thinning_twice_is_thinning_once_at_the_product():
    # The distribution after two certain steps, by summing over the count after the first.
    started, first, second = 30, 0.8, 0.9
    after_first = binom.pmf(np.arange(started + 1), started, first)
    twice = [
        sum(after_first[m] * binom.pmf(k, m, second) for m in range(started + 1))
        for k in range(started + 1)
    ]
    once = counts.chain_rate([Rate(first), Rate(second)])
    assert once.certain
    assert binom.pmf(np.arange(started + 1), started, once.mean) == pytest.approx(twice)


def test_a_chain_of_uncertain_steps_keeps_mean_and_variance():
    steps = [Rate(0.85, 20.0), Rate(0.95, 60.0), Rate(0.9)]
    draws = np.random.default_rng(5)
    product = draws.beta(17, 3, 400_000) * draws.beta(57, 3, 400_000) * 0.9
    chain = counts.chain_rate(steps)
    assert chain.mean == pytest.approx(product.mean(), rel=1e-3)
    assert chain.variance == pytest.approx(product.var(), rel=1e-2)
    # The tails of the matched law are those of the product to half a point.
    for share in (0.1, 0.5, 0.9):
        assert chain.quantile(share) == pytest.approx(np.quantile(product, share), abs=0.005)


def test_surety_is_applied_once_over_the_chain():
    steps = [Rate(0.8), Rate(0.9), Rate(0.95)]
    once = counts.number_to_start_chain(100, steps, 0.9)
    each = 100
    for step in reversed(steps):
        each = counts.number_to_start(each, step, 0.9)
    assert once < each
    assert once == counts.number_to_start(100, Rate(0.8 * 0.9 * 0.95), 0.9)


def test_an_uncertain_rate_needs_more_than_a_certain_one():
    assert counts.number_to_start(100, counts.rate_from_spread(0.7, 0.55, 0.85), 0.9) > (
        counts.number_to_start(100, Rate(0.7), 0.9) + 10
    )


@settings(deadline=None)
@given(st.integers(1, 200), rates)
def test_the_spread_of_success_holds_the_stated_shares(started, rate):
    low, middle, high = counts.spread_of_success(started, rate)
    assert 0 <= low <= middle <= high <= started
    assert 1 - counts.chance_of_enough(started, high + 1, rate) >= 0.9 - 1e-9
    assert low == 0 or 1 - counts.chance_of_enough(started, low, rate) < 0.1


def test_ten_seeds_on_paper_say_little():
    # Wilson's interval, 95 %: 8 of 10 is 49 to 94 %, 80 of 100 is 71 to 87 %.
    assert counts.wilson_interval(8, 10) == pytest.approx((0.49, 0.94), abs=0.005)
    assert counts.wilson_interval(80, 100) == pytest.approx((0.71, 0.87), abs=0.005)
    few = counts.number_to_start(50, counts.rate_from_test(8, 10), 0.9)
    many = counts.number_to_start(50, counts.rate_from_test(80, 100), 0.9)
    assert few > many


def test_a_test_with_more_sprouts_than_seeds_is_refused():
    with pytest.raises(ValueError, match="11 of 10"):
        counts.rate_from_test(11, 10)


def test_expected_numbers_after_each_step_say_how_many_cells_and_pots():
    assert counts.left_after_steps(200, [Rate(0.8), Rate(0.9, 30.0)]) == pytest.approx((160, 144))
