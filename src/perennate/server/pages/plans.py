"""The plans that were made: what each comes to, what differs between two, and going back."""

from dataclasses import dataclass
from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_POST

from perennate.outputs.summary import summary
from perennate.planning.compare import compare
from perennate.planning.compare import said as said_of
from perennate.planning.plan import Plan
from perennate.season_files import OUTPUTS, season_output
from perennate.server.pages.answers import changed
from perennate.server.pages.sheet import Sheet, open_sheet, planned, show
from perennate.server.store import models
from perennate.server.store.door import stand_on
from perennate.server.store.reading import laid_over, made_plan
from perennate.terms import text

_ON_A_PAGE = 12
_MET = 0.995
"""An aim met to within half a percent is met."""
_TYPES = {
    "json": "application/json",
    "ics": "text/calendar; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "pdf": "application/pdf",
}


@dataclass(frozen=True, slots=True)
class Facts:
    """What a plan comes to, in a line of a table."""

    row: models.Plan
    plan: Plan
    met: int
    aims: int
    grave: int
    minutes: float
    stands: bool


def plans(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    kept = sheet.store.plans.defer("content", "inputs")
    page = Paginator(kept, _ON_A_PAGE).get_page(request.GET.get("page"))
    facts = [_facts(sheet, row) for row in page]
    first, second = (facts[0], facts[1]) if len(facts) > 1 else (None, None)
    return show(
        request,
        sheet,
        "plans",
        "Plans",
        facts=facts,
        page=page,
        pair=(first, second),
        files=OUTPUTS if sheet.plan else (),
    )


def version(request: HttpRequest, slug: str, number: int) -> HttpResponse:
    """One version in a few plain lines, as it was made."""
    sheet = open_sheet(request, slug)
    facts = _facts(sheet, _row(sheet, number))
    others = list(sheet.store.plans.exclude(number=number).values_list("number", flat=True)[:50])
    told = summary(facts.plan, sheet.names)
    context: dict[str, Any] = {"one": facts, "sections": told, "others": others}
    return show(request, sheet, "plan_version", f"Plan {number}", **context)


def compared(request: HttpRequest, slug: str, number: int, other: int) -> HttpResponse:
    """What the one plan has that the other has not."""
    sheet = open_sheet(request, slug)
    after, before = (_facts(sheet, _row(sheet, one)) for one in (number, other))
    change = compare(before.plan, after.plan)
    context: dict[str, Any] = {"after": after, "before": before, "differs": change}
    context["sentences"] = said_of(change)
    return show(request, sheet, "plans_compared", f"Plan {number} against plan {other}", **context)


@require_POST
def back(request: HttpRequest, slug: str, number: int) -> HttpResponse:
    """Let an earlier plan stand again; a change like any other, so it can be taken back."""
    sheet = open_sheet(request, slug)
    row = _row(sheet, number)
    if number == sheet.standing.number:
        return changed(request, sheet, None, sheet.address("plans"))
    then = laid_over(made_plan(row), sheet.standing.season)
    told = said_of(compare(sheet.plan, then)) if sheet.plan else ()
    change = stand_on(sheet.store.pk, row, text("change.plan_back", number=number), told)
    return changed(request, sheet, change, sheet.address("plans"))


@require_GET
def give(request: HttpRequest, slug: str, file: str) -> HttpResponse:
    """A file of the plan as it stands, made when it is asked for."""
    sheet = open_sheet(request, slug)
    if file not in OUTPUTS:
        raise Http404(f"no file {file}")
    made = season_output(file, planned(sheet), sheet.standing.season)
    answer = HttpResponse(made, content_type=_TYPES[file.rsplit(".", 1)[1]])
    header = content_disposition_header(True, f"{slug}-{file}")
    answer.headers["Content-Disposition"] = header or "attachment"
    return answer


def _row(sheet: Sheet, number: int) -> models.Plan:
    row: models.Plan = get_object_or_404(sheet.store.plans, number=number)
    return row


def _facts(sheet: Sheet, row: models.Plan) -> Facts:
    plan = made_plan(row)
    return Facts(
        row,
        plan,
        sum(aim.met >= _MET for aim in plan.aims),
        len(plan.aims),
        sum(one.gravity == "grave" for one in plan.findings),
        sum(job.minutes.value for job in plan.jobs),
        row.number == sheet.standing.number,
    )
