import subprocess
import sys
from pathlib import Path

from perennate.catalogue.reader import load_catalogue
from perennate.catalogue.sources_page import sources_page

SOURCES_MD = Path(__file__).parents[2] / "docs" / "sources.md"


def test_the_page_in_the_documentation_is_what_the_table_prints() -> None:
    assert SOURCES_MD.read_text(encoding="utf-8") == sources_page()


def test_the_module_prints_the_page() -> None:
    printed = subprocess.run(
        [sys.executable, "-m", "perennate.catalogue.sources_page"],
        capture_output=True,
        check=True,
        encoding="utf-8",
        env={"PYTHONIOENCODING": "utf-8"},
    ).stdout
    assert printed == sources_page()


def test_every_source_is_on_it_once() -> None:
    page = sources_page()
    for key, source in load_catalogue().sources.items():
        assert page.count(f"| `{key}` |") == 1
        assert source.citation in page
