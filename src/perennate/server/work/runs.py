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
from datetime import date, timedelta
from pathlib import Path

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils import timezone

from perennate.server.store.models import Holding, PlanRun

SILENT = timedelta(seconds=20)
"""A child that has not beaten for so long is taken to be gone, unless its process lives."""
START = timedelta(seconds=60)
"""So long a child may take to begin, on a slow machine."""

_children: dict[int, "subprocess.Popen[bytes]"] = {}
_lock = threading.Lock()
State = PlanRun.State


def ask(holding_id: int, as_of: date, effort: str = "usual", seed: int = 0) -> PlanRun:
    """Ask for a plan. While one is being made it is the answer, and another follows if the holding
    has changed since."""
    with transaction.atomic():
        store = Holding.objects.select_for_update().get(pk=holding_id)
        under_way = under_way_of(holding_id)
        if under_way is not None:
            if under_way.edition != store.edition or under_way.as_of != as_of:
                PlanRun.objects.filter(pk=under_way.pk).update(again=True)
                under_way.again = True
            return under_way
        run = PlanRun.objects.create(
            holding=store, as_of=as_of, effort=effort, seed=seed, edition=store.edition
        )
    start(run)
    return run


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
    log = _log_file()
    with log.open("ab") as out:
        child = subprocess.Popen(
            [sys.executable, "-m", "perennate.server.work.child", str(run.pk)],
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=out,
            stderr=out,
            start_new_session=True,
        )
    with _lock:
        _children[run.pk] = child
    PlanRun.objects.filter(pk=run.pk, state=State.WAITING).update(process=child.pid)


def stop(run_id: int) -> bool:
    """Stop a run for good; False when it had already ended. What it had made is dropped."""
    ended = PlanRun.objects.filter(pk=run_id, state__in=PlanRun.UNDER_WAY).update(
        state=State.STOPPED, ended=timezone.now(), again=False
    )
    run = PlanRun.objects.get(pk=run_id)
    if ended:
        _kill(run)
    return bool(ended)


def look_after() -> list[PlanRun]:
    """Find runs whose child is gone, call them lost and start each again; gives the new ones.

    Asked for by every page that shows a run and when the server starts. A run that ended and is
    to be followed by another gets its follower here too.
    """
    _reap()
    started = []
    for run in PlanRun.objects.filter(state__in=PlanRun.UNDER_WAY).select_related("holding"):
        if _lives(run):
            continue
        lost = PlanRun.objects.filter(
            pk=run.pk, state__in=PlanRun.UNDER_WAY, heartbeat=run.heartbeat
        ).update(state=State.LOST, ended=timezone.now())
        if lost and not _lost_before(run):
            started.append(_again(run))
    for run in PlanRun.objects.filter(again=True).exclude(state__in=PlanRun.UNDER_WAY):
        taken = PlanRun.objects.filter(pk=run.pk, again=True).update(again=False)
        if taken and run.state == State.DONE:
            started.append(_again(run))
    return [run for run in started if run is not None]


def stop_children() -> None:
    """End the children of this process, as when the server stops: their runs are found lost and
    are started again with the next server."""
    with _lock:
        runs = list(_children)
    for run in PlanRun.objects.filter(pk__in=runs, state__in=PlanRun.UNDER_WAY):
        _kill(run)


def _again(run: PlanRun) -> PlanRun | None:
    with contextlib.suppress(IntegrityError), transaction.atomic():
        again = PlanRun.objects.create(
            holding=run.holding,
            as_of=run.as_of,
            effort=run.effort,
            seed=run.seed,
            edition=Holding.objects.values_list("edition", flat=True).get(pk=run.holding_id),
        )
        transaction.on_commit(lambda: start(again))
        return again
    return None


def _lost_before(run: PlanRun) -> bool:
    """Whether the two runs before this one were lost too: then it is not tried again."""
    before = PlanRun.objects.filter(holding=run.holding_id, pk__lt=run.pk)[:2]
    states = [one.state for one in before]
    return len(states) == 2 and all(state == State.LOST for state in states)


def _lives(run: PlanRun) -> bool:
    """Whether the run's child is still at work."""
    with _lock:
        child = _children.get(run.pk)
    if child is not None:
        return child.poll() is None
    now = timezone.now()
    last = run.heartbeat or run.asked
    if now - last < (SILENT if run.heartbeat else START):
        # A child of another server, or one that has only just been asked for, is given its time
        # unless its process is known to be gone.
        return run.process is None or _is_ours(run.process, run.pk)
    return False


def _is_ours(process: int, run_id: int) -> bool:
    """Whether a process is there, and, where the system tells, that it is this run's child."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    try:
        told = Path(f"/proc/{process}/cmdline").read_bytes().split(b"\0")
    except OSError:
        return True
    return b"perennate.server.work.child" in told and str(run_id).encode() in told


def _kill(run: PlanRun) -> None:
    with _lock:
        child = _children.pop(run.pk, None)
    if child is not None:
        child.kill()
        child.wait()
    elif run.process is not None and _is_ours(run.process, run.pk):
        with contextlib.suppress(OSError):
            os.kill(run.process, signal.SIGTERM if os.name == "nt" else signal.SIGKILL)


def _reap() -> None:
    """Forget children that have ended, so that none stays behind as a dead process."""
    with _lock:
        for run_id in [one for one, child in _children.items() if child.poll() is not None]:
            del _children[run_id]


def _log_file() -> Path:
    store: Path = settings.STORE
    store.mkdir(parents=True, exist_ok=True)
    return store / "planning.log"

