"""What tests of the store and its pages share: made holdings, in the test database or in a file."""

import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection
from made_nook import nook

import made_plan
from perennate.server.store import models
from perennate.server.store.carry import Carried, take_in
from perennate.server.store.reading import forget
from perennate.server.work import runs

SLUG = "hof"
TODAY = date(2026, 3, 30)

Serve = Callable[..., str]


@pytest.fixture(autouse=True)
def a_day_of_its_own(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Today is a day of the made plan; nothing read by another test is remembered."""
    monkeypatch.setenv("PERENNATE_TODAY", TODAY.isoformat())
    forget()
    yield
    forget()


@pytest.fixture
def made(db: None, made_words: None) -> models.Holding:
    """The made holding in the test database, with its made plan kept and standing."""
    holding = made_plan.made_holding()
    return take_in(Carried(holding.site.name, holding, {}), SLUG, made_plan.made_plan())


@pytest.fixture(scope="session")
def empty_store(
    tmp_path_factory: pytest.TempPathFactory,
    django_db_setup: None,
    django_db_blocker: pytest.FixtureRequest,
) -> Path:
    """The file of a store in which nothing is yet, to be copied."""
    folder = tmp_path_factory.mktemp("empty")
    with django_db_blocker.unblock(), Connected(folder):  # type: ignore[attr-defined]
        call_command("migrate", interactive=False, verbosity=0)
    return folder / "perennate.sqlite3"


@pytest.fixture
def file_store(
    tmp_path: Path,
    empty_store: Path,
    settings: pytest.FixtureRequest,
    django_db_blocker: pytest.FixtureRequest,
) -> Iterator[Path]:
    """A store of files, which this process, its threads and its children all open; its folder.

    Within the test the database is this one, with true transactions.
    """
    folder = tmp_path / "store"
    folder.mkdir()
    shutil.copy(empty_store, folder / "perennate.sqlite3")
    settings.STORE = folder  # type: ignore[attr-defined]
    with django_db_blocker.unblock(), Connected(folder):  # type: ignore[attr-defined]
        yield folder
        runs.stop_children()


class Connected:
    """Within it, the database of this process is the one in this folder."""

    def __init__(self, folder: Path) -> None:
        self._name = str(folder / "perennate.sqlite3")

    def __enter__(self) -> None:
        connection.close_if_unusable_or_obsolete()
        self._kept = connection.connection, dict(connection.settings_dict)
        connection.connection = None
        connection.settings_dict["NAME"] = self._name

    def __exit__(self, *raised: object) -> None:
        connection.close()
        connection.connection, said = self._kept
        connection.settings_dict.update(said)


@pytest.fixture
def nook_store(file_store: Path) -> models.Holding:
    """The nook in a store of files, without a plan."""
    holding = nook()
    return take_in(Carried(holding.site.name, holding, {}))


def free_port() -> int:
    """A port that nothing uses; others than those that stores choose from."""
    with closing(socket.socket()) as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])


@pytest.fixture
def served() -> Iterator[Serve]:
    """Serves the store in a folder by a process of its own; gives the address when it answers."""
    children: list[subprocess.Popen[str]] = []

    def serve(folder: Path, *options: str, **environment: str) -> str:
        command = [sys.executable, "-m", "perennate.cli", "serve", "--store", str(folder)]
        if "--port" not in options:
            command += ["--port", str(free_port())]
        child = subprocess.Popen(
            [*command, *options],
            env={**os.environ, **environment},
            stdout=subprocess.PIPE,
            text=True,
        )
        children.append(child)
        assert child.stdout is not None
        line = child.stdout.readline()
        assert "http://" in line, line
        return line[line.index("http://") :].split()[0].rstrip("/.")

    yield serve
    for child in children:
        if child.poll() is None:
            child.send_signal(signal.SIGINT)
            child.wait(20)
        if child.stdout is not None:
            child.stdout.close()
