"""A holding kept in one workbook, as a spreadsheet program leaves it."""

from datetime import date, datetime

import pytest
from openpyxl import Workbook, load_workbook

from perennate.holding import write_workbook
from perennate.terms import BadInput

SETTINGS = [
    ["setting", "value"],
    ["site.name", "Nook"],
    ["site.latitude_deg", "47,1"],
    ["site.elevation_m", 300],
    ["plan.as_of", datetime(2026, 2, 16)],
    ["food.eats", "carrot"],
    ["food.eats", "kale"],
    ["people.1.name", "Ola"],
    ["people.1.sex", "female"],
    ["people.1.age_years", 41],
    ["people.1.weight_kg", "140 lb"],
]
BEDS = [["key", "length_m", "width_m", "free_from"], [12, 6, "3 ft", date(2026, 5, 1)]]


@pytest.fixture
def book(tmp_path):
    def make(**sheets):
        made = Workbook()
        made.remove(made.worksheets[0])
        for name, rows in {"holding": SETTINGS, "beds": BEDS, **sheets}.items():
            tab = made.create_sheet(name)
            for row in rows:
                tab.append(row)
        path = tmp_path / "nook.xlsx"
        made.save(path)
        return path

    return make


def test_numbers_dates_and_texts_of_cells(book, read):
    holding = read(book(aims=[["kind", "crop", "amount"], ["food", "Carrot", 2], [None] * 3]))
    assert holding.site.latitude_deg == 47.1
    assert holding.as_of == date(2026, 2, 16)
    assert holding.eats == ("carrot", "kale")
    assert holding.people[0].weight_kg == pytest.approx(63.5029318)
    assert (holding.beds[0].key, holding.beds[0].length_m) == ("12", 6.0)
    assert holding.beds[0].width_m == 0.9144
    assert holding.beds[0].free_from == date(2026, 5, 1)
    assert holding.aims[0].amount == 2.0


FAULTS = {
    "a sheet of another name": (
        {"bed": [["key"]]},
        ("nook.xlsx, sheet bed", None, None, "an unknown sheet", "did you mean beds?"),
    ),
    "a fraction that became a date": (
        {"beds": [["key", "length_m", "width_m"], ["A", datetime(2026, 2, 1), 1]]},
        ("nook.xlsx, sheet beds", 2, "length_m", "2026-02-01", "turned a fraction into a date"),
    ),
    "a time of day": (
        {"records": [["day", "kind"], [datetime(2026, 2, 1, 9, 30), "seen"]]},
        ("nook.xlsx, sheet records", 2, "day", "09:30", "without a time of day"),
    ),
    "an unknown setting": (
        {"holding": [*SETTINGS, ["site.hight_m", 3]]},
        ("nook.xlsx, sheet holding", 12, "site.hight_m", "unknown", "elevation_m"),
    ),
    "a setting given twice": (
        {"holding": [*SETTINGS, ["site.name", "Cranny"]]},
        ("nook.xlsx, sheet holding", 12, "site.name", "a second value", "one value"),
    ),
    "a name that is no setting": (
        {"holding": [*SETTINGS, ["latitude", 3]]},
        ("nook.xlsx, sheet holding", 12, "setting", '"latitude"', "site.latitude_deg"),
    ),
    "a value that cannot be": (
        {"holding": [*SETTINGS, ["plan.weeks", 0]]},
        ("nook.xlsx, sheet holding", 12, "plan.weeks", "0", "greater than or equal to 1"),
    ),
    "other columns in the settings": (
        {"holding": [["name", "value"], ["site.name", "Nook"]]},
        ("nook.xlsx, sheet holding", 1, None, "other columns", "setting and value"),
    ),
}


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
def test_one_problem_names_the_sheet_row_and_column(fault, book, read):
    sheets, (file, row, column, found, expected) = fault
    with pytest.raises(BadInput) as bad:
        read(book(**sheets))
    (problem,) = bad.value.problems
    assert (problem.file, problem.row, problem.column) == (file, row, column)
    assert found in problem.found
    assert expected in problem.expected


def test_a_workbook_without_settings(tmp_path, read):
    made = Workbook()
    made.worksheets[0].title = "beds"
    made.worksheets[0].append(["key", "length_m", "width_m"])
    made.save(tmp_path / "nook.xlsx")
    with pytest.raises(BadInput, match="a sheet named holding"):
        read(tmp_path / "nook.xlsx")


@pytest.mark.parametrize("data", [None, b"key,length_m\n"])
def test_what_is_no_workbook(data, tmp_path, read):
    path = tmp_path / "nook.xlsx"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(BadInput) as bad:
        read(path)
    assert len(bad.value.problems) == 1


def test_a_written_workbook_holds_no_formulas(small, read, tmp_path):
    trees = "key,species\n'=1+1,'+Crataegomespilus dardarii\n"
    holding = read(small({"trees.csv": trees, "limbs.csv": None}))
    assert holding.trees[0].key == "=1+1"
    write_workbook(holding, tmp_path / "out.xlsx")
    cells = load_workbook(tmp_path / "out.xlsx")["trees"][2]
    assert [(cell.value, cell.data_type) for cell in cells[:2]] == [
        ("=1+1", "s"),
        ("+Crataegomespilus dardarii", "s"),
    ]
    assert read(tmp_path / "out.xlsx") == holding


def test_a_workbook_that_cannot_be_written_leaves_the_old_one(small, read, tmp_path, monkeypatch):
    path = tmp_path / "out.xlsx"
    path.write_bytes(b"old")
    holding = read(small())

    def breaks(*_):
        raise OSError("no room")

    monkeypatch.setattr(Workbook, "save", breaks)
    with pytest.raises(OSError, match="no room"):
        write_workbook(holding, path)
    assert path.read_bytes() == b"old"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["nook", "out.xlsx"]
