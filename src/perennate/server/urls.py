"""Every address of the server."""

from django.urls import include, path

urlpatterns = [path("", include("perennate.server.pages.urls"))]
handler404 = "perennate.server.pages.refusals.not_found"
handler500 = "perennate.server.pages.refusals.fault"
