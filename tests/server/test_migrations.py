"""The store's tables through versions: forwards, backwards, and from stores kept before."""

import json
import shutil
import sqlite3
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from keep_store import STORES, fill, told

from perennate.holding.model import Bed, Holding
from perennate.server.serving import bring_up_to_date
from perennate.server.store import models
from perennate.server.store.door import undo
from perennate.server.store.reading import standing
from perennate.server.store.rows import holding_of, plan_of, settings_kept, tables_of
from perennate.terms import BadInput

KEPT = sorted(file.stem for file in STORES.glob("*.sqlite3"))


def steps() -> list[tuple[str, str]]:
    """Every migration of the store from the first."""
    loader = MigrationExecutor(connection).loader
    (leaf,) = loader.graph.leaf_nodes("store")
    return [step for step in loader.graph.forwards_plan(leaf) if step[0] == "store"]


def tables() -> set[str]:
    return {name for name in connection.introspection.table_names() if name.startswith("store_")}


def assert_whole() -> None:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check")
        assert cursor.fetchall() == [("ok",)]
        cursor.execute("PRAGMA foreign_key_check")
        assert cursor.fetchall() == []


def without_water(holding: Holding) -> Holding:
    """The holding as the first tables could keep it."""
    beds = (Bed(*(getattr(bed, part.name) for part in fields(bed)[:11])) for bed in holding.beds)
    return replace(holding, beds=tuple(beds), water_sources=())


def without_aims_of_plantings(holding: Holding) -> Holding:
    return replace(holding, plantings=tuple(replace(row, aim="") for row in holding.plantings))


ROOM_IN = {
    "0001_holding": lambda holding: without_water(without_aims_of_plantings(holding)),
    "0002_water": without_aims_of_plantings,
}
"""What is left of a holding once the store was taken back to a version, by its last migration."""


def test_the_migrations_say_all_that_the_models_say(file_store):
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_every_migration_runs_both_ways_on_a_filled_store(file_store):
    fill()
    (store,) = models.Holding.objects.all()
    holding = holding_of(store)
    names = [None, *(name for _, name in steps())]
    for before in reversed(names[:-1]):
        call_command("migrate", "store", before or "zero", verbosity=0)
        assert_whole()
        if before is None:
            assert tables() == set()
            call_command("migrate", "store", verbosity=0)
            assert not models.Holding.objects.exists()
        else:
            call_command("migrate", "store", verbosity=0)
            assert holding_of(models.Holding.objects.get()) == ROOM_IN[before](holding)
        assert_whole()
    assert tables() == {model._meta.db_table for model in models.Holding._meta.apps.get_models()}


@pytest.mark.parametrize("name", KEPT)
def test_a_store_kept_before_is_brought_up_to_date(file_store, name):
    connection.close()
    shutil.copy(STORES / f"{name}.sqlite3", file_store / "perennate.sqlite3")
    bring_up_to_date()
    assert_whole()
    store = models.Holding.objects.get(slug="nook")
    holding = holding_of(store)
    expected = json.loads(told(name).read_text(encoding="utf-8"))
    assert as_then(settings_kept(holding), expected["settings"]) == expected["settings"]
    assert as_then(tables_of(holding), expected["tables"]) == expected["tables"]
    assert plan_of(store.plan).plantings
    assert standing(store).plan is not None
    undo(store.changes.get(number=3).pk)
    store.refresh_from_db()
    assert holding_of(store).weeks == 52
    assert not standing(store).is_stale


def as_then(now: Any, then: Any) -> Any:
    """What stands now under the names that there were then; later columns are left out."""
    if not isinstance(then, dict):
        return now
    return {name: as_then(now[name], one) for name, one in then.items()}


@pytest.mark.parametrize("name", KEPT)
def test_a_bed_of_a_store_kept_before_says_nothing_that_nobody_told(file_store, name):
    connection.close()
    shutil.copy(STORES / f"{name}.sqlite3", file_store / "perennate.sqlite3")
    bring_up_to_date()
    bare = Bed("bare", 1.0, 1.0)
    expected = json.loads(told(name).read_text(encoding="utf-8"))["tables"]["beds"]
    for bed in holding_of(models.Holding.objects.get()).beds:
        later = {part.name for part in fields(bed)} - {"key", *expected[bed.key]}
        assert all(getattr(bed, part) == getattr(bare, part) for part in later)


def test_a_kept_store_is_small_and_there_is_one():
    assert KEPT
    assert all((STORES / f"{name}.sqlite3").stat().st_size < 200_000 for name in KEPT)


def test_a_store_that_is_up_to_date_is_left_alone(file_store, monkeypatch):
    import django.core.management

    monkeypatch.setattr(django.core.management, "call_command", None)
    bring_up_to_date()


def test_a_store_of_a_later_version_is_refused_and_left_as_it_is(file_store):
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO django_migrations (app, name, applied) "
            "VALUES ('store', '9999_of_later', '2030-01-01')"
        )
    before = dump(file_store)
    with pytest.raises(BadInput, match="9999_of_later"):
        bring_up_to_date()
    assert dump(file_store) == before


def dump(folder: Path) -> list[str]:
    with sqlite3.connect(folder / "perennate.sqlite3") as opened:
        lines = list(opened.iterdump())
    opened.close()
    return lines
