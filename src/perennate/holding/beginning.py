"""An empty holding folder with a commented holding.toml, for someone who begins."""

from importlib.resources import files
from pathlib import Path

from perennate.holding.schema import TABLES, table_schema
from perennate.holding.sheets import csv_text
from perennate.holding.writer import write_schemas
from perennate.terms import BadInput, Problem

_EXAMPLE_ROWS = {
    "beds": ({"key": "door", "length_m": "4.5", "width_m": "1.2", "light": "full sun"},),
    "water_sources": (
        {"key": "house tap", "kind": "mains", "flow_l_min": "15"},
        {"key": "shed roof", "kind": "roof", "tank_l": "1000", "roof_m2": "30"},
    ),
    "aims": (
        {
            "key": "roots",
            "kind": "food",
            "crop": "carrot",
            "amount": "1.5",
            "unit": "kg",
            "per": "week",
            "start": "2027-07-01",
            "end": "2027-10-31",
            "note": "all names of crops: perennate plant",
        },
        {"key": "winter", "kind": "food", "crop": "potato", "amount": "40", "unit": "kg"},
    ),
    "plantings": (
        {
            "hand": "past",
            "crop": "tomato",
            "bed": "door",
            "ground_from": "2026-05-20",
            "ground_to": "2026-10-05",
        },
    ),
    "lots": (
        {
            "key": "carrot old tin",
            "crop": "carrot",
            "kind": "seed",
            "amount": "5",
            "unit": "g",
            "year": "2025",
            "germination": "0.72",
        },
    ),
}
"""Invented rows that show what to write; they stand behind a # and are not read."""


def new_holding(folder: Path) -> tuple[str, ...]:
    """Make the folder and put into it what a holding needs; gives the names of the files.

    Raises BadInput, with nothing changed, when there is already something in it.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        found = "something there already"
        raise BadInput([Problem(folder.name, None, None, found, "an empty or a new folder")])
    folder.mkdir(parents=True, exist_ok=True)
    toml = files("perennate.holding").joinpath("new_holding.toml").read_text("utf-8")
    texts = {"holding.toml": toml} | {f"{name}.csv": _table(name) for name in TABLES}
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    write_schemas(folder)
    return tuple(texts)


def _table(name: str) -> str:
    names = table_schema(name).names
    rows = [list(names)]
    for example in _EXAMPLE_ROWS.get(name, ()):
        rows.append([example.get(column, "") for column in names])
        rows[-1][0] = f"# {rows[-1][0]}"
    # The sign that marks a note must stay bare, so the guard that csv_text gives it comes off.
    return csv_text(rows).replace("\n'# ", "\n# ")
