from typing import get_args

import pytest

from perennate.catalogue.reader import load_catalogue, shipped_tables
from perennate.catalogue.soil_texture import read_soil_textures, soil_texture, soil_textures
from perennate.holding.model import Soil
from perennate.science.soil_hydraulics import hydraulics
from perennate.terms import BadInput

# FAO Irrigation and Drainage Paper 56 (1998), table 19, read in a second print: field capacity
# and wilting point [m3 m-3]
TABLE_19 = {
    "sand": ((0.07, 0.17), (0.02, 0.07)),
    "loamy sand": ((0.11, 0.19), (0.03, 0.10)),
    "sandy loam": ((0.18, 0.28), (0.06, 0.16)),
    "loam": ((0.20, 0.30), (0.07, 0.17)),
    "silt loam": ((0.22, 0.36), (0.09, 0.21)),
    "clay loam": ((0.30, 0.37), (0.17, 0.24)),
    "clay": ((0.32, 0.40), (0.20, 0.24)),
}


@pytest.mark.parametrize("soil", get_args(Soil))
def test_every_word_of_a_holding_is_a_soil(soil):
    found = soil_texture(soil)
    assert found.name == soil
    assert found.sand.value + found.clay.value <= 100
    assert found.unknown == (soil == "unknown")
    assert (found.own_hydraulics is not None) == (soil == "peat")


def test_each_figure_has_a_source():
    sources = load_catalogue().sources
    for soil in soil_textures().values():
        for figure in (soil.sand, soil.clay, soil.organic_matter):
            assert figure.source in sources


@pytest.mark.parametrize("name", TABLE_19)
def test_the_words_hold_what_the_field_table_says(name):
    # the table's classes are of field soils, the equations' of laboratory samples: 0.05 and, in
    # clay, 0.09 apart at most
    soil = soil_texture(name)
    water = hydraulics(soil.sand.value / 100, soil.clay.value / 100, soil.organic_matter.value)
    capacity, wilting = TABLE_19[name]
    assert capacity[0] - 0.01 <= water.field_capacity <= capacity[1] + 0.05
    assert wilting[0] - 0.01 <= water.wilting_point <= wilting[1] + 0.09


def test_a_soil_that_nobody_has_looked_at_covers_sandy_loam_to_clay_loam():
    unknown = soil_texture("unknown")
    for name in ("sandy loam", "loam", "clay loam"):
        known = soil_texture(name)
        assert unknown.sand.low <= known.sand.value <= unknown.sand.high
        assert unknown.clay.low <= known.clay.value <= unknown.clay.high


def test_peat_holds_more_than_any_mineral_soil():
    peat = soil_texture("peat").own_hydraulics
    clay = hydraulics(0.25, 0.5)
    assert peat.field_capacity - peat.wilting_point > clay.field_capacity - clay.wilting_point
    assert peat.clamped


def test_a_word_that_is_no_soil_is_refused():
    with pytest.raises(KeyError, match="known are sand, loamy sand"):
        soil_texture("mud")


def test_every_fault_of_the_table_is_told_at_once(tmp_path):
    good = (shipped_tables() / "soil_textures.csv").read_text(encoding="utf-8")
    bad = good.replace("loam,sand,40,28,50", "loam,sand,40,45,50").replace(
        "clay,clay,50,41,65,%", "clay,clay,50,41,65,g"
    )
    (tmp_path / "soil_textures.csv").write_text(bad, encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        read_soil_textures(tmp_path)
    assert len(refused.value.problems) == 2


def test_a_soil_without_clay_is_refused(tmp_path):
    good = (shipped_tables() / "soil_textures.csv").read_text(encoding="utf-8")
    lines = [line for line in good.splitlines() if not line.startswith("loam,clay")]
    (tmp_path / "soil_textures.csv").write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(BadInput, match="loam without clay"):
        read_soil_textures(tmp_path)
