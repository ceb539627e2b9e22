"""How far, how long and by what means kinds of plants are kept apart, each with its source."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Literal, cast

from perennate.catalogue.crossing import CrossingTables, crossing_tables
from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.tables import Row, Table
from perennate.terms import BadInput, Basis, Estimate, Problem

HOME = "home practice"
STANDARDS = (
    HOME,
    "seed crop guidance",
    "FAO QDS",
    "7 CFR 201.76",
    "2002/55/EC",
    "2002/57/EC",
    "66/401/EEC",
    "87/481/EEC",
    "SSI 2004/317",
    "WSI 2005/3037",
)
"""What sets a distance: practice of gardens, guidance, then law, which binds where it holds."""
Vector = Literal["insect", "wind"]
MEANS = ("hedge", "border", "cage", "tent", "bag", "hand")

_DISTANCES = (
    "applies_to",
    "standard",
    "seed_class",
    "apart_from",
    "low_m",
    "high_m",
    "note",
    "source",
    "basis",
)
_TIMES = ("groups", "what", "gap_days", "cut_pct", "note", "source", "basis")
_MEANS = ("means", "vector", "passing", "low", "high", "note", "source", "basis")
_FARTHEST_M, _LONGEST_DAYS = 10_000.0, 366.0


@dataclass(frozen=True, slots=True)
class IsolationDistance:
    """A distance that someone asks for [m], its value the least that they ask.

    0 m is only a gap wide enough against mechanical mixing. `applies_to`: a kind or a crossing
    group. `apart_from`: from what the distance counts.
    """

    applies_to: str
    standard: str
    seed_class: str
    apart_from: str
    distance: Estimate
    note: str


@dataclass(frozen=True, slots=True)
class TimeGap:
    """Days between two blooms, and the share of crossing that they cut [1]; None: not told."""

    group: str
    what: str
    days: int
    cut: float | None
    note: str
    source: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Barrier:
    """A means of isolation: the share of foreign pollen that still passes [1]."""

    means: str
    vector: Vector
    passing: Estimate
    note: str


@dataclass(frozen=True, slots=True)
class IsolationTables:
    distances: tuple[IsolationDistance, ...]
    gaps: tuple[TimeGap, ...]
    barriers: Mapping[tuple[str, str], Barrier]


@lru_cache(maxsize=1)
def isolation_tables() -> IsolationTables:
    """The tables that ship with the package, read once."""
    return read_isolation(shipped_tables(), load_catalogue().sources, crossing_tables())


def isolation_distance(kind: str) -> tuple[IsolationDistance, ...]:
    """Every distance known for a kind, home practice first; () where none is known.

    KeyError for a kind that is not there.
    """
    of = {kind, *crossing_tables().kinds[kind].groups}
    found = [one for one in isolation_tables().distances if one.applies_to in of]
    return tuple(sorted(found, key=lambda one: STANDARDS.index(one.standard)))


def home_distance(kind: str) -> IsolationDistance | None:
    """What gardens keep: the least is usable seed, the most is for seed to be passed on."""
    found = isolation_distance(kind)
    return found[0] if found and found[0].standard == HOME else None


def reach_m(kind: str) -> float:
    """How far round a kind its pollen is looked for [m]: the distance for seed to be passed on.

    Where none is known, the farthest that is kept for any kind.
    """
    usual = home_distance(kind)
    if usual is not None:
        return usual.distance.high
    homes = (one for one in isolation_tables().distances if one.standard == HOME)
    return max(one.distance.high for one in homes)


def time_gaps(kind: str) -> tuple[TimeGap, ...]:
    """What is known of keeping a kind apart by time; () where nothing is."""
    groups = crossing_tables().kinds[kind].groups
    return tuple(gap for gap in isolation_tables().gaps if gap.group in groups)


def barrier(means: str, vector: Vector) -> Barrier | None:
    """What passes a means of isolation; None where there is no figure for that vector."""
    return isolation_tables().barriers.get((means, vector))


def read_isolation(
    folder: Traversable, sources: Mapping[str, object], crossing: CrossingTables
) -> IsolationTables:
    """The three tables of a folder; BadInput with every fault in them at once."""
    problems: list[Problem] = []
    groups = {group for kind in crossing.kinds.values() for group in kind.groups}
    distances = _distances(folder, sources, groups | set(crossing.kinds), problems)
    gaps = _gaps(folder, sources, groups, problems)
    barriers = _barriers(folder, sources, problems)
    if problems:
        raise BadInput(problems)
    return IsolationTables(tuple(distances), tuple(gaps), MappingProxyType(barriers))


def _distances(
    folder: Traversable, sources: Mapping[str, object], known: set[str], problems: list[Problem]
) -> list[IsolationDistance]:
    table = Table("isolation_distances.csv", problems)
    found = []
    for row in table.rows(folder, _DISTANCES):
        good = _known(table, row, "applies_to", known)
        good &= table.one_of(row, "standard", STANDARDS)
        good &= table.filled(row, "apart_from") & table.sourced(row, sources)
        distance = table.estimate(row, ("low_m", "low_m", "high_m"), "m", row["basis"])
        if distance is None:
            continue
        if not 0.0 <= distance.low <= distance.high <= _FARTHEST_M:
            table.wrong(row.line, "low_m", row["low_m"], f"0 to {_FARTHEST_M:g} m")
        elif good:
            found += [
                IsolationDistance(
                    part,
                    row["standard"],
                    row["seed_class"],
                    row["apart_from"],
                    distance,
                    row["note"],
                )
                for part in row["applies_to"].split(";")
            ]
    return found


def _gaps(
    folder: Traversable, sources: Mapping[str, object], known: set[str], problems: list[Problem]
) -> list[TimeGap]:
    table = Table("time_isolation.csv", problems)
    found = []
    for row in table.rows(folder, _TIMES):
        good = _known(table, row, "groups", known) & table.sourced(row, sources)
        days = table.number(row, "gap_days")
        cut = table.number(row, "cut_pct") if row["cut_pct"] else None
        if days is None or not good:
            continue
        if not 0.0 <= days <= _LONGEST_DAYS or not 0.0 <= (cut or 0.0) <= 100.0:
            table.wrong(row.line, "gap_days", row["gap_days"], "days of a year, and a percentage")
            continue
        found += [
            TimeGap(
                group,
                row["what"],
                round(days),
                None if cut is None else cut / 100.0,
                row["note"],
                row["source"],
                cast(Basis, row["basis"]),
            )
            for group in row["groups"].split(";")
        ]
    return found


def _barriers(
    folder: Traversable, sources: Mapping[str, object], problems: list[Problem]
) -> dict[tuple[str, str], Barrier]:
    table = Table("isolation_means.csv", problems)
    found = {}
    for row in table.rows(folder, _MEANS):
        good = table.first_time(row, "means", "vector") & table.one_of(row, "means", MEANS)
        good &= table.one_of(row, "vector", ("insect", "wind")) & table.sourced(row, sources)
        passing = table.estimate(row, ("passing", "low", "high"), "1", row["basis"])
        if passing is None or not good:
            continue
        if not 0.0 <= passing.low <= passing.high <= 1.0:
            table.wrong(row.line, "passing", row["passing"], "a share from 0 to 1")
            continue
        found[row["means"], row["vector"]] = Barrier(
            row["means"], cast(Vector, row["vector"]), passing, row["note"]
        )
    return found


def _known(table: Table, row: Row, column: str, known: set[str]) -> bool:
    strange = [part for part in row[column].split(";") if part not in known]
    for part in strange:
        table.wrong(row.line, column, part, "a kind of mating.csv, or a crossing group")
    return not strange
