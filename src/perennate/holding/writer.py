"""A Holding written as a folder or a workbook, whole or not at all."""

import os
import shutil
import tempfile
from pathlib import Path
from typing import Any

from perennate.holding.cells import Cell
from perennate.holding.model import Holding, OwnValue
from perennate.holding.schema import SCHEMAS, TABLES, TableSchema, schema_text, table_schema
from perennate.holding.settings import settings_of, toml_text
from perennate.holding.sheets import csv_text
from perennate.holding.workbook import rows_bytes, write_rows
from perennate.terms import BadInput, Problem


def write_holding(holding: Holding, folder: Path, weather_from: Path | None = None) -> None:
    """Write the holding to a folder, new or already a holding folder.

    Everything is written beside the folder first and takes its place in one move; files of the
    folder that are no part of a holding stay. Weather files are copied from `weather_from` when
    the folder does not have them. Raises BadInput, with nothing changed, when the folder holds
    something other than a holding or a weather file is nowhere.
    """
    problems: list[Problem] = []
    stands = folder.exists()
    if stands and not folder.is_dir():
        problems.append(Problem(folder.name, None, None, "a file", "a folder"))
    elif stands and any(folder.iterdir()) and not (folder / "holding.toml").is_file():
        found = "files, but no holding.toml"
        problems.append(Problem(folder.name, None, None, found, "an empty or a holding folder"))
    copies: dict[str, Path] = {}
    for name in holding.weather_files:
        if Path(name).is_absolute() or (folder / name).is_file():
            continue
        source = weather_from / name if weather_from is not None else None
        if source is None or not source.is_file() or ".." in Path(name).parts:
            expected = "a weather file that is there, within the folder"
            problems.append(Problem("holding.toml", None, "weather.files", f'"{name}"', expected))
        else:
            copies[name] = source
    if problems:
        raise BadInput(problems)
    folder.parent.mkdir(parents=True, exist_ok=True)
    staged = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    try:
        if stands:
            shutil.copytree(folder, staged, dirs_exist_ok=True, symlinks=True)
        _fill(holding, staged)
        for name, source in copies.items():
            (staged / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source, staged / name)
        os.chmod(staged, folder.stat().st_mode if stands else 0o755)
        _take_the_place(staged, folder)
    finally:
        shutil.rmtree(staged, ignore_errors=True)


def _fill(holding: Holding, folder: Path) -> None:
    (folder / "schemas").mkdir(exist_ok=True)
    for name, text in holding_texts(holding).items():
        _write_text(folder / name, text)


def holding_texts(holding: Holding) -> dict[str, str]:
    """The text of every file of a holding folder but its weather, by its path in the folder."""
    texts = {"holding.toml": toml_text(settings_of(holding))}
    texts |= {f"{name}.csv": csv_text(rows) for name, rows in table_rows(holding).items()}
    return texts | {f"schemas/{name}.json": schema_text(name) for name in SCHEMAS}


def write_schemas(folder: Path) -> None:
    """Copy the Table Schemas into the folder's `schemas`."""
    (folder / "schemas").mkdir(exist_ok=True)
    for name in SCHEMAS:
        _write_text(folder / "schemas" / f"{name}.json", schema_text(name))


def _write_text(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="")


def _take_the_place(staged: Path, folder: Path) -> None:
    """Move the staged folder where the folder is; on failure the old one is put back."""
    if not folder.exists():
        os.rename(staged, folder)
        return
    aside = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    try:
        os.replace(folder, aside / "before")
        try:
            os.rename(staged, folder)
        except BaseException:
            os.rename(aside / "before", folder)
            raise
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def write_workbook(holding: Holding, path: Path) -> None:
    """Write the holding to an .xlsx workbook, one sheet a table; the file appears whole.

    Weather files are named in it and stay files beside it.
    """
    write_rows(path, settings_of(holding), table_rows(holding))


def workbook_bytes(holding: Holding) -> bytes:
    """The workbook that `write_workbook` writes."""
    return rows_bytes(settings_of(holding), table_rows(holding))


def table_rows(holding: Holding) -> dict[str, list[list[Cell]]]:
    """The header and rows of every table of the holding, by its name."""
    tables: dict[str, list[list[Cell]]] = {}
    for name in TABLES:
        schema = table_schema(name)
        rows: list[list[Cell]] = [list(schema.names)]
        rows += [row_values(one, schema) for one in getattr(holding, name)]
        tables[name] = rows
    return tables


def row_values(one: Any, schema: TableSchema) -> list[Cell]:
    """The cells of a row of that table, in the order of its columns."""
    cells: list[Cell] = []
    for field in schema.fields:
        inside = isinstance(one, OwnValue) and field.name not in ("crop", "figure")
        value = getattr(one.estimate if inside else one, field.name)
        cells.append(f"{field.separator} ".join(value) if isinstance(value, tuple) else value)
    return cells
