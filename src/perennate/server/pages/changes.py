"""The log of changes, and taking one back."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST

from perennate.server.pages.answers import changed, overtaken, refused
from perennate.server.pages.sheet import open_sheet, show, told_of
from perennate.server.store import door
from perennate.server.store.rows import texts_of
from perennate.terms import BadInput

_ON_A_PAGE = 50


def changes(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    kept = sheet.store.changes.select_related("undone_by", "undoes")
    page = Paginator(kept, _ON_A_PAGE).get_page(request.GET.get("page"))
    listed = [(change, texts_of([change.what])[0], told_of(change)) for change in page]
    return show(request, sheet, "changes", "What was changed", listed=listed, page=page)


@require_POST
def undo(request: HttpRequest, slug: str, number: int) -> HttpResponse:
    """Take a change back, unless what it changed was changed again since."""
    sheet = open_sheet(request, slug)
    change = get_object_or_404(sheet.store.changes, number=number)
    try:
        done = door.undo(change.pk)
    except door.OvertakenError:
        return overtaken(request, sheet)
    except BadInput as bad:
        return refused(request, sheet, bad)
    return changed(request, sheet, done)
