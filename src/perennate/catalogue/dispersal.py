"""Measured crossing by distance, and the curve that a kind's pollen is taken to follow."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType

from perennate.catalogue.crossing import Kind
from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.tables import Table
from perennate.science.gene_flow import PowerFit, fit_power
from perennate.terms import BadInput, Problem

CURVES = ("maize", "wind", "insect")
"""Maize has measurements enough of its own. "wind" and "insect" take together all crops whose
pollen is so borne, which tells for their wide spread."""
_COLUMNS = ("curves", "distance_m", "crossing_pct", "arrangement", "source", "basis")
_FARTHEST_M = 5000.0


@dataclass(frozen=True, slots=True)
class MeasuredCrossing:
    """One measurement: share of seed with a foreign father [1] at a distance [m]."""

    distance_m: float
    share: float
    arrangement: str
    source: str


@dataclass(frozen=True, slots=True)
class DispersalCurve:
    name: str
    fit: PowerFit
    points: tuple[MeasuredCrossing, ...]

    @property
    def sources(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(point.source for point in self.points))


def curve_of(kind: Kind) -> DispersalCurve | None:
    """The curve for a kind; None where it is not known what carries its pollen."""
    if kind.mating is None:
        return None
    if "ZEA-MAY" in kind.groups:
        return dispersal_curves()["maize"]
    carriers = [one for one in kind.mating.vectors if one not in ("self", "apomixis")]
    # What selfs and has no carrier named is still worked by insects now and then.
    return dispersal_curves()["wind" if carriers and carriers[0] == "wind" else "insect"]


@lru_cache(maxsize=1)
def dispersal_curves() -> Mapping[str, DispersalCurve]:
    """The curves fitted to the table that ships with the package."""
    return read_dispersal(shipped_tables(), load_catalogue().sources)


def read_dispersal(
    folder: Traversable, sources: Mapping[str, object]
) -> Mapping[str, DispersalCurve]:
    """Every curve from the table of a folder; BadInput with every fault in it at once."""
    problems: list[Problem] = []
    table = Table("gene_flow_points.csv", problems)
    found: dict[str, list[MeasuredCrossing]] = {name: [] for name in CURVES}
    for row in table.rows(folder, _COLUMNS):
        good = table.sourced(row, sources) & table.filled(row, "arrangement")
        names = row["curves"].split(";")
        for name in names:
            if name not in found:
                table.wrong(row.line, "curves", name, f"one of: {', '.join(CURVES)}")
                good = False
        far, percent = table.number(row, "distance_m"), table.number(row, "crossing_pct")
        if far is None or percent is None:
            continue
        if not 0.0 < far <= _FARTHEST_M:
            table.wrong(row.line, "distance_m", row["distance_m"], "above 0 and up to 5000 m")
        elif not 0.0 < percent < 100.0:
            table.wrong(row.line, "crossing_pct", row["crossing_pct"], "above 0 and below 100 %")
        elif good:
            for name in names:
                point = MeasuredCrossing(far, percent / 100.0, row["arrangement"], row["source"])
                found[name].append(point)
    for name, points in found.items():
        if len(points) < 3 and not problems:
            table.wrong(1, "curves", f"{len(points)} points of {name}", "three or more")
    if problems:
        raise BadInput(problems)
    return MappingProxyType({name: _curve(name, points) for name, points in found.items()})


def _curve(name: str, points: list[MeasuredCrossing]) -> DispersalCurve:
    fit = fit_power([point.distance_m for point in points], [point.share for point in points])
    return DispersalCurve(name, fit, tuple(points))
