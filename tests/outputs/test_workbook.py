"""plan.xlsx opened again."""

import io
import zipfile
from dataclasses import replace
from datetime import UTC, datetime

import openpyxl
import pytest
from openpyxl import Workbook

import made_plan
from perennate.outputs.workbook import plan_xlsx
from perennate.planning.plan import Plan

pytestmark = pytest.mark.usefixtures("made_words")


@pytest.fixture
def plan() -> Plan:
    return made_plan.made_plan()


def opened(plan: Plan) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(plan_xlsx(plan, made_plan.NAMES)))


def column(book: Workbook, sheet: str, heading: str) -> list[object]:
    rows = list(book[sheet].iter_rows(values_only=True))
    place = rows[0].index(heading)
    return [row[place] for row in rows[1:]]


def test_it_has_the_seven_sheets_with_frozen_heads(plan: Plan) -> None:
    book = opened(plan)
    assert book.sheetnames == [
        *("Aims", "Plantings", "Jobs", "Needs", "Findings", "Harvest by week", "Working"),
    ]
    assert {sheet.freeze_panes for sheet in book} == {"A2"}
    assert all(sheet["A1"].font.bold for sheet in book)


def test_cells_are_typed(plan: Plan) -> None:
    book = opened(plan)
    assert column(book, "Plantings", "Sow")[0] == datetime(2026, 2, 16)
    assert column(book, "Plantings", "Area, m²")[0] == 1.35
    assert column(book, "Plantings", "Plants")[0] == 20
    assert column(book, "Aims", "Met") == [0.961, 0.4133333]
    assert book["Aims"]["J2"].number_format == "0%"
    assert column(book, "Plantings", "First harvest")[2] is None


def test_text_that_would_run_as_a_formula_stays_text(plan: Plan) -> None:
    book = opened(plan)
    risky = [
        cell
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str) and cell.value[:1] in "=+-@" and cell.value
    ]
    assert {cell.value for cell in risky} >= {"=Ecke", "+Kreuz", "@Abendrot", "-potting mix"}
    assert {cell.data_type for cell in risky} == {"s"}
    assert all(cell.quotePrefix for cell in risky)
    raw = zipfile.ZipFile(io.BytesIO(plan_xlsx(plan)))
    sheets = [name for name in raw.namelist() if name.startswith("xl/worksheets/sheet")]
    assert len(sheets) == 7
    assert not any(b"<f>" in raw.read(name) for name in sheets)


def test_signs_that_a_sheet_cannot_hold_are_left_out(plan: Plan) -> None:
    odd = replace(plan.plantings[0], variety="Bell\x07e\x00 香菜")
    assert "Belle 香菜" in column(opened(replace(plan, plantings=(odd,))), "Plantings", "Variety")


def test_harvest_by_week_adds_up_to_the_plantings(plan: Plan) -> None:
    book = opened(plan)
    weeks = column(book, "Harvest by week", "Week from")
    assert weeks == sorted(weeks)
    whole = sum(column(book, "Harvest by week", "Whole harvest, kg"))
    assert whole == pytest.approx(
        sum(part.kg for one in plan.plantings for part in one.by_week), abs=1e-4
    )


def test_figures_from_memory_are_in_italics(plan: Plan) -> None:
    sheet = opened(plan)["Jobs"]
    heads = [cell.value for cell in sheet[1]]
    assert sheet.cell(2, heads.index("Minutes") + 1).font.italic
    aims = opened(plan)["Aims"]
    assert not aims["F2"].font.italic


def test_us_units_are_converted_and_named_in_the_heads(plan: Plan) -> None:
    us = replace(plan, holding=replace(plan.holding, units="us"))
    lengths = column(opened(us), "Plantings", "Length, ft")
    assert lengths[0] == pytest.approx(1.5 / 0.3048, abs=1e-6)


def test_the_same_plan_gives_the_same_bytes_whenever_it_is_written(
    plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = plan_xlsx(plan)

    class Later(datetime):
        @classmethod
        def now(cls, tz: object = None) -> "Later":
            return cls(2031, 5, 6, 7, 8, 9, tzinfo=UTC if tz else None)

    monkeypatch.setattr("openpyxl.writer.excel.datetime.datetime", Later)
    monkeypatch.setattr("zipfile.time.localtime", lambda *_: (2031, 5, 6, 7, 8, 9, 1, 126, 0))
    assert plan_xlsx(plan) == first
    core = zipfile.ZipFile(io.BytesIO(first)).read("docProps/core.xml").decode()
    assert core.count("2026-03-02T00:00:00Z") == 2


def test_an_empty_plan_is_still_a_workbook(plan: Plan) -> None:
    bare = replace(plan, aims=(), plantings=(), jobs=(), needs=(), findings=())
    assert opened(bare)["Jobs"].max_row == 1
