"""The holding itself: its settings, what is assumed, its weather files, its way in and out."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import PurePath

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.text import slugify
from django.views.decorators.http import require_POST

from perennate.holding import confirmed, standing_assumptions
from perennate.holding.schema import TABLES, table_schema
from perennate.holding.setting_fields import (
    SECTIONS,
    setting_called,
    setting_cells,
    setting_fields,
)
from perennate.season_files import season_of
from perennate.server.pages.answers import changed, overtaken, refused
from perennate.server.pages.assumptions import guesses, setting_read
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.server.store import carry
from perennate.server.store.door import OvertakenError, apply
from perennate.terms import BadInput, Problem, Text, text
from perennate.words import show as quantity
from perennate.words.say import crop_name

CALLED = {
    "site": "Where",
    "remembered": "Remembered weather",
    "plan": "Span of the plan",
    "people": "Who eats",
    "food": "Food",
    "nursery": "Nursery",
    "limits": "What there is to draw on",
    "habits": "Habits",
    "reading": "Reading and writing",
}
_NORMALS = "normals.csv"


@dataclass(frozen=True, slots=True)
class Said:
    """A setting in plain words."""

    called: str
    value: str
    assumed: bool


def holding(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    tables = [(name, table_schema(name), len(getattr(sheet.holding, name))) for name in TABLES]
    return show(
        request,
        sheet,
        "holding",
        "Holding",
        sections=_sections(sheet),
        tables=tables,
        guesses=guesses(sheet.holding),
        count=len(standing_assumptions(sheet.holding)),
        weather_files=sheet.holding.weather_files,
        climate=sheet.standing.season.climate,
    )


def _sections(sheet: Sheet) -> list[tuple[str, list[Said]]]:
    """The settings that are said, section by section."""
    cells = setting_cells(sheet.holding)
    assumed = set(standing_assumptions(sheet.holding))
    found: list[tuple[str, list[Said]]] = []
    for section in SECTIONS:
        if section == "people":
            found += _people(sheet, assumed)
            continue
        said = [
            Said(setting_called(name), _read(sheet, name, cells[name]), name in assumed)
            for name in (field.name for field in setting_fields(section))
            if cells.get(name)
        ]
        found.append((CALLED[section], said))
    return found


def _people(sheet: Sheet, assumed: set[str]) -> list[tuple[str, list[Said]]]:
    people = []
    for number, one in enumerate(sheet.holding.people, 1):
        guessed = any(name.startswith(f"people.{number}.") for name in assumed)
        weight = quantity(one.weight_kg, "kg", sheet.units)
        told = f"{one.sex}, {one.age_years:g} years, {weight}, activity {one.activity:g}"
        people.append(Said(one.name or f"person {number}", told, guessed))
    return [(CALLED["people"], people)]


def _read(sheet: Sheet, name: str, value: str) -> str:
    """A setting as it is read, crops by their names."""
    if name in ("food.eats", "food.processes"):
        return ", ".join(crop_name(key, sheet.names) for key in value.split("; "))
    if name == "nursery.container":
        return crop_name(value, sheet.names)
    return setting_read(name, value, sheet.units)


@require_POST
def confirm(request: HttpRequest, slug: str) -> HttpResponse:
    """What was assumed under these names is so: the marks are taken away."""
    sheet = open_sheet(request, slug)
    assumed = set(sheet.holding.assumed)
    names = [name for name in request.POST.getlist("name") if name in assumed]
    if not names:
        return changed(request, sheet, None, sheet.address("holding"))
    after = sheet.holding
    for name in names:
        after = confirmed(after, name)
    many = text("change.confirmed_many", count=len(names))
    what = text("change.confirmed", what=names[0]) if len(names) == 1 else many
    try:
        change = apply(sheet.store.pk, what, sheet.holding, after)
    except OvertakenError:
        return overtaken(request, sheet)
    return changed(request, sheet, change, sheet.address("holding"))


@require_POST
def weather(request: HttpRequest, slug: str) -> HttpResponse:
    """Add a weather file that was sent, or take one away (`act=remove`, `name`)."""
    sheet = open_sheet(request, slug)
    kept = carry.weather_content(sheet.store)
    if request.POST.get("act") == "remove":
        name = request.POST.get("name", "")
        if name not in kept:
            raise Http404(f"no weather file {name}")
        del kept[name]
        what = text("change.weather_removed", name=name)
    else:
        sent = request.FILES.get("file")
        if sent is None or not sent.name:
            return refused(request, sheet, _no_file("a weather file"))
        name = _weather_name(sent.name)
        kept[name] = sent.read()
        what = text("change.weather_added", name=name)
    return _with_weather(request, sheet, kept, what)


def _with_weather(
    request: HttpRequest, sheet: Sheet, kept: Mapping[str, bytes], what: Text
) -> HttpResponse:
    after = replace(sheet.holding, weather_files=tuple(kept))
    try:
        season_of(after, kept)
        change = apply(sheet.store.pk, what, sheet.holding, after, weather=kept)
    except BadInput as bad:
        return refused(request, sheet, bad)
    except OvertakenError:
        return overtaken(request, sheet)
    return changed(request, sheet, change, sheet.address("holding"))


def _weather_name(sent: str) -> str:
    """A plain name that a folder finds by itself: normals.csv, or one that begins as weather."""
    path = PurePath(sent.replace("\\", "/"))
    if path.name.casefold() == _NORMALS:
        return _NORMALS
    stem = slugify(path.stem)[:60] or "file"
    stem = stem if stem.startswith("weather") else f"weather-{stem}"
    return f"{stem}.csv"


@require_POST
def take_in_over(request: HttpRequest, slug: str) -> HttpResponse:
    """Put a file in the place of this whole holding; one change, which can be taken back."""
    sheet = open_sheet(request, slug)
    sent = request.FILES.get("file")
    if sent is None or not sent.name:
        return refused(request, sheet, _no_file("a .zip of a holding or an .xlsx"))
    edition = sheet.store.edition
    try:
        weather = carry.weather_content(sheet.store)
        carried = carry.read_uploaded(sent.name, sent.read(), weather)
        taken = carry.take_in(carried, slug)
    except BadInput as bad:
        return refused(request, sheet, bad)
    # a file that says what is here already changes nothing
    change = sheet.store.changes.first() if taken.edition != edition else None
    return changed(request, sheet, change, sheet.address("holding"))


def _no_file(expected: str) -> BadInput:
    return BadInput([Problem("file", None, "file", "nothing", expected)])
