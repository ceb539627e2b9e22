import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import yields


def test_the_prior_of_carrot_from_three_studies_and_a_handbook():
    # Geometric mean of three measured gardens 7.11, handbook 6.1, ratio of roots 0.69.
    median = yields.pooled_median(7.11, 3, 6.1, 0.69)
    assert median == pytest.approx(5.77, abs=0.01)
    sigma = yields.total_sigma(0.65, 0.35, 0.25)
    assert sigma == pytest.approx(0.78, abs=0.005)
    assert yields.lognormal_quantile(median, sigma, [0.1, 0.9]) == pytest.approx(
        [2.1, 15.7], abs=0.06
    )


def test_the_mean_of_a_wide_spread_lies_far_above_its_middle():
    assert yields.lognormal_mean(1, 0.8) == pytest.approx(1.38, abs=0.005)
    assert yields.lognormal_quantile(1, 1, 0.3) == pytest.approx(np.exp(-0.524), abs=1e-3)


@given(st.floats(0.05, 20), st.floats(0.01, 1.5))
def test_a_range_gives_back_its_sigma(median, sigma):
    low, high = yields.lognormal_quantile(median, sigma, [0.1, 0.9])
    assert yields.sigma_of_range(low, high) == pytest.approx(sigma)


def test_the_garden_shows_in_its_harvests():
    # Rule of thumb: after k harvests the garden factor is d k/(k + 0.5).
    learned = yields.garden_factor([-0.4] * 3, 0.65, 0.35, 0.25)
    assert learned.mean == pytest.approx(-0.4 * 3 / 3.5, abs=0.01)
    assert learned.sd < 0.3
    assert yields.garden_factor([], 0.65, 0.35, 0.25) == (0.0, pytest.approx(0.65))


@given(st.lists(st.floats(-2, 2), min_size=1, max_size=12))
def test_learning_never_overshoots_the_records_and_narrows_the_spread(ratios):
    learned = yields.garden_factor(ratios, 0.65, 0.4, 0.3)
    assert abs(learned.mean) <= abs(np.mean(ratios)) + 1e-12
    assert learned.sd < 0.65


def test_one_crops_records_teach_the_others_through_the_garden():
    factor, sd = yields.learned_crop_factors([0, 0], [0.5, 0.7], 0.65, [0.4, 0.4], [0.3, 0.3])
    assert factor[0] > factor[1] > 0
    assert sd[0] < sd[1] < np.hypot(0.65, 0.4)


def test_with_one_crop_a_record_each_the_joint_rule_is_the_garden_rule():
    # Every record of another crop: crop and year are one noise to the garden factor.
    joint, _ = yields.learned_crop_factors([0, 1, 2], [0.2, 0.4, 0.6], 0.65, [0.35] * 4, [0.25] * 4)
    alone = yields.garden_factor([0.2, 0.4, 0.6], 0.65, 0.35, 0.25)
    assert joint[3] == pytest.approx(alone.mean)


def test_without_records_the_joint_rule_is_the_prior():
    factor, sd = yields.learned_crop_factors([], [], 0.6, [0.3], [0.2])
    assert factor.tolist() == [0]
    assert sd == pytest.approx([np.hypot(0.6, 0.3)])


@pytest.mark.parametrize(
    ("density", "weight", "crop"),
    [(4, 1.0, 4.0), (8, 0.667, 5.33), (16, 0.4, 6.4), (36, 0.2, 7.2)],
)
def test_yield_rises_to_a_plateau_with_density(density, weight, crop):
    # a 0.5 per kg, b 0.125 m2/kg: the plateau is 8 kg/m2.
    assert yields.plant_weight(density, 0.5, 0.125) == pytest.approx(weight, abs=5e-4)
    assert yields.yield_at_density(density, 0.5, 0.125) == pytest.approx(crop, abs=5e-3)
    assert yields.density_for_share(0.9, 0.5, 0.125) == pytest.approx(36)


def test_a_graded_crop_has_a_best_density():
    best = yields.best_density(0.5, 0.125, 0.8)
    assert best == pytest.approx(16)
    around = yields.yield_at_density([best * 0.9, best, best * 1.1], 0.5, 0.125, 0.8)
    assert around[1] > around[0]
    assert around[1] > around[2]


def test_hollidays_parabola_is_greatest_at_the_root_of_a_over_c():
    best = np.sqrt(0.5 / 0.002)
    around = yields.holliday_yield([best - 1, best, best + 1], 0.5, 0.1, 0.002)
    assert around[1] == max(around)


def test_impossible_figures_are_refused():
    with pytest.raises(ValueError, match="median"):
        yields.lognormal_quantile(0, 0.5, 0.5)
    with pytest.raises(ValueError, match="share"):
        yields.lognormal_quantile(1, 0.5, 1.0)
    with pytest.raises(ValueError, match="theta"):
        yields.best_density(0.5, 0.1, 1.0)


def test_a_sum_of_yields_spreads_less_than_its_parts():
    alone, shared = 0.4**2 * np.eye(4), np.full((4, 4), 0.65**2) + 0.4**2 * np.eye(4)
    assert yields.lognormal_sum([3.0], [[0.8**2]]) == pytest.approx((3.0, 0.8))
    _, sigma = yields.lognormal_sum([1, 1, 1, 1], alone)
    assert sigma == pytest.approx(0.2, abs=0.01)
    _, with_garden = yields.lognormal_sum([1, 1, 1, 1], shared)
    assert 0.65 < with_garden < np.hypot(0.65, 0.4)


def test_the_sum_of_lognormals_agrees_with_drawing_them():
    medians, cov = np.array([2.0, 5.0, 1.0]), np.full((3, 3), 0.16) + 0.2 * np.eye(3)
    draws = np.random.default_rng(3).multivariate_normal(np.log(medians), cov, 200_000)
    total = np.exp(draws).sum(axis=1)
    median, sigma = yields.lognormal_sum(medians, cov)
    low, high = yields.lognormal_quantile(median, sigma, [0.1, 0.9])
    assert np.quantile(total, [0.1, 0.9]) == pytest.approx([low, high], rel=0.05)
