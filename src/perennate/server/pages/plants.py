"""To be written."""

from django.http import HttpRequest, HttpResponse


def plants(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("plants")

def plant(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("plant")
