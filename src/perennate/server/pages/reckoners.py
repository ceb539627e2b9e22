"""Single questions with single answers: every page is made from the question's own declaration."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.http import Http404, HttpRequest, HttpResponse

from perennate.holding.model import MonthDay
from perennate.reckoner.quantities import read_month_day
from perennate.reckoner.references import citations
from perennate.reckoner.registry import RECKONERS, Answer, Input, Reckoner, Value, run
from perennate.reckoner.told import input_help, title
from perennate.science.energy import way_of_life
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.terms import BadInput, Text
from perennate.words import Units, convert, plain
from perennate.words import show as quantity
from perennate.words.lines import day
from perennate.words.quantities import symbol

_ASKED = "ask"


@dataclass(frozen=True, slots=True)
class Asked:
    """One field of the form: what it means, what may go in, what stands in it."""

    item: Input
    called: str
    help: str
    unit: str
    value: str
    from_holding: bool
    wrong: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer as it is read: value and ends with their unit."""

    name: str
    value: str
    low: str
    high: str


def reckoners(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    listed = [(name, title(name), len(RECKONERS[name].inputs)) for name in sorted(RECKONERS)]
    return show(request, sheet, "reckoners", "Reckon", listed=listed)


def reckoner(request: HttpRequest, slug: str, name: str) -> HttpResponse:
    """A question: filled from the holding, or as the address says; answered when it can be."""
    sheet = open_sheet(request, slug)
    found = RECKONERS.get(name)
    if found is None:
        raise Http404(f"no reckoner {name}")
    known = _known(sheet, found)
    typed = {item.name: request.GET.get(item.name, "") for item in found.inputs}
    if _ASKED not in request.GET:
        typed = {key: value or known.get(key, "") for key, value in typed.items()}
    answers: list[Answer] = []
    wrong: dict[str, list[str]] = {}
    ready = all(typed[item.name].strip() for item in found.inputs if item.required)
    if ready or _ASKED in request.GET:
        answers, wrong = _run(sheet, name, typed)
        if not any(one in request.GET for one in (_ASKED, *typed)):
            wrong = {}  # nobody has asked yet
    fields = [
        Asked(
            item,
            item.name.replace("_", " "),
            input_help(name, item.name),
            symbol(item.unit),
            typed[item.name],
            bool(known.get(item.name)) and typed[item.name] == known[item.name],
            tuple(wrong.get(item.name, ())),
        )
        for item in found.inputs
    ]
    catalogue = sheet.standing.season.catalogue
    return show(
        request,
        sheet,
        "reckoner",
        title(name),
        status=422 if wrong else 200,
        fields=fields,
        given=[one for one in fields if one.value or one.item.default],
        answers=[_answered(one, sheet.units) for one in answers],
        working=_once(one for answer in answers for one in answer.working),
        cautions=_once(one for answer in answers for one in answer.cautions),
        sources=_sources(sheet, answers),
        asked_for=name,
        crops=sorted(catalogue.crops.values(), key=lambda one: one.common_name),
    )


def _run(
    sheet: Sheet, name: str, typed: Mapping[str, str]
) -> tuple[list[Answer], dict[str, list[str]]]:
    """The answers, or what is wrong with each field."""
    try:
        return run(name, typed, sheet.standing.season.catalogue), {}
    except BadInput as bad:
        wrong: dict[str, list[str]] = {}
        for one in bad.problems:
            sentence = f"found {one.found}; expected {one.expected}"
            wrong.setdefault(one.column or "", []).append(sentence)
        return [], wrong


def _known(sheet: Sheet, asked: Reckoner) -> dict[str, str]:
    """What the holding says already of the things that are asked, by the input's name."""
    holding = sheet.holding
    site, remembered = holding.site, holding.site.remembered
    bed = next((one for one in holding.beds if one.key == sheet.bed), None)
    bed = bed or (holding.beds[0] if holding.beds else None)
    known = {
        "latitude": f"{site.latitude_deg:g}",
        "elevation": f"{site.elevation_m:g}",
        "last_frost": _month_day(remembered.last_frost),
        "first_frost": _month_day(remembered.first_frost),
        "no_frost": "yes" if remembered.no_frost else "",
        "people": "; ".join(
            f"{one.sex} {one.age_years:g} {one.weight_kg:g} {way_of_life(one.activity)}"
            for one in holding.people
        ),
        "processed": "; ".join(holding.processes),
    }
    if bed is not None:
        known["width"] = quantity(bed.width_m, "m", sheet.units)
        known["length"] = quantity(bed.length_m, "m", sheet.units)
        known["soil"] = bed.soil
    inputs = {item.name: item for item in asked.inputs}
    return {
        name: value
        for name, value in known.items()
        if value and name in inputs and (value in inputs[name].choices or not inputs[name].choices)
    }


def _month_day(when: MonthDay | None) -> str:
    return day(date(2000, *when)) if when else ""


def _answered(answer: Answer, units: Units) -> Answered:
    def said(value: Value | None, *, alone: bool) -> str:
        if value is None:
            return ""
        if isinstance(value, date):
            return day(value)
        if isinstance(value, str):
            return _month_day(read_month_day(value)) if answer.unit == "month-day" else value
        if alone:
            return plain(convert(float(value), answer.unit, units)[0])
        return quantity(float(value), answer.unit, units)

    value = said(answer.value, alone=False)
    if answer.low == answer.high:
        return Answered(answer.name, value, "", "")
    low, high = said(answer.low, alone=True), said(answer.high, alone=True)
    return Answered(answer.name, value, low, high)


def _sources(sheet: Sheet, answers: Sequence[Answer]) -> list[str]:
    """Where answers come from, in full, each once; the holding's own records under their name."""
    own = {one.estimate.source for one in sheet.holding.own_values}
    keys = dict.fromkeys(key for answer in answers for key in answer.sources)
    catalogue = sheet.standing.season.catalogue
    full = [one for key in keys for one in ([key] if key in own else citations([key], catalogue))]
    return list(dict.fromkeys(full))


def _once(texts: Iterable[Text]) -> tuple[Text, ...]:
    """Each sentence once, in order."""
    return tuple(dict.fromkeys(texts))
