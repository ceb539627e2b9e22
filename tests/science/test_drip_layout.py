import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perennate.science.drip import Emitter
from perennate.science.drip_layout import (
    TAP_SHARE,
    BedShape,
    DripLayout,
    Ground,
    Line,
    Tap,
    layout,
    layouts,
    line_positions,
    zones,
)

LOAM = Ground(0.45, 0.375, 0.975, 15.0)
SAND = Ground(0.30, 0.25, 0.375, 40.0)
CLAY = Ground(0.60, 0.525, 1.4, 3.0)
LINE = Line(Emitter(2.0), (0.2, 0.3, 0.4, 0.5), 13.6, 30.0, 250.0)
MAINS = Tap(15.0, 200.0, supply_m=10.0)
BED = BedShape(10.0, 1.2)


def test_a_dense_bed_of_1_2_m_has_three_lines_on_loam_and_four_on_sand() -> None:
    """Common practice for beds that are planted all over."""
    loam, sand = layout(BED, LOAM, LINE, MAINS), layout(BED, SAND, LINE, MAINS)
    assert loam.positions_m == pytest.approx((0.2, 0.6, 1.0))
    assert sand.lines == 4
    assert (loam.emitter_spacing_m, sand.emitter_spacing_m) == (0.3, 0.2)
    assert loam.emitters_per_line == 33
    assert loam.line_m == 30.0


def test_rows_share_the_fewest_lines_that_reach_them() -> None:
    rows = BedShape(10.0, 1.2, rows_m=(0.1, 0.3, 0.5, 1.0))
    assert line_positions(rows, LOAM) == pytest.approx((0.3, 1.0))
    assert line_positions(BedShape(10.0, 1.2, rows_m=(0.6,)), CLAY) == (0.6,)


def test_flow_rate_and_run_time_belong_together() -> None:
    found = layout(BED, LOAM, LINE, MAINS)
    assert found.rate_mm_h == pytest.approx(found.flow_l_h / (10.0 * 1.2), rel=1e-6)
    assert found.minutes == pytest.approx(60.0 * 10.0 / (0.9 * found.rate_mm_h))
    assert found.flow_l_h == pytest.approx(99 * 2.0 * (found.inlet_kpa / 100.0) ** 0.5, rel=0.01)


def test_a_long_supply_pipe_takes_pressure() -> None:
    near = layout(BED, LOAM, LINE, MAINS)
    far = layout(BED, LOAM, LINE, Tap(15.0, 200.0, supply_m=100.0))
    high = layout(BED, LOAM, LINE, Tap(15.0, 200.0, supply_m=10.0, rise_m=5.0))
    assert far.inlet_kpa < near.inlet_kpa < 200.0
    assert high.inlet_kpa == pytest.approx(near.inlet_kpa - 5 * 9.80665, abs=1.5)


def test_too_much_pressure_asks_for_a_reducer_and_gets_the_nominal_one() -> None:
    found = layout(BED, LOAM, LINE, Tap(15.0, 500.0))
    assert "pressure_high" in found.warnings
    assert found.inlet_kpa == pytest.approx(100.0)
    assert [part.amount for part in found.parts if part.key == "pressure_reducer"] == [1]
    assert "pressure_reducer" not in [part.key for part in layout(BED, LOAM, LINE, MAINS).parts]


def test_a_tank_on_a_stand_gives_little_and_says_so() -> None:
    found = layout(BED, LOAM, LINE, Tap(15.0, 1.5 * 9.80665))
    assert "pressure_low" in found.warnings
    assert 0.0 < found.flow_l_h < 99.0


def test_a_tank_below_the_bed_gives_nothing() -> None:
    found = layout(BED, LOAM, LINE, Tap(15.0, 20.0, rise_m=5.0))
    assert found.flow_l_h == 0.0
    assert found.minutes == float("inf")


