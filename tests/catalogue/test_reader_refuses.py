"""A table with a fault is refused, with the place and what was expected; all faults at once."""

import csv
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from perennate.catalogue.reader import load_catalogue, read_catalogue, shipped_tables
from perennate.terms import BadInput

Cells = list[dict[str, str]]


def spoil(folder: Path, table: str, change: Callable[[Cells], None]) -> None:
    path = folder / table
    with path.open(encoding="utf-8") as lines:
        reader = csv.DictReader(lines)
        header = list(reader.fieldnames or [])
        rows = list(reader)
    change(rows)
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, header, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def setting(column: str, value: str) -> Callable[[Cells], None]:
    def change(rows: Cells) -> None:
        rows[2][column] = value

    return change


def repeat_the_third(rows: Cells) -> None:
    rows.insert(3, dict(rows[2]))


def drop_a_week(rows: Cells) -> None:
    del rows[
        next(i for i, row in enumerate(rows) if row["crop"] == "tomato" and row["week"] == "2")
    ]


FAULTS = [
    ("figures.csv", setting("source", ""), "source", "nothing"),
    ("figures.csv", setting("source", "hearsay"), "source", "hearsay"),
    ("figures.csv", setting("source", "memory;hearsay"), "source", "hearsay"),
    ("figures.csv", setting("basis", ""), "basis", "nothing"),
    ("figures.csv", setting("basis", "seen"), "basis", "seen"),
    ("figures.csv", setting("value", "9999"), "value", "38, 9999, 38"),
    ("figures.csv", setting("low", "9999"), "value", "9999, 38, 38"),
    ("figures.csv", setting("value", "3,8"), "value", "3,8"),
    ("figures.csv", setting("high", "nan"), "high", "nan"),
    ("figures.csv", setting("unit", "inch"), "unit", "inch"),
    ("figures.csv", setting("unit", ""), "unit", "nothing"),
    ("figures.csv", setting("figure", "sweetness"), "figure", "sweetness"),
    ("figures.csv", setting("crop", "triffid"), "crop", "triffid"),
    ("figures.csv", repeat_the_third, "figure", "onion_bulb / row_spacing"),
    ("facts.csv", setting("crop", "triffid"), "crop", "triffid"),
    ("facts.csv", setting("value", ""), "value", "nothing"),
    ("facts.csv", setting("fact", "charm"), "fact", "charm"),
    ("facts.csv", setting("source", ""), "source", "nothing"),
    ("facts.csv", repeat_the_third, "fact", None),
    ("crops.csv", repeat_the_third, "key", "onion_welsh"),
    ("crops.csv", setting("role", "weed"), "role", "weed"),
    ("crops.csv", setting("scientific_name", " "), "scientific_name", "nothing"),
    ("sources.csv", repeat_the_third, "key", None),
    ("sources.csv", setting("citation", ""), "citation", "nothing"),
    ("harvest_shares.csv", drop_a_week, "week", "a gap for tomato"),
    ("harvest_shares.csv", setting("share", "0.9"), "share", None),
    ("harvest_shares.csv", setting("share", "-0.1"), "share", None),
    ("labour.csv", setting("minutes", "x"), "minutes", "x"),
    ("labour.csv", setting("source", "hearsay"), "source", "hearsay"),
    ("containers.csv", setting("fill_low", "99"), "fill_l", None),
    ("containers.csv", repeat_the_third, "key", None),
    ("hazards.csv", setting("applies_to", "triffid"), "applies_to", "triffid"),
    ("hazards.csv", setting("forbids", "everything"), "forbids", "everything"),
    ("hazards.csv", setting("forbids", "harvest wait"), "days", "nothing"),
    ("hazards.csv", setting("days", "12"), "days", "12"),
    ("hazards.csv", setting("source", ""), "source", "nothing"),
    ("hazards.csv", setting("hazard", ""), "hazard", "nothing"),
]


@pytest.mark.parametrize(("table", "change", "column", "found"), FAULTS)
def test_a_fault_is_refused_with_its_place(
    tables: Path,
    table: str,
    change: Callable[[Cells], None],
    column: str,
    found: str | None,
) -> None:
    spoil(tables, table, change)
    with pytest.raises(BadInput) as refused:
        read_catalogue(tables)
    here = [p for p in refused.value.problems if p.file == table and p.column == column]
    assert here
    assert found is None or found in {problem.found for problem in here}
    assert all(problem.row is not None and problem.expected for problem in here)


def test_the_row_is_counted_as_a_spreadsheet_counts(tables: Path) -> None:
    spoil(tables, "figures.csv", setting("unit", "inch"))
    with pytest.raises(BadInput) as refused:
        read_catalogue(tables)
    assert str(refused.value) == (
        "figures.csv, row 4, column unit: found inch; expected cm, the unit of row_spacing"
    )


def test_all_faults_of_all_tables_come_at_once(tables: Path) -> None:
    spoil(tables, "figures.csv", setting("source", ""))
    spoil(tables, "labour.csv", setting("low", "x"))
    spoil(tables, "hazards.csv", setting("kind", "ghost"))
    with pytest.raises(BadInput) as refused:
        read_catalogue(tables)
    assert {p.file for p in refused.value.problems} == {"figures.csv", "labour.csv", "hazards.csv"}


def test_a_missing_table_and_a_missing_column_are_named(tables: Path) -> None:
    (tables / "labour.csv").unlink()
    facts = (tables / "facts.csv").read_text(encoding="utf-8")
    (tables / "facts.csv").write_text(facts.replace("basis", "ground", 1), encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        read_catalogue(tables)
    named = {(p.file, p.column, p.found) for p in refused.value.problems}
    assert ("labour.csv", None, "no such file") in named
    assert ("facts.csv", "basis", "no such column") in named


def test_rows_in_any_order_give_the_same_catalogue(tables: Path) -> None:
    spoil(tables, "figures.csv", lambda rows: rows.reverse())
    assert read_catalogue(tables).crops == load_catalogue().crops


def test_the_shipped_tables_read_in_well_under_half_a_second() -> None:
    best = min(_seconds_to_read() for _ in range(3))
    assert best < 0.4


def _seconds_to_read() -> float:
    start = time.process_time()
    read_catalogue(shipped_tables())
    return time.process_time() - start
