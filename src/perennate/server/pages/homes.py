"""The holdings of this store, and taking one in from a file or giving one out as one."""

from django.db.models import Max
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_POST

from perennate.server.store import carry
from perennate.server.store.models import Holding
from perennate.terms import BadInput

_KINDS = {
    "zip": ("application/zip", carry.archive_of),
    "xlsx": (
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        carry.workbook_of,
    ),
}


def homes(request: HttpRequest) -> HttpResponse:
    """All holdings; where there is but one, straight to it."""
    found = list(Holding.objects.annotate(last=Max("changes__made")))
    if len(found) == 1 and "all" not in request.GET:
        return HttpResponseRedirect(reverse("now", args=(found[0].slug,)))
    if not found:
        return HttpResponseRedirect(reverse("begin"))
    return render(request, "perennate/homes.html", {"homes": found})


@require_POST
def take_in(request: HttpRequest) -> HttpResponse:
    """Take in a holding from an uploaded file, beside those that are here."""
    sent = request.FILES.get("file")
    if sent is None or sent.name is None:
        return HttpResponseRedirect(reverse("homes") + "?all")
    try:
        store = carry.take_in_new(carry.read_uploaded(sent.name, sent.read()))
    except BadInput as bad:
        told = {"problems": bad.problems, "file": sent.name}
        return render(request, "perennate/not_taken.html", told, status=422)
    return HttpResponseRedirect(reverse("now", args=(store.slug,)))


def give_out(request: HttpRequest, slug: str, kind: str) -> HttpResponse:
    """The holding as a file; 404 for a kind of file that is not written."""
    store = get_object_or_404(Holding, slug=slug)
    if kind not in _KINDS:
        raise Http404(f"no file of the kind {kind}")
    type_of, made = _KINDS[kind]
    answer = HttpResponse(made(store), content_type=type_of)
    header = content_disposition_header(True, f"{store.slug}.{kind}")
    answer.headers["Content-Disposition"] = header or "attachment"
    return answer
