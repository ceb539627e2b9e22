"""A holding written and read again is the same holding, by folder and by workbook."""

import os
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from made_holdings import holdings

from perennate.holding import (
    EXAMPLES,
    example_folder,
    write_holding,
    write_workbook,
    writer,
)
from perennate.holding.model import Bed
from perennate.terms import BadInput


@given(holdings())
@settings(max_examples=40, deadline=None)
def test_folder_to_folder_and_workbook_to_workbook(read, holding):
    with TemporaryDirectory() as place:
        folder, book = Path(place) / "nook", Path(place) / "nook.xlsx"
        write_holding(holding, folder)
        assert read(folder) == holding
        write_workbook(holding, book)
        assert read(book) == holding


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_through_folder_workbook_and_folder(name, read, tmp_path):
    holding = read(example_folder(name))
    write_holding(holding, tmp_path / name, weather_from=example_folder(name))
    book = tmp_path / name / f"{name}.xlsx"
    write_workbook(read(tmp_path / name), book)
    write_holding(read(book), tmp_path / "again", weather_from=book.parent)
    assert read(tmp_path / "again") == holding
    first = (tmp_path / name / "beds.csv").read_bytes()
    assert (tmp_path / "again" / "beds.csv").read_bytes() == first


def test_writing_into_a_holding_folder_keeps_what_is_no_part_of_it(small, read):
    folder = small({"diary.txt": "kept", "weather.csv": "date,tmin_c\n"})
    holding = read(folder)
    write_holding(replace(holding, beds=(*holding.beds, Bed("C", 3.0, 1.0))), folder)
    assert (folder / "diary.txt").read_text() == "kept"
    assert [bed.key for bed in read(folder).beds] == ["A", "B", "C"]
    assert [path.name for path in folder.parent.iterdir()] == [folder.name]


def test_a_folder_of_other_things_is_not_written_to(small, read, tmp_path):
    holding = read(small())
    other = tmp_path / "photos"
    other.mkdir()
    (other / "gate.txt").write_text("mine")
    with pytest.raises(BadInput, match=r"no holding\.toml"):
        write_holding(holding, other)
    assert [path.name for path in other.iterdir()] == ["gate.txt"]


def test_a_weather_file_that_is_nowhere_stops_the_writing(small, read, tmp_path):
    holding = replace(read(small()), weather_files=("mast.csv",))
    with pytest.raises(BadInput, match=r"mast\.csv"):
        write_holding(holding, tmp_path / "new")
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("moment", ["csv_text", "schema_text"])
def test_a_writing_that_breaks_off_leaves_the_folder_as_it_was(moment, small, read, monkeypatch):
    folder = small()
    holding = read(folder)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}

    def breaks(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(writer, moment, breaks)
    with pytest.raises(KeyboardInterrupt):
        write_holding(replace(holding, weeks=3), folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    assert [path.name for path in folder.parent.iterdir()] == [folder.name]


def test_a_move_that_fails_puts_the_old_folder_back(small, read, monkeypatch):
    folder = small()
    holding = read(folder)
    rename = os.rename

    def only_back(source, target):
        if Path(source).name != "before":
            raise OSError("no room")
        rename(source, target)

    monkeypatch.setattr(os, "rename", only_back)
    with pytest.raises(OSError, match="no room"):
        write_holding(replace(holding, weeks=3), folder)
    monkeypatch.undo()
    assert read(folder) == holding


def test_three_decimals_are_written_so_that_they_read_in_one_way_only(small, read, tmp_path):
    holding = read(small())
    (aim,) = holding.aims
    holding = replace(holding, aims=(replace(aim, amount=1.234),))
    write_holding(holding, tmp_path / "out")
    assert ",1.2340,kg," in (tmp_path / "out" / "aims.csv").read_text()
    assert read(tmp_path / "out") == holding
