"""How seed of each plant keeps: whether it may be dried at all, its constants, its oil.

A plant without a row, or with a storage behaviour of "unknown", is not known: never taken to bear
drying. Where a plant has no constants of its own, those of a named relative stand in, and say so.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Literal, cast

from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.tables import BASES, Row, Table
from perennate.science.seed_life import LifeConstants
from perennate.science.seed_moisture import GREATEST_OIL
from perennate.terms import BadInput, Basis, Estimate, Problem

Storage = Literal["orthodox", "intermediate", "recalcitrant", "unknown"]
"""Bears drying and cold; bears some of it; bears none; not known."""
STORAGE: tuple[Storage, ...] = ("orthodox", "intermediate", "recalcitrant", "unknown")

_CONSTANTS = ("ke", "cw", "ch", "cq")
_COLUMNS = (
    *("plant", "woody", "storage", "storage_source", "storage_basis"),
    *_CONSTANTS,
    *("fitted_on", "reference", "stands_for", "source", "basis"),
    *("dry_limit_pct", "dry_limit_source", "dry_limit_basis"),
    *("oil_pct", "oil_low_pct", "oil_high_pct", "oil_source", "oil_basis"),
    *("seal_pct", "seal_source", "seal_basis", "note"),
)


@dataclass(frozen=True, slots=True)
class SeedLife:
    """How seed of one plant keeps.

    `constants` None: none are known, of its own or of a relative. `fitted_on`: species that they
    were fitted on; `reference`: by whom; `stands_for`: crop whose constants these are, "" where
    they are its own. `oil`: share of the dry weight. `dry_limit` and `seal`: moisture of the fresh
    weight [%] below which no more life is won, and at most which seed may be shut in. `woody`: a
    tree or bush, whose `plant` is its scientific name.
    """

    plant: str
    woody: bool
    storage: Storage
    storage_source: str
    storage_basis: Basis
    constants: LifeConstants | None
    fitted_on: str
    reference: str
    stands_for: str
    source: str
    basis: Basis
    dry_limit: Estimate | None
    oil: Estimate | None
    seal: Estimate | None
    note: str


def seed_life(plant: str) -> SeedLife | None:
    """The row of a crop by its key, or of a tree or bush by its scientific name; None is unknown,
    which never bears drying."""
    return seed_lives().get(plant)


@lru_cache(maxsize=1)
def seed_lives() -> Mapping[str, SeedLife]:
    """Every row of the table that ships with the package, read once."""
    known = load_catalogue()
    return read_seed_life(shipped_tables(), known.crops.keys(), known.sources)


def read_seed_life(
    folder: Traversable, crops: Collection[str], sources: Mapping[str, object]
) -> Mapping[str, SeedLife]:
    """The table of a folder; BadInput with every fault in it at once."""
    problems: list[Problem] = []
    table = Table("seed_viability.csv", problems)
    found: dict[str, SeedLife] = {}
    stand_ins: list[Row] = []
    for row in table.rows(folder, _COLUMNS):
        if not table.first_time(row, "plant"):
            continue
        table.one_of(row, "woody", ("", "yes"))
        if row["woody"] != "yes" and row["plant"] not in crops:
            table.wrong(row.line, "plant", row["plant"], "a key of crops.csv, or a woody plant")
        if row["stands_for"]:
            stand_ins.append(row)
        read = _read(table, row, sources)
        if read is not None:
            found[read.plant] = read
    for row in stand_ins:
        other = found.get(row["stands_for"])
        if other is None or other.stands_for or other.constants is None:
            table.wrong(
                row.line, "stands_for", row["stands_for"], "a crop with constants of its own"
            )
    if problems:
        raise BadInput(problems)
    return MappingProxyType(found)


def _read(table: Table, row: Row, sources: Mapping[str, object]) -> SeedLife | None:
    before = len(table.problems)
    table.one_of(row, "storage", STORAGE)
    _cited(table, row, "storage", sources)
    limit = _percent(table, row, "dry_limit", sources)
    seal = _percent(table, row, "seal", sources)
    constants = _constants(table, row, sources, None if limit is None else limit.value)
    if constants is not None and row["storage"] != "orthodox":
        table.wrong(row.line, "ke", row["ke"], "constants for orthodox seed alone")
    oil = _oil(table, row, sources)
    if len(table.problems) > before:
        return None
    return SeedLife(
        row["plant"],
        row["woody"] == "yes",
        cast(Storage, row["storage"]),
        row["storage_source"],
        cast(Basis, row["storage_basis"]),
        constants,
        row["fitted_on"],
        row["reference"],
        row["stands_for"],
        row["source"] or row["storage_source"],
        cast(Basis, row["basis"] or row["storage_basis"]),
        limit,
        oil,
        seal,
        row["note"],
    )


def _constants(
    table: Table, row: Row, sources: Mapping[str, object], dry_limit: float | None
) -> LifeConstants | None:
    given = [column for column in _CONSTANTS if row[column]]
    if not given:
        return None
    if len(given) < len(_CONSTANTS):
        lacking = next(column for column in _CONSTANTS if not row[column])
        table.wrong(row.line, lacking, "nothing", "all four constants together")
        return None
    table.sourced(row, sources)
    table.filled(row, "fitted_on", "reference")
    ke, cw, ch, cq = (table.number(row, column) for column in _CONSTANTS)
    if ke is None or cw is None or ch is None or cq is None:
        return None
    # A slope or a temperature constant below 0 would have seed live longer moist or warm.
    for column, value in (("cw", cw), ("ch", ch), ("cq", cq)):
        if not value > 0:
            table.wrong(row.line, column, row[column], "a number above 0")
    return LifeConstants(ke, cw, ch, cq, dry_limit)


def _percent(table: Table, row: Row, what: str, sources: Mapping[str, object]) -> Estimate | None:
    column = f"{what}_pct"
    if not row[column]:
        return None
    value = table.number(row, column)
    if not _cited(table, row, what, sources) or value is None:
        return None
    if not 0 < value < 15:
        table.wrong(row.line, column, row[column], "a moisture above 0 and below 15 %")
        return None
    basis = cast(Basis, row[f"{what}_basis"])
    return Estimate(value, value, value, "%", row[f"{what}_source"], basis)


def _oil(table: Table, row: Row, sources: Mapping[str, object]) -> Estimate | None:
    if not row["oil_pct"]:
        return None
    value, low, high = (table.number(row, f"oil{part}_pct") for part in ("", "_low", "_high"))
    good = _cited(table, row, "oil", sources)
    if value is None or low is None or high is None or not good:
        return None
    if not 0 <= low <= value <= high <= 100 * GREATEST_OIL:
        table.wrong(row.line, "oil_pct", f"{low:g}, {value:g}, {high:g}", "in order, from 0 to 70")
        return None
    basis = cast(Basis, row["oil_basis"])
    return Estimate(value / 100, low / 100, high / 100, "1", row["oil_source"], basis)


def _cited(table: Table, row: Row, what: str, sources: Mapping[str, object]) -> bool:
    if row[f"{what}_source"] not in sources:
        table.wrong(row.line, f"{what}_source", row[f"{what}_source"], "a key of sources.csv")
        return False
    return table.one_of(row, f"{what}_basis", BASES)
