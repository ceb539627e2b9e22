"""What the trade's words for soils mean: sand, clay and organic matter, each with its spread.

Sand and clay are of the fine earth by weight. A word covers a field of the texture triangle, so
its spread is wide; a hand test or a laboratory narrows it. How fast water goes into a texture is
told by `catalogue.drip.drip_soils`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import cast

import numpy as np

from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.tables import Table
from perennate.science.soil_hydraulics import PARTICLE_DENSITY, Hydraulics
from perennate.terms import BadInput, Basis, Estimate, Problem

_TABLE = "soil_textures.csv"
_COLUMNS = ("soil", "figure", "value", "low", "high", "unit", "source", "basis")
_OF_ALL = {"sand": "%", "clay": "%", "organic_matter": "%"}
_OWN = {
    "field_capacity": "m3/m3",
    "wilting_point": "m3/m3",
    "saturation": "m3/m3",
    "conductivity": "mm/h",
}


@dataclass(frozen=True, slots=True)
class SoilTexture:
    """A soil by its word: sand, clay and organic matter [% by weight].

    The last four [m3/m3, mm/h] are known only for a soil that lies outside what can be reckoned
    from sand and clay (peat).
    """

    name: str
    sand: Estimate
    clay: Estimate
    organic_matter: Estimate
    field_capacity: Estimate | None = None
    wilting_point: Estimate | None = None
    saturation: Estimate | None = None
    conductivity: Estimate | None = None

    @property
    def unknown(self) -> bool:
        """Whether this is a stand-in for a soil that nobody has looked at."""
        return self.name == "unknown"

    @property
    def own_hydraulics(self) -> Hydraulics | None:
        """Its water by its own figures; None where sand and clay tell it."""
        own = (self.wilting_point, self.field_capacity, self.saturation, self.conductivity)
        known = [np.array(figure.value) for figure in own if figure is not None]
        if len(known) < len(own):
            return None
        wilting, capacity, saturation, conductivity = known
        density = np.asarray(PARTICLE_DENSITY * (1.0 - saturation))
        return Hydraulics(wilting, capacity, saturation, conductivity, density, np.array(True))


def soil_texture(name: str) -> SoilTexture:
    """The soil of a word that a holding may use; KeyError, with the words, for any other.

    "unknown" is a loam whose spread runs from sandy loam to clay loam.
    """
    known = soil_textures()
    if name not in known:
        raise KeyError(f"no soil {name!r}; known are {', '.join(known)}")
    return known[name]


@lru_cache(maxsize=1)
def soil_textures() -> Mapping[str, SoilTexture]:
    """Every soil by its word, in the table's order."""
    return read_soil_textures(shipped_tables())


def read_soil_textures(folder: Traversable) -> Mapping[str, SoilTexture]:
    """The table of soils; BadInput with every fault in it at once."""
    problems: list[Problem] = []
    table = Table(_TABLE, problems)
    units = {**_OF_ALL, **_OWN}
    sources = load_catalogue().sources
    found: dict[str, dict[str, Estimate]] = {}
    for row in table.rows(folder, _COLUMNS):
        name = row["figure"]
        if units.get(name) != row["unit"]:
            expected = "; ".join(f"{one} in {unit}" for one, unit in units.items())
            table.wrong(row.line, "figure", f"{name} in {row['unit']}", expected)
            continue
        known = table.sourced(row, sources)
        if not (table.first_time(row, "soil", "figure") and known):
            continue
        estimate = table.estimate(
            row, ("value", "low", "high"), row["unit"], cast(Basis, row["basis"])
        )
        if estimate is not None:
            found.setdefault(row["soil"], {})[name] = estimate
    for soil, figures in found.items():
        lacking = [name for name in _OF_ALL if name not in figures]
        own = [name for name in _OWN if name in figures]
        if own and len(own) < len(_OWN):
            lacking += [name for name in _OWN if name not in figures]
        if lacking and not problems:
            table.wrong(1, "figure", f"{soil} without {', '.join(lacking)}", "all of its figures")
        elif not lacking and figures["sand"].value + figures["clay"].value > 100.0:
            table.wrong(1, "value", f"{soil}: sand and clay over 100 %", "100 % with the silt")
    if problems:
        raise BadInput(problems)
    return MappingProxyType({name: SoilTexture(name, **one) for name, one in found.items()})
