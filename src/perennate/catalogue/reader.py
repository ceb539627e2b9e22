"""Reads the tables that ship with the package into one typed Catalogue, or says all that is wrong.

A figure without a source or basis is refused, as are a source that sources.csv does not hold,
ends out of order, an unknown unit, figure, fact or crop, and a row that stands twice.
"""

from collections.abc import Collection, Mapping
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import cast

from perennate.catalogue.figures import FACTS, FIGURES, ROLES
from perennate.catalogue.model import (
    Catalogue,
    Container,
    Crop,
    Fact,
    Hazard,
    LabourRate,
    Source,
)
from perennate.catalogue.tables import Table
from perennate.terms import BadInput, Basis, Estimate, Problem

FORBIDS = ("", "food until processed", "food", "harvest wait")
_SHARES_ADD_WITHIN = 1e-3
_SPREAD = ("value", "low", "high")


def shipped_tables() -> Traversable:
    """The folder of tables inside the package."""
    return files("perennate.catalogue") / "data"


@lru_cache(maxsize=1)
def load_catalogue() -> Catalogue:
    """The catalogue that ships with the package, read once."""
    return read_catalogue(shipped_tables())


def read_catalogue(folder: Traversable) -> Catalogue:
    """The catalogue from a folder of tables; BadInput with every problem of all tables."""
    problems: list[Problem] = []
    sources = _read_sources(folder, problems)
    plants = _read_plants(folder, problems)
    figures = _read_figures(folder, problems, sources, plants)
    facts = _read_facts(folder, problems, sources, plants)
    shares = _read_shares(folder, problems, sources, plants)
    labour = _read_labour(folder, problems, sources)
    containers = _read_containers(folder, problems, sources)
    of_crops, of_materials = _read_hazards(folder, problems, sources, plants)
    if problems:
        raise BadInput(problems)
    crops = {
        key: Crop(
            key=key,
            common_name=plant["common_name"],
            scientific_name=plant["scientific_name"],
            synonyms=tuple(name.strip() for name in plant["synonyms"].split(";") if name.strip()),
            family=plant["family"],
            role=plant["role"],
            figures=figures.get(key, {}),
            facts=facts.get(key, {}),
            hazards=tuple(of_crops.get(key, ())),
            harvest_shares=shares.get(key, ()),
        )
        for key, plant in plants.items()
    }
    return Catalogue(crops, labour, containers, tuple(of_materials), sources)


@lru_cache(maxsize=1)
def figure_notes() -> Mapping[tuple[str, str], str]:
    """Remarks of the shipped table by crop and figure; figures without a remark are not in it."""
    table = Table("figures.csv", [])
    rows = table.rows(shipped_tables(), ("crop", "figure", "note"))
    return {(row["crop"], row["figure"]): row["note"] for row in rows if row["note"]}


def _read_sources(folder: Traversable, problems: list[Problem]) -> dict[str, Source]:
    table = Table("sources.csv", problems)
    found = {}
    for row in table.rows(folder, ("key", "citation")):
        if table.filled(row, "key", "citation") and table.first_time(row, "key"):
            found[row["key"]] = Source(row["key"], row["citation"])
    return found


def _read_plants(folder: Traversable, problems: list[Problem]) -> dict[str, Mapping[str, str]]:
    table = Table("crops.csv", problems)
    columns = ("key", "common_name", "scientific_name", "synonyms", "family", "role")
    found = {}
    for row in table.rows(folder, columns):
        named = table.filled(row, "key", "common_name", "scientific_name", "family")
        if named and table.one_of(row, "role", ROLES) and table.first_time(row, "key"):
            found[row["key"]] = row.cells
    return found


def _read_figures(
    folder: Traversable,
    problems: list[Problem],
    sources: Mapping[str, Source],
    plants: Collection[str],
) -> dict[str, dict[str, Estimate]]:
    table = Table("figures.csv", problems)
    columns = ("crop", "figure", *_SPREAD, "unit", "source", "basis", "note")
    found: dict[str, dict[str, Estimate]] = {}
    for row in table.rows(folder, columns):
        name = row["figure"]
        good = _known_crop(table, row.line, row["crop"], plants)
        good &= table.sourced(row, sources)
        unit = FIGURES.get(name)
        if unit is None:
            table.wrong(row.line, "figure", name, "the name of a figure")
        elif row["unit"] != unit:
            table.wrong(row.line, "unit", row["unit"], f"{unit}, the unit of {name}")
        value = table.estimate(row, _SPREAD, row["unit"], row["basis"])
        if table.first_time(row, "crop", "figure") and good and value is not None:
            found.setdefault(row["crop"], {})[name] = value
    return found


def _read_facts(
    folder: Traversable,
    problems: list[Problem],
    sources: Mapping[str, Source],
    plants: Collection[str],
) -> dict[str, dict[str, Fact]]:
    table = Table("facts.csv", problems)
    found: dict[str, dict[str, Fact]] = {}
    for row in table.rows(folder, ("crop", "fact", "value", "source", "basis")):
        good = _known_crop(table, row.line, row["crop"], plants)
        good &= table.one_of(row, "fact", FACTS)
        good &= table.filled(row, "value")
        good &= table.sourced(row, sources)
        if table.first_time(row, "crop", "fact") and good:
            fact = Fact(row["value"], row["source"], cast(Basis, row["basis"]))
            found.setdefault(row["crop"], {})[row["fact"]] = fact
    return found


