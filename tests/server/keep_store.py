"""Keeps a small store as it is made now, so that later versions are tried on it.

    python tests/server/keep_store.py NAME

writes tests/server/stores/NAME.sqlite3. Run once for every state of the store's tables that goes
out; what was kept before is never made anew.
"""

import json
import shutil
import sqlite3
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

from made_edits import full
from made_nook import nook_plan

from perennate.server.serving import open_store

STORES = Path(__file__).parent / "stores"
NORMALS = "normals.csv"


def fill() -> None:
    """A holding with something in every table, weather, a plan, changes made and taken back."""
    from perennate.holding import example_folder
    from perennate.server.store.carry import Carried, take_in
    from perennate.server.store.door import apply, undo
    from perennate.server.store.models import PlanRun
    from perennate.server.store.rows import holding_of
    from perennate.terms import text

    weather = {NORMALS: (example_folder("high") / NORMALS).read_bytes()}
    holding = replace(full(), weather_files=(NORMALS,))
    store = take_in(Carried("Nook", holding, weather), "nook", nook_plan())
    what = text("change.settings")
    for weeks in (40, 41):
        seen = holding_of(store)
        change = apply(store.pk, what, seen, replace(seen, weeks=weeks))
        store.refresh_from_db()
    assert change is not None
    undo(change.pk)
    run = {"as_of": nook_plan().as_of, "edition": 1, "effort": "quick", "plan": store.plan}
    PlanRun.objects.create(holding=store, state=PlanRun.State.DONE, share=1.0, **run)


def told(name: str) -> Path:
    """The file that says what a kept store holds, by its name."""
    return STORES / f"{name}.json"


def main(name: str) -> None:
    with tempfile.TemporaryDirectory() as place:
        open_store(Path(place))
        fill()
        from django.db import connection

        from perennate.server.store.models import Holding
        from perennate.server.store.rows import holding_of, settings_kept, tables_of

        holding = holding_of(Holding.objects.get())
        said = {"settings": settings_kept(holding), "tables": tables_of(holding)}
        connection.close()
        STORES.mkdir(exist_ok=True)
        with sqlite3.connect(Path(place) / "perennate.sqlite3") as opened:
            opened.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            opened.execute("PRAGMA journal_mode=DELETE")
            opened.execute("PRAGMA page_size=512")
        opened.execute("VACUUM")
        opened.close()
        shutil.copy(Path(place) / "perennate.sqlite3", STORES / f"{name}.sqlite3")
    shown = json.dumps(said, ensure_ascii=False, indent=1, sort_keys=True)
    told(name).write_text(shown + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
