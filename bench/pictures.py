"""Takes the pictures of the pages that the README shows, from the demo: `make pictures`."""

import os
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from playwright.sync_api import sync_playwright

FOLDER = Path(__file__).parents[1] / "docs" / "pictures"
DAY = "2026-03-02"
_PORT = 8998
_DESK, _PHONE = (1280, 860), (360, 720)
PICTURES = (
    ("now", "/at/demo/", _PHONE),
    ("ground", "/at/demo/ground/?day=2026-07-06", _DESK),
    ("year", "/at/demo/year/", _DESK),
    ("reckoner", "/at/demo/reckon/seed-to-sow/?crop=leek&plants=100", _DESK),
    ("begin", "/begin/", _PHONE),
)


def take(folder: Path = FOLDER) -> None:
    """Plan the demo, serve it, and take each picture."""
    chromium = shutil.which("chromium")
    if chromium is None:
        sys.exit("Debian's package chromium is needed to take pictures.")
    folder.mkdir(parents=True, exist_ok=True)
    command = [sys.executable, "-m", "perennate.cli"]
    with tempfile.TemporaryDirectory() as made:
        demo, out, store = (str(Path(made) / name) for name in ("demo", "out", "store"))
        for words in (
            ["example", "demo", demo],
            ["plan", demo, "--out", out],
            ["import", demo, "--plan", f"{out}/plan.json", "--store", store, "--as", "demo"],
        ):
            subprocess.run([*command, *words], check=True, stdout=subprocess.DEVNULL)
        server = subprocess.Popen(
            [*command, "serve", "--store", store, "--port", str(_PORT)],
            env={**os.environ, "PERENNATE_TODAY": DAY},
            stdout=subprocess.DEVNULL,
        )
        try:
            address = f"http://127.0.0.1:{_PORT}"
            _wait(address)
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(
                    executable_path=chromium, args=["--no-sandbox"]
                )
                for name, path, (width, height) in PICTURES:
                    page = browser.new_page(viewport={"width": width, "height": height})
                    page.goto(address + path)
                    page.screenshot(path=folder / f"{name}.png")
                    page.close()
                browser.close()
        finally:
            server.terminate()
            server.wait(20)


def _wait(address: str) -> None:
    for _ in range(300):
        try:
            with urllib.request.urlopen(f"{address}/static/perennate/mark.svg", timeout=2):
                return
        except OSError:
            time.sleep(0.1)
    sys.exit("the server did not answer")


if __name__ == "__main__":
    take()
