"""Asking for a plan, watching it being made, stopping it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_POST

from perennate.server.pages.answers import changed
from perennate.server.pages.sheet import open_sheet
from perennate.server.store.models import PlanRun
from perennate.server.work import runs

_EFFORTS = ("quick", "usual", "thorough")


@require_POST
def plan(request: HttpRequest, slug: str) -> HttpResponse:
    """Ask for a plan from today on; answers at once."""
    sheet = open_sheet(request, slug)
    effort = request.POST.get("effort", "usual")
    runs.ask(sheet.store.pk, sheet.today, effort if effort in _EFFORTS else "usual")
    return changed(request, sheet, None)


@require_POST
def stop(request: HttpRequest, slug: str, run: int) -> HttpResponse:
    """Stop a run for good."""
    sheet = open_sheet(request, slug)
    runs.stop(get_object_or_404(PlanRun, pk=run, holding=sheet.store).pk)
    return changed(request, sheet, None)


@require_GET
def progress(request: HttpRequest, slug: str) -> HttpResponse:
    """How far planning has come, as a piece of a page that asks again while it goes on.

    When it is done the whole page is asked for anew.
    """
    runs.look_after()
    sheet = open_sheet(request, slug)
    run = runs.latest_of(sheet.store.pk)
    answer = render(request, "perennate/run.html", {"sheet": sheet, "run": run})
    if run is not None and run.state == PlanRun.State.DONE:
        answer["HX-Refresh"] = "true"
    return answer
