"""The folder of documentation, and a copy of the tables that a test may spoil."""

import shutil
from pathlib import Path

import pytest

from perennate.catalogue.reader import shipped_tables

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture
def documentation() -> str:
    return (DOCS / "catalogue.md").read_text(encoding="utf-8")


@pytest.fixture
def tables(tmp_path: Path) -> Path:
    """A copy of the shipped tables."""
    shutil.copytree(str(shipped_tables()), tmp_path / "data")
    return tmp_path / "data"
