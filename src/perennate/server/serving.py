"""The server started on this machine: its store made or brought up to date, its port kept."""

import os
import secrets
import signal
import socket
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

import django
from django.core.management import call_command

THIS_MACHINE = "127.0.0.1"
_FIRST_PORT, _LAST_PORT = 8750, 8850


def open_store(folder: Path, hosts: Sequence[str] = ()) -> None:
    """Make Django ready on the store in this folder, made new or brought up to date."""
    folder.mkdir(parents=True, exist_ok=True)
    secret = folder / "secret"
    if not secret.exists():
        handle = os.open(secret, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(32))
    os.environ["PERENNATE_STORE"] = str(folder.resolve())
    if hosts:
        os.environ["PERENNATE_HOSTS"] = ",".join([*hosts, "localhost", THIS_MACHINE, "[::1]"])
    os.environ["DJANGO_SETTINGS_MODULE"] = "perennate.server.settings"
    django.setup()
    call_command("migrate", interactive=False, verbosity=0)


def kept_port(folder: Path, host: str = THIS_MACHINE) -> int:
    """The port of this store: chosen once, since a browser ties bookmarks and its own store to it.

    OSError when the port that was kept is taken, for another would be another place to a browser.
    """
    file = folder / "port"
    if file.is_file():
        port = int(file.read_text("ascii"))
        if not _is_free(host, port):
            raise OSError(
                f"port {port}, which this store keeps in {file}, is taken: the server may be "
                "running already. Stop what uses it, or give another with --port"
            )
        return port
    for port in range(_FIRST_PORT, _LAST_PORT):
        if _is_free(host, port):
            file.write_text(f"{port}\n", "ascii")
            return port
    raise OSError(f"no port between {_FIRST_PORT} and {_LAST_PORT} is free")


def _is_free(host: str, port: int) -> bool:
    with closing(socket.socket(socket.AF_INET, socket.SOCK_STREAM)) as tried:
        if os.name != "nt":
            tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((host, port))
        except OSError:
            return False
        return True


def serve(host: str, port: int, ready: Callable[[], None]) -> None:
    """Serve until interrupted. Runs of the planner that were lost are started again first."""
    from waitress import create_server

    from perennate.server.work import runs
    from perennate.server.wsgi import application

    server = create_server(application, host=host, port=port, threads=6, ident=None)
    signal.signal(signal.SIGTERM, _interrupted)
    runs.look_after()
    ready()
    try:
        server.run()
    finally:
        server.close()
        runs.stop_children()


def _interrupted(number: int, frame: object) -> None:
    raise KeyboardInterrupt
