"""What tests of several folders share. This folder is on the import path (see made_plan.py)."""

from collections.abc import Iterator

import pytest

import made_plan


@pytest.fixture
def made_words() -> Iterator[None]:
    """The made plan's own sentences, known to `say` for the length of one test."""
    with made_plan.words_known():
        yield
