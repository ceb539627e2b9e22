"""One row read from a form: all checks of a holding, to the column; and shown in a form."""

from dataclasses import replace
from datetime import date

import pytest
from catalogue_names import find, portion, suggest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_holdings import holdings

from perennate.holding import read_row, read_tables, reading_of, row_cells, table_of
from perennate.holding.cells import Reading
from perennate.holding.model import Aim, Bed, Lot, LotMove
from perennate.holding.schema import TABLES
from perennate.terms import BadInput


@pytest.fixture
def nook(small, read):
    return read(small())


def row(table, cells, holding, **more):
    return read_row(table, cells, holding, find, suggest, portion, **more)


def wrong(table, cells, holding, **more):
    """Column and expectation of every problem; each is said of the table and of no row."""
    with pytest.raises(BadInput) as bad:
        row(table, cells, holding, **more)
    assert {(one.file, one.row) for one in bad.value.problems} == {(table, None)}
    return [(one.column, one.found, one.expected) for one in bad.value.problems]


def columns(table, cells, holding, **more):
    return [column for column, _, _ in wrong(table, cells, holding, **more)]


EMPTY = read_tables({"site": {"latitude_deg": 1, "elevation_m": 1}}, {}, find, suggest)
READINGS = st.builds(
    Reading,
    decimal=st.sampled_from([None, ".", ","]),
    dates=st.sampled_from([None, "day first", "month first"]),
    us=st.booleans(),
)


@given(holdings(), READINGS)
@settings(max_examples=60, deadline=None)
def test_what_fills_a_form_reads_back_as_the_very_same_row(holding, reading):
    for table in TABLES:
        for one in getattr(holding, table):
            cells = row_cells(one, reading)
            assert row(table, cells, holding, instead_of=one, reading=reading) == one


@given(st.integers(4, 10000))
def test_eighths_of_a_foot_are_shown_as_they_were_typed(eighths):
    us = replace(EMPTY, units="us")
    bed = row("beds", {"key": "A", "length_m": f"{eighths / 8} ft", "width_m": "3 ft 6 in"}, us)
    shown = row_cells(bed, reading_of(us))
    number, unit = shown["length_m"].split()
    assert (float(number), unit, shown["width_m"]) == (eighths / 8, "ft", "3.5 ft")
    assert row("beds", shown, us) == bed


def test_us_holdings_are_shown_in_feet_and_pounds_and_metric_ones_in_metres():
    us = Reading(us=True)
    bed = Bed("A", 3.5 * 0.3048, 1.2, x_m=-0.3048)
    assert [row_cells(bed, us)[name] for name in ("length_m", "width_m", "x_m", "y_m")] == [
        "3.5 ft",
        "1.2 m",  # measured in metres: no short number of feet is exactly as long
        "-1 ft",
        "",
    ]
    assert row_cells(bed)["length_m"] == "1.0668"
    aim = Aim("a", "food", "carrot", "", 1.133980925, "kg", "week", None, date(2027, 3, 1))
    shown = row_cells(aim, us)
    assert [shown[name] for name in ("amount", "unit", "end")] == ["2.5", "lb", "2027-03-01"]
    seed = Lot("l", "carrot", "", "seed", 5.25, "g", None, None)
    assert (row_cells(seed, us)["amount"], row_cells(seed, us)["unit"]) == ("5.25", "g")


def test_a_number_that_could_be_thousands_is_shown_so_that_it_could_not():
    assert row_cells(Bed("A", 1.234, 1.0))["length_m"] == "1.2340"
    assert row_cells(Bed("A", 1.234, 1.0), Reading(decimal=","))["length_m"] == "1,234"


def test_a_new_row_gets_a_key_that_no_other_has(nook):
    kale = {"hand": "fixed", "crop": "Kale", "bed": "B", "ground_from": "2026-05-01"}
    first = row("plantings", kale, nook)
    assert (first.key, first.crop) == ("kale B 2026-05-01 fixed", "kale")
    there = replace(nook, plantings=(*nook.plantings, first))
    assert row("plantings", kale, there).key == "kale B 2026-05-01 fixed 2"


def test_a_key_that_is_taken_or_missing_is_said_in_its_column(nook):
    bed = {"length_m": "3", "width_m": "1"}
    assert columns("beds", {"key": "A", **bed}, nook) == ["key"]
    assert columns("beds", {"key": "", **bed}, nook) == ["key"]
    assert columns("beds", {"key": "  "}, nook) == ["key", "length_m", "width_m"]


def test_a_form_of_some_columns_leaves_the_others_as_they_are(nook):
    (kale,) = nook.plantings
    changed = row("plantings", {"length_m": "90 cm", "key": ""}, nook, instead_of=kale)
    assert changed == replace(kale, length_m=0.9)
    emptied = row("plantings", {"plants": "", "length_m": ""}, nook, instead_of=kale)
    assert emptied == replace(kale, plants=None, length_m=None)


