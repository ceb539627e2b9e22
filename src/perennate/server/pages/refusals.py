"""Requests that are turned away."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from perennate.server.pages.sheet import NoPlanError


def forged(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form that did not come from our own page, or whose page was too old."""
    return render(request, "perennate/forged.html", status=403)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    slug = exception.slug if isinstance(exception, NoPlanError) else ""
    return render(request, "perennate/not_found.html", {"without_plan": slug}, status=404)


def fault(request: HttpRequest) -> HttpResponse:
    """Something of ours went wrong; nothing was half written."""
    return render(request, "perennate/fault.html", status=500)
