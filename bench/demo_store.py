"""The demo planned, taken into a store, and served, for the benches and the pictures."""

import os
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_COMMAND = (sys.executable, "-m", "perennate.cli")


def demo_store(folder: Path, effort: str = "usual") -> Path:
    """A store in the folder with the demo under the short name demo and its plan."""
    demo, out, store = (folder / name for name in ("demo", "out", "store"))
    for words in (
        ["example", "demo", demo],
        ["plan", demo, "--out", out, "--effort", effort],
        ["import", demo, "--plan", out / "plan.json", "--store", store, "--as", "demo"],
    ):
        subprocess.run([*_COMMAND, *map(str, words)], check=True, stdout=subprocess.DEVNULL)
    return store


@contextmanager
def served(store: Path, port: int, today: str = "") -> Iterator[str]:
    """The store's address while it is served; it has answered with its first page."""
    server = subprocess.Popen(
        [*_COMMAND, "serve", "--store", str(store), "--port", str(port)],
        env={**os.environ, "PERENNATE_TODAY": today},
        stdout=subprocess.DEVNULL,
    )
    address = f"http://127.0.0.1:{port}"
    begun = time.monotonic()
    try:
        while True:
            try:
                with urllib.request.urlopen(f"{address}/", timeout=10) as answer:
                    answer.read()
                    break
            except OSError:
                if server.poll() is not None or time.monotonic() - begun > 60:
                    raise
                time.sleep(0.02)
        yield address
    finally:
        server.terminate()
        server.wait(20)
