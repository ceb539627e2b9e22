"""Who crosses with whom: kinds of plants, the groups within which they cross, how they mate.

A kind is a crop of the catalogue, a further cultivated plant, or a wild relative. Kinds of one
group are one crossing kindred, whatever they are called in the kitchen. What no row tells and no
rule of kinship settles is unknown, and unknown never reads as safe.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Literal, cast

import numpy as np
from numpy.typing import NDArray

from perennate.catalogue.model import Catalogue
from perennate.catalogue.names import find_crop, plain_name
from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.tables import BASES, Row, Table
from perennate.terms import BadInput, Basis, Estimate, Problem

Verdict = Literal["yes", "no", "unknown"]
Likelihood = Literal["free", "occasional", "rare", "hand only", "none", "unknown"]
System = Literal["selfing", "mixed", "outcrossing"]
Role = Literal["crop", "other", "wild"]

LIKELIHOODS: tuple[Likelihood, ...] = ("free", "occasional", "unknown", "rare", "hand only", "none")
"""From what threatens a seed crop most to what does not."""
TIMES = ("yes", "partial", "no", "not needed")
SENSITIVITIES = ("none", "low", "moderate", "high", "severe", "self incompatible")

_YES: tuple[Likelihood, ...] = ("free", "occasional")
_KINDRED_GENERA = frozenset({"Brassicaceae", "Poaceae", "Rosaceae", "Orchidaceae"})
"""Families in which plants of different genera are known to cross."""

_MATING = (
    "kind",
    "name",
    "scientific_name",
    "family",
    "groups",
    "role",
    "system",
    "outcross_low_pct",
    "outcross_high_pct",
    "outcross_source",
    "outcross_basis",
    "outcross_extreme_pct",
    "extreme_source",
    "extreme_basis",
    "vector",
    "time_isolation",
    "sensitivity",
    "hand_method",
    "roguing",
    "plants_least",
    "plants_low",
    "plants_high",
    "plants_source",
    "plants_basis",
    "note",
    "source",
    "basis",
)
_PAIRS = ("group_a", "group_b", "likelihood", "mother", "note", "source", "basis")


@dataclass(frozen=True, slots=True)
class Mating:
    """How a kind mates, and what that asks of whoever keeps its seed.

    `outcrossing`: share of seed with a foreign father where plants stand mixed [1], value at the
    middle of the usual range; `extreme`: highest share reported [1], None where none beyond the
    range is. `vectors`: what carries pollen, "self" among them. `time_isolation`: whether blooming
    at different times keeps kinds apart (see TIMES). `plants_least`: fewest mothers for a usable
    lot; `plants`: mothers that keep a variety's diversity over many seasons.
    """

    system: System
    outcrossing: Estimate
    extreme: Estimate | None
    vectors: tuple[str, ...]
    time_isolation: str
    sensitivity: str
    hand_method: str
    roguing: tuple[str, ...]
    plants_least: int
    plants: Estimate


@dataclass(frozen=True, slots=True)
class Kind:
    """A plant that may shed or take pollen; `groups` is empty where its kindred is not known.

    Several groups: the name is used of several species, and each is reckoned with.
    """

    key: str
    name: str
    scientific_name: str
    family: str
    groups: tuple[str, ...]
    role: Role
    mating: Mating | None
    note: str
    source: str
    basis: Basis

    @property
    def genus(self) -> str:
        return self.scientific_name.removeprefix("× ").split(" ")[0]

    @property
    def by_wind(self) -> bool:
        """Whether pollen flies; False for insects, and where it is not known."""
        return self.mating is not None and "wind" in self.mating.vectors


@dataclass(frozen=True, slots=True)
class Crossing:
    """Whether two kinds cross unasked where they bloom side by side.

    `mother`: group of the plants that bear the hybrid seed, "" where either does. `rule`: "group"
    (one kindred), "pair" (a row for the two groups), "family" or "genus" (too far apart to cross),
    "" where nothing settles it. `note` tells what is known of the pair.
    """

    verdict: Verdict
    likelihood: Likelihood
    mother: str
    rule: Literal["group", "pair", "family", "genus", ""]
    note: str
    source: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class _Pair:
    likelihood: Likelihood
    mother: str
    note: str
    source: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class CrossingTables:
    kinds: Mapping[str, Kind]
    pairs: Mapping[frozenset[str], _Pair]


@lru_cache(maxsize=1)
def crossing_tables() -> CrossingTables:
    """The tables that ship with the package, read once."""
    return read_crossing(shipped_tables(), load_catalogue())


def kind_named(name: str) -> Kind | None:
    """The kind of that key, name or scientific name, or what a crop of that name is; None if
    there is none, or several are called so."""
    tables = crossing_tables()
    if name in tables.kinds:
        return tables.kinds[name]
    crop = find_crop(load_catalogue(), name)
    if crop is not None:
        return tables.kinds[crop.key]
    wanted = plain_name(name)
    found = [
        kind
        for kind in tables.kinds.values()
        if wanted in (plain_name(called) for called in (kind.key, kind.name, kind.scientific_name))
    ]
    return found[0] if len(found) == 1 else None


def mating(kind: str) -> Mating | None:
    """How a kind mates; None where it is not known. KeyError for a kind that is not there."""
    return crossing_tables().kinds[kind].mating


def crosses(kind_a: str, kind_b: str) -> Crossing:
    """Whether two kinds cross where they bloom together; the same whichever is named first.

    Two of one kind stand for two varieties of it. Where a name is used of several species, the
    likeliest crossing among them counts. "rare" and "hand only" read "no": seldom or never in a
    garden. KeyError for a kind that is not there.
    """
    tables = crossing_tables()
    one, other = sorted((tables.kinds[kind_a], tables.kinds[kind_b]), key=lambda kind: kind.key)
    found = [_of_groups(tables, first, second) for first in one.groups for second in other.groups]
    kinship = _of_kinship(one, other)
    settled = [kinship if crossing.likelihood == "unknown" else crossing for crossing in found]
    return min(settled or [kinship], key=lambda crossing: LIKELIHOODS.index(crossing.likelihood))


def crossing_matrix(kinds: Sequence[str]) -> NDArray[np.bool_]:
    """Which of some kinds may cross, shape (kinds, kinds), symmetric; unknown counts as crossing.

    KeyError for a kind that is not there.
    """
    may = np.zeros((len(kinds), len(kinds)), bool)
    for i, one in enumerate(kinds):
        for j in range(i, len(kinds)):
            may[i, j] = may[j, i] = crosses(one, kinds[j]).verdict != "no"
    return may


def crossing_kinds(kind: str) -> tuple[Kind, ...]:
    """Every kind that crosses with this one unasked, itself among them, in the table's order."""
    known = crossing_tables().kinds
    return tuple(other for key, other in known.items() if crosses(kind, key).verdict == "yes")


