"""Hatches, scale, and bars by week."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

import made_plan
from perennate.holding.model import Bed
from perennate.outputs.drawing import (
    HATCHES,
    bed_rows,
    fullest_day,
    ground_drawing,
    hatch_of,
    runs_north,
    year_bars,
)

PLAN = made_plan.made_plan()


@given(st.sets(st.text(min_size=1), max_size=HATCHES))
def test_up_to_sixteen_groups_have_a_hatch_each(groups: set[str]) -> None:
    assert len(set(hatch_of(groups).values())) == len(groups)


def test_a_group_alone_keeps_its_hatch_when_others_come_that_do_not_want_it() -> None:
    alone = hatch_of(["Apiaceae"])["Apiaceae"]
    assert hatch_of(["Apiaceae", "Fabaceae", "Solanaceae"])["Apiaceae"] == alone


def test_the_fullest_day_is_the_first_week_with_most_ground_taken() -> None:
    assert fullest_day(PLAN.plantings, PLAN.start, PLAN.weeks) == date(2026, 5, 25)
    assert fullest_day((), PLAN.start, PLAN.weeks) == PLAN.start


def test_ground_is_drawn_to_a_round_scale_that_fits_with_north_up() -> None:
    beds = [Bed("a", 10.0, 1.0, x_m=0.0, y_m=0.0), Bed("b", 10.0, 1.0, x_m=0.0, y_m=4.0)]
    drawing = ground_drawing(beds, {}, (176.0, 190.0), (100.0, 100.0))
    assert drawing is not None
    assert (drawing.scale, drawing.lying) == (60, False)
    south, north = drawing.beds
    assert north["y"] < south["y"]
    assert south["w"] == round(10_000 / 60, 3)
    assert drawing.height_mm == round(5_000 / 60, 3)


def test_a_wide_ground_lies_and_a_piece_past_the_end_of_its_bed_is_cut_there() -> None:
    beds = [Bed("a", 20.0, 1.0, x_m=-5.0, y_m=2.0), Bed("b", 20.0, 1.0, x_m=-5.0, y_m=4.0)]
    pieces = {"a": [{"from_m": 18.0, "to_m": 25.0}, {"from_m": 21.0, "to_m": 22.0}]}
    drawing = ground_drawing(beds, pieces, (176.0, 190.0), (240.0, 125.0))
    assert drawing is not None
    assert (drawing.scale, drawing.lying) == (100, True)
    assert [piece["w"] for piece in drawing.beds[0]["pieces"]] == [20.0]


def test_beds_side_by_side_run_north_and_their_first_end_is_the_near_one() -> None:
    beds = [Bed(str(number), 10.0, 1.0, x_m=1.5 * number, y_m=0.0) for number in range(4)]
    assert runs_north(beds)
    pieces = {"0": [{"from_m": 0.0, "to_m": 4.0, "share": 0.5}]}
    drawing = ground_drawing(beds, pieces, (100.0, 100.0), (100.0, 100.0))
    assert drawing is not None
    assert drawing.scale == 100
    bed = drawing.beds[0]
    assert (bed["w"], bed["h"]) == (10.0, 100.0)
    (piece,) = bed["pieces"]
    assert (piece["x"], piece["y"], piece["w"], piece["h"]) == (0.0, 60.0, 5.0, 40.0)


def test_beds_behind_one_another_run_east() -> None:
    assert not runs_north([Bed(str(n), 10.0, 1.0, x_m=0.0, y_m=1.5 * n) for n in range(4)])
    assert runs_north([Bed("alone", 10.0, 1.0, x_m=0.0, y_m=0.0)])


def test_plants_to_sell_stand_in_the_nursery_from_sowing_until_they_are_ready() -> None:
    ready = date(2026, 5, 25)
    sold = replace(
        PLAN.plantings[3], bed="", length_m=0.0, width_m=0.0, ground_from=ready, ground_to=ready
    )
    (row,) = year_bars(replace(PLAN, plantings=(sold,)), [])
    assert row["name"] == ""
    assert (row["bars"][0]["from"], row["bars"][0]["to"]) == (1.0, 12.0)


def test_ground_without_any_place_is_not_drawn_as_a_plan() -> None:
    assert ground_drawing([Bed("a", 5.0, 1.0)], {}, (176.0, 190.0), (240.0, 125.0)) is None


def test_sixty_beds_without_a_place_fill_several_sheets_without_overlap() -> None:
    beds = [Bed(str(number), 8.0, 1.2) for number in range(60)]
    sheets = bed_rows(beds, {}, 176.0, 190.0)
    assert len(sheets) > 1
    assert sum(len(sheet.beds) for sheet in sheets) == 60
    for sheet in sheets:
        places = {(bed["x"], bed["y"]) for bed in sheet.beds}
        assert len(places) == len(sheet.beds)
        assert all(bed["y"] + bed["h"] <= 190.0 for bed in sheet.beds)
        assert all(bed["x"] + bed["w"] <= 176.0 for bed in sheet.beds)


def test_bars_are_cut_at_the_season_and_stand_where_the_piece_lies() -> None:
    bed = Bed("Süd 1", 6.0, 1.2)
    garlic = next(one for one in PLAN.plantings if one.crop == "garlic")
    plan = replace(PLAN, plantings=(garlic,))
    (row,) = year_bars(plan, [bed])
    (bar,) = row["bars"]
    assert (bar["from"], bar["to"]) == (32.0, 52.0)
    assert (bar["top"], bar["tall"]) == (0.3333, 0.6667)
    assert bar["pick_from"] is None


def test_what_ended_before_or_begins_after_the_season_has_no_bar() -> None:
    one = PLAN.plantings[0]
    past = replace(one, ground_from=date(2025, 5, 1), ground_to=PLAN.start)
    later = replace(one, ground_from=PLAN.start + timedelta(weeks=52), ground_to=date(2027, 9, 1))
    (row,) = year_bars(replace(PLAN, plantings=(past, later)), [Bed("Süd 1", 6.0, 1.2)])
    assert row["bars"] == []


def test_a_planting_in_a_bed_that_is_not_in_the_holding_is_still_shown() -> None:
    stray = replace(PLAN.plantings[0], bed="elsewhere")
    rows = year_bars(replace(PLAN, plantings=(stray,)), [])
    assert [row["name"] for row in rows] == ["elsewhere"]
