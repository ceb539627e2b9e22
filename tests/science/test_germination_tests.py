import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit
from scipy.stats import binom, binomtest, norm, studentized_range

from perennate.science import germination_tests as gt
from perennate.science.counts import wilson_interval

# germinationmetrics, introduction: daily counts of 50 seeds, days 1 to 14.
DAYS = np.arange(1, 15)
COUNTS = np.array([0, 0, 0, 0, 4, 17, 10, 7, 1, 0, 1, 0, 0, 0])

# 7 CFR 201.55, four replicates of 100: averages [%] and the greatest range (below 87 from memory).
FOUR_OF_100 = {
    **{99: 5, 98: 6, 97: 7, 96: 8, 95: 9, 94: 10, 93: 10, 92: 11, 91: 11, 90: 12, 89: 12},
    **{88: 13, 87: 13, 86: 14, 84: 14, 83: 15, 81: 15, 80: 16, 78: 16, 77: 17, 73: 17},
    **{72: 18, 67: 18, 66: 19, 56: 19, 55: 20, 51: 20, 50: 20, 10: 12, 1: 5},
}
# The same rule, two replicates of 100.
TWO_OF_100 = {97: 6, 96: 6, 95: 7, 94: 8, 93: 8, 92: 9, 91: 9, 90: 9, 89: 10, 88: 10, 87: 11}

TEST = st.integers(1, 500).flatmap(
    lambda tested: st.tuples(st.integers(0, tested), st.just(tested))
)


@given(TEST, st.sampled_from([0.8, 0.9, 0.95, 0.99]))
def test_limits_are_those_of_scipy(test, surety):
    sprouted, tested = test
    known = binomtest(sprouted, tested)
    exact, wilson = (known.proportion_ci(surety, method) for method in ("exact", "wilson"))
    assert gt.exact_interval(sprouted, tested, surety) == pytest.approx(tuple(exact), abs=1e-9)
    assert wilson_interval(sprouted, tested, surety) == pytest.approx(tuple(wilson), abs=1e-9)
    one_sided = binomtest(sprouted, tested, alternative="greater").proportion_ci(surety, "exact")
    assert gt.shown_at_least(sprouted, tested, surety) == pytest.approx(one_sided.low, abs=1e-9)


@given(TEST, st.floats(0.5, 0.99))
def test_limits_contain_the_estimate_and_exact_ones_are_wider_than_one_sided(test, surety):
    sprouted, tested = test
    share = sprouted / tested
    for low, high in (
        gt.exact_interval(sprouted, tested, surety),
        wilson_interval(sprouted, tested, surety),
    ):
        assert 0 <= low <= share + 1e-12
        assert share - 1e-12 <= high <= 1
    assert gt.exact_interval(sprouted, tested, surety)[0] <= gt.shown_at_least(
        sprouted, tested, surety
    )


def test_ten_of_ten_do_not_show_three_quarters():
    assert gt.shown_at_least(10, 10) == pytest.approx(0.741, abs=5e-4)
    assert gt.fewest_that_show(0.75, 10) is None
    assert gt.fewest_that_show(0.75, 20) == 19
    assert gt.most_that_show_below(0.75, 20) == 11


@given(st.floats(0.02, 0.98), st.integers(1, 300), st.sampled_from([0.9, 0.95, 0.99]))
def test_the_counts_that_decide_are_the_first_that_do(standard, tested, surety):
    enough = gt.fewest_that_show(standard, tested, surety)
    # Were the lot just at the standard, so many or more would come with a chance of 1 - surety.
    if enough is None:
        assert binom.sf(tested - 1, tested, standard) > 1 - surety - 1e-9
    else:
        assert binom.sf(enough - 1, tested, standard) <= 1 - surety + 1e-9
        assert binom.sf(enough - 2, tested, standard) > 1 - surety - 1e-9
    below = gt.most_that_show_below(standard, tested, surety)
    if below is None:
        assert binom.cdf(0, tested, standard) > 1 - surety - 1e-9
    else:
        assert binom.cdf(below, tested, standard) <= 1 - surety + 1e-9
        assert binom.cdf(below + 1, tested, standard) > 1 - surety - 1e-9


@given(st.floats(0, 1), st.floats(0.01, 0.4), st.sampled_from([0.8, 0.95]))
def test_so_many_seeds_bring_the_precision_and_one_less_does_not(share, half, surety):
    seeds = gt.seeds_for_precision(share, half, surety)

    z = norm.ppf((1 + surety) / 2)

    def width(n):
        # half of Wilson's interval, for a share that need not be a whole count
        return z / (1 + z * z / n) * np.sqrt(share * (1 - share) / n + z * z / (4 * n * n))

    assert width(seeds) <= half + 1e-9
    if seeds > 1:
        assert width(seeds - 1) > half - 1e-9


def test_near_all_or_nothing_takes_fewer_seeds():
    assert gt.seeds_for_precision(0.8, 0.1) == 60
    assert gt.seeds_for_precision(0.5, 0.1) > 90
    assert gt.seeds_for_precision(0.98, 0.1) < 40


