"""How soils spread and take the water of drip lines, and the kinds of line there are.

Kinds of line are common ones of no maker; whoever knows their own line gives its figures instead.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import cast

from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.tables import BASES, Row, Table
from perennate.science.drip import Emitter
from perennate.science.drip_layout import Ground, Line
from perennate.terms import BadInput, Basis, Estimate, Problem

SOILS = (
    "sand",
    "loamy sand",
    "sandy loam",
    "loam",
    "silt loam",
    "silt",
    "sandy clay loam",
    "clay loam",
    "silty clay loam",
    "sandy clay",
    "silty clay",
    "clay",
    "peat",
    "unknown",
)
"""The soils of the table: textures from sand to clay, peat, and one that nobody knows."""

LINES = ("drip line", "compensating line", "tape")
"""The kinds of line of the table; a compensating line holds its flow whatever the pressure."""

_SOIL_TABLE, _LINE_TABLE = "drip_soils.csv", "drip_lines.csv"
_FIGURES = {"spacing": "cm", "wetted": "cm", "infiltration": "mm/h"}
_SOIL_COLUMNS = ("texture", "figure", "value", "low", "high", "unit", "source", "basis")
_LINE_FIGURES = (
    "flow_l_h",
    "pressure_kpa",
    "exponent",
    "variation",
    "holds_from_kpa",
    "least_kpa",
    "greatest_kpa",
    "diameter_mm",
    "filter_um",
)
_MICRONS_TIMES_MESH = 15_000.0
"""Openings of wire cloth in micrometres are about this over its mesh (common practice)."""


@dataclass(frozen=True, slots=True)
class DripSoil:
    """One texture: distance of emitters and of lines in a dense bed [cm], width that an emitter
    wets [cm], basic infiltration rate of bare ground [mm/h]."""

    texture: str
    spacing: Estimate
    wetted: Estimate
    infiltration: Estimate

    @property
    def ground(self) -> Ground:
        """The same as plain figures in m and mm/h: lines as far apart as is usual, since mulch
        lets water spread, emitters at the middle of the range."""
        return Ground(
            self.spacing.high / 100.0,
            self.spacing.value / 100.0,
            self.wetted.value / 100.0,
            self.infiltration.value,
        )


@dataclass(frozen=True, slots=True)
class DripLine:
    """A kind of line, the filter that it needs [micrometres], and where its figures are from."""

    key: str
    line: Line
    filter_um: float
    source: str
    basis: Basis

    @property
    def filter_mesh(self) -> int:
        """The same filter in mesh, threads an inch, to the next ten."""
        return round(_MICRONS_TIMES_MESH / self.filter_um / 10.0) * 10


@lru_cache(maxsize=1)
def drip_soils() -> Mapping[str, DripSoil]:
    """Every soil by name; that of an unknown one spans them and is laid close."""
    return read_drip_soils(shipped_tables())


@lru_cache(maxsize=1)
def drip_lines() -> Mapping[str, DripLine]:
    """Every kind of line by key."""
    return read_drip_lines(shipped_tables())


def read_drip_soils(folder: Traversable) -> Mapping[str, DripSoil]:
    """The table of soils; BadInput with every fault in it at once."""
    problems: list[Problem] = []
    table = Table(_SOIL_TABLE, problems)
    found: dict[str, dict[str, Estimate]] = {}
    for row in table.rows(folder, _SOIL_COLUMNS):
        name = row["figure"]
        if _FIGURES.get(name) != row["unit"]:
            expected = "; ".join(f"{one} in {unit}" for one, unit in _FIGURES.items())
            table.wrong(row.line, "figure", f"{name} in {row['unit']}", expected)
            continue
        if not table.first_time(row, "texture", "figure"):
            table.wrong(row.line, "figure", name, "each figure of a texture once")
        estimate = _estimate(table, row)
        if estimate is not None:
            found.setdefault(row["texture"], {})[name] = estimate
    for texture, figures in found.items():
        for name in _FIGURES:
            if name not in figures and not problems:
                table.wrong(1, "figure", f"{texture} without {name}", "all figures of a texture")
    if problems:
        raise BadInput(problems)
    return MappingProxyType({texture: DripSoil(texture, **one) for texture, one in found.items()})


def read_drip_lines(folder: Traversable) -> Mapping[str, DripLine]:
    """The table of lines; BadInput with every fault in it at once."""
    problems: list[Problem] = []
    table = Table(_LINE_TABLE, problems)
    found: dict[str, DripLine] = {}
    for row in table.rows(folder, ("line", *_LINE_FIGURES, "spacings_cm", "source", "basis")):
        if not table.first_time(row, "line"):
            table.wrong(row.line, "line", row["line"], "each line once")
        try:
            figure = {name: float(row[name]) for name in _LINE_FIGURES}
            spacings = tuple(float(one) / 100.0 for one in row["spacings_cm"].split(";"))
            emitter = Emitter(
                figure["flow_l_h"],
                figure["pressure_kpa"],
                figure["exponent"],
                figure["variation"],
                figure["holds_from_kpa"],
            )
        except ValueError as wrong:
            table.wrong(row.line, None, str(wrong), "figures of a line")
            continue
        if not figure["least_kpa"] <= figure["pressure_kpa"] <= figure["greatest_kpa"]:
            table.wrong(row.line, "pressure_kpa", row["pressure_kpa"], "between least and greatest")
        if not _known(table, row):
            continue
        line = Line(
            emitter, spacings, figure["diameter_mm"], figure["least_kpa"], figure["greatest_kpa"]
        )
        basis = cast(Basis, row["basis"])
        found[row["line"]] = DripLine(row["line"], line, figure["filter_um"], row["source"], basis)
    if problems:
        raise BadInput(problems)
    return MappingProxyType(found)


def _estimate(table: Table, row: Row) -> Estimate | None:
    if not _known(table, row):
        return None
    try:
        value, low, high = (float(row[column]) for column in ("value", "low", "high"))
        return Estimate(value, low, high, row["unit"], row["source"], cast(Basis, row["basis"]))
    except ValueError as wrong:
        table.wrong(row.line, "value", str(wrong), "low, value and high in order")
        return None


def _known(table: Table, row: Row) -> bool:
    source, basis = row["source"] in load_catalogue().sources, row["basis"] in BASES
    if not source:
        table.wrong(row.line, "source", row["source"], "a key of sources.csv")
    if not basis:
        table.wrong(row.line, "basis", row["basis"], f"one of {', '.join(BASES)}")
    return source and basis
