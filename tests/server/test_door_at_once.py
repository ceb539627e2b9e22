"""Two who change one store of files at the same time, from two threads or two processes."""

import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path

from django.db import connection

from perennate.holding.model import Bed
from perennate.server.store import models
from perennate.server.store.door import OvertakenError, apply
from perennate.server.store.rows import holding_of
from perennate.terms import text

WHAT = text("change.settings")
EACH = 6

ADDING = """
import sys
from pathlib import Path
from perennate.server.serving import open_store
open_store(Path(sys.argv[1]))
from test_door_at_once import add_beds
add_beds(int(sys.argv[2]), sys.argv[3])
"""


def add_beds(holding_id: int, stem: str) -> None:
    """Add beds one by one, each thought of with what stood a moment before."""
    for number in range(EACH):
        seen = holding_of(models.Holding.objects.get(pk=holding_id))
        bed = Bed(f"{stem}{number}", 2.0, 1.0)
        apply(holding_id, WHAT, seen, replace(seen, beds=(*seen.beds, bed)))


def assert_all_there(store: models.Holding, stems: str) -> None:
    store.refresh_from_db()
    keys = [bed.key for bed in holding_of(store).beds]
    for stem in stems:
        assert [key for key in keys if key[0] == stem] == [f"{stem}{n}" for n in range(EACH)]
    assert store.edition == 1 + EACH * len(stems)
    numbers = store.changes.order_by("number").values_list("number", flat=True)
    assert list(numbers) == list(range(1, store.edition + 1))


def test_two_threads_lose_neither_change(nook_store):
    def add(stem: str) -> None:
        add_beds(nook_store.pk, stem)
        connection.close()

    threads = [threading.Thread(target=add, args=(stem,)) for stem in "xy"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert_all_there(nook_store, "xy")


def test_two_processes_lose_neither_change(nook_store, file_store):
    here = str(Path(__file__).parent)
    command = [sys.executable, "-c", ADDING, str(file_store), str(nook_store.pk)]
    children = [subprocess.Popen([*command, stem], cwd=here) for stem in "xy"]
    assert [child.wait(90) for child in children] == [0, 0]
    assert_all_there(nook_store, "xy")


def test_of_two_who_change_one_row_at_once_one_is_told(nook_store):
    seen = holding_of(nook_store)
    told: list[str] = []
    begin = threading.Barrier(2)

    def note(word: str) -> None:
        after = replace(seen, beds=(replace(seen.beds[0], note=word), *seen.beds[1:]))
        begin.wait(10)
        try:
            apply(nook_store.pk, WHAT, seen, after)
        except OvertakenError:
            told.append(word)
        connection.close()

    threads = [threading.Thread(target=note, args=(word,)) for word in ("wet", "dry")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    (loser,) = told
    (winner,) = {"wet", "dry"} - {loser}
    assert holding_of(nook_store).beds[0].note == winner
