"""The child that makes one plan: `python -m perennate.server.work.child RUN`.

It reads what it plans from, plans with nothing of the store held, and writes the plan in one
transaction at the end. It may be killed at any moment; then nothing of it is in the store but its
run's row.
"""

import os
import sys
import threading
import traceback
from dataclasses import dataclass
from typing import TYPE_CHECKING

import django
from django.db import OperationalError, connection, transaction
from django.utils import timezone

if TYPE_CHECKING:
    from perennate.planning.plan import Plan
    from perennate.season_files import SeasonInput
    from perennate.server.store.rows import PlanInputs

# What needs the store or the planner is fetched where it is needed: Django is made ready first,
# and the run is said to be running before the planner's libraries are started.

_BEAT_S = 1.0
_NOT_WANTED = 3


class _Pulse(threading.Thread):
    """Beats once a second with the stage reached; stops the process when the run was ended."""

    def __init__(self, run_id: int) -> None:
        super().__init__(daemon=True)
        self._run_id = run_id
        self._over = threading.Event()
        self.stage, self.share = "begin", 0.0

    def run(self) -> None:
        from perennate.server.store.models import PlanRun

        while not self._over.wait(_BEAT_S):
            running = PlanRun.objects.filter(pk=self._run_id, state=PlanRun.State.RUNNING)
            try:
                kept = running.update(heartbeat=timezone.now(), stage=self.stage, share=self.share)
            except OperationalError:
                # another writer was at it for long: the next beat tells as much
                kept = 1
            finally:
                connection.close()
            if not kept and not self._over.is_set():
                os._exit(_NOT_WANTED)

    def stop(self) -> None:
        self._over.set()
        self.join()


@dataclass(frozen=True, slots=True)
class _Made:
    """A plan with the plan before it (as the grower's hand left it), and what it was made from."""

    plan: "Plan"
    previous: "Plan | None"
    inputs: "PlanInputs"
    season: "SeasonInput"


def plan_run(run_id: int) -> int:
    """Make the plan of a run; gives the exit code: 0 made, 2 bad input, 3 not wanted any more, 1
    anything else."""
    from perennate.server.store.models import PlanRun
    from perennate.terms import BadInput

    state = PlanRun.State
    begun = PlanRun.objects.filter(pk=run_id, state=state.WAITING).update(
        state=state.RUNNING, stage="begin", heartbeat=timezone.now(), process=os.getpid()
    )
    if not begun:
        return _NOT_WANTED
    pulse = _Pulse(run_id)
    pulse.start()
    try:
        made = _make(run_id, pulse)
        pulse.stop()
        return 0 if _keep(run_id, made) else _NOT_WANTED
    except BadInput as bad:
        pulse.stop()
        _fail(run_id, [str(problem) for problem in bad.problems])
        return 2
    except Exception as fault:
        pulse.stop()
        traceback.print_exc()
        _fail(run_id, [f"{type(fault).__name__}: {fault}"])
        return 1


def _make(run_id: int, pulse: _Pulse) -> _Made:
    from importlib.metadata import version

    from perennate.planning.season import make_plan
    from perennate.season_files import near_term
    from perennate.server.store.models import PlanRun
    from perennate.server.store.reading import laid_over, made_plan, season_in
    from perennate.server.store.rows import (
        PlanInputs,
        holding_of,
        settings_kept,
        tables_of,
        weather_of,
    )

    with transaction.atomic():
        run = PlanRun.objects.select_related("holding__plan").get(pk=run_id)
        store = run.holding
        holding, weather = holding_of(store), weather_of(store)
        # what is asked for from now on is asked of a holding that may differ from this one
        PlanRun.objects.filter(pk=run_id).update(edition=store.edition)
    season = season_in(store, holding, weather)
    before = made_plan(store.plan) if store.plan is not None else None
    connection.close()
    previous = laid_over(before, season) if before is not None else None

    def tell(stage: str, share: float) -> None:
        pulse.stage, pulse.share = stage, share

    plan = make_plan(
        season.holding,
        season.catalogue,
        season.climate,
        run.as_of,
        previous=previous,
        seed=run.seed,
        effort=run.effort,
        progress=tell,
        near=near_term(season, run.as_of),
    )
    inputs = PlanInputs(
        settings=settings_kept(holding),
        tables=tables_of(holding),
        weather=weather,
        as_of=run.as_of.isoformat(),
        seed=run.seed,
        effort=run.effort,
        previous=store.plan.number if store.plan is not None else None,
        program=version("perennate"),
    )
    return _Made(plan, previous, inputs, season)


def _keep(run_id: int, made: _Made) -> bool:
    """Save the plan and let it stand; False when the run was ended meanwhile."""
    from perennate.planning.compare import compare, said
    from perennate.server.store.door import keep_plan, stand_on
    from perennate.server.store.models import PlanRun
    from perennate.server.store.rows import plan_row
    from perennate.terms import text

    state = PlanRun.State
    change = said(compare(made.previous, made.plan)) if made.previous is not None else ()
    with transaction.atomic():
        run = PlanRun.objects.select_for_update().get(pk=run_id)
        if run.state != state.RUNNING:
            return False
        row = keep_plan(
            run.holding_id,
            lambda store, number: plan_row(
                store, number, made.plan, made.inputs, made.season.names
            ),
        )
        stand_on(run.holding_id, row, text("change.planned", number=row.number), change)
        run.state, run.plan, run.share, run.ended = state.DONE, row, 1.0, timezone.now()
        run.save(update_fields=["state", "plan", "share", "ended"])
    return True


def _fail(run_id: int, fault: list[str]) -> None:
    from perennate.server.store.models import PlanRun

    PlanRun.objects.filter(pk=run_id, state=PlanRun.State.RUNNING).update(
        state=PlanRun.State.FAILED, ended=timezone.now(), fault=fault
    )


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "perennate.server.settings")
    django.setup()
    sys.exit(plan_run(int(sys.argv[1])))