@pytest.mark.parametrize(
    ("bed", "ground", "tap", "warning"),
    [
        (BED, LOAM, Tap(2.0, 200.0), "tap_short"),
        (BedShape(140.0, 1.2), SAND, Tap(60.0, 100.0, 5.0, 40.0), "uneven"),
        (BED, CLAY, MAINS, "runs_off"),
        (BED, Ground(0.8, 0.5, 0.4, 30.0), MAINS, "dry_strips"),
        (BedShape(10.0, 1.2, rows_m=(0.2, 0.8)), Ground(0.8, 0.3, 0.4, 30.0), MAINS, "rows_far"),
    ],
)
def test_each_fault_is_warned_of_and_a_good_bed_is_not(
    bed: BedShape, ground: Ground, tap: Tap, warning: str
) -> None:
    assert warning in layout(bed, ground, LINE, tap).warnings
    assert layout(BED, SAND, LINE, Tap(15.0, 100.0)).warnings == ()


def test_parts_run_from_the_tap_to_the_end_caps() -> None:
    found = layout(BED, LOAM, LINE, MAINS)
    amounts = {part.key: part.amount for part in found.parts}
    assert found.parts[0].key == "backflow_preventer"
    assert amounts["drip_line"] == 30.0
    assert amounts["line_start"] == amounts["end_cap"] == 3
    assert amounts["supply_pipe"] == pytest.approx(11.2)
    assert amounts["stake"] == 3 * 7


def test_beds_laid_together_are_those_laid_alone() -> None:
    beds = [BED, BedShape(4.0, 0.8), BedShape(25.0, 1.2, slope=-0.05)]
    for one, bed in zip(layouts(beds, LOAM, LINE, MAINS), beds, strict=True):
        alone = layout(bed, LOAM, LINE, MAINS)
        assert one.flow_l_h == pytest.approx(alone.flow_l_h, rel=1e-5)
        assert one.warnings == alone.warnings
    assert layouts([], LOAM, LINE, MAINS) == ()


def beds_of(lengths: list[float]) -> tuple[DripLayout, ...]:
    return layouts([BedShape(length, 1.2) for length in lengths], LOAM, LINE, Tap(100.0, 100.0))


def test_zones_hold_what_the_tap_can_feed() -> None:
    laid = beds_of([10.0, 10.0, 10.0, 5.0, 5.0])
    flow = laid[0].flow_l_h
    found = zones(laid, flow * 2.05)
    assert len(found.zones) == 2
    assert found.known_fewest
    assert found.too_big == ()
    assert max(found.flows_l_h) <= flow * 2.05


def test_a_bed_too_big_for_the_tap_is_split_by_its_lines() -> None:
    laid = beds_of([10.0])
    found = zones(laid, laid[0].flow_l_h * 0.7)
    assert found.zones == (((0, 2),), ((0, 1),))
    none = zones(laid, laid[0].flow_l_h * 0.3)
    assert (none.zones, none.too_big) == ((), (0,))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(1.0, 20.0), min_size=1, max_size=12), st.floats(50.0, 600.0))
def test_every_line_lies_in_one_zone_or_its_bed_is_named(
    lengths: list[float], usable: float
) -> None:
    laid = beds_of(lengths)
    found = zones(laid, usable)
    placed = dict.fromkeys(range(len(laid)), 0)
    for zone, flow in zip(found.zones, found.flows_l_h, strict=True):
        assert flow <= usable * (1 + 1e-6)
        assert flow == pytest.approx(sum(laid[bed].line_flow_l_h * lines for bed, lines in zone))
        for bed, lines in zone:
            placed[bed] += lines
    for bed, one in enumerate(laid):
        assert placed[bed] == (0 if bed in found.too_big else one.lines)


def test_a_part_of_the_flow_of_a_tap_is_kept_back() -> None:
    assert Tap(10.0, 300.0).usable_l_h == pytest.approx(600.0 * TAP_SHARE)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Ground(0.0, 0.3, 0.4, 10.0),
        lambda: Tap(0.0, 300.0),
        lambda: Tap(10.0, 300.0, supply_m=-1.0),
        lambda: BedShape(10.0, 0.0),
        lambda: BedShape(10.0, 1.2, rows_m=(1.3,)),
        lambda: BedShape(10.0, 1.2, slope=0.8),
        lambda: zones((), 0.0),
    ],
)
def test_what_cannot_be_laid_is_refused(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"above 0|within|lies|below"):
        wrong()  # type: ignore[operator]
