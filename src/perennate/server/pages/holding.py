"""To be written."""

from django.http import HttpRequest, HttpResponse


def holding(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("holding")

def settings(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("settings")

def confirm(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("confirm")
