"""How the database is opened."""

from django.conf import settings
from django.db import connection


def pragma(name: str) -> object:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {name}")
        return cursor.fetchone()[0]


def test_a_store_of_files_is_opened_for_readers_beside_one_writer(file_store):
    assert pragma("journal_mode") == "wal"
    assert pragma("synchronous") == 2
    assert pragma("foreign_keys") == 1
    assert pragma("busy_timeout") == 20_000


def test_a_transaction_asks_for_the_right_to_write_when_it_begins():
    assert settings.DATABASES["default"]["OPTIONS"]["transaction_mode"] == "IMMEDIATE"
    assert settings.DATABASES["default"]["CONN_MAX_AGE"] is None