def _read_shares(
    folder: Traversable,
    problems: list[Problem],
    sources: Mapping[str, Source],
    plants: Collection[str],
) -> dict[str, tuple[float, ...]]:
    table = Table("harvest_shares.csv", problems)
    weeks: dict[str, dict[int, float]] = {}
    last: dict[str, int] = {}
    for row in table.rows(folder, ("crop", "week", "share", "source", "basis")):
        good = _known_crop(table, row.line, row["crop"], plants)
        good &= table.sourced(row, sources)
        week, share = table.number(row, "week"), table.number(row, "share")
        if not table.first_time(row, "crop", "week") or not good or week is None or share is None:
            continue
        if share < 0 or week != int(week):
            table.wrong(row.line, "share", f"{share:g} in week {week:g}", "a share in a whole week")
            continue
        weeks.setdefault(row["crop"], {})[int(week)] = share
        last[row["crop"]] = row.line
    found = {}
    for crop, taken in weeks.items():
        if sorted(taken) != list(range(1, len(taken) + 1)):
            table.wrong(last[crop], "week", f"a gap for {crop}", "weeks 1, 2, 3 ... without a gap")
            continue
        total = sum(taken.values())
        if abs(total - 1) > _SHARES_ADD_WITHIN:
            table.wrong(last[crop], "share", f"{total:g} in all for {crop}", "shares adding to 1")
            continue
        found[crop] = tuple(taken[week] / total for week in sorted(taken))
    return found


def _read_labour(
    folder: Traversable, problems: list[Problem], sources: Mapping[str, Source]
) -> dict[str, LabourRate]:
    table = Table("labour.csv", problems)
    spread = ("minutes", "low", "high")
    columns = ("key", "group", "task", "object", "per_unit", *spread, "source", "basis", "note")
    found = {}
    for row in table.rows(folder, columns):
        good = table.filled(row, "key", "task", "per_unit") and table.first_time(row, "key")
        good &= table.sourced(row, sources)
        minutes = table.estimate(row, spread, "min", row["basis"])
        if good and minutes is not None:
            found[row["key"]] = LabourRate(
                row["key"], row["group"], row["task"], row["object"], row["per_unit"], minutes
            )
    return found


def _read_containers(
    folder: Traversable, problems: list[Problem], sources: Mapping[str, Source]
) -> dict[str, Container]:
    table = Table("containers.csv", problems)
    fill = ("fill_l", "fill_low", "fill_high")
    columns = ("key", "kind", "name", "cells", "cells_per_m2", *fill, "fill_basis")
    found = {}
    for row in table.rows(folder, (*columns, "source", "basis", "note")):
        good = table.filled(row, "key", "kind", "name") and table.first_time(row, "key")
        good &= table.sourced(row, sources)
        cells, dense = table.number(row, "cells"), table.number(row, "cells_per_m2")
        litres = table.estimate(row, fill, "l", row["fill_basis"])
        if good and cells is not None and dense is not None and litres is not None:
            found[row["key"]] = Container(
                row["key"],
                row["kind"],
                row["name"],
                int(cells),
                dense,
                litres,
                row["source"],
                cast(Basis, row["basis"]),
            )
    return found


def _read_hazards(
    folder: Traversable,
    problems: list[Problem],
    sources: Mapping[str, Source],
    plants: Collection[str],
) -> tuple[dict[str, list[Hazard]], list[Hazard]]:
    table = Table("hazards.csv", problems)
    said = ("parts", "hazard", "processing", "who_at_risk")
    columns = ("key", "kind", "applies_to", *said, "forbids", "days", "ask", "source", "basis")
    of_crops: dict[str, list[Hazard]] = {}
    of_materials: list[Hazard] = []
    for row in table.rows(folder, columns):
        good = table.first_time(row, "key") and table.filled(row, "key", "applies_to", *said, "ask")
        good &= table.one_of(row, "kind", ("crop", "material"))
        good &= table.one_of(row, "forbids", FORBIDS)
        good &= table.sourced(row, sources)
        waits = row["forbids"] == "harvest wait"
        days = table.number(row, "days") if waits else None
        if not waits and row["days"]:
            table.wrong(row.line, "days", row["days"], "nothing, since this is not a harvest wait")
        if row["kind"] == "crop":
            good &= _known_crop(table, row.line, row["applies_to"], plants, "applies_to")
        if not good or (waits and days is None):
            continue
        hazard = Hazard(
            key=row["key"],
            applies_to=row["applies_to"],
            parts=row["parts"],
            hazard=row["hazard"],
            processing=row["processing"],
            who_at_risk=row["who_at_risk"],
            forbids=row["forbids"],  # type: ignore[arg-type]
            days=None if days is None else int(days),
            ask=row["ask"],
            source=row["source"],
            basis=cast(Basis, row["basis"]),
        )
        if row["kind"] == "crop":
            of_crops.setdefault(row["applies_to"], []).append(hazard)
        else:
            of_materials.append(hazard)
    return of_crops, of_materials


def _known_crop(
    table: Table, line: int, key: str, plants: Collection[str], column: str = "crop"
) -> bool:
    if key not in plants:
        table.wrong(line, column, key, "the key of a crop in crops.csv")
        return False
    return True
