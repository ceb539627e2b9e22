"""The first ten minutes: one question a screen, then a holding and its first plan.

What was typed is kept in a signed cookie until the holding is made, so that going back and forth,
a mistake, or a pause loses nothing. There is no account and no file.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any
from urllib.parse import urlencode

from django.core import signing
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from perennate.catalogue.figures import NOT_FOOD
from perennate.catalogue.model import Catalogue, Crop
from perennate.catalogue.reader import load_catalogue
from perennate.holding.first_guess import FirstAnswers, first_holding
from perennate.holding.model import Holding
from perennate.holding.place import PlaceHint, place_hint
from perennate.season_files import common_names
from perennate.server.pages.assumptions import guesses
from perennate.server.pages.first_answers import (
    BENCHES,
    LIGHTS,
    SCREENS,
    SEVERAL,
    WATERS,
    Told,
    read_all,
    read_screen,
    screen_of,
    settled,
)
from perennate.server.pages.sheet import real_today
from perennate.server.store import door
from perennate.server.store.models import Holding as StoredHolding
from perennate.server.work import runs
from perennate.terms import BadInput, text
from perennate.words import Units

_COOKIE = "begun"
_KEPT_FOR = timedelta(days=30)
_MOST_KEPT = 3900
"""Browsers keep no longer cookies than about this."""
_LONGEST = 120
_MOST_ROWS = 40
_CHECK = "check"
_ORDER = (*SCREENS, _CHECK)
_ASKS = {
    "place": "Where is it?",
    "frost": "What do you remember of frost?",
    "beds": "What beds are there?",
    "standing": "What stands there now?",
    "eats": "What do you like to eat?",
    "seeds": "What seed do you have?",
    "people": "Who eats, and who works?",
    "check": "Is this right?",
}
_ROWS = {"beds": 2, "standing": 3, "seeds": 3}
"""How many rows stand open at first on the screens that have rows."""
_COMMON = 30

Kept = dict[str, list[str]]


@dataclass(frozen=True, slots=True)
class _Reader:
    """Who reads the screens: in which units, and what crops are called."""

    units: Units
    names: Mapping[str, str]


def begin(request: HttpRequest) -> HttpResponse:
    """A screen of the first ten minutes; what it sends is kept, then the next one follows."""
    at = request.GET.get("at", "")
    screen = at if at in _ORDER else _ORDER[0]
    kept = _kept(request)
    if request.method != "POST":
        return _screen(request, screen, kept)
    if screen in SCREENS:
        kept |= _sent(request, screen)
    act = request.POST.get("act", "on")
    if len(signing.dumps(kept, compress=True)) > _MOST_KEPT:
        return _screen(request, screen, kept, too_much=True)
    if act == "back":
        return _keep(_go(_ORDER[max(0, _ORDER.index(screen) - 1)]), kept)
    if act == "more":
        return _keep(_go(screen, more="1"), kept)
    if screen == _CHECK:
        return _make(request, kept)
    if screen == "eats":
        # a name that is known becomes a tick, so that what is left to mend stands alone
        kept["eats"], kept["more"] = settled(kept, load_catalogue())
    told = read_screen(screen, kept, load_catalogue(), real_today())
    if told.wrong:
        return _keep(_screen(request, screen, kept, told), kept)
    return _keep(_go(_ORDER[_ORDER.index(screen) + 1]), kept)


def _go(screen: str, **query: str) -> HttpResponse:
    return HttpResponseRedirect(f"{reverse('begin')}?{urlencode({'at': screen, **query})}")


def _kept(request: HttpRequest) -> Kept:
    """What was typed on the screens before; nothing when there is no cookie, or not one of ours."""
    try:
        found = signing.loads(request.COOKIES.get(_COOKIE, ""), max_age=_KEPT_FOR)
    except signing.BadSignature:
        return {}
    return dict(found)


def _keep(answer: HttpResponse, kept: Kept) -> HttpResponse:
    answer.set_cookie(
        _COOKIE,
        signing.dumps(kept, compress=True),
        max_age=_KEPT_FOR,
        path=reverse("begin"),
        httponly=True,
        samesite="Strict",
    )
    return answer


def _sent(request: HttpRequest, screen: str) -> Kept:
    """The screen's fields as they were sent, without the rows left empty at the end."""
    sent = {name: request.POST.getlist(name) for name in SCREENS[screen]}
    cut = {name: [one[:_LONGEST] for one in values] for name, values in sent.items()}
    return {name: _trimmed(name, values) for name, values in cut.items()}


def _trimmed(name: str, values: list[str]) -> list[str]:
    if name in SEVERAL:
        return [one for one in values if one.strip()][: 4 * _MOST_ROWS]
    while values and not values[-1].strip():
        values = values[:-1]
    return values[:_MOST_ROWS]


