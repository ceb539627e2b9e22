"""Planning in the background: asked for, watched, stopped, lost and found again."""

import os
import signal
import threading
import time
import zlib
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

from django.db import connection
from django.utils import timezone
from made_nook import nook, nook_plan

from perennate.outputs.plan_json import plan_to_json
from perennate.season_files import common_names, own_catalogue
from perennate.server.store import models
from perennate.server.store.carry import Carried, take_in
from perennate.server.store.door import apply
from perennate.server.store.models import PlanRun
from perennate.server.store.rows import (
    holding_of,
    inputs_of,
    plan_of,
    settings_kept,
    tables_of,
    weather_of,
)
from perennate.server.work import runs
from perennate.terms import text

START = date(2026, 3, 2)
PATIENCE_S = 120
State = PlanRun.State


def until(run: PlanRun, reached: Callable[[PlanRun], bool]) -> PlanRun:
    """Wait until the run's row is so."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        run.refresh_from_db()
        if reached(run):
            return run
        time.sleep(0.05)
    raise AssertionError(f"still {run.state} in {run.stage} after {PATIENCE_S} s")


def is_running(run: PlanRun) -> bool:
    return run.state == State.RUNNING


def has_ended(run: PlanRun) -> bool:
    return not run.is_under_way


def is_gone(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    return False


def kill_from_outside(run: PlanRun) -> None:
    """End the child as the system does when memory runs out."""
    until(run, lambda one: one.process is not None)
    os.kill(run.process, signal.SIGKILL)
    child = runs._children.get(run.pk)
    if child is not None:
        child.wait(20)


def forget_children() -> None:
    """As a server does that is started anew."""
    runs._children.clear()


def test_two_who_ask_at_once_get_one_plan_and_nobody_waits_for_it(nook_store):
    asked: list[PlanRun] = []
    begin = threading.Barrier(2)

    def ask() -> None:
        begin.wait(10)
        asked.append(runs.ask(nook_store.pk, START, "quick"))
        connection.close()

    threads = [threading.Thread(target=ask) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert len({run.pk for run in asked}) == PlanRun.objects.count() == 1
    run = until(asked[0], is_running)
    first_beat = run.heartbeat

    # what differs is asked for meanwhile: it follows
    assert runs.ask(nook_store.pk, START, "quick", seed=1).pk == run.pk

    # a change goes through while the planner is at work
    seen = holding_of(nook_store)
    after = replace(seen, weeks=51)
    until(run, lambda one: one.heartbeat > first_beat)
    apply(nook_store.pk, text("change.settings"), seen, after)
    run.refresh_from_db()
    assert run.state == State.RUNNING

    assert until(run, has_ended).state == State.DONE
    assert run.share == 1.0
    (follower,) = runs.look_after()
    assert (follower.edition, follower.seed, follower.tries) == (3, 1, 1)
    assert runs.look_after() == []
    assert runs.stop(follower.pk)

    # the plan stands, as it was made, with what it was made from
    nook_store.refresh_from_db()
    row = nook_store.plan
    assert (row.number, row.as_of, row.pk) == (1, START, run.plan_id)
    made = plan_of(row)
    assert made.plantings
    assert plan_to_json(made, common_names(own_catalogue(seen))) == zlib.decompress(row.content)
    inputs = inputs_of(row)
    read = {1: seen, 2: after}[run.edition]
    assert (inputs.settings, inputs.tables) == (settings_kept(read), tables_of(read))
    assert (inputs.weather, inputs.previous) == (weather_of(nook_store), None)
    assert (inputs.as_of, inputs.effort, inputs.seed) == ("2026-03-02", "quick", 0)
    (change,) = nook_store.changes.filter(number=3)
    assert change.what == ["change.planned", {"number": 1}]


def test_stopping_ends_the_child_and_leaves_the_plan_that_stood(file_store):
    store = take_in(Carried("Nook", nook(), {}), plan=nook_plan())
    before = store.plan_id
    run = until(runs.ask(store.pk, START + timedelta(days=7), "quick"), is_running)
    assert runs.stop(run.pk)
    run.refresh_from_db()
    assert (run.state, run.plan) == (State.STOPPED, None)
    assert is_gone(run.process)
    store.refresh_from_db()
    assert store.plan_id == before
    assert models.Plan.objects.count() == 1
    assert runs.look_after() == []
    assert not runs.stop(run.pk)


def test_a_run_that_is_stopped_before_its_child_began_stays_stopped(nook_store):
    run = runs.ask(nook_store.pk, START, "quick")
    assert runs.stop(run.pk)
    run.refresh_from_db()
    assert run.state == State.STOPPED
    assert is_gone(run.process)


def test_a_child_that_is_killed_is_begun_again_twice_and_then_no_more(nook_store):
    run = runs.ask(nook_store.pk, START, "quick")
    for tries in (2, 3):
        kill_from_outside(run)
        (again,) = runs.look_after()
        run.refresh_from_db()
        assert run.state == State.LOST
        assert again.tries == tries
        assert (again.as_of, again.effort, again.seed) == (run.as_of, run.effort, run.seed)
        run = again
    kill_from_outside(run)
    assert runs.look_after() == []
    assert runs.latest_of(nook_store.pk).state == State.LOST
    assert runs.under_way_of(nook_store.pk) is None


def test_a_run_whose_child_is_dead_is_begun_again_by_who_asks_next(nook_store):
    run = runs.ask(nook_store.pk, START, "quick")
    kill_from_outside(run)
    again = runs.ask(nook_store.pk, START, "quick")
    assert again.pk != run.pk
    assert again.is_under_way
    run.refresh_from_db()
    assert run.state == State.LOST


def test_a_server_started_anew_begins_what_the_last_one_ended_and_does_not_count_it(nook_store):
    run = runs.ask(nook_store.pk, START, "quick")
    for _ in range(4):
        until(run, is_running)
        runs.stop_children()
        assert is_gone(run.process)
        forget_children()
        (run,) = runs.look_after()
        assert (run.tries, run.is_begun_again) == (1, True)


def test_a_page_says_that_planning_was_cut_off_and_begun_again(nook_store, client):
    run = until(runs.ask(nook_store.pk, START, "quick"), is_running)
    address = f"/at/{nook_store.slug}/plan/progress/"
    assert "cut off" not in client.get(address).content.decode()
    runs.stop_children()
    forget_children()
    assert "cut off, and has been begun again" in client.get(address).content.decode()
    runs.stop(runs.latest_of(nook_store.pk).pk)
    assert run.pk != runs.latest_of(nook_store.pk).pk


def test_a_child_that_outlives_its_server_is_left_to_its_work(nook_store):
    run = until(runs.ask(nook_store.pk, START, "quick"), is_running)
    child = runs._children[run.pk]
    forget_children()
    assert runs.look_after() == []
    assert runs.ask(nook_store.pk, START, "quick").pk == run.pk
    # and it is stopped by its process alone
    assert runs.stop(run.pk)
    assert child.wait(20) == -signal.SIGKILL


def test_a_silent_child_of_another_server_is_given_up(nook_store):
    long_ago = timezone.now() - runs.SILENT - timedelta(seconds=1)
    run = PlanRun.objects.create(
        holding=nook_store, as_of=START, edition=1, state=State.RUNNING, heartbeat=long_ago
    )
    (again,) = runs.look_after()
    run.refresh_from_db()
    assert run.state == State.LOST
    assert again.tries == 2


def test_the_process_of_another_program_is_not_taken_for_a_child(nook_store):
    run = PlanRun.objects.create(
        holding=nook_store,
        as_of=START,
        edition=1,
        state=State.RUNNING,
        heartbeat=timezone.now(),
        process=os.getpid(),
    )
    (again,) = runs.look_after()
    assert again.pk != run.pk


def test_a_plan_asked_for_of_a_changed_holding_follows_the_one_under_way(nook_store):
    run = PlanRun.objects.create(
        holding=nook_store, as_of=START, edition=1, state=State.RUNNING, heartbeat=timezone.now()
    )
    assert runs.ask(nook_store.pk, START).again is None
    seen = holding_of(nook_store)
    apply(nook_store.pk, text("change.settings"), seen, replace(seen, weeks=51))
    assert runs.ask(nook_store.pk, START).pk == run.pk
    assert runs.look_after() == []
    for ended in (State.FAILED, State.DONE):
        PlanRun.objects.filter(pk=run.pk).update(state=ended)
        (follower,) = runs.look_after()
        assert (follower.edition, follower.as_of, follower.effort) == (2, START, "usual")
        runs.stop(follower.pk)
        PlanRun.objects.filter(pk=run.pk).update(again=runs._wish_of(run))
    assert len(runs.look_after()) == 1


def test_a_plan_that_fails_says_why(file_store):
    weather = {"normals.csv": b"month,tmin_c,tmax_c\n"}
    holding = replace(nook(), weather_files=("normals.csv",))
    store = take_in(Carried("Nook", holding, weather))
    run = until(runs.ask(store.pk, START, "quick"), has_ended)
    assert run.state == State.FAILED
    assert all("normals.csv" in line for line in run.fault)
    assert run.fault
    store.refresh_from_db()
    assert store.plan is None
    assert runs.look_after() == []


def test_a_fault_of_the_program_is_told_and_kept_in_the_log(nook_store, file_store):
    run = until(runs.ask(nook_store.pk, START, "no such"), has_ended)
    assert run.state == State.FAILED
    assert "KeyError" in run.fault[0]
    assert "Traceback" in (file_store / "planning.log").read_text()


def test_the_log_does_not_grow_for_ever(nook_store, file_store):
    log = file_store / "planning.log"
    log.write_bytes(b"x" * (runs.LOG_BYTES + 1))
    runs.stop(runs.ask(nook_store.pk, START, "quick").pk)
    assert log.stat().st_size < runs.LOG_BYTES
    assert (file_store / "planning.before.log").stat().st_size > runs.LOG_BYTES
    log.write_bytes(b"y" * (runs.LOG_BYTES + 1))
    runs.stop(runs.ask(nook_store.pk, START, "quick").pk)
    assert {one.name for one in file_store.glob("*.log")} == {"planning.log", "planning.before.log"}


def test_a_page_answers_while_a_plan_is_made(nook_store, client):
    begun = time.monotonic()
    assert client.post("/at/nook/plan/", {"effort": "quick"}).status_code == 302
    run = runs.latest_of(nook_store.pk)
    assert client.get("/at/nook/plan/progress/").status_code == 200
    assert time.monotonic() - begun < PATIENCE_S / 4
    run.refresh_from_db()
    assert run.is_under_way
    assert client.post(f"/at/nook/plan/{run.pk}/stop/").status_code == 302
    run.refresh_from_db()
    assert run.state == State.STOPPED
