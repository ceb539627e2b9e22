"""The holding's own tables on the page: every row shown, added, changed and taken away."""

import dataclasses
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse

from perennate.holding import read_row, reading_of, row_cells, with_row, without_row
from perennate.holding.assumed import standing_assumptions
from perennate.holding.reader import MADE_OF
from perennate.holding.schema import TABLES, Field, TableSchema, table_schema
from perennate.planning.compare import compare
from perennate.planning.compare import said as said_of
from perennate.season_files import CropNames
from perennate.server.pages.answers import changed, overtaken, refused
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.server.store.door import OvertakenError, apply
from perennate.server.store.reading import laid_over, season_in
from perennate.terms import BadInput, Text, text
from perennate.words import say

Options = tuple[tuple[str, str], ...]
_TOLD = 4
"""So much of what a folded part of a form holds is told on the fold."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of a form: what it is called and holds, what may go in, what was wrong."""

    field: Field
    value: str
    options: Options
    listed: str
    wrong: tuple[str, ...]
    assumed: bool

    @property
    def called(self) -> str:
        return self.field.called


@dataclass(frozen=True, slots=True)
class Part:
    """Fields of a form that few people fill, folded away: what is told there already, in short."""

    called: str
    entries: tuple[Entry, ...]
    told: str

    @property
    def is_open(self) -> bool:
        return any(one.wrong or one.assumed for one in self.entries)


def table(request: HttpRequest, slug: str, table: str) -> HttpResponse:
    sheet, schema = open_sheet(request, slug), _schema(table)
    unsaid = _unsaid(table)
    rows = getattr(sheet.holding, table)
    shown = [(key_of(table, row, rows), _cells(row, sheet)) for row in rows if _is_here(row, sheet)]
    columns = [
        field
        for field in schema.fields
        if field.name == "key"
        or any(_is_told(field, cells.get(field.name, ""), unsaid) for _, cells in shown)
    ]
    listed = [(key, [cells.get(field.name, "") for field in columns]) for key, cells in shown]
    heads = [(field.called, field) for field in columns]
    return show(request, sheet, "table", schema.title, schema=schema, rows=listed, heads=heads)


def add(request: HttpRequest, slug: str, table: str) -> HttpResponse:
    """A form for a new row; what stands in the address fills it."""
    sheet, schema = open_sheet(request, slug), _schema(table)
    if request.method == "POST":
        return _save(request, sheet, schema, None)
    begun = {name: request.GET[name] for name in schema.names if name in request.GET}
    if sheet.bed and "bed" in schema.names:
        begun.setdefault("bed", sheet.bed)
    return _form(request, sheet, schema, None, begun)


def row(request: HttpRequest, slug: str, table: str, key: str) -> HttpResponse:
    """A row of a table: shown as a form, changed, or taken away (`act=remove`)."""
    sheet, schema = open_sheet(request, slug), _schema(table)
    found = find(sheet, table, key)
    if request.method != "POST":
        return _form(request, sheet, schema, found, _cells(found, sheet))
    if request.POST.get("act") != "remove":
        return _save(request, sheet, schema, found)
    what = text("change.removed", table=schema.title, key=_told_by(found))
    try:
        after = without_row(sheet.holding, found)
        change = apply(sheet.store.pk, what, sheet.holding, after, said=effect(sheet, after))
    except BadInput as bad:
        return refused(request, sheet, bad)
    except OvertakenError:
        return overtaken(request, sheet)
    return changed(request, sheet, change, sheet.address("table", table))


def effect(sheet: Sheet, after: Any) -> tuple[Text, ...]:
    """What a holding changed so does to the plan as it stands; nothing while there is none."""
    if sheet.standing.made is None or sheet.plan is None:
        return ()
    season = season_in(sheet.store, after)
    return said_of(compare(sheet.plan, laid_over(sheet.standing.made, season)))


def key_of(table: str, row: Any, rows: Sequence[Any]) -> str:
    """What a row is known by in an address: its key, or its number where it has none."""
    return str(getattr(row, "key", "") or rows.index(row) + 1)


def _told_by(row: Any) -> str:
    """What a row is known by in the log: its key, or what it begins with where it has none."""
    names = [field.name for field in dataclasses.fields(row)][:2]
    return str(getattr(row, "key", "") or " ".join(str(getattr(row, name)) for name in names))


def find(sheet: Sheet, table: str, key: str) -> Any:
    """The row of that key; 404 when there is none."""
    rows = getattr(sheet.holding, table)
    for one in rows:
        if key_of(table, one, rows) == key:
            return one
    raise Http404(f"no {key} in {table}")


def _schema(table: str) -> TableSchema:
    if table not in TABLES:
        raise Http404(f"no table {table}")
    return table_schema(table)


def _is_here(row: Any, sheet: Sheet) -> bool:
    place = getattr(row, "bed", None) or getattr(row, "place", None)
    return not sheet.bed or place is None or place == sheet.bed


def _cells(row: Any, sheet: Sheet) -> dict[str, str]:
    return row_cells(row, reading_of(sheet.holding))