def _screen(
    request: HttpRequest,
    screen: str,
    kept: Kept,
    told: Told | None = None,
    problems: Sequence[tuple[str, str]] = (),
    too_much: bool = False,
) -> HttpResponse:
    catalogue = load_catalogue()
    wrong = told.wrong if told else {}
    units: Units = "us" if kept.get("units") == ["us"] else "metric"
    names = common_names(catalogue)
    context: dict[str, Any] = {
        "sheet": _Reader(units, names),
        "screen": screen,
        "ask": _ASKS[screen],
        "number": _ORDER.index(screen) + 1,
        "screens": len(_ORDER),
        "template": f"perennate/begin_{screen}.html",
        "typed": {name: (values or [""])[0] for name, values in kept.items()},
        "wrong": wrong,
        "problems": problems,
        "too_much": too_much,
        "rows": _rows(screen, kept, wrong, "more" in request.GET),
        "lights": LIGHTS,
        "benches": BENCHES,
        "today": real_today(),
    }
    if screen == "place":
        context |= {"waters": WATERS, "water": kept.get("water", [])}
    if screen == "frost":
        context |= {"hint": _hint(kept), "wet": kept.get("wet", []), "months": range(1, 13)}
    if screen in ("standing", "eats", "seeds"):
        food = _food(catalogue)
        known = [crop for crop in catalogue.crops.values() if crop.role not in NOT_FOOD]
        context["crops"] = sorted(known, key=lambda one: one.common_name)
    if screen == "standing":
        beds = read_screen("beds", kept, catalogue, real_today())
        context["beds"] = _numbered(beds)
    if screen == "eats":
        near = told.near if told else ()
        shown = {crop.key for crop in food}
        noted = [key for key in kept.get("eats", []) if key not in shown]
        context |= {
            "noted": [catalogue.crops[key] for key in noted if key in catalogue.crops],
            "common": sorted(food[:_COMMON], key=lambda crop: crop.common_name),
            "others": sorted(food[_COMMON:], key=lambda crop: crop.common_name),
            "chosen": kept.get("eats", []),
            "others_chosen": any(crop.key in kept.get("eats", []) for crop in food[_COMMON:]),
            "near": [catalogue.crops[key] for key in near if key not in kept.get("eats", [])],
            "more": kept.get("more", []),
        }
    if screen == _CHECK:
        answers, lacking = read_all(kept, catalogue, real_today())
        if answers is None:
            return _go(lacking)
        context |= _checked(answers, catalogue, names)
    status = 422 if wrong or problems or too_much else 200
    return render(request, "perennate/begin.html", context, status=status)


def _rows(
    screen: str, kept: Kept, wrong: Mapping[str, list[str]], more: bool
) -> list[list[dict[str, Any]]]:
    """The rows of a screen that has rows: what stands in each field, and what is wrong with it."""
    if screen not in _ROWS:
        return []
    names = SCREENS[screen]
    typed = max((len(kept.get(name, ())) for name in names), default=0)
    shown = max(_ROWS[screen], typed + (3 if more else 1))
    rows = []
    for at in range(shown):
        row = []
        for name in names:
            values = kept.get(name, [])
            value = values[at] if at < len(values) else ""
            row.append({"name": name, "value": value, "wrong": wrong.get(f"{name}.{at + 1}", [])})
        rows.append(row)
    return rows


def _hint(kept: Kept) -> PlaceHint | None:
    """What is likely of a place there, to be held against what the grower knows."""
    told = read_screen("place", kept, load_catalogue(), real_today())
    if told.wrong:
        return None
    place = told.said["place"]
    return place_hint(place.latitude_deg, place.elevation_m or 0.0)


def _food(catalogue: Catalogue) -> list[Crop]:
    """Crops to eat that a plan can take, those that people eat most of first."""
    ready = [
        crop
        for crop in catalogue.crops.values()
        if crop.role not in NOT_FOOD and crop.fact("plan_ready") == "yes"
    ]
    garden = ("vegetable", "calorie-root", "calorie-vegetable", "herb")
    return sorted(
        ready, key=lambda one: (one.role not in garden, -one.value("eaten_per_year", 0.0))
    )


def _numbered(beds: Told) -> list[dict[str, Any]]:
    """The beds told before, group by group, with their numbers."""
    found, first = [], 1
    for group in beds.said["beds"]:
        last = first + group.count - 1
        found.append({"first": first, "last": last, "group": group})
        first = last + 1
    return found


def _checked(
    answers: FirstAnswers, catalogue: Catalogue, names: Mapping[str, str]
) -> dict[str, Any]:
    try:
        holding = first_holding(answers, catalogue)
    except BadInput as bad:
        return {"problems": _listed(bad), "answers": answers}
    not_planned = [key for key in holding.eats if not any(key == aim.crop for aim in holding.aims)]
    return {
        "answers": answers,
        "waters": [WATERS[one] for one in answers.water],
        "made": holding,
        "ground": sum(bed.area_m2 for bed in holding.beds),
        "guesses": guesses(holding),
        "crop_names": names,
        "not_planned": [names[key] for key in not_planned],
    }


def _listed(bad: BadInput) -> list[tuple[str, str]]:
    """Problems as the screen where each can be mended, and the sentence."""
    return [
        (screen_of(one), f"{one.column}: found {one.found}; expected {one.expected}")
        for one in bad.problems
    ]


def _make(request: HttpRequest, kept: Kept) -> HttpResponse:
    """Put the holding into the store, ask for its plan, and show what is to be done this week."""
    catalogue, today = load_catalogue(), real_today()
    answers, lacking = read_all(kept, catalogue, today)
    if answers is None:
        return _go(lacking)
    try:
        # it lives on from day to day, unlike an example that is set to a day
        begun = replace(first_holding(answers, catalogue), as_of=None)
        store = _begun(answers.name, begun)
    except BadInput as bad:
        return _screen(request, _CHECK, kept, problems=_listed(bad))
    runs.ask(store.pk, today)
    week = {"from": today.isoformat(), "to": (today + timedelta(days=6)).isoformat()}
    done = HttpResponseRedirect(f"{reverse('now', args=(store.slug,))}?{urlencode(week)}")
    done.delete_cookie(_COOKIE, path=reverse("begin"), samesite="Strict")
    return done


def _begun(name: str, holding: Holding) -> StoredHolding:
    return door.begin(name, holding, {}, text("change.begun", name=name))
