"""What each crop asks of the water: coefficients, roots, stages, and what a shortfall costs.

The table holds a row for every crop of the catalogue. Where the published tables do not know a
crop, the row is that of a `stands_for` crop of the same habit, basis memory, and says so.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import cast

from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.tables import BASES, Row, Table
from perennate.terms import BadInput, Basis, Estimate, Problem

SENSITIVE_STAGE: Mapping[str, int] = MappingProxyType(
    {
        "leaf": 1,
        "tuber": 1,
        "root": 2,
        "bulb": 2,
        "heading": 2,
        "flowering": 2,
        "pod fill": 2,
        "fruit": 2,
    }
)
"""When dryness costs most, and which of the four stages (0 to 3) that is (FAO-33, from memory)."""

KC = ("kc_ini", "kc_mid", "kc_end")
KCB = ("kcb_ini", "kcb_mid", "kcb_end")
STAGES = ("initial_d", "development_d", "mid_d", "late_d")
_NUMBERS = (*KC, *KCB, "height_m", "root_least_m", "root_most_m", "depletion", *STAGES)
_COLUMNS = (
    "crop",
    *_NUMBERS,
    "stages_source",
    "stages_basis",
    "ky",
    "ky_source",
    "ky_basis",
    "sensitive",
    "wet_land",
    "stands_for",
    "source",
    "basis",
)
_LIMITS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        **dict.fromkeys((*KC, *KCB), (0.1, 1.3)),
        "height_m": (0.05, 6.0),
        "root_least_m": (0.1, 3.0),
        "root_most_m": (0.1, 3.0),
        "depletion": (0.1, 0.8),
        **dict.fromkeys(STAGES, (0.0, 400.0)),
    }
)


@dataclass(frozen=True, slots=True)
class CropWater:
    """A crop's figures for water.

    `kc` and `kcb` (initial, mid, end) multiply reference evapotranspiration, at 45 % least
    humidity and 2 m/s of wind: Kc for crop and soil in one, Kcb for the crop alone. `root_least_m`
    is the rooting depth [m] to water for, `root_most_m` what roots reach in deep soil without.
    `depletion`: share p of the water within reach that may be used before growth slows, at 5 mm a
    day. `stages_d`: length of the four stages [d]; only their shares count. `ky`: share of the
    yield lost by share of the season's water lacking; None where unknown. `sensitive`: codes of
    SENSITIVE_STAGE. `wet_land`: lives with its roots in water. `stands_for`: key of the crop whose
    figures these are, "" where they are its own.
    """

    crop: str
    kc: tuple[float, float, float]
    kcb: tuple[float, float, float]
    height_m: float
    root_least_m: float
    root_most_m: float
    depletion: float
    stages_d: tuple[float, float, float, float]
    stages_source: str
    stages_basis: Basis
    ky: Estimate | None
    sensitive: tuple[str, ...]
    wet_land: bool
    stands_for: str
    source: str
    basis: Basis
    note: str

    def sensitive_stages(self) -> tuple[int, ...]:
        """The stages, 0 to 3, in which dryness costs most; none where it is not known."""
        return tuple(sorted({SENSITIVE_STAGE[code] for code in self.sensitive}))


def crop_water(key: str) -> CropWater:
    """The row of a crop by its key. Raises KeyError for a crop that the catalogue does not know."""
    return crop_waters()[key]


@lru_cache(maxsize=1)
def crop_waters() -> Mapping[str, CropWater]:
    """Every row of the table that ships with the package, read once, by crop."""
    known = load_catalogue()
    return read_crop_water(shipped_tables(), known.crops.keys(), known.sources)


def read_crop_water(
    folder: Traversable, crops: Collection[str], sources: Mapping[str, object]
) -> Mapping[str, CropWater]:
    """The table of a folder; BadInput with every problem, a crop without a row among them."""
    problems: list[Problem] = []
    table = Table("crop_water.csv", problems)
    found: dict[str, CropWater] = {}
    stand_ins: list[tuple[Row, str]] = []
    for row in table.rows(folder, _COLUMNS):
        if not table.first_time(row, "crop"):
            continue
        if row["crop"] not in crops:
            table.wrong(row.line, "crop", row["crop"], "a key of crops.csv")
        if row["stands_for"]:
            stand_ins.append((row, row["stands_for"]))
        read = _read(table, row, sources)
        if read is not None:
            found[read.crop] = read
    for row, stand_in in stand_ins:
        if stand_in not in found or found[stand_in].stands_for:
            table.wrong(row.line, "stands_for", stand_in, "a crop with a row of its own figures")
    for crop in sorted(set(crops) - set(found)):
        if not problems:
            table.wrong(0, "crop", crop, "a row for every crop of crops.csv")
    if problems:
        raise BadInput(problems)
    return MappingProxyType(found)


def _read(table: Table, row: Row, sources: Mapping[str, object]) -> CropWater | None:
    before = len(table.problems)
    table.sourced(row, sources)
    for column in ("stages_source", "ky_source"):
        if row[column] and row[column] not in sources:
            table.wrong(row.line, column, row[column], "a key of sources.csv")
    table.one_of(row, "stages_basis", BASES)
    table.one_of(row, "wet_land", ("", "yes"))
    sensitive = tuple(filter(None, row["sensitive"].split(";")))
    for code in sensitive:
        if code not in SENSITIVE_STAGE:
            table.wrong(row.line, "sensitive", code, f"one of: {', '.join(SENSITIVE_STAGE)}")
    numbers = {column: _within(table, row, column) for column in _NUMBERS}
    ky = _ky(table, row)
    if len(table.problems) > before:
        return None
    value = cast(dict[str, float], numbers)
    if value["root_least_m"] > value["root_most_m"]:
        table.wrong(row.line, "root_least_m", row["root_least_m"], "no more than root_most_m")
        return None
    kc_ini, kc_mid, kc_end = (value[column] for column in KC)
    kcb_ini, kcb_mid, kcb_end = (value[column] for column in KCB)
    if kcb_ini > kc_ini or kcb_mid > kc_mid or kcb_end > kc_end:
        table.wrong(row.line, "kcb_mid", row["kcb_mid"], "no Kcb above its Kc")
        return None
    initial, development, mid, late = (value[column] for column in STAGES)
    if initial + development + mid + late <= 0:
        table.wrong(row.line, "initial_d", "0", "stages that last a day or more together")
        return None
    return CropWater(
        row["crop"],
        (kc_ini, kc_mid, kc_end),
        (kcb_ini, kcb_mid, kcb_end),
        value["height_m"],
        value["root_least_m"],
        value["root_most_m"],
        value["depletion"],
        (initial, development, mid, late),
        row["stages_source"],
        cast(Basis, row["stages_basis"]),
        ky,
        sensitive,
        row["wet_land"] == "yes",
        row["stands_for"],
        row["source"],
        cast(Basis, row["basis"]),
        row.cells.get("note", ""),
    )


def _within(table: Table, row: Row, column: str) -> float | None:
    number = table.number(row, column)
    low, high = _LIMITS[column]
    if number is not None and not low <= number <= high:
        table.wrong(row.line, column, row[column], f"a number from {low:g} to {high:g}")
    return number


def _ky(table: Table, row: Row) -> Estimate | None:
    if not row["ky"]:
        return None
    value = table.number(row, "ky")
    if not table.one_of(row, "ky_basis", BASES) or not table.filled(row, "ky_source"):
        return None
    if value is None:
        return None
    if not 0.2 <= value <= 2.0:
        table.wrong(row.line, "ky", row["ky"], "a number from 0.2 to 2")
        return None
    return Estimate(value, value, value, "1", row["ky_source"], cast(Basis, row["ky_basis"]))
