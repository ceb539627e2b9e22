"""From an empty folder to a holding, by doing what its notes say and nothing else."""

import json
import re

import pytest
from frictionless import Dialect, Resource, Schema, validate

from perennate.holding import new_holding
from perennate.holding.schema import SCHEMAS, TABLES, table_schema
from perennate.terms import BadInput


def taken(text: str, *names: str) -> str:
    """The text with the # taken from the lines of these settings."""
    for name in names:
        text, count = re.subn(rf"^# ({name} = )", r"\1", text, flags=re.MULTILINE)
        assert count == 1, name
    return text


def test_three_beds_and_five_foods(tmp_path, read):
    folder = tmp_path / "mine"
    files = new_holding(folder)
    assert set(files) == {"holding.toml", *(f"{name}.csv" for name in TABLES)}

    toml = folder / "holding.toml"
    toml.write_text(taken(toml.read_text("utf-8"), "latitude_deg", "elevation_m"), "utf-8")
    with (folder / "beds.csv").open("a", encoding="utf-8") as beds:
        beds.write("door,4.5,1.2,full sun\nwall,6 m,4 ft\nhedge,5,1,shade\n")
    with (folder / "aims.csv").open("a", encoding="utf-8") as aims:
        for crop in ("carrot", "potato", "kale", "tomato", "lettuce_head"):
            aims.write(f",food,{crop},,10,kg,season,,,,\n")

    holding = read(folder)
    assert [bed.key for bed in holding.beds] == ["door", "wall", "hedge"]
    assert len(holding.aims) == 5
    assert holding.plantings == ()


def test_what_must_be_filled_in_is_asked_for(tmp_path, read):
    new_holding(tmp_path / "mine")
    with pytest.raises(BadInput) as bad:
        read(tmp_path / "mine")
    asked = [(problem.file, problem.column) for problem in bad.value.problems]
    assert asked == [("holding.toml", "site.latitude_deg"), ("holding.toml", "site.elevation_m")]
    lines = (tmp_path / "mine" / "holding.toml").read_text("utf-8").splitlines()
    for problem in bad.value.problems:
        assert lines[problem.row - 1].startswith(f"# {problem.column.removeprefix('site.')} = ")
        assert "take the # from this row" in problem.expected


def test_every_line_offered_in_a_note_is_right_when_taken(tmp_path, read):
    folder = tmp_path / "mine"
    new_holding(folder)
    toml = folder / "holding.toml"
    text = re.sub(r"^# (\[\[people\]\]|\w+ = .*)$", r"\1", toml.read_text("utf-8"), flags=re.M)
    clashing = ("eats = []\n", "processes = []\n", "no_frost = true\n", 'decimal = ","\n')
    for given in clashing:
        assert given in text
        text = text.replace(given, "")
    toml.write_text(text, "utf-8")
    (folder / "station.csv").write_text("")
    for name in TABLES:
        table = folder / f"{name}.csv"
        table.write_text(re.sub(r"^# ", "", table.read_text("utf-8"), flags=re.M), "utf-8")

    holding = read(folder)
    assert holding.people[0].name == "Ola"
    assert holding.eats
    assert [aim.crop for aim in holding.aims] == ["carrot", "potato"]
    assert holding.plantings[0].bed == "door"
    assert holding.lots[0].germination == 0.72


def test_the_tables_are_valid_by_the_schemas_laid_beside_them(tmp_path):
    new_holding(tmp_path / "mine")
    for name in TABLES:
        descriptor = json.loads((tmp_path / "mine" / "schemas" / f"{name}.json").read_text("utf-8"))
        resource = Resource(
            path=f"{name}.csv",
            basepath=str(tmp_path / "mine"),
            schema=Schema.from_descriptor({**descriptor, "foreignKeys": []}),
            dialect=Dialect(comment_char="#"),
        )
        report = validate(resource)
        assert report.valid, report.flatten()
        header = (tmp_path / "mine" / f"{name}.csv").read_text("utf-8").splitlines()[0]
        assert tuple(header.split(",")) == table_schema(name).names
    assert len(list((tmp_path / "mine" / "schemas").iterdir())) == len(SCHEMAS)


def test_a_folder_with_something_in_it_is_refused_and_left_alone(tmp_path):
    (tmp_path / "notes.txt").write_text("mine")
    with pytest.raises(BadInput, match="an empty or a new folder"):
        new_holding(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]
