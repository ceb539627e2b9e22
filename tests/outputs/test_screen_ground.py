"""The ground on a day: every planting once, in its metres, with what is held twice shown."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

import made_plan
from made_pictures import (
    HOLDING,
    beds_in_a_row,
    loose,
    place_href,
    plans,
    planting_href,
    sound,
    within,
)
from perennate.holding.model import Bed
from perennate.outputs.drawing import stands
from perennate.outputs.screen.ground_sheet import Ground, GroundSheet, ground_sheet
from perennate.planning.plan import Plan, PlannedPlanting

PLAN = made_plan.made_plan()
DAY = date(2026, 7, 1)


def sheet(plan: Plan = PLAN, day: date = DAY, **others: object) -> GroundSheet:
    given = {"holding": HOLDING, "names": made_plan.NAMES, **others}
    holding, names = given.pop("holding"), given.pop("names")
    return ground_sheet(plan, holding, day, names, planting_href, place_href, **given)  # type: ignore[arg-type]


def keys(*grounds: Ground) -> list[str]:
    return sorted(piece.key for ground in grounds for bed in ground.beds for piece in bed.pieces)


def on_one_bed(*ground: tuple[float, float, float]) -> Plan:
    """Plantings in Süd 3 (6 m by 1.2 m) by where they start, their length and width."""
    made = tuple(
        made_plan.planting(
            f"p{number}", "carrot", "", "Süd 3", start_m=start, length_m=long, width_m=wide
        )
        for number, (start, long, wide) in enumerate(ground)
    )
    return replace(PLAN, plantings=made)


@settings(deadline=None)
@given(plans(), st.integers(0, 400), st.booleans())
def test_every_planting_of_the_day_is_drawn_once_within_its_bed(
    plan: Plan, days: int, placed: bool
) -> None:
    day = plan.start + timedelta(days=days)
    drawn = sheet(plan, day, holding=HOLDING if placed else loose(HOLDING))
    taken = sorted(one.key for one in plan.plantings if stands(one, day))
    assert drawn.hand is not None
    assert keys(*drawn.wide) == keys(drawn.hand) == taken
    assert len(drawn.table.rows) == len(taken)
    assert sound(drawn)
    for ground in (*drawn.wide, drawn.hand):
        for bed in ground.beds:
            assert within(bed, ground.width, ground.height)
            for box in (*bed.pieces, *bed.faults):
                assert within(box, bed.x + bed.w + 0.1, bed.y + bed.h + 0.1, bed.x, bed.y)
        assert len({bed.key for bed in ground.beds}) == len(ground.beds)


@settings(deadline=None)
@given(plans(), st.sampled_from([bed.key for bed in HOLDING.beds]))
def test_a_bed_alone_is_drawn_large_with_its_metres(plan: Plan, chosen: str) -> None:
    drawn = sheet(plan, plan.as_of, chosen=chosen)
    (ground,) = drawn.wide
    (bed,) = ground.beds
    assert bed.key == chosen
    assert bed.ticks[0].x == bed.x
    assert all(bed.x <= tick.x <= bed.x + bed.w + 0.1 for tick in bed.ticks)
    assert max(bed.w, bed.h) > 150


def test_a_piece_lies_in_its_metres_along_the_bed() -> None:
    drawn = sheet(on_one_bed((1.5, 3.0, 1.2)), chosen="Süd 3")
    (bed,) = drawn.wide[0].beds
    (piece,) = bed.pieces
    assert abs(piece.x - bed.x - bed.w / 4) < 0.2
    assert abs(piece.w - bed.w / 2) < 0.2
    assert piece.name.startswith("Carrot in Süd 3, 1.5 m to 4.5 m, until 24 Aug 2026")


def test_where_beds_run_north_their_first_end_is_the_near_one() -> None:
    beds = beds_in_a_row(4)
    one = made_plan.planting("p", "carrot", "", "B1", start_m=0.0, length_m=2.0)
    drawn = sheet(replace(PLAN, plantings=(one,)), holding=replace(HOLDING, beds=beds))
    bed = drawn.wide[0].beds[1]
    (piece,) = bed.pieces
    assert (piece.x, piece.w) == (bed.x, bed.w)
    assert abs(piece.h - bed.h / 4) < 0.2
    assert abs(piece.y + piece.h - bed.y - bed.h) < 0.2


def test_ground_held_twice_is_hatched_and_said() -> None:
    drawn = sheet(on_one_bed((0.0, 3.0, 1.2), (2.0, 2.0, 1.2)))
    (fault,) = drawn.faults
    assert fault == "Süd 3: Carrot / Carrot hold the same ground from 2 m to 3 m."
    (bed,) = (one for one in drawn.wide[0].beds if one.faults)
    assert abs(bed.faults[0].w - bed.w / 6) < 0.2


def test_neighbours_across_the_bed_that_both_fit_are_no_fault() -> None:
    drawn = sheet(on_one_bed((0.0, 3.0, 0.6), (0.0, 3.0, 0.6)))
    assert drawn.faults == ()
    (bed,) = (one for one in drawn.wide[0].beds if one.pieces)
    one, other = bed.pieces
    assert abs(other.y - one.y - one.h) < 0.2


def test_plantings_that_only_touch_are_no_fault() -> None:
    assert sheet(on_one_bed((0.0, 3.0, 1.2), (3.0, 3.0, 1.2))).faults == ()


def test_what_reaches_past_the_end_of_its_bed_is_said() -> None:
    (fault,) = sheet(on_one_bed((5.0, 2.5, 1.2))).faults
    assert fault == "Süd 3: Carrot reaches 1.5 m past the end of the bed."


def test_the_line_tells_how_sure_a_planting_is() -> None:
    def line(status: str, **others: object) -> str:
        one = made_plan.planting("p", "carrot", "", "Süd 3", status=status)
        drawn = sheet(replace(PLAN, plantings=(one,)), **others)
        assert drawn.hand is not None
        (piece,) = (piece for bed in drawn.hand.beds for piece in bed.pieces)
        assert [key.line for key in drawn.key.lines] == [piece.line]
        return piece.line

    assert [line(status) for status in ("stands", "fixed", "planned", "wished")] == [
        "stands",
        "fixed",
        "planned",
        "wished",
    ]
    assert line("planned", standing={"p"}) == "stands"


def test_what_is_over_today_has_a_second_line() -> None:
    later = replace(PLAN, as_of=date(2027, 1, 1))
    drawn = sheet(later)
    pieces = [piece for ground in drawn.wide for bed in ground.beds for piece in bed.pieces]
    assert {piece.line for piece in pieces if piece.key != "p-garlic"} == {"done"}
    assert all(piece.inner is not None and within(piece.inner, 1120, 1000) for piece in pieces)


def test_a_name_without_room_becomes_a_number_with_its_key() -> None:
    drawn = sheet(on_one_bed((0.0, 0.2, 1.2), (0.2, 5.0, 1.2)))
    assert drawn.hand is not None
    (bed,) = (one for one in drawn.hand.beds if one.pieces)
    assert [piece.label for piece in bed.pieces] == ["1", "Carrot"]
    assert [(one.number, one.what) for one in drawn.hand.numbers] == [("1", "Süd 3: Carrot")]


def test_a_bed_that_only_the_plan_knows_is_drawn_too() -> None:
    lost = replace(PLAN.plantings[0], bed="gone", start_m=1.0)
    drawn = sheet(replace(PLAN, plantings=(lost,)))
    assert [bed.key for bed in drawn.wide[1].beds] == ["gone"]
    assert keys(*drawn.wide) == [lost.key]


def test_thin_beds_are_drawn_wider_than_to_scale_and_say_so() -> None:
    thin = replace(HOLDING, beds=(Bed("long", 60.0, 0.8),))
    drawn = sheet(holding=thin)
    assert drawn.hand is not None
    assert drawn.hand.beds[0].h >= 20 - 0.1
    assert "Widths are drawn larger" in drawn.hand.note
    assert "Widths" not in sheet().hand.note  # type: ignore[union-attr]


def test_lengths_in_the_table_are_feet_for_a_holding_that_counts_in_feet() -> None:
    plan = replace(on_one_bed((0.0, 3.048, 1.2)), holding=replace(PLAN.holding, units="us"))
    table = sheet(plan).table
    assert table.head[1:3] == ("From, ft", "To, ft")
    assert table.rows[0][1:3] == ("0", "10")


def test_a_holding_without_beds_has_a_sheet_that_says_nothing_stands() -> None:
    drawn = sheet(replace(PLAN, plantings=()), holding=replace(HOLDING, beds=()))
    assert (drawn.wide, drawn.hand) == ((), None)
    assert "nothing" in drawn.says


def names(plantings: tuple[PlannedPlanting, ...]) -> set[str]:
    return {one.rotation_group for one in plantings}


def test_the_key_lists_the_groups_drawn_and_no_other() -> None:
    drawn = sheet()
    taken = tuple(one for one in PLAN.plantings if stands(one, DAY))
    assert {key.name for key in drawn.key.hatches} == names(taken) < names(PLAN.plantings)
