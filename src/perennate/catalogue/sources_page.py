"""Prints docs/sources.md from the table of sources: `python -m perennate.catalogue.sources_page`.

A source that no row of a table cites is left out, as it backs no figure.
"""

import csv
from collections import Counter

from perennate.catalogue.reader import load_catalogue, shipped_tables

_HEAD = """\
# Sources

Every source that a row of the catalogue's tables cites, with its key and how many rows cite it.
Printed from `src/perennate/catalogue/data/sources.csv`; do not edit this page, change the table
and run `python -m perennate.catalogue.sources_page > docs/sources.md`.

A source "from memory" or "recalled" was not seen again when its figures were written down, and
those figures carry the basis `memory`. The formulas that reckoners use are cited with their
answers.

| key | source | rows |
| --- | --- | ---: |
"""


def sources_page() -> str:
    """The whole page as Markdown, sorted by key."""
    cited = cited_rows()
    lines = [
        f"| `{source.key}` | {_cell(source.citation)} | {cited[source.key]} |\n"
        for source in sorted(load_catalogue().sources.values(), key=lambda source: source.key)
        if cited[source.key]
    ]
    return _HEAD + "".join(lines)


def cited_rows() -> Counter[str]:
    """How many rows of all shipped tables cite each source."""
    counted: Counter[str] = Counter()
    for table in shipped_tables().iterdir():
        if not table.name.endswith(".csv") or table.name == "sources.csv":
            continue
        with table.open("r", encoding="utf-8") as lines:
            for row in csv.DictReader(lines):
                counted.update({key.strip() for key in row.get("source", "").split(";") if key})
    return counted


def _cell(words: str) -> str:
    return words.replace("|", "\\|")


if __name__ == "__main__":
    print(sources_page(), end="")
