"""Drip lines of beds: told, drawn, counted out as parts, and put together into zones."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import made_water
from made_pictures import sound, within
from perennate.holding.model import Bed, Holding, WaterSource
from perennate.outputs.drip_told import DripTold, drip_told, zones_told
from perennate.outputs.screen.drip_sheet import drip_sheet
from perennate.planning.water.drip_of_beds import drip_of
from perennate.terms import Text
from perennate.words import Units, say

HOLDING = made_water.watered_holding()


def lines(bed: str, holding: Holding = HOLDING) -> DripTold:
    found = drip_told(holding, bed)
    assert found is not None
    return found


def said(texts: tuple[Text, ...], units: Units = "metric") -> str:
    return " ".join(say(one, units=units) for one in texts)


def fed_by(source: WaterSource, *beds: Bed) -> Holding:
    return replace(HOLDING, water_sources=(source,), beds=beds)


def drip_bed(key: str, length: float = 9.0, width: float = 1.2, soil: str = "sandy loam") -> Bed:
    return Bed(key, length, width, soil=soil, source="tap", watering="drip")  # type: ignore[arg-type]


TAP = WaterSource("tap", "mains", flow_l_min=14.0, pressure_bar=3.0)


def test_how_lines_lie_and_how_long_they_run_is_told() -> None:
    told = lines("one", fed_by(TAP, drip_bed("one")))
    assert told.is_laid
    says = said(told.says)
    assert "3 lines along the bed, 40 cm apart, the outer ones 20 cm from its edges" in says
    assert "emitters every 30 cm, 30 in a line" in says
    assert "they run 40 min in one go" in says
    assert "100 kPa at the bed, 99.9 kPa at the far end" in says


def test_a_bed_watered_otherwise_is_reckoned_but_not_called_laid() -> None:
    assert lines("Süd 1").is_laid
    assert not lines("Žleb").is_laid
    assert drip_told(HOLDING, "nowhere") is None


def test_a_narrow_bed_has_one_line_down_its_middle() -> None:
    told = lines("one", fed_by(TAP, drip_bed("one", width=0.3)))
    assert "1 line down the middle of the bed" in said(told.says)


def test_ground_that_takes_water_slowly_is_watered_in_turns() -> None:
    told = lines("one", fed_by(TAP, drip_bed("one", soil="clay")))
    assert re.search(r"in \d+ turns of \d+(\.\d+)? min with .* of rest between", said(told.says))
    assert "run it in turns" in said(told.warnings)


def test_a_tap_with_more_pressure_than_lines_stand_needs_a_reducer() -> None:
    told = lines("one", fed_by(TAP, drip_bed("one")))
    assert "a reducer to 100 kPa is needed" in said(told.warnings)
    assert "pressure reducer" in {row[0] for row in told.parts.rows}
    low = lines("one", fed_by(replace(TAP, pressure_bar=1.5), drip_bed("one")))
    assert low.warnings == ()
    assert "pressure reducer" not in {row[0] for row in low.parts.rows}


def test_a_tank_has_tape_and_is_told_where_its_pressure_is_too_low() -> None:
    told = lines("Süd 1")
    assert "these lines want 40 kPa" in said(told.warnings)
    assert any(row[0].startswith("tape with emitters of 1 L/h") for row in told.parts.rows)


def test_flow_and_pressure_that_nobody_wrote_down_are_said_to_be_assumed() -> None:
    about = said(lines("Žleb").about)
    assert "The flow of Brunnen is not written down; 12 L/min" in about
    assert "The pressure of Brunnen is not written down; 150 kPa is assumed" in about
    known = said(lines("one", fed_by(TAP, drip_bed("one"))).about)
    assert "not written down" not in known
    assert "(memory)" in known
    nameless = said(lines("Žleb", replace(HOLDING, water_sources=())).about)
    assert "The flow of no source named" in nameless


def test_parts_begin_with_the_backflow_preventer_and_the_caution_defers_to_the_code() -> None:
    told = lines("one", fed_by(TAP, drip_bed("one")))
    assert told.parts.rows[0] == ("backflow preventer", "1 piece")
    assert ("drip line with emitters of 2 L/h every 30 cm", "27 m") in told.parts.rows
    cautions = said(told.cautions)
    assert "the backflow preventer comes first after the tap" in cautions
    assert "the local code says" in cautions
    assert "a licensed installer must do it" in cautions


def test_us_units_reach_sentences_drawing_and_parts() -> None:
    holding = replace(fed_by(TAP, drip_bed("one")), units="us")
    told = lines("one", holding)
    texts = (*told.says, *told.warnings, *told.about, *told.cautions)
    assert not re.search(r"\d (mm|cm|m|L|kPa)\b", said(texts, "us"))
    assert told.drawn.size == "29.5 ft × 3.94 ft"
    assert ("drip line with emitters of 0.528 gal/h every 11.8 in", "88.6 ft") in told.parts.rows
    (zones,) = zones_told(holding)
    assert zones.table.head[2:] == ("Flow, gal/h", "Runs for 0.394 in")


def test_the_reckoner_is_asked_of_the_same_bed() -> None:
    from perennate.reckoner.registry import run

    told = lines("one", fed_by(TAP, drip_bed("one")))
    answers = {one.name: one.value for one in run("drip-layout", dict(told.asked))}
    assert answers["lines"] == 3
    assert answers["emitters in a line"] == 30


def test_a_bed_too_long_for_one_head_is_fed_at_several() -> None:
    holding = fed_by(replace(TAP, flow_l_min=30.0), drip_bed("long", length=450.0))
    told = lines("long", holding)
    assert "laid in 3 pieces of 150 m" in said(told.says)
    assert ("drip line with emitters of 2 L/h every 30 cm", "1350 m") in told.parts.rows
    (zones,) = zones_told(holding)
    at_once = [re.findall(r"\d+", row[1]) for row in zones.table.rows]
    assert {of for _, of in at_once} == {"9"}
    assert sum(int(lines) for lines, _ in at_once) == 9


# zones


def test_beds_of_a_source_are_put_into_zones_that_it_can_feed() -> None:
    beds = [drip_bed(f"b{number}") for number in range(6)]
    (told,) = zones_told(fed_by(TAP, *beds))
    assert told.source == "tap"
    assert told.table.rows == (
        ("1", "b0, b1, b2", "540", "40 min"),
        ("2", "b3, b4, b5", "540", "40 min"),
    )
    says = said(told.says)
    assert "6 beds on drip lines run in 2 zones, one after another: 80 min in all" in says
    assert "Fewer zones would not do." in says
    assert told.mind is None


def test_beds_of_two_sources_stand_apart_and_others_in_none() -> None:
    told = {one.source: one for one in zones_told(HOLDING)}
    assert set(told) == {"Dach", "Leitung"}
    assert "2 beds on drip lines can run at once" in said(told["Dach"].says)
    assert zones_told(replace(HOLDING, beds=HOLDING.beds[3:])) == ()


def test_a_bed_that_names_no_source_is_fed_as_the_plan_feeds_it() -> None:
    bed = replace(drip_bed("one"), source="")
    (told,) = zones_told(fed_by(TAP, bed))
    assert told.source == "tap"


def test_a_bed_too_large_for_the_tap_is_run_some_lines_at_a_time() -> None:
    weak = replace(TAP, flow_l_min=3.0)
    (told,) = zones_told(fed_by(weak, drip_bed("one")))
    assert [row[1] for row in told.table.rows] == ["one (2 of 3 lines)", "one (1 of 3 lines)"]


def test_a_bed_of_which_not_one_line_can_be_fed_is_named() -> None:
    drops = replace(TAP, flow_l_min=0.5)
    (told,) = zones_told(fed_by(drops, drip_bed("one", length=40.0)))
    assert told.mind is not None
    assert say(told.mind).startswith("Not even one line of one can be fed")
    assert told.table.rows == ()


# drawn


def test_lines_are_drawn_to_scale_where_they_lie() -> None:
    drawn = lines("one", fed_by(TAP, drip_bed("one"))).drawn
    assert drawn.bed.w / drawn.bed.h == pytest.approx(9.0 / 1.2, rel=0.01)
    heights = [float(y) for y in re.findall(r"M[\d.]+ ([\d.]+)H", drawn.lines)]
    shares = [(y - drawn.bed.y) / drawn.bed.h for y in heights]
    assert shares == pytest.approx([1 / 6, 3 / 6, 5 / 6], abs=0.01)
    assert drawn.dots.count("h0") == 90
    assert len(drawn.table.rows) == 3
    assert "at 20 cm, 60 cm, 100 cm from one long edge" in drawn.says


def test_emitters_too_close_to_be_told_apart_are_left_out_with_their_sign() -> None:
    drawn = lines("one", fed_by(TAP, drip_bed("one", length=120.0))).drawn
    assert drawn.dots == ""
    assert [one.kind for one in drawn.key_signs] == ["drip_line", "inlet"]


@settings(deadline=None, max_examples=40)
@given(st.floats(0.3, 500.0), st.floats(0.1, 30.0), st.sampled_from(["sand", "clay", "peat"]))
def test_any_bed_is_drawn_within_its_picture(length: float, width: float, soil: str) -> None:
    bed = drip_bed("one", length, width, soil)
    (found,) = drip_of([bed], TAP)
    piece = replace(bed, length_m=length / found.pieces)
    drawn = drip_sheet(piece, found.layout, "metric")
    assert sound(drawn)
    assert within(drawn.bed, drawn.width, drawn.height)
    for path in (drawn.lines, drawn.head, drawn.dots, drawn.ends):
        for x, y in re.findall(r"M(-?[\d.]+) (-?[\d.]+)", path):
            assert 0 <= float(x) <= drawn.width
            assert -0.2 <= float(y) - drawn.bed.y + 3.0 <= drawn.bed.h + 3.2
