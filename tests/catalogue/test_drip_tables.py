import shutil
from importlib.resources import files
from pathlib import Path

import pytest

from perennate.catalogue.drip import (
    LINES,
    SOILS,
    drip_lines,
    drip_soils,
    read_drip_lines,
    read_drip_soils,
)
from perennate.catalogue.reader import load_catalogue
from perennate.terms import BadInput

DATA = files("perennate.catalogue").joinpath("data")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("drip_soils.csv", "drip_lines.csv"):
        (tmp_path / name).write_text(DATA.joinpath(name).read_text(encoding="utf-8"))
    return tmp_path


def test_every_soil_and_kind_of_line_is_in_the_tables() -> None:
    assert tuple(drip_soils()) == SOILS
    assert tuple(drip_lines()) == LINES


def test_every_soil_of_a_bed_has_its_drip_lines() -> None:
    from typing import get_args

    from perennate.holding.model import Soil

    assert set(get_args(Soil)) <= set(drip_soils())


def test_basic_infiltration_of_the_fao_manual() -> None:
    """Brouwer and others 1988, Irrigation Water Management Training Manual 5 [mm/h]."""
    for texture, low, high in (
        ("sandy loam", 20, 30),
        ("loam", 10, 20),
        ("clay loam", 5, 10),
        ("clay", 1, 5),
    ):
        rate = drip_soils()[texture].infiltration
        assert (rate.low, rate.high, rate.basis) == (low, high, "published")


def test_finer_soil_takes_water_slower_and_spreads_it_wider() -> None:
    sand, loam, clay = (drip_soils()[name] for name in ("sand", "loam", "clay"))
    assert sand.infiltration.value > loam.infiltration.value > clay.infiltration.value
    assert sand.wetted.value < loam.wetted.value < clay.wetted.value
    assert sand.spacing.value < loam.spacing.value < clay.spacing.value
    assert all(soil.spacing.high <= soil.wetted.high for soil in drip_soils().values())


def test_every_figure_has_a_source_of_the_catalogue() -> None:
    sources = load_catalogue().sources
    for soil in drip_soils().values():
        assert {soil.spacing.source, soil.wetted.source, soil.infiltration.source} <= set(sources)
    assert {line.source for line in drip_lines().values()} <= set(sources)


def test_unknown_soil_is_laid_as_close_as_its_range_asks_and_takes_water_slowly() -> None:
    unknown, loam = drip_soils()["unknown"], drip_soils()["loam"]
    assert unknown.ground.line_spacing_m <= loam.ground.line_spacing_m
    assert unknown.infiltration.value < loam.infiltration.value
    assert unknown.infiltration.low <= drip_soils()["clay"].infiltration.low
    assert unknown.infiltration.basis == "assumed"


def test_filters_in_mesh() -> None:
    """130 micrometres are sold as 120 mesh, 100 as 150 (common practice)."""
    assert drip_lines()["drip line"].filter_mesh == 120
    assert drip_lines()["tape"].filter_mesh == 150


def change(folder: Path, name: str, old: str, new: str) -> None:
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_every_fault_of_the_soils_comes_at_once(folder: Path) -> None:
    change(folder, "drip_soils.csv", "sand,spacing,25,20,30,cm", "sand,spacing,5,20,30,cm")
    change(folder, "drip_soils.csv", "loam,wetted,97.5,75,120,cm", "loam,wetted,97.5,75,120,m")
    change(folder, "drip_soils.csv", "fao-manual5,published", "nowhere,seen")
    with pytest.raises(BadInput) as bad:
        read_drip_soils(folder)
    assert [problem.column for problem in bad.value.problems] == [
        "value",
        "source",
        "basis",
        "figure",
    ]


def test_a_texture_without_a_figure_is_named(folder: Path) -> None:
    change(folder, "drip_soils.csv", "peat,wetted,75,60,90,cm,assumed,assumed\n", "")
    with pytest.raises(BadInput, match="peat without wetted"):
        read_drip_soils(folder)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("drip line,2,", "drip line,two,", "two"),
        ("tape,1,55", "tape,1,555", "between least and greatest"),
        ("compensating line", "drip line", "each line once"),
        ("memory,memory", "memory,hearsay", "hearsay"),
    ],
)
def test_faults_of_the_lines_are_named(folder: Path, old: str, new: str, said: str) -> None:
    change(folder, "drip_lines.csv", old, new)
    with pytest.raises(BadInput, match=said):
        read_drip_lines(folder)


def test_a_table_that_is_not_there_is_named(folder: Path) -> None:
    shutil.move(folder / "drip_lines.csv", folder / "other.csv")
    with pytest.raises(BadInput, match="no such file"):
        read_drip_lines(folder)
