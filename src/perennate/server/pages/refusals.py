"""Requests that are turned away."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def forged(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form that did not come from our own page, or whose page was too old."""
    return render(request, "perennate/forged.html", status=403)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "perennate/not_found.html", status=404)


def fault(request: HttpRequest) -> HttpResponse:
    """Something of ours went wrong; nothing was half written."""
    return render(request, "perennate/fault.html", status=500)
