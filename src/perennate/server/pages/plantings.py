"""To be written."""

from django.http import HttpRequest, HttpResponse


def planting(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("planting")

def act(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("act")

def add(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("add")