def test_a_row_must_agree_with_the_rows_that_it_names(nook):
    (kale,) = nook.plantings
    assert columns("plantings", {"start_m": "5", "length_m": "3"}, nook, instead_of=kale) == [
        "length_m"
    ]
    ((column, found, expected),) = wrong("plantings", {"bed": "b"}, nook, instead_of=kale)
    assert (column, found) == ("bed", '"b"')
    assert "did you mean B" in expected
    planting = {"hand": "stands", "crop": "carott", "bed": "Z", "lot": "C9", "start_m": "x"}
    assert sorted(columns("plantings", planting, nook)) == ["bed", "crop", "lot", "start_m"]
    assert columns("limbs", {"key": "up", "tree": "gat", "variety": "Osk"}, nook) == ["tree"]
    seen = {"day": "2026-03-01", "kind": "seen", "place": "behind"}
    assert columns("records", seen, nook) == ["place"]
    assert row("records", {**seen, "place": "store"}, nook).place == "store"
    assert row("records", {**seen, "place": "low"}, nook).place == "low"
    lot = {"key": "C2", "crop": "carrot", "kind": "seed", "parents": "C1; C8"}
    assert columns("lots", lot, nook) == ["parents"]


def test_a_row_must_agree_with_itself(nook):
    assert columns("aims", {"kind": "food", "amount": "2 lb"}, nook) == ["crop"]
    assert columns("aims", {"kind": "food", "crop": "kale", "amount": "2 m"}, nook) == ["amount"]
    backwards = {"kind": "food", "crop": "kale", "amount": "1", "start": "2026-09-01"}
    assert columns("aims", {**backwards, "end": "2026-08-01"}, nook) == ["end"]
    assert columns("aims", {"kind": "household", "amount": "20 %"}, nook) == ["kind"]
    own = {"crop": "kale", "figure": "yeild", "value": "1", "unit": "kg"}
    assert columns("own_values", own, nook) == ["figure"]


def test_the_rows_that_name_a_row_must_still_agree_with_it(nook):
    bed, lot = nook.beds[0], nook.lots[0]
    ((column, _, expected),) = wrong("beds", {"length_m": "2.5"}, nook, instead_of=bed)
    assert (column, expected) == ("length_m", "at least 3 m")
    assert columns("beds", {"key": "north", "length_m": "2"}, nook, instead_of=bed) == ["length_m"]
    assert row("beds", {"length_m": "3"}, nook, instead_of=bed).length_m == 3.0
    assert columns("lots", {"amount": "1.5"}, nook, instead_of=lot) == ["amount"]
    assert columns("lots", {"unit": "seeds"}, nook, instead_of=lot) == ["unit"]
    assert columns("lots", {"key": "a; b"}, nook, instead_of=lot) == ["key"]
    assert row("lots", {"key": "C 1", "amount": "2"}, nook, instead_of=lot).amount == 2.0


def test_more_than_there_is_cannot_go_out_of_a_lot(nook):
    out = {"lot": "C1", "day": "2026-02-01", "change": "-3001", "unit": "mg"}
    assert columns("lot_moves", out, nook) == ["change"]
    assert row("lot_moves", {**out, "change": "-3000"}, nook) == LotMove(
        "C1", date(2026, 2, 1), -3000, "mg"
    )
    (before,) = nook.lot_moves
    assert row("lot_moves", {"change": "-5000"}, nook, instead_of=before).change == -5000
    assert columns("lot_moves", {**out, "unit": "seeds"}, nook) == ["unit"]


def test_two_equal_moves_are_two(nook):
    out = {"lot": "C1", "day": "2026-01-10", "change": "-2000", "unit": "mg", "why": "sown"}
    second = row("lot_moves", out, nook)
    twice = replace(nook, lot_moves=(*nook.lot_moves, second))
    assert columns("lot_moves", out, twice) == ["change"]
    changed = row("lot_moves", {"change": "-3000"}, twice, instead_of=second)
    assert changed.change == -3000


def test_what_a_form_cannot_have_is_refused_in_words(nook):
    assert columns(
        "beds", {"key": "C", "length_m": "3", "width_m": "1", "colour": "red"}, nook
    ) == ["colour"]
    assert columns("beds", {"key": "C\x00", "length_m": "3", "width_m": "1"}, nook) == ["key"]
    with pytest.raises(KeyError, match="no table bed;"):
        row("bed", {}, nook)
    with pytest.raises(ValueError, match="no such row"):
        row("beds", {}, nook, instead_of=Bed("far", 1.0, 1.0))


def test_days_and_units_are_read_as_the_holding_writes_them(nook):
    us = replace(nook, units="us")
    assert reading_of(us).us
    record = {"day": "3/4/2026", "kind": "watered", "amount": "2 gal"}
    read = row("records", record, us)
    assert (read.day, read.amount, read.unit) == (date(2026, 3, 4), 2 * 3.785411784, "l")
    assert columns("records", record, nook) == ["day"]
    told = Reading(dates="day first")
    assert row("records", {**record, "amount": ""}, nook, reading=told).day == date(2026, 4, 3)


def test_every_row_knows_its_table(nook):
    assert [table_of(getattr(nook, table)[0]) for table in TABLES] == list(TABLES)
    with pytest.raises(KeyError, match="Site"):
        table_of(nook.site)
