"""From the first answers to true work for this week, by a child that plans."""

import time
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from perennate.server.store import models
from perennate.server.work import runs

LONGEST_S = 240
ANSWERS: dict[str, dict[str, Any]] = {
    "place": {"position": "46 N", "name": "Nook"},
    "frost": {"frost": "unknown"},
    "beds": {"bed_count": ["2"], "bed_length": ["3"], "bed_width": ["1"]},
    "standing": {"stand_crop": ["kale"], "stand_bed": ["1"], "stand_since": ["May"]},
    "eats": {"eats": ["carrot", "kale", "radish"]},
    "seeds": {},
    "people": {"adults": "1"},
    "check": {},
}


@pytest.mark.usefixtures("file_store")
def test_who_begins_in_june_has_work_for_this_week_as_soon_as_the_plan_is_made(
    client: Client, monkeypatch: pytest.MonkeyPatch, file_store: Path
) -> None:
    monkeypatch.setenv("PERENNATE_TODAY", "2026-06-10")
    for screen, typed in ANSWERS.items():
        answer = client.post(f"/begin/?at={screen}", typed)
        assert answer.status_code == 302, answer.content.decode()
    week = answer.headers["Location"]
    end = time.monotonic() + LONGEST_S
    while (run := models.PlanRun.objects.get()).is_under_way and time.monotonic() < end:
        runs.look_after()
        time.sleep(0.2)
    assert run.state == "done", (run.fault, (file_store / "planning.log").read_text())
    work = client.get(week).content.decode().split('<ol class="work">')[1:]
    assert sum(part.count('class="what"') for part in work) >= 3
