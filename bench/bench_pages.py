"""Server time, bytes and queries of every page of the demo, and the first page of a cold start."""

import os
import statistics
import tempfile
import time
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import chain
from pathlib import Path
from typing import Any

from demo_store import demo_store, served

ROUNDS = 40
_P95 = 95
_PORT = 8999


def pages() -> Iterator[tuple[str, float, float, int, int]]:
    """Each page's name, median and 95th percentile of the server's time in ms, bytes, queries."""
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from perennate.server.store.models import Holding

    store = Holding.objects.get()
    client = Client(HTTP_HOST="localhost")
    for name, address in _addresses(store).items():
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            answer = client.get(address)
        asked = len(queries)
        assert answer.status_code == 200, f"{address}: {answer.status_code}"
        taken = [_timed(client, address) for _ in range(ROUNDS)]
        yield name, statistics.median(taken), _p95(taken), len(answer.content), asked


def first_sights() -> Iterator[tuple[str, float, float, int, int]]:
    """As `pages`, of pages narrowed to weeks that nobody looked at before."""
    from django.test import Client
    from django.urls import reverse

    from perennate.server.store.models import Holding

    store = Holding.objects.get()
    client = Client(HTTP_HOST="localhost")
    begin = date(2026, 3, 2)
    for name in ("now", "ground", "year", "water", "to_get", "look_out", "aims"):
        taken = []
        for day in range(ROUNDS):
            first = begin + timedelta(days=day)
            span = f"?from={first}&to={first + timedelta(days=13 + len(name))}"
            taken.append(_timed(client, reverse(name, args=(store.slug,)) + span))
        yield f"{name}, first sight of weeks", statistics.median(taken), _p95(taken), 0, 0


def _addresses(store: Any) -> dict[str, str]:
    """Every page of the holding that can be looked at."""
    from django.urls import reverse

    from perennate.server.pages.sheet import PLACES
    from perennate.server.store.reading import standing

    def at(name: str, *parts: object) -> str:
        return reverse(name, args=(store.slug, *parts))

    plan = standing(store).plan
    assert plan is not None
    planting = max(plan.plantings, key=lambda one: one.area_m2)
    found = {name: at(name) for name, _ in PLACES}
    found |= {name: at(name) for name in ("write", "changes", "holding_settings", "planting_add")}
    found |= {
        "planting": at("planting", planting.key),
        "aim": at("aim", plan.aims[0].aim),
        "jobs": f"{at('jobs')}?job={plan.jobs[0].key}",
        "plant": at("plant", "carrot"),
        "reckoner": at("reckoner", "seed-to-sow"),
        "plan version": at("plan_version", 1),
        "table of beds": at("table", "beds"),
        "table of plantings": at("table", "plantings"),
        "row of a bed": at("row", "beds", planting.bed),
        "add an aim": at("add_row", "aims"),
        "now, a bed": f"{at('now')}?bed={planting.bed}",
        "ground, a bed": f"{at('ground')}?bed={planting.bed}",
        "water, a bed": f"{at('water')}?bed={planting.bed}",
        "year, six weeks": f"{at('year')}?from=2026-04-06&to=2026-05-17",
    }
    return found


def _timed(client: Any, address: str) -> float:
    """The server's time for an address, in ms."""
    started = time.perf_counter()
    client.get(address)
    return 1000 * (time.perf_counter() - started)


def _p95(taken: list[float]) -> float:
    return statistics.quantiles(taken, n=100)[_P95 - 1]


def report() -> None:
    """Print the figures of the demo's pages."""
    with tempfile.TemporaryDirectory() as folder:
        store = demo_store(Path(folder), "quick")
        started = time.perf_counter()
        with served(store, _PORT):
            seconds = time.perf_counter() - started
        print(f"cold start to the first page: {seconds:.1f} s (under 4)")
        from perennate.server.serving import open_store

        open_store(store)
        os.environ["PERENNATE_TODAY"] = "2026-04-20"
        for name, median, p95, size, queries in chain(pages(), first_sights()):
            print(
                f"page {name}: {median:.0f} ms, 95th percentile {p95:.0f} ms (under 100), "
                + (f"{size / 1024:.0f} KiB, {queries} queries" if size else "")
            )
