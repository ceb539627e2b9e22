import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from perennate.science.rain_tank import ROOF_RUNOFF, collected, size_for, tank_run

litres = arrays(np.float64, (3, 20), elements=st.floats(0, 500))


def test_rain_on_a_roof_in_litres():
    assert collected([10.0, 0.0], 50.0, 0.9).tolist() == [[450.0, 0.0]]


def test_the_first_flush_goes_once_in_each_rain():
    # The diverter holds 2 mm, fills over two days, and empties on the dry day.
    found = collected([1.0, 3.0, 5.0, 0.0, 4.0], 1.0, 1.0, 2.0)
    assert found[0].tolist() == pytest.approx([0.0, 2.0, 5.0, 0.0, 2.0])


def test_smooth_roofs_give_more_than_rough_ones():
    shares = [ROOF_RUNOFF[kind][0] for kind in ("metal", "tile", "flat gravel", "green")]
    assert shares == sorted(shares, reverse=True)
    for value, low, high in ((v, lo, hi) for v, lo, hi in ROOF_RUNOFF.values()):
        assert 0 < low < value < high <= 1


def test_a_tank_by_hand():
    # Drawn from the evening before, then rain, then spill: 100 l tank, 30 l a day.
    run = tank_run([[50.0, 120.0, 0.0, 0.0]], 30.0, 100.0)
    assert run.drawn[0].tolist() == [0.0, 30.0, 30.0, 30.0]
    assert run.spilled[0].tolist() == [0.0, 70.0, 0.0, 0.0]
    assert run.level[0].tolist() == [50.0, 70.0, 40.0, 10.0]
    assert run.share_of_demand[0] == pytest.approx(0.75)
    assert run.share_of_days[0] == pytest.approx(0.75)


def one_after_another(inflow, demand, tank, start):
    level, levels = start, []
    for comes, asked in zip(inflow.ravel(), demand.ravel(), strict=True):
        drawn = min(asked, level)
        level = min(level - drawn + comes, tank - drawn)
        levels.append(level)
    return np.array(levels).reshape(inflow.shape)


@settings(deadline=None)
@given(litres, litres, st.floats(1, 2000), st.floats(0, 1))
def test_years_side_by_side_are_the_years_one_after_another(inflow, demand, tank, full):
    run = tank_run(inflow, demand, tank, full * tank)
    assert run.level.tolist() == one_after_another(inflow, demand, tank, full * tank).tolist()


@settings(deadline=None)
@given(litres, litres, st.floats(1, 2000), st.floats(0, 1))
def test_no_litre_is_lost_or_made(inflow, demand, tank, full):
    run = tank_run(inflow, demand, tank, full * tank)
    left = run.start + inflow.sum() - run.drawn.sum() - run.spilled.sum() - run.level[-1, -1]
    assert abs(left) <= 1e-9 * max(1.0, inflow.sum() + tank)
    assert (run.level >= 0).all()
    assert (run.level <= tank).all()
    assert (run.drawn <= demand).all()


@settings(deadline=None)
@given(litres, litres, st.floats(1, 1000), st.floats(1, 5))
def test_a_larger_tank_never_gives_less(inflow, demand, tank, times):
    small, large = (tank_run(inflow, demand, size) for size in (tank, tank * times))
    assert large.drawn.sum() >= small.drawn.sum() - 1e-9


def test_the_size_for_a_share_serves_it_and_a_smaller_one_does_not():
    inflow = np.tile([400.0, 0, 0, 0, 0, 0, 0, 0, 0, 0], (2, 10))
    size = size_for(inflow, 30.0, 0.9)
    assert tank_run(inflow, 30.0, size).drawn.sum() >= 0.9 * 30.0 * inflow.size
    assert tank_run(inflow, 30.0, size * 0.95).drawn.sum() < 0.9 * 30.0 * inflow.size
    assert size_for(inflow, 30.0, 0.9, chance=1.0) >= size


def test_no_tank_makes_rain():
    inflow = np.full((2, 30), 10.0)
    assert size_for(inflow, 30.0, 0.9) is None


def test_years_that_ask_for_nothing_are_served():
    run = tank_run(np.ones((2, 3)), 0.0, 10.0)
    assert run.share_of_demand.tolist() == run.share_of_days.tolist() == [1.0, 1.0]


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: tank_run([1.0], 1.0, 0.0), "a tank holds more than 0 l, not 0"),
        (lambda: tank_run([1.0], 1.0, 10.0, 20.0), "cannot begin with 20 l"),
        (lambda: tank_run([-1.0], 1.0, 10.0), "0 l or more"),
        (lambda: collected([-1.0], 10.0, 0.9), "rain of a day is 0 mm or more, not -1"),
        (lambda: collected([1.0], 0.0, 0.9), "more than 0 m2, not 0"),
        (lambda: collected([1.0], 10.0, 1.2), "up to 1, not 1.2"),
        (lambda: collected([1.0], 10.0, 0.9, -1.0), "0 mm or more, not -1"),
        (lambda: size_for([1.0], 1.0, 1.5), "between 0 and 1, not 1.5"),
    ],
)
def test_what_cannot_be_is_refused_of_a_tank(call, words):
    with pytest.raises(ValueError, match=words):
        call()
