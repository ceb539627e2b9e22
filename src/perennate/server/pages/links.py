"""Addresses that pages give out by the hundred, and tables whose rows lead on."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from urllib.parse import quote

from django.urls import reverse

from perennate.outputs.screen.marks import NURSERY, Href, Table
from perennate.server.pages.sheet import Sheet
from perennate.words import word

_PLAIN_IN_PATHS = "/~:@!$&'()*+,;="


def planting_href(sheet: Sheet) -> Href:
    """The address of a planting's page by its key, with what is chosen kept."""
    return _href(sheet, "planting")


def aim_href(sheet: Sheet) -> Href:
    """The address of an aim's page by its key, with what is chosen kept."""
    return _href(sheet, "aim")


def _href(sheet: Sheet, name: str) -> Href:
    stem = reverse(name, args=(sheet.slug, "-")).removesuffix("-/")
    query = sheet.query()
    return lambda key: f"{stem}{quote(key, safe=_PLAIN_IN_PATHS)}/{query}"


def bed_href(sheet: Sheet, name: str, **more: str | None) -> Callable[[str], str]:
    """The address of a page of the holding narrowed to a bed, by the bed's key."""
    stem = reverse(name, args=(sheet.slug,))
    return lambda key: stem + sheet.query(bed=key, **more)


@dataclass(frozen=True, slots=True)
class Cell:
    words: str
    href: str
    is_number: bool


def linked(
    table: Table, beds: Href, plantings: Href, what: int, numbers: Collection[int] = ()
) -> list[list[Cell]]:
    """The table's rows with its first column leading to the bed and column `what` to the
    planting; those in `numbers` hold figures."""
    bench = word("label.bench")
    rows = []
    for key, row in zip(table.keys, table.rows, strict=True):
        ends = {0: beds(NURSERY if row[0] == bench else row[0]), what: plantings(key)}
        rows.append([Cell(said, ends.get(at, ""), at in numbers) for at, said in enumerate(row)])
    return rows
