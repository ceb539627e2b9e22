"""The plants: every crop with every figure, where it comes from, and a figure of one's own."""

from collections import Counter
from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse

from perennate.catalogue.figures import FIGURES
from perennate.catalogue.model import Catalogue, Crop
from perennate.catalogue.names import plain_name, suggestions
from perennate.catalogue.page import FigureRow, crop_page
from perennate.planning.plan import AimResult, PlannedPlanting
from perennate.reckoner.registry import RECKONERS
from perennate.reckoner.told import title as title_of
from perennate.server.pages.rows import key_of
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.terms import Estimate, text

_WORDS_OF_ROLES = (
    ("vegetable", "Vegetables"),
    ("calorie-root", "Roots and tubers for energy"),
    ("calorie-vegetable", "Vegetables for energy"),
    ("pulse", "Pulses"),
    ("grain", "Grains"),
    ("oilseed", "Oil seeds"),
    ("herb", "Herbs"),
    ("cover", "Cover and compost"),
    ("insectary", "In bloom for insects"),
)


@dataclass(frozen=True, slots=True)
class Listed:
    """A crop in the list: whether a plan can take it, and what this holding has to do with it."""

    crop: Crop
    ready: bool
    grows: bool
    lots: int
    own: int


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure on the page of its crop; `own` is the number of the row that replaces it."""

    row: FigureRow
    estimate: Estimate
    own: str


def plants(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    asked = request.GET.get("q", "").strip()[:80]
    only = request.GET.get("only", "")
    catalogue = sheet.standing.season.catalogue
    found, guessed = _found(catalogue, asked)
    ours = _ours(sheet)
    listed = [_listed(ours, crop) for crop in found]
    if only == "ready":
        listed = [one for one in listed if one.ready]
    elif only == "ours":
        listed = [one for one in listed if one.grows or one.lots or one.own]
    groups = [
        (called, sorted(mine, key=lambda one: one.crop.common_name))
        for role, called in _WORDS_OF_ROLES
        if (mine := [one for one in listed if one.crop.role == role])
    ]
    context: dict[str, Any] = {"asked": asked, "only": only, "groups": groups, "guessed": guessed}
    return show(request, sheet, "plants", "Plants", count=len(listed), **context)


def plant(request: HttpRequest, slug: str, crop: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    catalogue = sheet.standing.season.catalogue
    found = catalogue.crops.get(crop)
    if found is None:
        raise Http404(f"no crop {crop}")
    page = crop_page(found, catalogue)
    rows = sheet.holding.own_values
    own = {one.figure: key_of("own_values", one, rows) for one in rows if one.crop == crop}
    figures = [
        Figure(
            row,
            Estimate(row.value, row.low, row.high, row.unit, row.source, row.basis),
            own.get(row.name, ""),
        )
        for row in page.figures
    ]
    context: dict[str, Any] = {
        "page": page,
        "crop": found,
        "figures": figures,
        "cautions": page.hazards,
        "missing": [
            (name, text(f"catalogue.figure.{name}"), FIGURES[name]) for name in page.missing
        ],
        "listed": _listed(_ours(sheet), found),
        "stands": _stands(sheet, crop),
        "crop_aims": _aims(sheet, crop),
        "lots": [one for one in sheet.holding.lots if one.crop == crop],
        "reckoners": [
            (name, title_of(name))
            for name, one in sorted(RECKONERS.items())
            if any(item.kind == "crop" for item in one.inputs)
        ],
    }
    return show(request, sheet, "plant", found.common_name, **context)


def _found(catalogue: Catalogue, asked: str) -> tuple[list[Crop], bool]:
    """Crops with what was asked for in one of their names, else those much like it."""
    wanted = plain_name(asked)
    crops = list(catalogue.crops.values())
    if not wanted:
        return crops, False
    found = [crop for crop in crops if any(wanted in name for name in _names(crop))]
    if found:
        return found, False
    return [catalogue.crops[key] for key in suggestions(catalogue, asked)], True


def _names(crop: Crop) -> tuple[str, ...]:
    names = (crop.key, crop.common_name, crop.scientific_name, crop.family, *crop.synonyms)
    return tuple(plain_name(name) for name in names)


@dataclass(frozen=True, slots=True)
class _Ours:
    """Crops that this holding grows, and how many lots and own figures it has of each."""

    grown: frozenset[str]
    lots: Counter[str]
    own: Counter[str]


def _ours(sheet: Sheet) -> _Ours:
    holding = sheet.holding
    planned = sheet.plan.plantings if sheet.plan else ()
    return _Ours(
        frozenset(
            {one.crop for one in holding.plantings}
            | {one.crop for one in holding.aims}
            | {one.crop for one in planned}
        ),
        Counter(one.crop for one in holding.lots),
        Counter(one.crop for one in holding.own_values),
    )


def _listed(ours: _Ours, crop: Crop) -> Listed:
    return Listed(
        crop,
        crop.fact("plan_ready") == "yes",
        crop.key in ours.grown,
        ours.lots[crop.key],
        ours.own[crop.key],
    )


def _stands(sheet: Sheet, crop: str) -> list[PlannedPlanting]:
    """Its plantings in the plan, narrowed to the weeks and the bed chosen."""
    if sheet.plan is None:
        return []
    first, last = sheet.season_span()
    here = [
        one
        for one in sheet.plan.plantings
        if one.crop == crop
        and (not sheet.bed or one.bed == sheet.bed)
        and one.sow <= last
        and one.ground_to >= first
    ]
    return sorted(here, key=lambda one: (one.sow, one.bed, one.start_m))


def _aims(sheet: Sheet, crop: str) -> list[AimResult]:
    return [one for one in sheet.plan.aims if one.crop == crop] if sheet.plan else []
