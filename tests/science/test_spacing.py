import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import spacing

lengths = st.floats(0.2, 30.0)
spacings = st.floats(0.02, 1.5)
margins = st.floats(0.0, 0.5)


@pytest.mark.parametrize(
    ("spacing_cm", "offset", "square"),
    [
        (5, 461.88, 400.00),
        (10, 115.47, 100.00),
        (30, 12.83, 11.11),
        (46, 5.46, 4.73),
        (91, 1.39, 1.21),
    ],
)
def test_density_follows_the_geometry_of_equal_distances(spacing_cm, offset, square):
    assert spacing.plants_per_m2(spacing_cm / 100, "offset") == pytest.approx(offset, abs=0.005)
    assert spacing.plants_per_m2(spacing_cm / 100, "square") == pytest.approx(square, abs=0.005)


def test_offset_rows_at_twelve_inches_are_as_a_planting_guide_prints_them():
    # Printed: rows 10.4 in apart, and 100 plants in squares become 115.
    assert spacing.row_distance(12, "offset") == pytest.approx(10.4, abs=0.05)
    more = spacing.plants_per_m2(12, "offset") / spacing.plants_per_m2(12, "square")
    assert round(100 * float(more)) == 115


@pytest.mark.parametrize(
    ("width", "length", "apart", "margin", "rows", "total"),
    [
        (1.20, 6.0, 0.30, 0.15, 4, 78),
        (1.20, 6.0, 0.30, 0.0, 5, 103),
        (1.20, 6.0, 0.10, 0.05, 13, 774),
        (1.00, 10.0, 0.45, 0.20, 2, 43),
        (1.20, 6.0, 0.60, 0.30, 2, 19),
        (1.50, 6.1, 0.3048, 0.1524, 5, 98),
    ],
)
def test_whole_offset_rows_in_a_real_bed(width, length, apart, margin, rows, total):
    assert int(spacing.rows_in_bed(width, apart, margin, "offset")) == rows
    assert int(spacing.plants_in_bed(width, length, apart, margin, "offset")) == total


@pytest.mark.parametrize(
    ("width", "apart", "along", "across", "square"),
    [(1.2, 0.30, 38, 39, 40), (1.2, 0.15, 176, 165, 160), (0.76, 0.30, 19, 22, 20)],
)
def test_in_a_narrow_bed_offset_rows_may_hold_fewer_than_square_ones(
    width, apart, along, across, square
):
    margin = apart / 2
    assert int(spacing.plants_in_bed(width, 3.0, apart, margin, "offset")) == along
    assert int(spacing.plants_in_bed(3.0, width, apart, margin, "offset")) == across
    assert int(spacing.most_plants_in_bed(width, 3.0, apart, margin, "offset")) == max(
        along, across
    )
    assert int(spacing.most_plants_in_bed(width, 3.0, apart, margin, "square")) == square


def test_a_bed_narrower_than_its_margins_holds_nothing():
    assert int(spacing.plants_in_bed(0.3, 5.0, 0.3, 0.2, "offset")) == 0
    assert int(spacing.plants_in_bed(5.0, 0.3, 0.3, 0.2, "square")) == 0


def test_beds_and_spacings_may_be_columns():
    counts = spacing.plants_in_bed([1.2, 1.2], 6.0, [0.30, 0.10], [0.15, 0.05], "offset")
    assert counts.tolist() == [78, 774]


@given(lengths, lengths, spacings, margins, st.sampled_from(spacing.LAYOUTS))
def test_wider_spacing_never_holds_more(width, length, apart, margin, layout):
    near = int(spacing.plants_in_bed(width, length, apart, margin, layout))
    far = int(spacing.plants_in_bed(width, length, apart * 1.1, margin, layout))
    assert far <= near


@given(st.floats(0.1, 3), st.floats(0.02, 1), st.sampled_from(spacing.LAYOUTS))
def test_equal_density_spacing_keeps_the_density_of_the_rows(row, in_row, layout):
    apart = spacing.equal_density_spacing(row, in_row, layout)
    assert spacing.plants_per_m2(apart, layout) == pytest.approx(1 / (row * in_row))


def test_rows_of_45_by_8_cm_become_20_cm_each_way():
    apart = spacing.equal_density_spacing(0.45, 0.08, "offset")
    assert apart == pytest.approx(0.204, abs=0.0005)


def test_touching_canopies_leave_a_tenth_bare_offset_and_a_fifth_square():
    assert spacing.canopy_share(0.3, 0.3, "offset") == pytest.approx(0.907, abs=0.0005)
    assert spacing.canopy_share(0.3, 0.3, "square") == pytest.approx(0.785, abs=0.0005)
    with pytest.raises(ValueError, match="overlap"):
        spacing.canopy_share(0.4, 0.3, "square")


def test_light_caught_by_three_layers_of_leaves():
    assert spacing.light_caught(3.0) == pytest.approx(0.858, abs=0.0005)


def test_closeness_warns_below_the_usual_spacing_and_again_below_four_fifths_of_it():
    assert spacing.closeness([0.30, 0.25, 0.29, 0.24, 0.239], 0.30).tolist() == [0, 1, 1, 1, 2]


def test_heads_at_38_instead_of_45_cm_weigh_seven_tenths():
    assert spacing.weight_share_on_plateau(0.38, 0.45) == pytest.approx(0.71, abs=0.005)
    assert spacing.weight_share_on_plateau(0.60, 0.45) == 1


@pytest.mark.parametrize("wrong", [0.0, -0.1, np.nan])
def test_a_spacing_that_is_none_is_refused(wrong):
    with pytest.raises(ValueError, match="spacing"):
        spacing.plants_in_bed(1, 1, wrong, 0, "square")
