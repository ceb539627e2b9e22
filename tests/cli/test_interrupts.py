"""Interrupted, the command leaves no half-written file."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import made_plan
from perennate.holding import write_holding
from perennate.season_files import put_in_place

SLOW_PLANNER = """
import sys, time, types
begun = sys.argv.pop()
def make_plan(*given, **more):
    open(begun, "w").close()
    time.sleep(60)
sys.modules["perennate.planning.season"] = types.SimpleNamespace(make_plan=make_plan)
from perennate.cli import app
app()
"""


def test_an_interrupt_while_planning_leaves_nothing_behind(tmp_path: Path) -> None:
    write_holding(made_plan.made_holding(), tmp_path / "hof")
    begun, out = tmp_path / "begun", tmp_path / "out"
    arguments = ["plan", str(tmp_path / "hof"), "--out", str(out), str(begun)]
    running = subprocess.Popen(
        [sys.executable, "-c", SLOW_PLANNER, *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    for _ in range(600):
        if begun.exists() or running.poll() is not None:
            break
        time.sleep(0.05)
    running.send_signal(signal.SIGINT)
    told, complained = running.communicate(timeout=30)
    assert running.returncode == 1
    assert told == ""
    assert complained == "Interrupted; nothing was written.\n"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["begun", "hof"]


def test_an_interrupt_while_writing_leaves_the_old_files_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    put_in_place({"a": b"old a", "b": b"old b"}, out)
    written = 0

    def interrupted(_: int) -> None:
        nonlocal written
        written += 1
        if written == 2:
            raise KeyboardInterrupt

    monkeypatch.setattr("perennate.season_files.os.fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        put_in_place({"a": b"new a", "b": b"new b"}, out)
    assert {path.name: path.read_bytes() for path in out.iterdir()} == {
        "a": b"old a",
        "b": b"old b",
    }
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_an_interrupt_between_the_moves_waits_until_all_are_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    move = Path.replace

    def interrupting(self: Path, target: Path) -> Path:
        signal.raise_signal(signal.SIGINT)
        return move(self, target)

    monkeypatch.setattr(Path, "replace", interrupting)
    out = tmp_path / "out"
    with pytest.raises(KeyboardInterrupt):
        put_in_place({"a": b"a", "b": b"b"}, out)
    assert sorted(path.name for path in out.iterdir()) == ["a", "b"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_a_reader_that_goes_away_is_no_fault_to_shout_about() -> None:
    running = subprocess.Popen(
        [sys.executable, "-m", "perennate.cli", "reckon", "--list", "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert running.stdout is not None
    running.stdout.close()
    assert running.stderr is not None
    assert running.stderr.read() == b""
    assert running.wait(timeout=60) == 1
    running.stderr.close()


def test_other_files_of_the_folder_stay(tmp_path: Path) -> None:
    out = tmp_path / "deep" / "out"
    put_in_place({"a": b"1"}, out)
    (out / "notes.txt").write_text("mine")
    put_in_place({"a": b"2"}, out)
    assert (out / "notes.txt").read_text() == "mine"
    assert (out / "a").read_bytes() == b"2"
