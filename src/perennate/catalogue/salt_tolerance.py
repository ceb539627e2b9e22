"""How much salt and boron each crop stands.

A crop without a row, or with a rating alone, has no figure, and that is unknown: never safe.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Literal, cast

from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.tables import BASES, Row, Table
from perennate.terms import BadInput, Basis, Estimate, Problem

Class = Literal["S", "MS", "MT", "T", ""]

RATINGS: Mapping[str, str] = MappingProxyType(
    {
        "S": "sensitive",
        "MS": "moderately sensitive",
        "MT": "moderately tolerant",
        "T": "tolerant",
    }
)
"""The classes of Maas and Hoffman, as the trade says them."""

_COLUMNS = (
    "crop",
    "threshold_ds_m",
    "slope_pct",
    "rating",
    "rating_estimated",
    "criterion",
    "woody",
    "stands_for",
    "source",
    "basis",
    "boron_low_mg_l",
    "boron_high_mg_l",
    "boron_source",
    "boron_basis",
    "note",
)
_GREATEST_THRESHOLD, _GREATEST_SLOPE, _GREATEST_BORON = 15.0, 60.0, 15.0


@dataclass(frozen=True, slots=True)
class SaltTolerance:
    """What salt in the soil costs one crop, and the boron that it stands.

    `threshold`: ECe up to which nothing is lost [dS/m]; `slope`: loss for each dS/m beyond [%];
    both None where only the `rating` is known (`rating_estimated`: guessed by its authors).
    `criterion`: what was measured. `boron`: boron in the soil's water up to which the crop is
    unharmed [mg/l], from the lower to the upper bound of its class; None unknown. `stands_for`:
    crop whose figures these are, "" where they are its own. `woody`: a tree, vine or bush, which
    also suffers from sodium and chloride themselves.
    """

    crop: str
    threshold: Estimate | None
    slope: Estimate | None
    rating: Class
    rating_estimated: bool
    criterion: str
    woody: bool
    stands_for: str
    boron: Estimate | None
    note: str
    source: str
    basis: Basis


def salt_tolerance(key: str) -> SaltTolerance | None:
    """The row of a crop by its key, or of a tree or bush by its scientific name; None is unknown,
    which is never safe."""
    return salt_tolerances().get(key)


def boron_tolerance(key: str) -> Estimate | None:
    """Boron in the soil's water that a crop stands [mg/l]; None is unknown, which is never safe."""
    found = salt_tolerance(key)
    return None if found is None else found.boron


@lru_cache(maxsize=1)
def salt_tolerances() -> Mapping[str, SaltTolerance]:
    """Every row of the table that ships with the package, read once."""
    known = load_catalogue()
    return read_salt_tolerance(shipped_tables(), known.crops.keys(), known.sources)


def read_salt_tolerance(
    folder: Traversable, crops: Collection[str], sources: Mapping[str, object]
) -> Mapping[str, SaltTolerance]:
    """The table of a folder; BadInput with every fault in it at once."""
    problems: list[Problem] = []
    table = Table("salt_tolerance.csv", problems)
    found: dict[str, SaltTolerance] = {}
    stand_ins: list[tuple[Row, str]] = []
    for row in table.rows(folder, _COLUMNS):
        if not table.first_time(row, "crop"):
            continue
        if row["woody"] != "yes" and row["crop"] not in crops:
            table.wrong(row.line, "crop", row["crop"], "a key of crops.csv, or a woody plant")
        if row["stands_for"]:
            stand_ins.append((row, row["stands_for"]))
        read = _read(table, row, sources)
        if read is not None:
            found[read.crop] = read
    for row, other in stand_ins:
        if other not in found or found[other].stands_for:
            table.wrong(row.line, "stands_for", other, "a crop with a row of its own figures")
    if problems:
        raise BadInput(problems)
    return MappingProxyType(found)


def _read(table: Table, row: Row, sources: Mapping[str, object]) -> SaltTolerance | None:
    before = len(table.problems)
    table.sourced(row, sources)
    table.one_of(row, "rating", ("", *RATINGS))
    for column in ("rating_estimated", "woody"):
        table.one_of(row, column, ("", "yes"))
    basis = cast(Basis, row["basis"])
    if bool(row["threshold_ds_m"]) != bool(row["slope_pct"]):
        table.wrong(row.line, "slope_pct", row["slope_pct"], "threshold and slope together")
    threshold = slope = None
    if row["threshold_ds_m"] and row["slope_pct"]:
        threshold = _figure(table, row, "threshold_ds_m", _GREATEST_THRESHOLD, "dS/m", basis)
        slope = _figure(table, row, "slope_pct", _GREATEST_SLOPE, "%", basis)
    boron = _boron(table, row, sources)
    if threshold is None and not row["rating"] and boron is None and len(table.problems) == before:
        table.wrong(row.line, "rating", "nothing", "a threshold, a rating or a boron class")
    if len(table.problems) > before:
        return None
    return SaltTolerance(
        row["crop"],
        threshold,
        slope,
        cast(Class, row["rating"]),
        row["rating_estimated"] == "yes",
        row["criterion"],
        row["woody"] == "yes",
        row["stands_for"],
        boron,
        row["note"],
        row["source"],
        basis,
    )


def _figure(
    table: Table, row: Row, column: str, most: float, unit: str, basis: Basis
) -> Estimate | None:
    value = table.number(row, column)
    if value is None:
        return None
    if not 0.0 < value <= most:
        table.wrong(row.line, column, row[column], f"a number above 0 and up to {most:g}")
        return None
    if basis not in BASES or not row["source"]:
        return None
    return Estimate(value, value, value, unit, row["source"], basis)


def _boron(table: Table, row: Row, sources: Mapping[str, object]) -> Estimate | None:
    if not (row["boron_low_mg_l"] or row["boron_high_mg_l"]):
        return None
    low, high = table.number(row, "boron_low_mg_l"), table.number(row, "boron_high_mg_l")
    if row["boron_source"] not in sources:
        table.wrong(row.line, "boron_source", row["boron_source"], "a key of sources.csv")
        return None
    if not table.one_of(row, "boron_basis", BASES) or low is None or high is None:
        return None
    if not 0.0 <= low < high <= _GREATEST_BORON:
        table.wrong(row.line, "boron_low_mg_l", f"{low:g} to {high:g}", "low below high, up to 15")
        return None
    basis = cast(Basis, row["boron_basis"])
    return Estimate(low, low, high, "mg/l", row["boron_source"], basis)
