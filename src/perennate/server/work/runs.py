"""Runs of the planner as the server sees them: asked for, started as a child, watched, stopped.

A run's row is all that parent and child share. The child beats every second while it works; a run
whose child neither beats nor lives is lost, and is started again. No transaction is held while a
child works.
"""

import contextlib
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils import timezone

from perennate.server.store.models import Holding, PlanRun

SILENT = timedelta(seconds=20)
"""A child of another server that has not beaten for so long is taken to be gone; were it only
asleep, it would find its run ended and end itself."""
START = timedelta(seconds=60)
"""So long a child of another server may take to begin, on a slow machine."""
TRIES = 3
"""So often the child of a run is begun when it is lost each time."""
LOG_BYTES = 2**18
"""The log of children begins anew when it is larger; the one before is kept beside it."""

_children: dict[int, "subprocess.Popen[bytes]"] = {}
_lock = threading.Lock()
State = PlanRun.State


def ask(holding_id: int, as_of: date, effort: str = "usual", seed: int = 0) -> PlanRun:
    """Ask for a plan. While one is being made it is the answer; another follows it if the holding
    has changed since it was begun, or if what is asked for differs."""
    look_after(holding_id)
    wish = {"as_of": as_of.isoformat(), "effort": effort, "seed": seed}
    with transaction.atomic():
        store = Holding.objects.select_for_update().get(pk=holding_id)
        run = under_way_of(holding_id)
        if run is None:
            run = PlanRun.objects.create(holding=store, edition=store.edition, **_made_of(wish))
            transaction.on_commit(lambda: start(run))
        elif run.edition != store.edition or _wish_of(run) != wish:
            run.again = wish
            run.save(update_fields=["again"])
    return run


def _wish_of(run: PlanRun) -> dict[str, Any]:
    return {"as_of": run.as_of.isoformat(), "effort": run.effort, "seed": run.seed}


def _made_of(wish: Mapping[str, Any]) -> dict[str, Any]:
    return {**wish, "as_of": date.fromisoformat(wish["as_of"])}


def under_way_of(holding_id: int) -> PlanRun | None:
    """The run that is waiting or running for the holding, if any."""
    return PlanRun.objects.filter(holding=holding_id, state__in=PlanRun.UNDER_WAY).first()


def latest_of(holding_id: int) -> PlanRun | None:
    """The last run asked for, whatever became of it."""
    return PlanRun.objects.filter(holding=holding_id).first()


def start(run: PlanRun) -> None:
    """Start the child of a run. Its first line of work is to say that it runs."""
    environment = {**os.environ, "PERENNATE_STORE": str(settings.STORE)}
    environment["DJANGO_SETTINGS_MODULE"] = "perennate.server.settings"
    with _log_file().open("ab") as out:
        child = subprocess.Popen(
            [sys.executable, "-m", "perennate.server.work.child", str(run.pk)],
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=out,
            stderr=out,
            # an interrupt at the terminal is for the server, which then ends its children
            start_new_session=True,
        )
    with _lock:
        _children[run.pk] = child
    PlanRun.objects.filter(pk=run.pk, state=State.WAITING).update(process=child.pid)


def stop(run_id: int) -> bool:
    """Stop a run for good; False when it had already ended. What it had made is dropped."""
    ended = PlanRun.objects.filter(pk=run_id, state__in=PlanRun.UNDER_WAY).update(
        state=State.STOPPED, ended=timezone.now(), again=None
    )
    if ended:
        _kill(PlanRun.objects.get(pk=run_id))
    return bool(ended)


