"""What is known about plants, pots, work and cautions, with the source of every figure."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from perennate.terms import Basis, Estimate


@dataclass(frozen=True, slots=True)
class Fact:
    """Something known in words, not in a number."""

    value: str
    source: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Hazard:
    """A way in which a crop, graft or material can hurt someone.

    `forbids` says what the hazard rules out until the condition is met:
    "" (caution only), "food until processed" (not counted as food until the grower says that
    they do `processing`), "food" (never food), "harvest wait" (blocks harvest for `days`).
    """

    key: str
    applies_to: str
    parts: str
    hazard: str
    processing: str
    who_at_risk: str
    forbids: Literal["", "food until processed", "food", "harvest wait"]
    days: int | None
    ask: str
    source: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Crop:
    """One kind of plant. `figures` and `facts` are looked up by name (see docs/catalogue.md)."""

    key: str
    common_name: str
    scientific_name: str
    synonyms: tuple[str, ...]
    family: str
    role: str
    figures: Mapping[str, Estimate]
    facts: Mapping[str, Fact]
    hazards: tuple[Hazard, ...]
    harvest_shares: tuple[float, ...]
    """Share of the harvest taken in each week from the first, adding to 1."""

    def figure(self, name: str) -> Estimate | None:
        return self.figures.get(name)

    def value(self, name: str, otherwise: float | None = None) -> float:
        """The figure's value; `otherwise` when it is not known. KeyError when neither is."""
        found = self.figures.get(name)
        if found is not None:
            return found.value
        if otherwise is None:
            raise KeyError(f"{self.key} has no figure {name}")
        return otherwise

    def fact(self, name: str, otherwise: str = "") -> str:
        found = self.facts.get(name)
        return found.value if found is not None else otherwise


@dataclass(frozen=True, slots=True)
class LabourRate:
    """Minutes of hand work per unit."""

    key: str
    group: str
    task: str
    object: str
    per_unit: str
    minutes: Estimate


@dataclass(frozen=True, slots=True)
class Container:
    key: str
    kind: str
    name: str
    cells: int
    cells_per_m2: float
    fill_l_per_cell: Estimate
    source: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Source:
    key: str
    citation: str


@dataclass(frozen=True, slots=True)
class Catalogue:
    crops: Mapping[str, Crop]
    labour: Mapping[str, LabourRate]
    containers: Mapping[str, Container]
    material_hazards: tuple[Hazard, ...]
    sources: Mapping[str, Source]