def wild_relatives(kind: str) -> tuple[Kind, ...]:
    """Wild plants that cross with a kind: neighbours that nobody plants."""
    return tuple(other for other in crossing_kinds(kind) if other.role == "wild")


def _of_groups(tables: CrossingTables, one: str, other: str) -> Crossing:
    pair = tables.pairs.get(frozenset((one, other)))
    if pair is None:
        return Crossing("unknown", "unknown", "", "", "", "common-practice", "memory")
    verdict: Verdict = "yes" if pair.likelihood in _YES else "no"
    rule: Literal["group", "pair"] = "group" if one == other else "pair"
    return Crossing(verdict, pair.likelihood, pair.mother, rule, pair.note, pair.source, pair.basis)


def _of_kinship(one: Kind, other: Kind) -> Crossing:
    """What kinship alone settles: no crossing between families, nor between most genera."""
    if one.family != other.family:
        return Crossing("no", "none", "", "family", "", "common-practice", "common practice")
    if one.genus != other.genus and one.family not in _KINDRED_GENERA:
        return Crossing("no", "none", "", "genus", "", "common-practice", "common practice")
    return Crossing("unknown", "unknown", "", "", "", "common-practice", "memory")


def read_crossing(folder: Traversable, catalogue: Catalogue) -> CrossingTables:
    """Both tables of a folder; BadInput with every fault in them at once.

    A crop without a row is a kind whose kindred is not known.
    """
    problems: list[Problem] = []
    table = Table("mating.csv", problems)
    kinds: dict[str, Kind] = {}
    for row in table.rows(folder, _MATING):
        kind = _kind(table, row, catalogue)
        if kind is not None:
            kinds[kind.key] = kind
    for crop in catalogue.crops.values():
        kinds.setdefault(
            crop.key,
            Kind(
                crop.key,
                crop.common_name,
                crop.scientific_name,
                crop.family,
                (),
                "crop",
                None,
                "",
                "memory",
                "memory",
            ),
        )
    groups = {group for kind in kinds.values() for group in kind.groups}
    pairs = _pairs(folder, catalogue, groups, problems)
    if problems:
        raise BadInput(problems)
    return CrossingTables(MappingProxyType(kinds), MappingProxyType(pairs))