def look_after(holding_id: int | None = None) -> list[PlanRun]:
    """Find runs whose child is gone, call them lost and begin each again, up to TRIES times;
    begin those that were asked for meanwhile; gives the new ones.

    Asked for by every page that shows a run, before a run is asked for, and when the server
    starts; of one holding, or of all.
    """
    _reap()
    started = []
    runs = PlanRun.objects.all()
    if holding_id is not None:
        runs = runs.filter(holding=holding_id)
    for run in runs.filter(state__in=PlanRun.UNDER_WAY):
        if _lives(run):
            continue
        lost = PlanRun.objects.filter(
            pk=run.pk, state__in=PlanRun.UNDER_WAY, heartbeat=run.heartbeat
        ).update(state=State.LOST, ended=timezone.now())
        if lost and run.tries < TRIES:
            started.append(_follow(run, run.tries + 1))
    for run in runs.filter(again__isnull=False, state__in=(State.DONE, State.FAILED)):
        started.append(_follow(run))
    return [run for run in started if run is not None]


def stop_children() -> None:
    """End the children of this process, as when the server stops: their runs are found lost and
    are begun again with the next server, which does not count as a try."""
    with _lock:
        runs = list(_children)
    under_way = PlanRun.objects.filter(pk__in=runs, state__in=PlanRun.UNDER_WAY)
    under_way.update(tries=0)
    for run in PlanRun.objects.filter(pk__in=runs):
        _kill(run)


def _follow(run: PlanRun, tries: int = 1) -> PlanRun | None:
    """The run that follows one that has ended, as was wished meanwhile; None when another request
    was faster."""
    with contextlib.suppress(IntegrityError), transaction.atomic():
        now = PlanRun.objects.select_for_update().get(pk=run.pk)
        follower = PlanRun.objects.create(
            holding_id=run.holding_id,
            edition=Holding.objects.values_list("edition", flat=True).get(pk=run.holding_id),
            tries=tries,
            **_made_of(now.again or _wish_of(now)),
        )
        PlanRun.objects.filter(pk=run.pk).update(again=None)
        transaction.on_commit(lambda: start(follower))
        return follower
    return None


def _lives(run: PlanRun) -> bool:
    """Whether the run's child is still at work."""
    with _lock:
        child = _children.get(run.pk)
    if child is not None:
        return child.poll() is None
    last = run.heartbeat or run.asked
    if timezone.now() - last > (SILENT if run.heartbeat else START):
        return False
    # a child of another server, or one that is just being begun: it is given its time unless its
    # process is known to be gone
    return run.process is None or _is_ours(run.process, run.pk)


def _is_ours(process: int, run_id: int) -> bool:
    """Whether a process may be this run's child: it is there, and, where the system tells, it was
    called as one."""
    if os.name == "nt":
        # there, asking whether a process lives would send it a signal
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    try:
        told = Path(f"/proc/{process}/cmdline").read_bytes().split(b"\0")
    except OSError:
        return not Path("/proc/self").exists()
    return b"perennate.server.work.child" in told and str(run_id).encode() in told


def _kill(run: PlanRun) -> None:
    with _lock:
        child = _children.pop(run.pk, None)
    if child is not None:
        child.kill()
        child.wait()
    elif run.process is not None and os.name != "nt" and _is_ours(run.process, run.pk):
        # elsewhere it ends itself when it finds at its next beat that its run has ended
        with contextlib.suppress(OSError):
            os.kill(run.process, signal.SIGKILL)


def _reap() -> None:
    """Forget children that have ended, so that none stays behind as a dead process."""
    with _lock:
        ended = [run for run, child in _children.items() if child.poll() is not None]
    # forgotten only when their end is in the store: until then a dead child tells more than a beat
    over = PlanRun.objects.filter(pk__in=ended).exclude(state__in=PlanRun.UNDER_WAY)
    with _lock:
        for run_id in over.values_list("pk", flat=True):
            _children.pop(run_id, None)


def _log_file() -> Path:
    store: Path = settings.STORE
    log = store / "planning.log"
    if log.is_file() and log.stat().st_size > LOG_BYTES:
        # where a child that is at work holds it open and that forbids it, the next one does it
        with contextlib.suppress(OSError):
            log.replace(store / "planning.before.log")
    return log
