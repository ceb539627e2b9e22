"""Tables that lie in no file are read with the same checks and the same patience as a folder."""

import json
from datetime import date

import pytest
from catalogue_names import find, portion, suggest
from hypothesis import given, settings
from made_holdings import holdings

from perennate.holding import EXAMPLES, example_folder, read_tables, settings_of, table_rows
from perennate.terms import BadInput

SAID = {"site": {"latitude_deg": 47.1, "elevation_m": 300}}
BEDS = [["key", "length_m", "width_m"], ["A", 6, 1.2], ["B", 4.5, 1.2]]


def reading(tables, said=SAID, **more):
    return read_tables(said, tables, find, suggest, portion, **more)


def problems(tables, said=SAID, **more):
    with pytest.raises(BadInput) as bad:
        reading(tables, said, **more)
    return [(one.file, one.row, one.column) for one in bad.value.problems]


@given(holdings())
@settings(max_examples=60, deadline=None)
def test_a_holding_comes_back_from_its_settings_and_rows(holding):
    assert reading(table_rows(holding), settings_of(holding)) == holding


@given(holdings())
@settings(max_examples=20, deadline=None)
def test_a_holding_comes_back_through_json(holding):
    kept = json.dumps([settings_of(holding), table_rows(holding)], default=str)
    said, tables = json.loads(kept)
    assert reading(tables, said) == holding


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_reads_as_its_folder_does(name, read):
    holding = read(example_folder(name))
    files = holding.weather_files
    assert reading(table_rows(holding), settings_of(holding), weather_files=files) == holding


def test_cells_may_be_written_as_in_a_file():
    said = {**SAID, "reading": {"decimal": ","}}
    beds = [["Key", "length_ft", "Width (m)"], [" A ", "3,5", "90 cm"], [7, "3 ft", "1 1/2"]]
    first, second = reading({"beds": beds}, said).beds
    assert (first.key, first.length_m, first.width_m) == ("A", 3.5 * 0.3048, 0.9)
    assert (second.key, second.length_m, second.width_m) == ("7", 0.9144, 1.5)


def test_rows_are_counted_with_the_header_as_the_first_and_empty_ones_too():
    beds = [*BEDS, [], ["", None, ""], ["C", "wide", 1.2], ["", 2, -1]]
    plantings = [["hand", "crop", "bed", "ground_from"], ["fixed", "carrot", "Z", "2026-04-01"]]
    assert problems({"beds": beds, "plantings": plantings}) == [
        ("beds", 6, "length_m"),
        ("beds", 7, "key"),
        ("beds", 7, "width_m"),
        ("plantings", 2, "bed"),
    ]


def test_settings_and_tables_are_wrong_together():
    said = {"site": {"latitude_deg": 91, "elevation_m": "high"}, "plan": {"week": 3}}
    assert problems({"beds": [["key"], ["A"]]}, said) == [
        ("holding", None, "plan.week"),
        ("holding", None, "site.latitude_deg"),
        ("holding", None, "site.elevation_m"),
        ("beds", 1, "length_m"),
        ("beds", 1, "width_m"),
    ]


def test_a_text_is_taken_as_it_is_and_no_row_is_a_note():
    trees = [["key", "species"], ["# 1", "'=Malus"], ["'Osk'", "- sorb"], ["''", "=1+1"]]
    read = reading({"trees": trees}).trees
    assert [(tree.key, tree.species) for tree in read] == [
        ("# 1", "'=Malus"),
        ("'Osk'", "- sorb"),
        ("''", "=1+1"),
    ]


def test_a_table_without_even_a_header_is_empty_and_an_unknown_one_is_said():
    assert reading({"beds": []}).beds == ()
    with pytest.raises(BadInput, match="did you mean beds"):
        reading({"bed": BEDS})


def test_weather_files_that_are_told_must_be_at_hand_where_it_is_known_what_is():
    said = {**SAID, "weather": {"files": ["mast.csv"]}}
    assert reading({}, said).weather_files == ("mast.csv",)
    at_hand = ["normals.csv", "weather-2.csv", "old/weather.csv", "mast.csv", "photo.csv"]
    expected = ("mast.csv", "normals.csv", "weather-2.csv")
    assert reading({}, said, weather_files=at_hand).weather_files == expected
    assert problems({}, said, weather_files=()) == [("holding", None, "weather.files")]


def test_a_job_and_whether_part_of_it_is_left_stand_in_records():
    records = [["day", "kind", "job", "part"], ["2026-02-01", "weeded", "j-1", "x"]]
    records += [["2026-02-02", "weeded", "", ""], ["2026-02-03", "weeded", "j-2", "no"]]
    read = reading({"records": records}).records
    assert [(one.job, one.part) for one in read] == [("j-1", True), ("", False), ("j-2", False)]
    old = [["day", "kind", "note"], ["2026-02-01", "frost", "late"]]
    (frost,) = reading({"records": old}).records
    assert (frost.day, frost.job, frost.part) == (date(2026, 2, 1), "", False)


@pytest.mark.parametrize(
    "cell",
    ["9" * 5000, "1e999999999", "1e400", "-1e400", float("nan"), float("inf"), 10**400, "1/0"],
    ids=lambda cell: str(cell)[:12],
)
def test_a_number_beyond_all_sense_is_refused(cell):
    assert problems({"beds": [BEDS[0], ["A", cell, 1.2]]}) == [("beds", 2, "length_m")]
    lots = [["key", "crop", "kind", "amount", "unit"], ["L", "carrot", "seed", cell, "g"]]
    assert problems({"lots": lots}) == [("lots", 2, "amount")]
