"""Drip lines: printed examples, sums done by hand, and balances that must close."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.science.drip import (
    Emitter,
    application_rate,
    christiansen_uniformity,
    clogging,
    emission_uniformity,
    greatest_length,
    line_run,
    pulses,
    run_minutes,
)
from perennate.science.pipe_flow import KPA_PER_M, head_loss

PLAIN = Emitter(2.0)
HOLDING = Emitter(1.6, exponent=0.0, least_kpa=50.0)


def test_emission_uniformity_of_keller_and_karmeli() -> None:
    """Keller and Karmeli 1974: variation 0.05, one emitter, least 0.95 of the mean: 89 %."""
    flow = np.array([0.95, 1.0, 1.05])
    assert float(emission_uniformity(flow, 0.05)) == pytest.approx(89.0, abs=0.1)
    assert float(emission_uniformity(flow, 0.05, 4)) == pytest.approx(92.0, abs=0.1)


def test_rate_and_run_time_of_a_bed() -> None:
    """1.6 l/h at 0.30 by 0.40 m, 20 mm net at 90 %: 13.33 mm/h and 100 min (worked out apart)."""
    rate = float(application_rate(1.6, 0.30, 0.40))
    assert rate == pytest.approx(13.33, abs=0.01)
    assert float(run_minutes(20, rate, 0.9)) == pytest.approx(100.0, abs=0.1)


def test_run_time_of_a_spanish_grower_guide() -> None:
    """2.3 l/m2 a day with two emitters of 3 l/h on a square metre: 23 min (in a secondary note)."""
    assert float(run_minutes(2.3, application_rate(3, 0.5, 1.0), 1.0)) == pytest.approx(23, abs=0.1)


def test_christiansen_uniformity_by_hand() -> None:
    cups = [8.0, 10.0, 10.0, 12.0]
    assert float(christiansen_uniformity(cups)) == pytest.approx(90.0)


def test_an_emitter_gives_by_the_root_of_pressure_or_the_same() -> None:
    heads = np.array([100.0, 25.0, 0.0, -10.0]) / KPA_PER_M
    assert PLAIN.flow(heads) == pytest.approx([2.0, 1.0, 0.0, 0.0])
    assert HOLDING.flow(np.array([300.0, 50.0, 12.5]) / KPA_PER_M) == pytest.approx([1.6, 1.6, 0.8])


def test_even_outlets_lose_what_the_factor_of_christiansen_says() -> None:
    """A compensating line far above its least pressure draws the same at each emitter.

    Christiansen 1942: 1/(m + 1) + 1/(2 n) + sqrt(m - 1)/(6 n^2) of the loss of the whole flow.
    """
    count, spacing, bore = 100, 0.3, 13.6
    run = line_run(HOLDING, count, spacing, bore, 30.0, law="hazen-williams")
    lost = 30.0 - run.end_head[0]
    through = float(head_loss(count * 1.6, bore, count * spacing, "hazen-williams"))
    assert run.inlet_flow[0] == pytest.approx(160.0)
    factor = 1 / 2.852 + 1 / (2 * count) + np.sqrt(0.852) / (6 * count**2)
    assert lost == pytest.approx(through * factor, rel=0.002)


def test_two_emitters_by_hand() -> None:
    """q2 by the head behind both pieces of pipe, q1 by that behind the first."""
    run = line_run(PLAIN, 2, 5.0, 4.0, 10.0)
    first, second = run.flow[0]
    head_1 = 10.0 - float(head_loss(first + second, 4.0, 5.0))
    head_2 = head_1 - float(head_loss(second, 4.0, 5.0))
    assert run.head[0] == pytest.approx([head_1, head_2], abs=1e-6)
    assert [first, second] == pytest.approx(
        [2.0 * (h * KPA_PER_M / 100.0) ** 0.5 for h in (head_1, head_2)], abs=1e-6
    )


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 200),
    st.floats(0.1, 1.0),
    st.floats(10.0, 20.0),
    st.floats(0.5, 35.0),
    st.floats(-0.1, 0.1),
    st.sampled_from([0.0, 0.3, 0.5, 0.7, 1.0]),
)
def test_what_enters_a_line_leaves_it_and_heads_follow_from_flows(
    count: int, spacing: float, bore: float, inlet: float, slope: float, exponent: float
) -> None:
    emitter = Emitter(2.0, exponent=exponent, least_kpa=50.0 if exponent == 0.0 else 0.0)
    run = line_run(emitter, count, spacing, bore, inlet, slope)
    flow, head = run.flow[0], run.head[0]
    assert float(flow.sum()) == pytest.approx(float(run.inlet_flow[0]))
    through = np.cumsum(flow[::-1])[::-1]
    lost = np.cumsum(head_loss(through, bore, spacing))
    rise = slope * spacing * np.arange(1, count + 1)
    assert head == pytest.approx(inlet - rise - lost, abs=1e-9)
    # a piece where flow turns turbulent may keep the rest from settling further
    assert flow == pytest.approx(emitter.flow(head), abs=1e-3 * 2.0)


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 150), st.floats(1.0, 30.0))
def test_more_pressure_never_gives_less_and_a_longer_line_never_more_even(
    count: int, inlet: float
) -> None:
    run = line_run(PLAIN, [count, count, 2 * count], 0.3, 13.6, [inlet, inlet + 1.0, inlet])
    assert run.inlet_flow[0] < run.inlet_flow[1]
    even = emission_uniformity(run.flow, 0.05)
    assert even[2] <= even[0] + 1e-6


def test_lines_solved_together_are_those_solved_alone() -> None:
    counts, inlets = [10, 120, 45], [10.0, 5.0, 20.0]
    together = line_run(PLAIN, counts, 0.3, 13.6, inlets)
    for i, (count, inlet) in enumerate(zip(counts, inlets, strict=True)):
        alone = line_run(PLAIN, count, 0.3, 13.6, inlet)
        assert together.flow[i, :count] == pytest.approx(alone.flow[0], abs=1e-7)
        assert np.isnan(together.flow[i, count:]).all()
        assert together.end_head[i] == pytest.approx(alone.end_head[0], abs=1e-6)


def test_a_line_up_a_hill_runs_dry_where_pressure_ends() -> None:
    run = line_run(PLAIN, 100, 0.5, 13.6, 3.0, slope=0.1)
    assert run.flow[0, -1] == 0.0
    assert run.flow[0, 0] > 0.5
    assert run.flow[0, 57] > 0.0 or run.flow[0, 56] > 0.0


def test_the_longest_line_keeps_the_uniformity_and_the_next_does_not() -> None:
    longest = greatest_length(PLAIN, 0.3, 13.6, 10.0, 90.0)
    count = round(longest / 0.3)
    even = emission_uniformity(line_run(PLAIN, [count, count + 1], 0.3, 13.6, 10.0).flow, 0.05)
    assert even[0] >= 90.0 > even[1]
    assert greatest_length(HOLDING, 0.3, 13.6, 20.0, 90.0) > longest
    assert greatest_length(PLAIN, 0.3, 13.6, 10.0, 95.0) == 0.0  # the emitters alone vary by more


def test_clay_is_watered_in_turns_and_sand_in_one() -> None:
    """20 mm/h on ground that takes 5: 15 mm/h are left standing, 5 mm after 20 min, which then
    need an hour to sink in."""
    clay = pulses(60.0, 20.0, 5.0)
    assert (clay.count, clay.on_minutes, clay.rest_minutes) == (3, 20.0, 60.0)
    sand = pulses(60.0, 20.0, 30.0)
    assert (sand.count, sand.on_minutes, sand.rest_minutes) == (1, 60.0, 0.0)


@given(st.floats(1, 600), st.floats(0.5, 60), st.floats(0.5, 60))
def test_turns_add_up_and_never_leave_more_standing(
    minutes: float, rate: float, takes: float
) -> None:
    found = pulses(minutes, rate, takes)
    assert found.count * found.on_minutes == pytest.approx(minutes)
    if found.count > 1 or rate > takes:
        assert (rate - takes) * found.on_minutes / 60.0 <= 5.0 + 1e-6


def test_iron_stops_up_emitters_and_what_is_not_tested_is_unknown() -> None:
    rated = clogging({"iron": 0.6, "ph": 8.3, "solids": 20.0})
    assert rated == {
        "solids": "none",
        "ph": "severe",
        "iron": "slight to moderate",
        "manganese": "unknown",
        "bacteria": "unknown",
    }


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Emitter(0.0),
        lambda: Emitter(2.0, exponent=1.4),
        lambda: Emitter(2.0, variation=0.9),
        lambda: Emitter(2.0, pressure_kpa=50.0, least_kpa=80.0),
        lambda: line_run(PLAIN, 0, 0.3, 13.6, 10.0),
        lambda: line_run(PLAIN, 5, 0.0, 13.6, 10.0),
        lambda: application_rate(2, 0, 1),
        lambda: run_minutes(10, 0.0),
        lambda: run_minutes(10, 5.0, 1.5),
        lambda: pulses(10, 5.0, 0.0),
        lambda: clogging({"gold": 1.0}),
        lambda: clogging({"iron": -1.0}),
    ],
)
def test_what_no_line_has_is_refused(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"above|lies|share|at least|not"):
        wrong()  # type: ignore[operator]
