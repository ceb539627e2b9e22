"""All settings of the holding as one form, made from their declarations."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse

from perennate.holding import standing_assumptions, with_settings
from perennate.holding.schema import Field
from perennate.holding.setting_fields import (
    MONTH_DAYS,
    SECTIONS,
    person_field,
    setting_called,
    setting_cells,
    setting_fields,
)
from perennate.reckoner.quantities import UnreadableError, read_month_day
from perennate.season_files import CropNames
from perennate.server.pages.answers import changed, overtaken
from perennate.server.pages.assumptions import setting_read
from perennate.server.pages.holding import CALLED
from perennate.server.pages.rows import Entry, effect, opened_with, typed_here
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.server.store.door import OvertakenError, apply
from perennate.terms import BadInput, text
from perennate.words import say

_MOST_PEOPLE = 60
_CONTAINER = "nursery.container"
_ALWAYS_SAID = ("reading.units", "habits.rotation_by", "habits.watering")
"""Choices that always stand in the settings, so that nothing is none of them."""


@dataclass(frozen=True, slots=True)
class Setting(Entry):
    """A setting as a field of the form."""

    @property
    def called(self) -> str:
        return setting_called(self.field.name)


@dataclass(frozen=True, slots=True)
class Part:
    """A section of the form, or the block of one of the people (`person`, 0 where it is none)."""

    called: str
    entries: tuple[Setting, ...]
    person: int = 0
    is_new: bool = False


def settings(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    now = _cells(sheet)
    if request.method != "POST":
        return _form(request, sheet, now, len(sheet.holding.people) + 1)
    typed = {name: request.POST.get(name, "").strip() for name in request.POST if "." in name}
    gone = {int(one) for one in request.POST.getlist("gone") if one.isdecimal()}
    typed, clashes = _typed_here(typed, request.POST.get("was", ""), now, bool(gone))
    blocks = _blocks(typed)
    if clashes:
        return _form(request, sheet, {**now, **typed}, max([*blocks, 0]), clashes)
    crops = CropNames(sheet.standing.season.catalogue)
    changes, numbers = _changes(sheet, now, typed, [one for one in blocks if one not in gone])
    try:
        after = with_settings(sheet.holding, changes, crops.find, crops.suggest)
        what = text("change.settings")
        change = apply(sheet.store.pk, what, sheet.holding, after, said=effect(sheet, after))
    except BadInput as bad:
        shown = {**now, **typed}
        return _form(request, sheet, shown, max([*blocks, 0]), _wrong(bad, numbers))
    except OvertakenError:
        return overtaken(request, sheet)
    return changed(request, sheet, change, sheet.address("holding"))


def _cells(sheet: Sheet) -> dict[str, str]:
    """Every setting as it stands in the form."""
    cells = setting_cells(sheet.holding)
    return {
        name: setting_read(name, value) if name in MONTH_DAYS else value
        for name, value in cells.items()
    }


def _typed_here(
    typed: Mapping[str, str], was: str, now: Mapping[str, str], gone: bool
) -> tuple[dict[str, str], dict[str, list[str]]]:
    """What was changed on this page, and what of it was changed elsewhere too since it was opened.

    People are known by their number alone, so they are taken together: as they stand unless one of
    them was changed here (`gone`: or taken out), and then all of them as they were sent.
    """
    here, clashes = typed_here(typed, was, now)
    plain = {name: value for name, value in here.items() if not _is_of_people(name)}
    wrong = {name: lines for name, lines in clashes.items() if not _is_of_people(name)}
    stand = {name: value for name, value in now.items() if _is_of_people(name) and value}
    if not gone and len(plain) == len(here):
        return {**plain, **stand}, wrong
    opened = opened_with(was, now)
    if {name: value for name, value in opened.items() if _is_of_people(name) and value} != stand:
        wrong["people"] = [say(text("page.people_changed_elsewhere"))]
    sent = {name: value for name, value in typed.items() if _is_of_people(name)}
    return {**plain, **sent}, wrong


def _is_of_people(name: str) -> bool:
    return name.startswith("people.")


def _blocks(typed: Mapping[str, str]) -> list[int]:
    """The numbers of the blocks of people in which something is typed."""
    found = {
        int(name.split(".")[1])
        for name, value in typed.items()
        if value and name.startswith("people.") and name.split(".")[1].isdecimal()
    }
    return sorted(number for number in found if 0 < number <= _MOST_PEOPLE)


def _changes(
    sheet: Sheet, now: Mapping[str, str], typed: Mapping[str, str], blocks: Sequence[int]
) -> tuple[dict[str, Any], dict[int, int]]:
    """What differs from what stands, and the block of each of the people by their number.

    Only what differs is handed on, so that what was left alone stays assumed.
    """
    fields = [
        field for section in SECTIONS if section != "people" for field in setting_fields(section)
    ]
    changes: dict[str, Any] = {
        field.name: _value(field, typed[field.name])
        for field in fields
        if field.name in typed and typed[field.name] != now.get(field.name, "")
    }
    of_people = setting_fields("people")
    as_before = list(blocks) == list(range(1, len(sheet.holding.people) + 1))
    for number in blocks if as_before else ():
        for field in (person_field(one, number) for one in of_people):
            value = typed.get(field.name, "")
            if value != now.get(field.name, ""):
                changes[field.name] = value
    if not as_before:
        changes["people"] = [
            {
                field.name.partition(".")[2]: value
                for field in of_people
                if (value := typed.get(person_field(field, number).name, ""))
            }
            for number in blocks
        ]
    return changes, dict(enumerate(blocks, 1))


def _value(field: Field, typed: str) -> Any:
    if field.type == "boolean":
        return {"yes": True, "no": False}.get(typed, typed)
    if field.name in MONTH_DAYS and typed:
        try:
            month, day = read_month_day(typed)
        except UnreadableError:
            return typed
        return f"{month:02}-{day:02}"
    return typed


def _wrong(bad: BadInput, numbers: Mapping[int, int]) -> dict[str, list[str]]:
    """Problems by the name of their field; a list of several is one field."""
    wrong: dict[str, list[str]] = {}
    for one in bad.problems:
        parts = (one.column or "").split(".")
        if parts[0] == "people" and len(parts) > 2 and parts[1].isdecimal():
            parts[1] = str(numbers.get(int(parts[1]), int(parts[1])))
            parts = parts[:3]
        else:
            parts = parts[:2]
        sentence = f"found {one.found}; expected {one.expected}"
        wrong.setdefault(".".join(parts), []).append(sentence)
    return wrong


def _form(
    request: HttpRequest,
    sheet: Sheet,
    cells: Mapping[str, str],
    blocks: int,
    wrong: Mapping[str, Sequence[str]] | None = None,
) -> HttpResponse:
    faults = dict(wrong or {})
    assumed = set(standing_assumptions(sheet.holding))

    def entry(field: Field) -> Setting:
        told = tuple(faults.pop(field.name, ()))
        guessed = field.name in assumed
        listed = "crops" if field.name in ("food.eats", "food.processes") else ""
        value = cells.get(field.name, "")
        return Setting(field, value, _options(field, sheet), listed, told, guessed)

    parts: list[Part] = []
    for section in SECTIONS:
        fields = setting_fields(section)
        if section != "people":
            parts.append(Part(CALLED[section], tuple(entry(field) for field in fields)))
            continue
        for number in range(1, blocks + 1):
            entries = tuple(entry(person_field(field, number)) for field in fields)
            is_new = number > len(sheet.holding.people)
            called = "One more who eats" if is_new else f"Who eats: person {number}"
            parts.append(Part(called, entries, number, is_new))
    context: dict[str, Any] = {"parts": parts, "others_wrong": faults}
    context["was"] = json.dumps(_cells(sheet))
    context["back"] = sheet.address("holding")
    status = 422 if wrong else 200
    return show(request, sheet, "holding_settings", "Settings", status=status, **context)


def _options(field: Field, sheet: Sheet) -> tuple[tuple[str, str], ...]:
    if field.type == "boolean":
        return (("no", "no"), ("yes", "yes"))
    if field.name == _CONTAINER:
        containers = sheet.standing.season.catalogue.containers.values()
        return tuple((one.key, one.name) for one in containers)
    if not field.choices:
        return ()
    some = tuple((one, one) for one in field.choices)
    return some if field.name in _ALWAYS_SAID else (("", "–"), *some)
