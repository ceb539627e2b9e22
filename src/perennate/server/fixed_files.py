"""Files that never change, kept by the browser: their address tells what they hold."""

from functools import cache
from hashlib import sha256
from pathlib import Path

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import StaticFilesStorage


class AddressedByContent(StaticFilesStorage):
    """Gives each file an address that changes with its content, so that it may be kept for ever.

    The files stay where they are; nothing is collected or copied.
    """

    def url(self, name: str | None) -> str:
        plain = super().url(name)
        mark = _digest(name) if name else ""
        return f"{plain}?v={mark}" if mark else plain


@cache
def _digest(name: str) -> str:
    found = finders.find(name)
    return sha256(Path(found).read_bytes()).hexdigest()[:12] if isinstance(found, str) else ""
