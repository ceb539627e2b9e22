"""Holdings taken into a store and given out of it by the command line."""

import os
from pathlib import Path

import pytest
from made_nook import nook, nook_plan
from typer.testing import CliRunner

from perennate.cli import app
from perennate.holding import example_folder, write_holding
from perennate.outputs.plan_json import plan_to_json
from perennate.server.store import models
from perennate.server.store.carry import read_carried
from perennate.server.store.rows import holding_of, inputs_of, plan_of, tables_of


@pytest.fixture
def perennate(file_store, monkeypatch):
    """Runs a command on the store; gives its exit code, and what it said."""
    monkeypatch.setitem(os.environ, "PERENNATE_STORE", str(file_store))

    def run(*words: str | Path) -> tuple[int, str]:
        done = CliRunner().invoke(app, [*map(str, words), "--store", str(file_store)])
        return done.exit_code, done.output

    return run


@pytest.mark.parametrize("ending", ["", ".zip", ".xlsx"])
def test_what_is_taken_in_is_given_out(perennate, tmp_path, ending):
    code, said = perennate("import", example_folder("high"), "--as", "high")
    assert code == 0
    assert " as high" in said
    out = tmp_path / f"out{ending}"
    assert perennate("export", "high", out)[0] == 0
    again, first = read_carried(out), read_carried(example_folder("high"))
    assert (again.holding, again.weather) == (first.holding, first.weather)
    code, _ = perennate("import", out, "--as", "again")
    assert code == 0
    assert holding_of(models.Holding.objects.get(slug="again")) == first.holding


def test_a_plan_comes_with_the_holding_and_stands(perennate, tmp_path):
    write_holding(nook(), tmp_path / "nook")
    file = tmp_path / "plan.json"
    file.write_bytes(plan_to_json(nook_plan(), {}))
    assert perennate("import", tmp_path / "nook", "--plan", file)[0] == 0
    store = models.Holding.objects.get(slug="nook")
    assert plan_to_json(plan_of(store.plan), {}) == file.read_bytes()
    assert inputs_of(store.plan).tables == tables_of(holding_of(store))
    assert [change.number for change in store.changes.all()] == [2, 1]


def test_an_unsound_holding_leaves_the_store_as_it_was(perennate, tmp_path):
    write_holding(nook(), tmp_path / "nook")
    beds = "key,length_m,width_m\nnorth,-5,1.2\nmid,far,1.2\n"
    (tmp_path / "nook" / "beds.csv").write_text(beds)
    code, said = perennate("import", tmp_path / "nook")
    assert code == 2
    assert len([line for line in said.splitlines() if "beds.csv" in line]) == 2
    assert not models.Holding.objects.exists()


def test_weather_that_cannot_be_read_is_told_before_anything_is_taken_in(perennate, tmp_path):
    write_holding(nook(), tmp_path / "nook")
    (tmp_path / "nook" / "weather.csv").write_text("day,warmth\n2026-01-01,7\n")
    code, said = perennate("import", tmp_path / "nook")
    assert code == 2
    assert "weather.csv" in said
    assert not models.Holding.objects.exists()
    assert not models.Blob.objects.exists()


def test_a_name_that_is_not_in_the_store_is_answered_with_those_that_are(perennate, tmp_path):
    perennate("import", example_folder("high"), "--as", "high")
    code, said = perennate("export", "hihg", tmp_path / "out")
    assert code == 2
    assert "hihg" in said
    assert "high" in said
    assert not (tmp_path / "out").exists()


def test_a_folder_of_other_things_is_not_written_over(perennate, tmp_path):
    perennate("import", example_folder("high"), "--as", "high")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "letter.txt").write_text("Dear")
    assert perennate("export", "high", tmp_path / "out")[0] == 2
    assert [one.name for one in (tmp_path / "out").iterdir()] == ["letter.txt"]