def _save(request: HttpRequest, sheet: Sheet, schema: TableSchema, found: Any) -> HttpResponse:
    crops = CropNames(sheet.standing.season.catalogue)
    cells = {name: request.POST[name] for name in schema.names if name in request.POST}
    typed = cells
    if found is not None:
        now = _cells(found, sheet)
        typed, clashes = typed_here(cells, request.POST.get("was", ""), now)
        # what was left alone here is shown as it stands, so that saving again does not undo it
        cells = {**now, **typed}
        if clashes:
            return _form(request, sheet, schema, found, cells, clashes)
    try:
        made = read_row(
            schema.name,
            typed,
            sheet.holding,
            crops.find,
            crops.suggest,
            crops.portion,
            instead_of=found,
        )
        after = with_row(sheet.holding, made, instead_of=found)
        code = "change.added" if found is None else "change.edited"
        what = text(code, table=schema.title, key=_told_by(made))
        change = apply(sheet.store.pk, what, sheet.holding, after, said=effect(sheet, after))
    except BadInput as bad:
        if not all(one.column in schema.names for one in bad.problems):
            return refused(request, sheet, bad)
        wrong: dict[str, list[str]] = {}
        for one in bad.problems:
            sentence = f"found {one.found}; expected {one.expected}"
            wrong.setdefault(one.column or "", []).append(sentence)
        return _form(request, sheet, schema, found, cells, wrong)
    except OvertakenError:
        return overtaken(request, sheet)
    return changed(request, sheet, change, sheet.address("table", schema.name))


def typed_here(
    cells: Mapping[str, str], was: str, now: Mapping[str, str]
) -> tuple[dict[str, str], dict[str, list[str]]]:
    """The cells that were changed on this page, and those of them that were changed elsewhere too
    since it was opened: `was` is what the page was opened with, `now` what stands."""
    opened = opened_with(was, now)
    typed = {name: cell for name, cell in cells.items() if cell != opened.get(name, "")}
    clashes = {
        name: [say(text("page.changed_elsewhere", now=now.get(name) or "-"))]
        for name, cell in typed.items()
        if now.get(name, "") not in (opened.get(name, ""), cell)
    }
    return typed, clashes


def opened_with(was: str, now: Mapping[str, str]) -> dict[str, str]:
    """The cells that a page was opened with, as it sends them back; `now` where it does not."""
    try:
        return dict(json.loads(was))
    except (ValueError, TypeError):
        return dict(now)


def _form(
    request: HttpRequest,
    sheet: Sheet,
    schema: TableSchema,
    found: Any,
    cells: Mapping[str, str],
    wrong: Mapping[str, Sequence[str]] | None = None,
) -> HttpResponse:
    faults = wrong or {}
    unsaid = _unsaid(schema.name)
    key = key_of(schema.name, found, getattr(sheet.holding, schema.name)) if found else ""
    assumed = set(standing_assumptions(sheet.holding))
    entries = [
        Entry(
            field,
            cells.get(field.name, "") or (unsaid.get(field.name, "") if field.choices else ""),
            _options(field, sheet, unsaid),
            "crops" if field.refers_to == "crops" else "",
            tuple(faults.get(field.name, ())),
            f"{schema.name}.{key}.{field.name}" in assumed,
        )
        for field in schema.fields
    ]
    entries.sort(key=lambda one: not one.field.required)
    sections = dict.fromkeys(field.section for field in schema.fields if field.section)
    parts = [
        _part(name, [one for one in entries if one.field.section == name], unsaid)
        for name in sections
    ]
    crops = sorted(sheet.standing.season.catalogue.crops.values(), key=lambda one: one.common_name)
    title = f"{schema.title}: {key}" if found else f"{schema.title}: add"
    return show(
        request,
        sheet,
        "row",
        title,
        status=422 if wrong else 200,
        schema=schema,
        entries=[one for one in entries if not one.field.section],
        parts=parts,
        was=json.dumps(_cells(found, sheet)) if found else "",
        key=key,
        crops=crops,
        back=sheet.address("table", schema.name),
    )


def _part(name: str, entries: Sequence[Entry], unsaid: Mapping[str, str]) -> Part:
    told = [
        f"{one.called} {one.value}" for one in entries if _is_told(one.field, one.value, unsaid)
    ]
    shown = [*told[:_TOLD], "…"] if len(told) > _TOLD else told
    return Part(name, tuple(entries), ", ".join(shown))


def _unsaid(table: str) -> dict[str, str]:
    """What stands in a column of the table of which nobody said anything."""
    defaults = {field.name: field.default for field in dataclasses.fields(MADE_OF[table])}
    texts = {name: one for name, one in defaults.items() if isinstance(one, str)}
    return {**texts, **{name: "no" for name, one in defaults.items() if one is False}}


def _is_told(field: Field, cell: str, unsaid: Mapping[str, str]) -> bool:
    """Whether a cell says more than it would if it were left alone; columns that everybody fills
    always do."""
    return bool(cell) and not (field.section and cell == unsaid.get(field.name))


def _options(field: Field, sheet: Sheet, unsaid: Mapping[str, str]) -> Options:
    """What may be chosen from, each as what is sent and what is read."""
    if field.choices:
        needs_none = field.required or unsaid.get(field.name) in field.choices
        return tuple((one, one) for one in (*(() if needs_none else ("",)), *field.choices))
    if field.type == "boolean":
        unknown = () if unsaid.get(field.name) == "no" else (("", "not known"),)
        return (*unknown, ("no", "no"), ("yes", "yes"))
    if field.refers_to in TABLES and not field.separator:
        keys = [one.key for one in getattr(sheet.holding, field.refers_to)]
        return tuple((one, one) for one in ["", *keys])
    return ()
