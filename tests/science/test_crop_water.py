import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science.crop_water import (
    cover_from_kcb,
    density_coefficient,
    depletion_fraction,
    exposed_wet_share,
    kc_for_climate,
    kc_max,
    kcb_for_cover,
    root_depth_course,
    scaled_stages,
    stage_course,
    stage_of_day,
    yield_share,
)

shares = st.floats(0, 1)
heights = st.floats(0.05, 5)
lengths = st.lists(st.floats(1, 120), min_size=4, max_size=4)


def test_fao56_example_28_dry_beans() -> None:
    """Allen and others 1998, example 28: stages 25/25/30/20, Kc 0.15, 1.19, 0.35."""
    course = stage_course([20, 40, 70, 95], [25, 25, 30, 20], 0.15, 1.19, 0.35)
    assert course == pytest.approx([0.15, 0.77, 1.19, 0.56], abs=0.005)
    assert list(stage_of_day([25, 26, 50, 51, 80, 81, 300], [25, 25, 30, 20])) == [
        *(0, 1, 1, 2, 2, 3),
        3,
    ]


def test_many_plantings_at_once_are_what_each_is_alone() -> None:
    stages = np.array([[20, 30, 40, 15], [10, 10, 15, 5]])
    days = np.arange(1, 120)
    both = stage_course(days, stages, [0.15, 0.3], [1.1, 0.9], [0.7, 0.8])
    assert both.shape == (2, 119)
    for row, (three, length) in enumerate(
        zip(((0.15, 1.1, 0.7), (0.3, 0.9, 0.8)), stages, strict=True)
    ):
        assert np.array_equal(both[row], stage_course(days, length, *three))
    assert stage_course(7, stages, 0.15, 1.1, 0.7).shape == (2,)
    assert stage_course(7, stages[0], 0.15, 1.1, 0.7).shape == ()
    assert stage_of_day(days, stages).shape == (2, 119)


@given(lengths=lengths, days=st.floats(1, 400))
def test_stretched_stages_keep_their_shares(lengths: list[float], days: float) -> None:
    stretched = scaled_stages(lengths, days)
    assert stretched.sum() == pytest.approx(days)
    assert stretched / days == pytest.approx(np.array(lengths) / sum(lengths))


@given(lengths=lengths, three=st.tuples(*[st.floats(0.1, 1.3)] * 3), day=st.floats(1, 500))
def test_a_course_never_leaves_its_coefficients(
    lengths: list[float], three: tuple[float, float, float], day: float
) -> None:
    found = float(stage_course(day, lengths, *three))
    assert min(three) - 1e-12 <= found <= max(three) + 1e-12


def test_fao56_example_27_maize_in_two_climates() -> None:
    """Allen and others 1998, example 27: 1.07 in Taipei (humid, still), 1.30 at Mocha (windy)."""
    assert kc_for_climate(1.2, [1.3, 4.6], [75, 44], 2.0) == pytest.approx([1.07, 1.30], abs=0.005)
    assert float(kc_for_climate(0.4, 6.0, 20.0, 2.0)) == 0.4  # small coefficients stay
    assert float(kc_for_climate(1.1, 2.0, 45.0, 1.0)) == 1.1
    assert float(kc_for_climate(1.1, 15.0, 5.0, 1.0)) == float(kc_for_climate(1.1, 6, 20, 1))


@given(basal=st.floats(0.15, 1.2), wind=st.floats(0, 10), rh=st.floats(5, 100), height=heights)
def test_wet_ground_and_crop_together_always_give_off_more_than_the_crop(
    basal: float, wind: float, rh: float, height: float
) -> None:
    most = float(kc_max(basal, wind, rh, height))
    assert most >= basal + 0.05 - 1e-12
    cover = float(cover_from_kcb(basal, most, height))
    assert 0.01 <= cover <= 0.99
    assert 0.01 <= float(exposed_wet_share(cover)) <= 1.0 - cover + 1e-12


@given(full=st.floats(0.2, 1.2), less=shares, more=shares, height=heights)
def test_a_denser_stand_asks_for_more_and_never_for_more_than_a_closed_one(
    full: float, less: float, more: float, height: float
) -> None:
    less, more = sorted((less, more))
    thin, dense = (float(kcb_for_cover(full, cover, height)) for cover in (less, more))
    assert 0.15 - 1e-12 <= thin <= dense + 1e-12 <= full + 2e-12
    assert float(density_coefficient(1.0, height)) == 1.0
    assert float(density_coefficient(0.0, height)) == 0.0


def test_a_young_crop_by_the_share_of_ground_that_it_covers() -> None:
    """Equation 98 of FAO-56, by hand: 30 % cover, 0.4 m high: min(1, 0.6, 0.3^(1/1.4) = 0.423)."""
    assert float(density_coefficient(0.3, 0.4)) == pytest.approx(0.423, abs=0.001)
    assert float(kcb_for_cover(1.1, 0.3, 0.4)) == pytest.approx(0.15 + 0.423 * 0.95, abs=0.001)
    with pytest.raises(ValueError, match="is it in per cent"):
        density_coefficient(30.0, 0.4)


@given(table=st.floats(0.1, 0.8), etc=st.floats(0, 15))
def test_what_may_be_used_stays_between_a_tenth_and_eight_tenths(table: float, etc: float) -> None:
    found = float(depletion_fraction(table, etc))
    assert 0.1 <= found <= 0.8
    assert float(depletion_fraction(table, 5.0)) == pytest.approx(table)
    assert found >= float(depletion_fraction(table, etc + 1.0))


@given(kcb=st.lists(st.floats(0.15, 1.2), min_size=2, max_size=60), first=st.floats(0.05, 0.3),
       deeper=st.floats(0, 2))  # fmt: skip
def test_roots_go_down_with_the_crop_and_never_up(
    kcb: list[float], first: float, deeper: float
) -> None:
    depth = root_depth_course(kcb, 0.15, 1.2, first, first + deeper)
    assert np.all(np.diff(depth) >= -1e-12)
    assert np.all((depth >= first - 1e-12) & (depth <= first + deeper + 1e-9))


def test_fao33_yield_of_maize_with_a_fifth_of_the_water_lacking() -> None:
    """Doorenbos and Kassam 1979: ky 1.25 for maize, so a fifth less water is a quarter less."""
    assert float(yield_share(0.8, 1.25)) == pytest.approx(0.75)
    assert float(yield_share(1.2, 1.25)) == 1.0
    assert float(yield_share(0.0, 1.25)) == 0.0


def test_stages_that_are_none_are_refused() -> None:
    for wrong in ([10, 10, 10], [-1, 10, 10, 10], [0, 0, 0, 0]):
        with pytest.raises(ValueError, match="four stage lengths"):
            scaled_stages(wrong, 90)
    with pytest.raises(ValueError, match="a day or more"):
        scaled_stages([10, 10, 10, 10], 0)
