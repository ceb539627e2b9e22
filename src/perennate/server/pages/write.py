"""Writing down what was done or seen: at once, with the details later."""

from collections import Counter
from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse

from perennate.holding import read_row, reading_of, row_cells, with_row
from perennate.holding.model import Record
from perennate.holding.schema import table_schema
from perennate.season_files import CropNames
from perennate.server.pages.answers import changed, overtaken, refused
from perennate.server.pages.rows import Entry, effect
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.server.store.door import OvertakenError, apply
from perennate.terms import BadInput, text

FIELDS = ("kind", "day", "place", "crop", "amount", "unit", "minutes", "who", "note")
_PLACES = ("nursery", "store", "holding")
_FIRST_KINDS = 8
_LAST = 12


def write(request: HttpRequest, slug: str) -> HttpResponse:
    """A form that opens on the place and crop last used; `again` repeats a record today."""
    sheet = open_sheet(request, slug)
    if request.method != "POST":
        return _form(request, sheet, _begun(request, sheet))
    cells = {name: request.POST.get(name, "").strip() for name in FIELDS}
    if "again" in request.POST:
        last = _record(sheet, request.POST["again"])
        if last is not None:
            again = replace(last, day=sheet.today, job="", part=False)
            cells = _cells(sheet, again)
    try:
        return _keep(request, sheet, cells)
    except BadInput as bad:
        if any(one.column not in FIELDS for one in bad.problems):
            return refused(request, sheet, bad)
        return _form(request, sheet, cells, bad)
    except OvertakenError:
        return overtaken(request, sheet)


def _keep(request: HttpRequest, sheet: Sheet, cells: dict[str, str]) -> HttpResponse:
    crops = CropNames(sheet.standing.season.catalogue)
    ask = (crops.find, crops.suggest, crops.portion)
    made = read_row("records", {**cells, "key": ""}, sheet.holding, *ask)
    after = with_row(sheet.holding, made)
    what = text("change.written", kind=made.kind, day=made.day)
    change = apply(sheet.store.pk, what, sheet.holding, after, said=effect(sheet, after))
    return changed(request, sheet, change, sheet.address("write"))


def _begun(request: HttpRequest, sheet: Sheet) -> dict[str, str]:
    """What the form opens with: what the address says, else place, crop and worker last used."""
    records = sheet.holding.records
    last = _cells(sheet, records[-1]) if records else {}
    kept = {name: last.get(name, "") for name in ("place", "crop", "who")}
    if sheet.bed:
        kept["place"] = sheet.bed
    asked = {name: request.GET[name] for name in FIELDS if name in request.GET}
    return {"day": sheet.today.isoformat(), **kept, **asked}


def _cells(sheet: Sheet, record: Record) -> dict[str, str]:
    said = row_cells(record, reading_of(sheet.holding))
    return {name: said.get(name, "") for name in FIELDS}


def _record(sheet: Sheet, key: str) -> Record | None:
    return next((one for one in sheet.holding.records if one.key == key), None)


def _form(
    request: HttpRequest, sheet: Sheet, cells: dict[str, str], bad: BadInput | None = None
) -> HttpResponse:
    wrong: dict[str, list[str]] = {}
    for one in bad.problems if bad else ():
        sentence = f"found {one.found}; expected {one.expected}"
        wrong.setdefault(one.column or "", []).append(sentence)
    kinds = _kinds(sheet)
    context: dict[str, Any] = {
        "entries": [_entry(sheet, name, cells, wrong) for name in FIELDS if name != "kind"],
        "kind": cells.get("kind", ""),
        "kinds": kinds[:_FIRST_KINDS],
        "other_kinds": kinds[_FIRST_KINDS:],
        "open_details": any(name in wrong for name in FIELDS[4:])
        or any(cells.get(name) for name in ("amount", "note")),
        "wrong_kind": wrong.get("kind", ()),
        "last": list(reversed(sheet.holding.records[-_LAST:])),
        "crops": sorted(
            sheet.standing.season.catalogue.crops.values(), key=lambda one: one.common_name
        ),
        "known_places": _places(sheet),
        "back": sheet.address("write"),
    }
    status = 422 if bad else 200
    return show(request, sheet, "write", "Write", status=status, **context)


def _entry(sheet: Sheet, name: str, cells: dict[str, str], wrong: dict[str, list[str]]) -> Entry:
    listed = {"place": "spots", "crop": "crops", "unit": "units"}.get(name, "")
    field = table_schema("records").field(name)
    return Entry(field, cells.get(name, ""), (), listed, tuple(wrong.get(name, ())), False)


def _kinds(sheet: Sheet) -> list[str]:
    """The kinds of record, those most used here first."""
    used = Counter(one.kind for one in sheet.holding.records)
    known = table_schema("records").field("kind").choices
    return sorted(known, key=lambda kind: -used[kind])


def _places(sheet: Sheet) -> list[str]:
    holding = sheet.holding
    tables = (holding.beds, holding.trees, holding.limbs, holding.lots)
    return [*(row.key for table in tables for row in table), *_PLACES]
