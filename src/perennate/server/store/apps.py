"""The store as a Django app."""

from django.apps import AppConfig


class StoreConfig(AppConfig):
    name = "perennate.server.store"
    label = "store"
