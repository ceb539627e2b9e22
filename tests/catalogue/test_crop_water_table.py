"""What every row of the table of water use must keep to, and what the reader refuses."""

import csv
from pathlib import Path

import pytest

from perennate.catalogue.crop_water import (
    SENSITIVE_STAGE,
    crop_water,
    crop_waters,
    read_crop_water,
)
from perennate.catalogue.reader import load_catalogue
from perennate.terms import BadInput

ROWS = list(crop_waters().values())


def test_every_crop_of_the_catalogue_has_a_row() -> None:
    assert set(crop_waters()) == set(load_catalogue().crops)
    with pytest.raises(KeyError):
        crop_water("triffid")


@pytest.mark.parametrize(
    ("crop", "kc", "kcb", "roots", "p"),
    [
        ("tomato", (0.6, 1.15, 0.8), (0.15, 1.1, 0.7), (0.7, 1.5), 0.40),
        ("onion_bulb", (0.7, 1.05, 0.75), (0.15, 0.95, 0.65), (0.3, 0.6), 0.30),
        ("potato", (0.5, 1.15, 0.75), (0.15, 1.1, 0.65), (0.4, 0.6), 0.35),
        ("spinach", (0.7, 1.0, 0.95), (0.15, 0.9, 0.85), (0.3, 0.5), 0.20),
        ("sweet_potato", (0.5, 1.15, 0.65), (0.15, 1.1, 0.55), (1.0, 1.5), 0.65),
        ("wheat_winter", (0.7, 1.15, 0.25), (0.15, 1.1, 0.15), (1.5, 1.8), 0.55),
        ("mint", (0.6, 1.15, 1.1), (0.4, 1.1, 1.05), (0.4, 0.8), 0.40),
    ],
)
def test_fao56_tables_12_17_and_22(
    crop: str,
    kc: tuple[float, float, float],
    kcb: tuple[float, float, float],
    roots: tuple[float, float],
    p: float,
) -> None:
    found = crop_water(crop)
    assert found.kc == kc
    assert found.kcb == kcb
    assert (found.root_least_m, found.root_most_m) == roots
    assert found.depletion == p
    assert (found.source, found.basis, found.stands_for) == ("fao56", "published", "")


def test_fao56_table_11_and_fao33() -> None:
    assert crop_water("tomato").stages_d == (30, 40, 45, 30)
    assert crop_water("carrot").stages_d == (30, 40, 60, 20)
    maize = crop_water("maize_grain").ky
    assert maize is not None
    assert maize.value == 1.25
    assert crop_water("carrot").ky is None  # not in FAO-33, so not known


def test_a_stand_in_is_a_crop_of_its_own_figures_and_never_passes_for_published() -> None:
    stand_ins = [row for row in ROWS if row.stands_for]
    assert 50 < len(stand_ins) < 120
    for row in stand_ins:
        assert not crop_water(row.stands_for).stands_for, row.crop
        assert row.basis == "memory", row.crop
        assert row.ky is None, row.crop


def test_figures_are_possible() -> None:
    for row in ROWS:
        for whole, crop in zip(row.kc, row.kcb, strict=True):
            assert crop <= whole <= 1.3, row.crop
            assert whole - crop <= 0.56, row.crop
        assert row.kc[0] <= row.kc[1], row.crop
        assert 0.1 <= row.depletion <= 0.8, row.crop
        assert 0.05 <= row.height_m <= 3, row.crop
        assert row.root_least_m < row.root_most_m, row.crop
        assert 30 <= sum(row.stages_d) <= 400, row.crop
        assert row.stages_d[2] > 0, row.crop


def test_wet_land_crops_and_no_others() -> None:
    assert {row.crop for row in ROWS if row.wet_land} == {"rice_upland", "taro"}


def test_sensitive_stages_are_codes_of_a_stage() -> None:
    assert crop_water("tomato").sensitive_stages() == (2,)
    assert crop_water("potato").sensitive_stages() == (1,)
    assert crop_water("sage").sensitive_stages() == ()
    for row in ROWS:
        assert set(row.sensitive) <= set(SENSITIVE_STAGE), row.crop


def _spoilt(tables: Path, column: str, value: str) -> BadInput:
    path = tables / "crop_water.csv"
    with path.open(encoding="utf-8") as lines:
        reader = csv.DictReader(lines)
        rows, header = list(reader), list(reader.fieldnames or [])
    rows[4][column] = value  # garlic
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, header, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    known = load_catalogue()
    with pytest.raises(BadInput) as bad:
        read_crop_water(tables, known.crops.keys(), known.sources)
    return bad.value


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("crop", "triffid"),
        ("crop", "onion_bulb"),
        ("kc_mid", "11.5"),
        ("kc_mid", "1,05"),
        ("kcb_mid", "1.2"),
        ("height_m", "40"),
        ("root_least_m", "0.9"),
        ("depletion", "30"),
        ("mid_d", "-4"),
        ("stages_source", "hearsay"),
        ("stages_basis", "seen"),
        ("ky", "11"),
        ("sensitive", "moonrise"),
        ("wet_land", "no"),
        ("stands_for", "leek"),
        ("source", ""),
        ("basis", "seen"),
    ],
)
def test_a_fault_is_told_by_row_and_column(tables: Path, column: str, value: str) -> None:
    problems = _spoilt(tables, column, value).problems
    assert any(
        problem.row == 6 and problem.column in (column, "kcb_mid", "ky_basis")
        for problem in problems
    )


def test_a_crop_without_a_row_is_told(tables: Path) -> None:
    path = tables / "crop_water.csv"
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(lines[:-1]), encoding="utf-8")
    known = load_catalogue()
    with pytest.raises(BadInput) as bad:
        read_crop_water(path.parent, known.crops.keys(), known.sources)
    assert bad.value.problems[0].found == "yarrow"