def _kind(table: Table, row: Row, catalogue: Catalogue) -> Kind | None:
    before = len(table.problems)
    table.filled(row, "kind", "name", "scientific_name", "family", "groups")
    table.first_time(row, "kind")
    table.sourced(row, catalogue.sources)
    table.one_of(row, "role", ("crop", "other", "wild"))
    if (row["role"] == "crop") != (row["kind"] in catalogue.crops):
        table.wrong(row.line, "role", row["role"], "crop for a key of crops.csv, and for no other")
    found = _mating(table, row, catalogue.sources) if row["system"] else None
    if len(table.problems) > before:
        return None
    return Kind(
        row["kind"],
        row["name"],
        row["scientific_name"],
        row["family"],
        tuple(row["groups"].split(";")),
        cast(Role, row["role"]),
        found,
        row["note"],
        row["source"],
        cast(Basis, row["basis"]),
    )


def _mating(table: Table, row: Row, sources: Mapping[str, object]) -> Mating | None:
    table.one_of(row, "system", ("selfing", "mixed", "outcrossing"))
    table.one_of(row, "time_isolation", TIMES)
    table.one_of(row, "sensitivity", SENSITIVITIES)
    table.filled(row, "vector", "hand_method", "roguing")
    for what in ("outcross", "plants", *(("extreme",) if row["outcross_extreme_pct"] else ())):
        table.one_of(row, f"{what}_basis", BASES)
        if any(key not in sources for key in row[f"{what}_source"].split(";")):
            table.wrong(row.line, f"{what}_source", row[f"{what}_source"], "keys of sources.csv")
    low, high = table.number(row, "outcross_low_pct"), table.number(row, "outcross_high_pct")
    least, few, many = (
        table.number(row, name) for name in ("plants_least", "plants_low", "plants_high")
    )
    extreme = table.number(row, "outcross_extreme_pct") if row["outcross_extreme_pct"] else high
    if low is None or high is None or extreme is None:
        return None
    if least is None or few is None or many is None:
        return None
    if not 0.0 <= low <= high <= extreme <= 100.0:
        table.wrong(row.line, "outcross_low_pct", f"{low:g}, {high:g}", "low <= high <= 100")
        return None
    if not 1 <= least <= few <= many:
        table.wrong(row.line, "plants_least", f"{least:g}, {few:g}, {many:g}", "in order, from 1")
        return None
    if any(row[f"{what}_basis"] not in BASES for what in ("outcross", "plants")):
        return None
    return Mating(
        cast(System, row["system"]),
        Estimate(
            (low + high) / 200.0,
            low / 100.0,
            high / 100.0,
            "1",
            row["outcross_source"],
            cast(Basis, row["outcross_basis"]),
        ),
        _extreme(row, extreme / 100.0),
        tuple(part.strip() for part in row["vector"].split(";")),
        row["time_isolation"],
        row["sensitivity"],
        row["hand_method"],
        tuple(part.strip() for part in row["roguing"].split(";")),
        int(least),
        Estimate(few, few, many, "plants", row["plants_source"], cast(Basis, row["plants_basis"])),
    )


def _extreme(row: Row, share: float) -> Estimate | None:
    if not row["outcross_extreme_pct"] or row["extreme_basis"] not in BASES:
        return None
    basis = cast(Basis, row["extreme_basis"])
    return Estimate(share, share, share, "1", row["extreme_source"], basis)


def _pairs(
    folder: Traversable, catalogue: Catalogue, groups: Collection[str], problems: list[Problem]
) -> dict[frozenset[str], _Pair]:
    table = Table("cross_groups.csv", problems)
    found: dict[frozenset[str], _Pair] = {}
    for row in table.rows(folder, _PAIRS):
        both = frozenset((row["group_a"], row["group_b"]))
        good = table.filled(row, "group_a", "group_b")
        good &= table.one_of(row, "likelihood", [one for one in LIKELIHOODS if one != "unknown"])
        good &= table.one_of(row, "mother", ("", *sorted(both)))
        good &= table.sourced(row, catalogue.sources)
        if both in found:
            table.wrong(row.line, "group_b", " / ".join(sorted(both)), "once only")
        elif good:
            found[both] = _Pair(
                cast(Likelihood, row["likelihood"]),
                row["mother"],
                row["note"],
                row["source"],
                cast(Basis, row["basis"]),
            )
    for group in sorted(groups):
        if frozenset((group,)) not in found and not problems:
            table.wrong(1, "group_a", f"no row for {group} with itself", "one for every group")
    return found
