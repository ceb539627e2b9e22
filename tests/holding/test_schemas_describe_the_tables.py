"""The Table Schemas are valid by the standard, describe the examples, and fit the dataclasses."""

import dataclasses
import json
from typing import Literal, get_args, get_origin, get_type_hints

import pytest
from frictionless import Package, Schema

from perennate.holding import EXAMPLES, example_folder
from perennate.holding.model import (
    Aim,
    Bed,
    HandPlanting,
    Limb,
    Lot,
    LotMove,
    OwnValue,
    Record,
    Tree,
    WaterSource,
)
from perennate.holding.schema import SCHEMAS, TABLES, schema_text, table_schema
from perennate.holding.units import find_unit
from perennate.terms import Estimate
from perennate.words import word

KINDS = {
    "beds": Bed,
    "water_sources": WaterSource,
    "aims": Aim,
    "lots": Lot,
    "lot_moves": LotMove,
    "trees": Tree,
    "limbs": Limb,
    "plantings": HandPlanting,
    "records": Record,
}


def package(folder, resources):
    """The tables in the folder as a data package, each with its schema."""
    described = [
        {"name": name, "type": "table", "schema": json.loads(schema_text(name)), **where}
        for name, where in resources.items()
    ]
    return Package.from_descriptor({"name": "nook", "resources": described}, basepath=str(folder))


@pytest.mark.parametrize("name", SCHEMAS)
def test_a_schema_is_valid_by_the_standard(name):
    report = Schema.validate_descriptor(json.loads(schema_text(name)))
    assert report.valid, report.flatten()


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_is_a_valid_data_package(example):
    folder = example_folder(example)
    there = [name for name in SCHEMAS if (folder / f"{name}.csv").is_file()]
    assert {"beds", "aims", "plantings", "lots", "normals"} <= set(there)
    report = package(folder, {name: {"path": f"{name}.csv"} for name in there}).validate()
    assert report.valid, report.flatten(["name", "rowNumber", "fieldName", "note"])


def test_the_standard_finds_a_planting_in_an_unknown_bed_too(tmp_path):
    beds = ["A", 6, 1, *[None] * (len(table_schema("beds").names) - 3)]
    planting = ["p", "past", "kale", None, "B", None, "2025-04-01", *[None] * 6]
    rows = {"beds": [beds], "plantings": [planting], "lots": [], "water_sources": []}
    data = {name: {"data": [list(table_schema(name).names), *rows[name]]} for name in rows}
    report = package(tmp_path, data).validate()
    assert "foreign-key" in [row[0] for row in report.flatten(["type"])]


@pytest.mark.parametrize("name", KINDS)
def test_a_table_has_a_column_for_each_part_of_what_it_holds(name):
    parts = {field.name for field in dataclasses.fields(KINDS[name])}
    assert set(table_schema(name).names) == parts


def test_own_values_have_the_parts_of_an_estimate():
    parts = {field.name for field in dataclasses.fields(Estimate)}
    own = {field.name for field in dataclasses.fields(OwnValue)} - {"estimate"}
    assert set(table_schema("own_values").names) == parts | own


@pytest.mark.parametrize("name", KINDS)
def test_the_words_that_a_column_may_hold_are_those_of_the_dataclass(name):
    for part, hint in get_type_hints(KINDS[name]).items():
        if get_origin(hint) is Literal:
            choices = set(table_schema(name).field(part).choices)
            assert choices == set(get_args(hint)) - {""}, part


@pytest.mark.parametrize("name", SCHEMAS)
def test_columns_with_a_unit_carry_it_in_their_name_and_every_column_is_explained(name):
    for field in table_schema(name).fields:
        assert field.description.endswith("."), field.name
        if field.unit:
            assert find_unit(field.unit, us=False) or field.unit in ("mg/l", "dS/m")
        if field.unit in ("m", "mm", "cm", "bar", "l/min", "mg/l", "dS/m"):
            assert field.stem != field.name
        if field.unit == "degC":
            assert field.name.endswith("_c")


@pytest.mark.parametrize(
    ("area", "table", "column"),
    [
        ("aim", "aims", "kind"),
        ("hand", "plantings", "hand"),
        ("light", "beds", "light"),
        ("soil", "beds", "soil"),
        ("lot", "lots", "kind"),
    ],
)
def test_each_choice_of_a_table_has_a_word_for_sheets(area, table, column):
    for choice in table_schema(table).field(column).choices:
        assert word(f"{area}.{choice}")
    assert word(f"table.{table}")


def test_tables_of_a_holding_are_among_the_schemas():
    assert set(TABLES) == {*KINDS, "own_values"}
    assert set(SCHEMAS) == {*TABLES, "weather", "normals"}
