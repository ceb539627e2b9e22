"""What to get, make or draw: by when, how much, what is there, and why."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from perennate.planning.explain import Explanation, explain
from perennate.planning.plan import Need
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.words import word
from perennate.words.lines import span as days

KINDS = (
    *("seed", "sets", "compost", "mix", "containers", "cover"),
    *("bench", "water", "hours"),
)
"""What is bought comes first, then what the holding has to have room and time for."""


@dataclass(frozen=True, slots=True)
class Kind:
    heading: str
    needs: tuple[Need, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """Needs of one span of days, by kind."""

    heading: str
    note: str
    tone: str
    kinds: tuple[Kind, ...]


def to_get(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    wanted = [need for need in sheet.plan.needs if need.to_get > 0] if sheet.plan else []
    enough = [need for need in sheet.plan.needs if need.to_get <= 0] if sheet.plan else []
    first, last = sheet.span()
    late = [need for need in wanted if need.by < first]
    due = [need for need in wanted if first <= need.by <= last]
    later = [need for need in wanted if need.by > last]
    parts = (
        Part("Due by now", "Wanted before these weeks began.", "mind", _kinds(late)),
        Part("Due in these weeks", days(first, last), "", _kinds(due)),
        Part("Later", "", "", _kinds(later)),
    )
    asked = request.GET.get("why", "")
    return show(
        request,
        sheet,
        "to_get",
        "To get",
        parts=[part for part in parts if part.kinds],
        enough=_kinds(enough),
        asked=asked,
        working=_working(sheet, asked),
        stem=sheet.query(why=""),
    )


def _kinds(needs: Iterable[Need]) -> tuple[Kind, ...]:
    by_kind: dict[str, list[Need]] = {kind: [] for kind in KINDS}
    for need in sorted(needs, key=lambda one: (one.by, one.item, one.variety, one.key)):
        by_kind.setdefault(need.kind, []).append(need)
    return tuple(
        Kind(word(f"page.need.{kind}"), tuple(found)) for kind, found in by_kind.items() if found
    )


def _working(sheet: Sheet, key: str) -> Explanation | None:
    if not key or sheet.plan is None or all(need.key != key for need in sheet.plan.needs):
        return None
    return explain(sheet.plan, key, sheet.holding, sheet.standing.season.catalogue)
