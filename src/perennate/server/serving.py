"""The server started on this machine: its store made or brought up to date, its port kept."""

import contextlib
import os
import secrets
import signal
import socket
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

import django

from perennate.terms import BadInput, Problem

THIS_MACHINE = "127.0.0.1"
_FIRST_PORT, _LAST_PORT = 8750, 8850
_TRIES = 6


def open_store(folder: Path, hosts: Sequence[str] = ()) -> None:
    """Make Django ready on the store in this folder, made new or brought up to date.

    BadInput when the store is of a later version of the program than this one.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not (folder / "secret").is_file():
        _keep_secret(folder / "secret")
    os.environ["PERENNATE_STORE"] = str(folder.resolve())
    if hosts:
        os.environ["PERENNATE_HOSTS"] = ",".join([*hosts, "localhost", THIS_MACHINE, "[::1]"])
    os.environ["DJANGO_SETTINGS_MODULE"] = "perennate.server.settings"
    django.setup()
    bring_up_to_date()


def bring_up_to_date() -> None:
    """Run the migrations that the store has not had yet; nothing where it has had them all.

    BadInput when it has had some that this version of the program does not know.
    """
    from django.core.management import call_command
    from django.db import DatabaseError

    for tries_left in reversed(range(_TRIES)):
        if not _is_behind():
            return
        try:
            call_command("migrate", interactive=False, verbosity=0)
        except DatabaseError:
            # another process may be bringing the same store up to date just now
            if not tries_left:
                raise
            time.sleep(0.5)


def _is_behind() -> bool:
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    loader = executor.loader
    later = sorted(
        name
        for app, name in set(loader.applied_migrations) - set(loader.disk_migrations)
        if app == "store"
    )
    if later:
        expected = "a store of this version of the program or an earlier one"
        file = str(connection.settings_dict["NAME"])
        raise BadInput([Problem(file, None, None, later[-1], expected)])
    return bool(executor.migration_plan(loader.graph.leaf_nodes()))


def _keep_secret(file: Path) -> None:
    """Write a secret that none but the owner reads, whole or not at all; the first one stays."""
    handle, staged = tempfile.mkstemp(dir=file.parent, prefix=".secret-")
    try:
        with os.fdopen(handle, "w", encoding="ascii") as out:
            out.write(secrets.token_hex(32))
        if not file.exists():
            os.replace(staged, file)
    finally:
        Path(staged).unlink(missing_ok=True)


def kept_port(folder: Path, host: str = THIS_MACHINE) -> int:
    """The port of this store: chosen once, since a browser ties bookmarks and its own store to it.

    OSError when the port that was kept is taken, for another would be another place to a browser.
    """
    file = folder / "port"
    if file.is_file():
        kept = file.read_text("ascii", errors="replace").strip()
        if kept.isascii() and kept.isdecimal() and 0 < int(kept) < 65536:
            make_sure_is_free(host, int(kept), f", which this store keeps in {file},")
            return int(kept)
    for port in range(_FIRST_PORT, _LAST_PORT):
        if _is_free(host, port):
            staged = file.with_name(f".port-{os.getpid()}")
            staged.write_text(f"{port}\n", "ascii")
            staged.replace(file)
            return port
    raise OSError(f"no port between {_FIRST_PORT} and {_LAST_PORT} is free")


def make_sure_is_free(host: str, port: int, which: str = "") -> None:
    """OSError that says so when something else listens on the port or it may not be used."""
    if not _is_free(host, port):
        raise OSError(
            f"port {port}{which} is taken or not allowed: the server may be running already. "
            "Stop what uses it, or give another with --port"
        )


def _is_free(host: str, port: int) -> bool:
    with closing(socket.socket(socket.AF_INET, socket.SOCK_STREAM)) as tried:
        if os.name != "nt":
            tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((host, port))
            # bound together with another listener is possible, listening is not
            tried.listen(1)
        except OSError:
            return False
        return True


def serve(host: str, port: int, ready: Callable[[], None]) -> None:
    """Serve until interrupted; then the children that plan are ended too.

    Runs of the planner that were lost are begun again first. What the first page is made from is
    read while the browser is still being opened.
    """
    from waitress import create_server

    from perennate.server.work import runs
    from perennate.server.wsgi import application

    server = create_server(application, host=host, port=port, threads=6, ident=None)
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _interrupted)
    try:
        runs.look_after()
        threading.Thread(target=_read_ahead, daemon=True).start()
        ready()
        server.run()
    except KeyboardInterrupt:
        pass
    finally:
        server.close()
        runs.stop_children()


def _read_ahead() -> None:
    from django.db import connection
    from django.urls import get_resolver

    from perennate.server.store.models import Holding
    from perennate.server.store.reading import standing

    # a fault in what is read is told by the page that needs it
    with contextlib.suppress(Exception):
        _ = get_resolver().url_patterns
        first = Holding.objects.select_related("plan").first()
        if first is not None:
            standing(first)
    connection.close()


def _interrupted(number: int, frame: object) -> None:
    raise KeyboardInterrupt
