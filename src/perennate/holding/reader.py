"""A holding folder or workbook, read whole: a Holding, or every problem with it at once."""

import dataclasses
import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from perennate.holding.agreement import (
    account_problems,
    household_problems,
    planting_problems,
    table_problems,
)
from perennate.holding.assumed import KEYED_TABLES, parts_of_name, standing_assumptions
from perennate.holding.cells import Cell, Reading, literal, nearest
from perennate.holding.model import (
    Aim,
    Bed,
    HandPlanting,
    Holding,
    Limb,
    Lot,
    LotMove,
    OwnValue,
    Record,
    Tree,
    WaterSource,
)
from perennate.holding.rows import Find, Row, Suggest, Table, read_rows
from perennate.holding.schema import SCHEMAS, TABLES, table_schema
from perennate.holding.settings import RowOf, Settings, check_settings, parts_of, read_toml
from perennate.holding.sheets import Sheet, read_csv, sheet_of
from perennate.holding.water_faults import day_problems
from perennate.holding.workbook import open_workbook
from perennate.terms import BadInput, Estimate, Problem

Portion = Callable[[str], float | None]
"""Grams in a serving of a crop, by its key; None when it is not known."""

MADE_OF: Mapping[str, Any] = {
    "beds": Bed,
    "water_sources": WaterSource,
    "aims": Aim,
    "lots": Lot,
    "lot_moves": LotMove,
    "trees": Tree,
    "limbs": Limb,
    "plantings": HandPlanting,
    "records": Record,
    "own_values": OwnValue,
}
"""The dataclass of each table's rows."""

_OTHERWISE: Mapping[tuple[str, str], str] = {("aims", "per"): "season"}
SETTINGS_FILE = "holding"
"""What problems with the settings of `read_tables` call their file."""

_TABLE_ENDINGS = (".csv", ".tsv", ".txt", ".xlsx", ".xls", ".ods")


def no_portion(crop: str) -> float | None:
    """Where no catalogue is at hand, no serving has a known weight."""
    return None


def read_holding(
    folder: Path,
    find: Find,
    suggest: Suggest,
    portion: Portion = no_portion,
    weather_files: Collection[str] | None = None,
) -> Holding:
    """The holding in a folder. Raises BadInput with all its problems.

    `find` gives the catalogue's key of a crop from any of its names, `suggest` the names most
    like an unknown one, `portion` the grams in a serving. Weather files are listed, not read.
    `weather_files`: names of those that there are, where nothing outside the folder may be
    looked at.
    """
    if not folder.is_dir():
        raise BadInput([Problem(folder.name, None, None, "no such folder", "a holding folder")])
    file = folder / "holding.toml"
    if not file.is_file():
        expected = "a file holding.toml (an empty holding folder made for you has one)"
        raise BadInput([Problem(file.name, None, None, "no such file", expected)])
    problems: list[Problem] = []
    settings: Settings | None = None
    row_of: RowOf = lambda path: None  # noqa: E731
    try:
        settings, problems, row_of = read_toml(file.read_text("utf-8-sig"), file.name)
    except UnicodeDecodeError as error:
        found = f"the byte {error.object[error.start]:#04x}"
        problems = [Problem(file.name, None, None, found, "text saved as UTF-8")]
    sheets: dict[str, Sheet | None] = {}
    for name in TABLES:
        path = folder / f"{name}.csv"
        if path.is_file():
            sheets[name], found_wrong = read_csv(path, table_schema(name).names)
            problems += found_wrong
    problems += _misnamed(folder, settings)
    weather = _beside(folder, [path.name for path in folder.glob("*.csv")])
    if weather_files is not None:
        weather = _at_hand(weather_files)
    return _holding(settings, row_of, file.name, sheets, problems, weather, find, suggest, portion)


def read_workbook(
    path: Path,
    find: Find,
    suggest: Suggest,
    portion: Portion = no_portion,
    weather_files: Collection[str] | None = None,
) -> Holding:
    """The holding in an .xlsx workbook, as `read_holding`; weather files lie beside it.

    `weather_files`: names of those that there are, where nothing beside it may be looked at.
    """
    weather = _beside(path.parent) if weather_files is None else _at_hand(weather_files)
    said, row_of, sheets, problems = open_workbook(path)
    settings: Settings | None = None
    file = f"{path.name}, sheet holding"
    if said is not None:
        settings, wrong = check_settings(said, file, row_of)
        problems += wrong
    return _holding(settings, row_of, file, sheets, problems, weather, find, suggest, portion)


