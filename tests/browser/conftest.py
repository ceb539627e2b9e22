"""A real browser on a real server, on a store of its own."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

CHROMIUM = "chromium"
PERENNATE = (sys.executable, "-m", "perennate.cli")
DAY = "2026-04-20"
"""The day on which the grower looks: nine weeks into the demo's plan."""
WAIT_MS = 20_000


@dataclass(frozen=True)
class Site:
    """A server at work and the store that it serves."""

    address: str
    store: Path

    def at(self, path: str) -> str:
        return self.address + path


def perennate(*words: str) -> None:
    """Run the command line; what it says is shown when it fails."""
    done = subprocess.run([*PERENNATE, *words], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.fixture(scope="session")
def demo_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the demo and its plan, made once however many workers ask for it."""
    shared = tmp_path_factory.getbasetemp().parent / "browser"
    shared.mkdir(exist_ok=True)
    try:
        (shared / "begun").mkdir()
    except FileExistsError:
        for _ in range(1200):
            if (shared / "ready").exists():
                break
            time.sleep(0.1)
        assert (shared / "ready").exists(), "another worker could not make the demo's store"
        return shared / "store"
    folder, out, store = shared / "demo", shared / "out", shared / "store"
    perennate("example", "demo", str(folder))
    perennate("plan", str(folder), "--out", str(out), "--effort", "quick")
    perennate(
        "import",
        str(folder),
        "--plan",
        str(out / "plan.json"),
        "--store",
        str(store),
        "--as",
        "demo",
    )
    (shared / "ready").touch()
    return store


def _free_port() -> int:
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])


@pytest.fixture(scope="session")
def serve() -> Iterator[Callable[[Path], Site]]:
    """Start a server on a store; it is stopped at the end of the session."""
    running: list[subprocess.Popen[bytes]] = []

    def start(store: Path, today: str = DAY) -> Site:
        port = _free_port()
        server = subprocess.Popen(
            [*PERENNATE, "serve", "--store", str(store), "--port", str(port)],
            env={**os.environ, "PERENNATE_TODAY": today},
            stdout=subprocess.DEVNULL,
        )
        running.append(server)
        address = f"http://127.0.0.1:{port}"
        for _ in range(300):
            try:
                with urllib.request.urlopen(f"{address}/static/perennate/mark.svg", timeout=2):
                    return Site(address, store)
            except OSError:
                assert server.poll() is None, "the server ended before it answered"
                time.sleep(0.1)
        raise AssertionError("the server did not answer within half a minute")

    yield start
    for server in running:
        server.terminate()
    for server in running:
        server.wait(20)


@pytest.fixture(scope="session")
def shown(demo_store: Path, serve: Callable[..., Site], tmp_path_factory) -> Site:  # type: ignore[no-untyped-def]
    """The demo on a server that tests only look at."""
    store = tmp_path_factory.mktemp("shown") / "store"
    shutil.copytree(demo_store, store)
    return serve(store)


@pytest.fixture
def changing(demo_store: Path, serve: Callable[..., Site], tmp_path: Path) -> Site:
    """The demo on a server of the test's own, to change as it likes."""
    shutil.copytree(demo_store, tmp_path / "store")
    return serve(tmp_path / "store")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    found = shutil.which(CHROMIUM)
    assert found, "these tests need Debian's package chromium"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield started
        started.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page at desk width that fails its test on any error in its console."""
    context = browser.new_context(viewport={"width": 1440, "height": 1000})
    opened = context.new_page()
    opened.set_default_timeout(WAIT_MS)
    said: list[str] = []
    opened.on("pageerror", lambda fault: said.append(str(fault)))
    opened.on(
        "console",
        lambda one: (
            said.append(one.text) if one.type == "error" and "status of 4" not in one.text else None
        ),
    )
    yield opened
    context.close()
    assert not said, f"the page's console said: {said}"