@pytest.mark.parametrize(("average", "most"), FOUR_OF_100.items())
def test_the_printed_tolerance_of_four_replicates(average, most):
    assert gt.greatest_range(average, 4, 100) == most
    # The formula behind it: the studentised range at 2.5 %.
    q = studentized_range.ppf(0.975, 4, np.inf)
    assert q * np.sqrt(average * (100 - average) / 100) == pytest.approx(most, abs=1.1)


@pytest.mark.parametrize(("average", "most"), TWO_OF_100.items())
def test_the_printed_tolerance_of_two_replicates(average, most):
    assert gt.greatest_range(average, 2, 100) == pytest.approx(most, abs=0.6)


@pytest.mark.parametrize("replicates", [2, 3, 4, 5, 6, 8])
def test_tolerances_rest_on_the_studentised_range(replicates):
    q = studentized_range.ppf(0.975, replicates, np.inf)
    assert gt.greatest_range(80, replicates, 25) == pytest.approx(
        q * np.sqrt(80 * 20 / 25), rel=1e-5
    )


def test_printed_measures_of_speed():
    mean, variance = gt.mean_germination_time(DAYS, COUNTS)
    assert mean == pytest.approx(6.7)
    assert variance == pytest.approx(1.446154, abs=5e-7)
    assert gt.time_to_half(DAYS, COUNTS) == pytest.approx(5.970588, abs=5e-7)
    assert gt.time_to_half(DAYS, COUNTS, "farooq") == pytest.approx(5.941176, abs=5e-7)
    assert gt.speed_of_germination(DAYS, COUNTS) == pytest.approx(6.138925, abs=5e-7)


def test_the_course_is_the_curve_that_scipy_fits():
    course = gt.fit_course(DAYS, COUNTS, 50)
    share = np.cumsum(COUNTS) / 50

    def hill(t, final, half, steepness):
        return final * t**steepness / (half**steepness + t**steepness)

    (final, half, steepness), _ = curve_fit(hill, DAYS, share, p0=[0.8, 6, 8])
    assert (course.final, course.half, course.steepness) == pytest.approx(
        (final, half, steepness), rel=1e-4
    )
    assert course.share_by(DAYS) == pytest.approx(share, abs=0.05)
    assert course.share_by([0, -1]) == pytest.approx([0, 0])
    assert course.day_of(0.5) == pytest.approx(course.half)
    assert course.day_of(0.1) < course.half < course.day_of(0.9)


@given(st.floats(0.3, 1), st.floats(3, 20), st.floats(2, 12))
def test_a_course_without_noise_is_found_again(final, half, steepness):
    days = np.linspace(0.5, 60, 120)
    so_far = 10_000 * final * gt.Course(1.0, half, steepness, 0.0).share_by(days)
    course = gt.fit_course(days, np.diff(so_far, prepend=0.0), 10_000)
    assert course.half == pytest.approx(half, rel=1e-3)
    assert course.final == pytest.approx(final, rel=1e-3)
    assert course.steepness == pytest.approx(steepness, rel=1e-2)


@given(st.lists(st.integers(0, 50), min_size=2, max_size=20).filter(lambda counts: sum(counts) > 0))
def test_times_lie_within_the_days_of_the_test(counts):
    days = np.arange(1, len(counts) + 1)
    mean, variance = gt.mean_germination_time(days, counts)
    assert 1 <= mean <= len(counts)
    assert variance >= 0
    if counts[0] < (sum(counts) + 1) / 2:
        assert 1 <= gt.time_to_half(days, counts) <= len(counts)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (lambda: gt.exact_interval(3, 2), "not 3 of 2"),
        (lambda: gt.exact_interval(1, 2, 1), "surety lies above 0 and below 1"),
        (lambda: gt.fewest_that_show(1, 20), "standard lies above 0"),
        (lambda: gt.seeds_for_precision(0.8, 0.5), "below 0.5"),
        (lambda: gt.seeds_for_precision(1.2, 0.1), "from 0 to 1"),
        (lambda: gt.greatest_range(101, 4, 100), "0 to 100"),
        (lambda: gt.greatest_range(90, 7, 100), "not 7"),
        (lambda: gt.greatest_range(90, 4, 0), "one seed at least"),
        (lambda: gt.mean_germination_time([1, 2], [0, 0]), "nothing sprouted"),
        (lambda: gt.mean_germination_time([2, 1], [1, 1]), "follow one another"),
        (lambda: gt.mean_germination_time([1, 2], [1]), "as many counts"),
        (lambda: gt.mean_germination_time([1, 2], [1, -1]), "not below 0"),
        (lambda: gt.time_to_half([5, 6], [9, 1]), "by the first count, on day 5"),
        (lambda: gt.speed_of_germination([0, 6], [9, 1]), "day 0 or before"),
        (lambda: gt.fit_course([1, 2, 3], [1, 1, 0], 10), "three days at least"),
        (lambda: gt.fit_course([1, 2, 3], [4, 4, 4], 10), "12 sprouts of 10"),
        (lambda: gt.seeds_each([3, 4, 3], 10), "3 equal replicates"),
    ],
)
def test_what_cannot_be_is_refused(asked, says):
    with pytest.raises(ValueError, match=says):
        asked()