def read_tables(
    said: Mapping[str, Any],
    tables: Mapping[str, Sequence[Sequence[Cell]]],
    find: Find,
    suggest: Suggest,
    portion: Portion = no_portion,
    weather_files: Collection[str] | None = None,
) -> Holding:
    """The holding of settings and tables that lie in no file. Raises BadInput, as `read_holding`.

    `said` is the nested mapping of `settings_of`, `tables` the header and rows of each table by
    its name, as of `table_rows`; one that is missing or has not even a header is empty. Texts
    are taken as they are: no row is a note, no apostrophe a guard. Problems call a table's file
    by the table's name and count its header as row 1. `weather_files`: names of those that there
    are; where None, those told in the settings are believed to be.
    """
    row_of: RowOf = lambda path: None  # noqa: E731
    settings, problems = check_settings(said, SETTINGS_FILE, row_of)
    sheets: dict[str, Sheet | None] = {}
    for name, rows in tables.items():
        if name not in TABLES:
            near = nearest(name, TABLES)
            expected = f"one of {', '.join(TABLES)}{f'; did you mean {near[0]}?' if near else ''}"
            problems.append(Problem(name, None, None, "an unknown table", expected))
        elif len(rows):
            kept = [[literal(cell) for cell in row] for row in rows]
            sheets[name], wrong = sheet_of(name, kept, notes=False)
            problems += wrong
    weather = _Weather(lambda name: True) if weather_files is None else _at_hand(weather_files)
    return _holding(
        settings, row_of, SETTINGS_FILE, sheets, problems, weather, find, suggest, portion
    )


@dataclasses.dataclass(frozen=True, slots=True)
class _Weather:
    """Which weather files there are: whether one that is told is there, and those found."""

    there: Callable[[str], bool]
    found: tuple[str, ...] = ()
    where: str = "here"


def _beside(folder: Path, names: Iterable[str] = ()) -> _Weather:
    return _Weather(lambda name: (folder / name).is_file(), _by_name(names), folder.name or "here")


def _at_hand(names: Collection[str]) -> _Weather:
    return _Weather(lambda name: name in names, _by_name(names))


def _by_name(names: Iterable[str]) -> tuple[str, ...]:
    """Those of the files that are weather files by their name alone."""
    by_name = re.compile(r"weather[^/]*\.csv|normals\.csv")
    return tuple(sorted(name for name in names if by_name.fullmatch(name)))


def _holding(
    settings: Settings | None,
    row_of: RowOf,
    file: str,
    sheets: Mapping[str, Sheet | None],
    problems: list[Problem],
    weather: _Weather,
    find: Find,
    suggest: Suggest,
    portion: Portion,
) -> Holding:
    # Where the settings cannot be read, one way of writing days and numbers is taken as told,
    # so that a broken line there does not call every cell ambiguous.
    reading = settings.how_to_read() if settings else Reading(dates="day first")
    find = cache(find)
    tables: dict[str, Table] = {}
    for name, sheet in sheets.items():
        schema = table_schema(name)
        if sheet is None:
            tables[name] = Table(f"{name}.csv", schema, (), usable=False)
            continue
        tables[name], wrong = read_rows(sheet, schema, reading, find, suggest)
        problems += wrong
    problems += table_problems(tables)
    made: dict[str, dict[int, Any]] = {name: {} for name in TABLES}
    for name, table in tables.items():
        for row in table.rows:
            if row.whole:
                made[name][row.number] = made_row(row, table, portion, problems)
    problems += _outside(tables, made)
    told = settings.plan.as_of if settings else None
    problems += day_problems(tables.values(), made, latest_day(told))
    parts: dict[str, Any] = {}
    if settings is not None:
        parts = parts_of(settings)
        if "aims" in tables:
            file_of_aims = tables["aims"].file
            problems += household_problems(file_of_aims, made["aims"], parts["people"])
        for name in ("eats", "processes"):
            said = getattr(settings.food, name)
            parts[name], wrong = _crops(said, name, file, row_of, find, suggest)
            problems += wrong
        parts["weather_files"], wrong = _weather(settings, weather, file, row_of)
        problems += wrong
        problems += _misnamed_assumptions(settings, file, row_of)
    if problems:
        files = list(dict.fromkeys(problem.file for problem in problems))
        raise BadInput(sorted(problems, key=lambda one: (files.index(one.file), one.row or 0)))
    parts |= {name: tuple(rows.values()) for name, rows in made.items()}
    holding = Holding(**parts)
    return dataclasses.replace(holding, assumed=standing_assumptions(holding))


def latest_day(as_of: date | None) -> date:
    """The last day on which anything can have been measured: today, or the day planned from."""
    return max(date.today(), as_of or date.min)


