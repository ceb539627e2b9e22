"""Killed in the middle of an import, a save or a planning: the store opens whole."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest
from django.db import connection
from made_nook import nook

from perennate.holding import example_folder
from perennate.server.store import models
from perennate.server.store.carry import read_carried, weather_content
from perennate.server.store.rows import holding_of
from perennate.server.work import runs

BEGUN = "begun\n"

IMPORTING = """
import sys
from pathlib import Path
from perennate.server.serving import open_store
open_store(Path(sys.argv[1]))
from perennate.holding import example_folder
from perennate.server.store.carry import Carried, read_carried, take_in_new
carried = read_carried(example_folder("demo"))
print("begun", flush=True)
while True:
    take_in_new(carried)
"""

SAVING = """
import sys
from dataclasses import replace
from pathlib import Path
from perennate.server.serving import open_store
open_store(Path(sys.argv[1]))
from perennate.server.store import models
from perennate.server.store.door import apply
from perennate.server.store.rows import holding_of
from perennate.terms import text
print("begun", flush=True)
while True:
    store = models.Holding.objects.get()
    seen = holding_of(store)
    note = str(store.edition + 1)
    beds = tuple(replace(bed, note=note) for bed in seen.beds)
    apply(store.pk, text("change.settings"), seen, replace(seen, beds=beds, weeks=50))
"""


def killed(script: str, store: Path, after_s: float) -> None:
    child = subprocess.Popen(
        [sys.executable, "-c", script, str(store)], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    assert child.stdout.readline() == BEGUN
    time.sleep(after_s)
    os.kill(child.pid, signal.SIGKILL)
    assert child.wait(20) == -signal.SIGKILL
    child.stdout.close()


def assert_opens_whole(store: Path) -> None:
    with sqlite3.connect(store / "perennate.sqlite3") as opened:
        assert opened.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert opened.execute("PRAGMA foreign_key_check").fetchall() == []
    opened.close()


@pytest.mark.parametrize("seed", range(3))
def test_an_import_is_there_whole_or_not_at_all(file_store, seed):
    connection.close()
    killed(IMPORTING, file_store, random.Random(seed).uniform(0.05, 0.6))
    assert_opens_whole(file_store)
    expected = read_carried(example_folder("demo"))
    for store in models.Holding.objects.all():
        assert holding_of(store) == expected.holding
        assert weather_content(store) == expected.weather
        assert store.changes.count() == store.edition == 1
    assert models.Change.objects.count() == models.Holding.objects.count()


@pytest.mark.parametrize("seed", range(3))
def test_a_save_of_several_rows_is_there_whole_or_not_at_all(nook_store, file_store, seed):
    connection.close()
    killed(SAVING, file_store, random.Random(seed).uniform(0.05, 0.5))
    assert_opens_whole(file_store)
    nook_store.refresh_from_db()
    notes = {bed.note for bed in holding_of(nook_store).beds}
    assert notes <= {str(nook_store.edition)} or nook_store.edition == 1
    assert len(notes) == 1
    assert nook_store.changes.count() == nook_store.edition


@pytest.mark.parametrize("seed", range(3))
def test_a_planning_leaves_a_plan_that_stands_or_nothing(nook_store, file_store, seed):
    run = runs.ask(nook_store.pk, date(2026, 3, 2), "quick")
    child = runs._children[run.pk]
    try:
        child.wait(random.Random(seed).uniform(0.5, 4.0))
    except subprocess.TimeoutExpired:
        child.kill()
        child.wait(20)
    connection.close()
    assert_opens_whole(file_store)
    run.refresh_from_db()
    nook_store.refresh_from_db()
    is_done = run.state == models.PlanRun.State.DONE
    plans = list(nook_store.plans.all())
    assert plans == ([nook_store.plan] if is_done else [])
    assert run.plan == nook_store.plan
    assert nook_store.edition == nook_store.changes.count() == 1 + len(plans)
    assert holding_of(nook_store) == nook()
