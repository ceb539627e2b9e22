"""To be written."""

from django.http import HttpRequest, HttpResponse


def reckoners(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("reckoners")

def reckoner(request: HttpRequest, slug: str, **more: object) -> HttpResponse:
    return HttpResponse("reckoner")
