"""Edits of a small holding, each told by a few numbers, so that sequences of them can be drawn."""

from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import strategies as st
from made_nook import nook

from perennate.holding.model import (
    HandPlanting,
    Holding,
    Limb,
    Lot,
    LotMove,
    OwnValue,
    Record,
    Tree,
    WaterSource,
)
from perennate.terms import Estimate

DAY = date(2026, 3, 10)


def full() -> Holding:
    """The nook with something in every table, some of it assumed."""
    move = LotMove("C1", DAY, -500, "mg", "sown")
    yields = Estimate(1.4, 1.0, 2.0, "kg/m2", "own records", "own records")
    return replace(
        nook(),
        lots=(
            Lot("C1", "carrot", "Sandry Long", "seed", 5.0, "g", 2025, 0.8),
            Lot("K1", "kale", "", "seed", 90.0, "seeds", 2024, None, parents=("C1",)),
        ),
        lot_moves=(move, move, replace(move, why="given away")),
        beds=(
            replace(nook().beds[0], organic_matter=3.5, mulch="straw", mulch_cm=5.0, source="tap"),
            *nook().beds[1:],
        ),
        water_sources=(
            WaterSource("tap", "mains", flow_l_min=12.0, tested=DAY, ec_ds_m=0.4, germs="clean"),
            WaterSource("shed", "roof", tank_l=1000.0, level_l=250.0, roof_m2=40.0),
        ),
        trees=(Tree("gate", "Malus domestica", "", None), Tree("yard", "Prunus avium", "", None)),
        limbs=(Limb("low", "gate", "Rusk Maiden", None), Limb("high", "gate", "Amber", None)),
        plantings=(
            HandPlanting("k", "stands", "kale", "", "north", DAY, DAY, None),
            HandPlanting("c", "wished", "carrot", "", "mid", None, DAY, None, lot="C1", aim="any"),
        ),
        records=tuple(
            Record(f"r{n}", DAY, "harvested", "kale", "north", 0.8, "kg", 12.0) for n in range(3)
        ),
        own_values=(OwnValue("kale", "yield", yields), OwnValue("carrot", "yield", yields)),
        assumed=("site.elevation_m", "beds.north.soil", "beds.mid.soil", "people.1.sex"),
    )


TABLES = (
    *("beds", "water_sources", "aims", "lots", "lot_moves", "trees", "limbs", "plantings"),
    *("records", "own_values", "assumed", "eats"),
)
ACTS = ("add", "copy", "drop", "change", "rename", "swap")
EDITS = st.tuples(
    st.sampled_from([*TABLES, "settings"]),
    st.sampled_from(ACTS),
    st.integers(0, 9),
    st.integers(0, 9),
)
_NOTED = {"lot_moves": "why", "lots": "origin"}


def edited(holding: Holding, edit: tuple[str, str, int, int]) -> Holding:
    """The holding after an edit; the same where the edit finds nothing to act on."""
    table, act, where, how = edit
    if table == "settings":
        changes: list[dict[str, Any]] = [
            {"weeks": 40 + how},
            {"site": replace(holding.site, name=f"Nook {how}")},
            {"site": replace(holding.site, longitude_deg=None if how % 2 else 9.5)},
            {"habits": replace(holding.habits, watering="sparing" if how % 2 else "full")},
            {"people": holding.people[: how % 2] or (replace(holding.people[0], age_years=how),)},
            {"limits": replace(holding.limits, compost_l=None if how % 2 else 10.0 * how)},
        ]
        return replace(holding, **changes[where % len(changes)])
    rows = list(getattr(holding, table))
    if not rows:
        return holding
    place = where % len(rows)
    row = rows[place]
    if act in ("add", "copy"):
        rows.insert(where % (len(rows) + 1), _another(row, how, same=act == "copy"))
    elif act == "drop":
        del rows[place]
    elif act == "swap":
        other = how % len(rows)
        rows[place], rows[other] = rows[other], row
    elif act == "rename" and hasattr(row, "key"):
        rows[place] = replace(row, key=f"{table} {how}")
    elif not isinstance(row, str):
        rows[place] = _changed(table, row, how)
    if table in ("assumed", "eats"):
        rows = list(dict.fromkeys(rows))
    return replace(holding, **{table: tuple(rows)})


def _another(row: Any, how: int, same: bool) -> Any:
    if isinstance(row, str):
        return "site.longitude_deg" if "." in row else "potato"
    if hasattr(row, "key"):
        return replace(row, key=f"{row.key}+{how}")
    if isinstance(row, OwnValue):
        return replace(row, figure="yield", crop=("leek", "tomato", "kale")[how % 3])
    return row if same else replace(row, change=-how)


def _changed(table: str, row: Any, how: int) -> Any:
    if isinstance(row, OwnValue):
        return replace(row, estimate=replace(row.estimate, high=2.0 + how))
    return replace(row, **{_NOTED.get(table, "note"): f"note {how}"})
