"""Server time, bytes and queries of every page of the demo, and the first page of a cold start."""

import os
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

ROUNDS = 40
_P95 = 95
_COMMAND = (sys.executable, "-m", "perennate.cli")


def pages() -> Iterator[tuple[str, float, float, int, int]]:
    """Each page's name, median and 95th percentile of the server's time in ms, bytes, queries."""
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext
    from django.urls import reverse

    from perennate.server.pages.sheet import PLACES
    from perennate.server.store.models import Holding

    store = Holding.objects.get()
    client = Client(HTTP_HOST="localhost")
    addresses = {name: reverse(name, args=(store.slug,)) for name, _ in PLACES}
    addresses["write"] = reverse("write", args=(store.slug,))
    addresses["changes"] = reverse("changes", args=(store.slug,))
    addresses["plant"] = reverse("plant", args=(store.slug, "carrot"))
    addresses["reckoner"] = reverse("reckoner", args=(store.slug, "seed-to-sow"))
    addresses["table"] = reverse("table", args=(store.slug, "beds"))
    addresses["now, bed S1"] = f"{addresses['now']}?bed=S1"
    addresses["year, six weeks"] = f"{addresses['year']}?from=2026-04-06&to=2026-05-17"
    for name, address in addresses.items():
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            answer = client.get(address)
        asked = len(queries)
        assert answer.status_code == 200, f"{address}: {answer.status_code}"
        taken = []
        for _ in range(ROUNDS):
            started = time.perf_counter()
            client.get(address)
            taken.append(1000 * (time.perf_counter() - started))
        p95 = statistics.quantiles(taken, n=100)[_P95 - 1]
        yield name, statistics.median(taken), p95, len(answer.content), asked


def cold_start(store: Path) -> float:
    """Seconds from the command to the first page."""
    port = 8999
    started = time.perf_counter()
    server = subprocess.Popen(
        [*_COMMAND, "serve", "--store", str(store), "--port", str(port)],
        stdout=subprocess.DEVNULL,
    )
    try:
        while True:
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=10) as answer:
                    answer.read()
                    return time.perf_counter() - started
            except OSError:
                if server.poll() is not None or time.perf_counter() - started > 60:
                    raise
                time.sleep(0.02)
    finally:
        server.terminate()
        server.wait(20)


def report() -> None:
    """Print the figures of the demo's pages."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        plan = str(root / "out" / "plan.json")
        for words in (
            ["example", "demo", str(root / "demo")],
            ["plan", str(root / "demo"), "--out", str(root / "out"), "--effort", "quick"],
            ["import", str(root / "demo"), "--plan", plan, "--store", str(root / "store")],
        ):
            subprocess.run(
                [*_COMMAND, *words],
                check=True,
                stdout=subprocess.DEVNULL,
            )
        print(f"cold start to the first page: {cold_start(root / 'store'):.1f} s (under 4)")
        from perennate.server.serving import open_store

        open_store(root / "store")
        os.environ["PERENNATE_TODAY"] = "2026-04-20"
        for name, median, p95, size, queries in pages():
            print(
                f"page {name}: {median:.0f} ms, 95th percentile {p95:.0f} ms (under 100), "
                f"{size / 1024:.0f} KiB, {queries} queries"
            )