def _outside(tables: Mapping[str, Table], made: Mapping[str, Mapping[int, Any]]) -> list[Problem]:
    problems: list[Problem] = []
    if "plantings" in tables:
        beds = {bed.key: bed for bed in made["beds"].values()}
        problems += planting_problems(tables["plantings"].file, made["plantings"], beds)
    if "lot_moves" in tables:
        lots = {lot.key: lot for lot in made["lots"].values()}
        problems += account_problems(tables["lot_moves"].file, made["lot_moves"], lots)
    return problems


def made_row(row: Row, table: Table, portion: Portion, problems: list[Problem]) -> Any:
    """The dataclass of a row; columns left empty take the dataclass's own default.

    What cannot be made of it is added to `problems`.
    """
    name = table.schema.name
    if name == "own_values":
        return _own_value(row)
    kind = MADE_OF[name]
    defaults = {
        field.name for field in dataclasses.fields(kind) if field.default is not dataclasses.MISSING
    }
    given: dict[str, Any] = {}
    for field in table.schema.fields:
        value = row.values.get(field.name)
        if value in (None, "") and field.name in defaults:
            continue
        if value is None and field.type == "string":
            value = _OTHERWISE.get((name, field.name), "")
        given[field.name] = value
    if name == "lots" and not given["unit"]:
        given["unit"] = "g" if given["kind"] == "seed" else "pieces"
    if name == "aims" and given["unit"] == "servings":
        grams = portion(given["crop"])
        if grams is None:
            found = f"servings of {given['crop']}"
            expected = "an amount in kg, as the weight of a serving is not known"
            problems.append(Problem(table.file, row.number, "unit", found, expected))
        else:
            given["amount"], given["unit"] = given["amount"] * grams / 1000.0, "kg"
    return kind(**given)


def _own_value(row: Row) -> OwnValue:
    value: Any = row.values["value"]
    low, high = row.values.get("low"), row.values.get("high")
    estimate = Estimate(
        value=value,
        low=low if isinstance(low, float) else value,
        high=high if isinstance(high, float) else value,
        unit=row.text("unit"),
        source=row.text("source") or "own records",
        basis=row.values.get("basis") or "own records",  # type: ignore[arg-type]
    )
    return OwnValue(row.text("crop"), row.text("figure"), estimate)


def _crops(
    names: tuple[str, ...], setting: str, file: str, row_of: RowOf, find: Find, suggest: Suggest
) -> tuple[tuple[str, ...], list[Problem]]:
    keys: list[str] = []
    problems: list[Problem] = []
    for name in names:
        key = find(name)
        if key is None:
            near = suggest(name)
            guess = f"; did you mean {' or '.join(near[:3])}?" if near else ""
            expected = f"the name of a crop in the catalogue{guess}"
            row = row_of(("food", setting))
            problems.append(Problem(file, row, f"food.{setting}", f'"{name}"', expected))
        elif key not in keys:
            keys.append(key)
    return tuple(keys), problems


def _weather(
    settings: Settings, weather: _Weather, file: str, row_of: RowOf
) -> tuple[tuple[str, ...], list[Problem]]:
    """Weather files told in the settings, then those that go by their name."""
    told = settings.weather.files
    expected = f"a file that is there, by its path from {weather.where}"
    row = row_of(("weather", "files"))
    problems = [
        Problem(file, row, "weather.files", f'"{name}"', expected)
        for name in told
        if not weather.there(name)
    ]
    return tuple(dict.fromkeys([*told, *weather.found])), problems


def _misnamed_assumptions(settings: Settings, file: str, row_of: RowOf) -> list[Problem]:
    row = row_of(("assumed", "what"))
    expected = "a name such as site.elevation_m, people.1.weight_kg, or"
    expected += f" table.key.column of a table with keys ({', '.join(KEYED_TABLES)})"
    return [
        Problem(file, row, "assumed.what", f'"{name}"', expected)
        for name in settings.assumed.what
        if parts_of_name(name) is None
    ]


def _misnamed(folder: Path, settings: Settings | None) -> list[Problem]:
    """Files that look as if they were meant as a table but would not be read."""
    problems: list[Problem] = []
    told = settings.weather.files if settings else ()
    for path in sorted(folder.iterdir()):
        if path.suffix.casefold() not in _TABLE_ENDINGS or path.name in told:
            continue
        if path.suffix == ".csv" and (path.stem in SCHEMAS or path.stem.startswith("weather")):
            continue
        near = nearest(path.stem, SCHEMAS, 0.8)
        if near:
            expected = f"{near[0]}.csv, or another name if it is no table of the holding"
            problems.append(Problem(path.name, None, None, "a file of this name", expected))
    return problems
