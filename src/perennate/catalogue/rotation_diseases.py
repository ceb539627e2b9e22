"""Diseases that stay in the ground, their hosts, and how many years a bed is kept from them."""

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import cast

from perennate.catalogue.model import Crop
from perennate.terms import Basis


@dataclass(frozen=True, slots=True)
class RotationDisease:
    """`hosts` are crop keys, or `group:` and a rotation group. `years` without a host; where
    `cures` is false no gap of years rids the ground of it."""

    key: str
    name: str
    also_called: tuple[str, ...]
    hosts: tuple[str, ...]
    years: float
    cures: bool
    source: str
    basis: Basis
    note: str

    def is_host(self, crop: Crop) -> bool:
        group = crop.fact("rotation_group")
        return crop.key in self.hosts or bool(group and f"group:{group}" in self.hosts)


@lru_cache(maxsize=1)
def rotation_diseases() -> tuple[RotationDisease, ...]:
    """Every disease of the table that ships with the package, in the table's order."""
    path = files("perennate.catalogue") / "data" / "rotation_diseases.csv"
    with path.open("r", encoding="utf-8") as lines:
        return tuple(_disease(row) for row in csv.DictReader(lines))


def disease_named(name: str) -> RotationDisease | None:
    """The disease that a grower's word means; None when the table does not know it."""
    wanted = _plain(name)
    for disease in rotation_diseases():
        if wanted in {_plain(known) for known in (disease.key, disease.name, *disease.also_called)}:
            return disease
    return None


def _disease(row: dict[str, str]) -> RotationDisease:
    return RotationDisease(
        row["key"],
        row["name"],
        tuple(filter(None, row["also_called"].split(";"))),
        tuple(row["hosts"].split(";")),
        float(row["years"]),
        row["rotation_cures"] == "yes",
        row["source"],
        cast(Basis, row["basis"]),
        row["note"],
    )


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("_", " ").replace("-", " ").split())
