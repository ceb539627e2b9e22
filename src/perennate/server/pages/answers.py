"""How an act on a page is answered: gone on to the same place with what was changed, or refused."""

from urllib.parse import parse_qsl, urlencode, urlsplit, urlunsplit

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.http import url_has_allowed_host_and_scheme

from perennate.server.pages.sheet import Sheet, show
from perennate.server.store import models
from perennate.terms import BadInput


def back_to(request: HttpRequest, sheet: Sheet, otherwise: str = "") -> str:
    """Where the act came from, as its form says, when that is a page of ours."""
    asked = request.POST.get("back", "")
    safe = url_has_allowed_host_and_scheme(asked, allowed_hosts=None)
    return asked if safe and asked.startswith("/") else otherwise or sheet.address("now")


def changed(
    request: HttpRequest, sheet: Sheet, change: models.Change | None, otherwise: str = ""
) -> HttpResponse:
    """Back to the page, which says what was changed and offers to take it back."""
    parts = urlsplit(back_to(request, sheet, otherwise))
    kept = [(name, value) for name, value in parse_qsl(parts.query) if name != "change"]
    if change is not None:
        kept.append(("change", str(change.number)))
    return HttpResponseRedirect(urlunsplit(("", "", parts.path, urlencode(kept), "")))


def refused(request: HttpRequest, sheet: Sheet, bad: BadInput, otherwise: str = "") -> HttpResponse:
    """The problems, each with where, what was found and what was expected; nothing was changed."""
    back = back_to(request, sheet, otherwise)
    context = {"problems": bad.problems, "back": back}
    return show(request, sheet, "refused", "Not changed", status=422, **context)


def overtaken(request: HttpRequest, sheet: Sheet, otherwise: str = "") -> HttpResponse:
    """Somebody else changed the same thing meanwhile; nothing was changed."""
    back = back_to(request, sheet, otherwise)
    return show(request, sheet, "refused", "Not changed", status=409, problems=(), back=back)
