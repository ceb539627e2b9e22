"""Takes the pictures of the pages that the README shows, from the demo: `make pictures`."""

import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from demo_store import demo_store, served

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
    with tempfile.TemporaryDirectory() as made:
        store = demo_store(Path(made))
        with served(store, _PORT, DAY) as address, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
            for name, path, (width, height) in PICTURES:
                page = browser.new_page(viewport={"width": width, "height": height})
                page.goto(address + path)
                page.screenshot(path=folder / f"{name}.png")
                page.close()
            browser.close()


if __name__ == "__main__":
    take()
