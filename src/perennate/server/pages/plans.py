"""To be written."""

from django.http import HttpRequest, HttpResponse


def plans(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("plans")

def version(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("version")

def compared(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("compared")

def back(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("back")
