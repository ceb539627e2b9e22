"""Prints docs/sources.md from the table: `python -m perennate.catalogue.sources_page`."""

from perennate.catalogue.reader import load_catalogue

_HEAD = """\
# Sources

The sources of the catalogue's tables, each with the key by which rows cite it. Printed from
`src/perennate/catalogue/data/sources.csv`; do not edit this page, change the table and run
`python -m perennate.catalogue.sources_page > docs/sources.md`.

A source "from memory" or "recalled" was not seen again when its figures were written down, and
those figures carry the basis `memory`. The formulas that reckoners use are cited with their
answers.

| key | source |
| --- | --- |
"""


def sources_page() -> str:
    """The whole page as Markdown, sorted by key."""
    sources = load_catalogue().sources
    rows = (f"| `{key}` | {_cell(sources[key].citation)} |\n" for key in sorted(sources))
    return _HEAD + "".join(rows)


def _cell(words: str) -> str:
    return words.replace("|", "\\|")


if __name__ == "__main__":
    print(sources_page(), end="")
