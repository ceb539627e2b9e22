"""The pages as a Django app."""

from django.apps import AppConfig


class PagesConfig(AppConfig):
    name = "perennate.server.pages"
    label = "pages"
