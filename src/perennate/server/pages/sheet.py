"""A sheet: one page of a holding, narrowed to the weeks and the bed that the address names."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from perennate.holding.model import Holding
from perennate.outputs.screen.marks import NURSERY
from perennate.planning.plan import Job, Plan, PlannedPlanting
from perennate.server.store import models
from perennate.server.store.reading import Standing, standing
from perennate.server.store.rows import texts_of
from perennate.server.work import runs
from perennate.terms import Text
from perennate.words import Units
from perennate.words.lines import by_key

SOON = timedelta(weeks=3)
_YEARS_SHOWN = 100
"""Days farther from today than so many years are no choice: nothing is known of them."""

PLACES = (
    ("now", "Now"),
    ("ground", "Ground"),
    ("year", "Year"),
    ("water", "Water"),
    ("to_get", "To get"),
    ("look_out", "Look out"),
    ("aims", "Aims"),
    ("stock", "Stock"),
    ("plants", "Plants"),
    ("reckoners", "Reckon"),
    ("plans", "Plans"),
    ("holding", "Holding"),
)
"""The sheets of a holding: the name of the address, and what it is called."""


def real_today() -> date:
    """Today where the grower is; PERENNATE_TODAY sets it for a show of another season."""
    told = os.environ.get("PERENNATE_TODAY")
    return date.fromisoformat(told) if told else date.today()


def today_at(holding: Holding) -> date:
    """The day that pages take for today: the one that the holding is set to (`as_of`), as the
    examples are, else the real one."""
    return holding.as_of if holding.as_of and not _is_told() else real_today()


def _is_told() -> bool:
    return bool(os.environ.get("PERENNATE_TODAY"))


@dataclass(frozen=True)
class Sheet:
    """What a page of a holding is made from, and what its address narrows it to.

    `first` and `last` are the days chosen on the year strip, both None when none are; `bed` is
    the key of what was chosen on the key plan, empty when nothing is.
    """

    store: models.Holding
    standing: Standing
    today: date
    real_today: date
    first: date | None
    last: date | None
    bed: str
    change: models.Change | None
    path: str

    @property
    def slug(self) -> str:
        return self.store.slug

    @property
    def holding(self) -> Holding:
        return self.standing.holding

    @property
    def plan(self) -> Plan | None:
        return self.standing.plan

    @property
    def units(self) -> Units:
        return self.holding.units

    @property
    def names(self) -> Mapping[str, str]:
        return self.standing.season.names

    @cached_property
    def plantings(self) -> Mapping[str, PlannedPlanting]:
        """The plan's plantings by key."""
        return by_key(self.plan) if self.plan else {}

    @property
    def is_shown_as_of(self) -> bool:
        """Whether the holding is set to a day of its own."""
        return self.today != self.real_today

    @property
    def is_over(self) -> bool:
        """Whether the plan's weeks lie behind."""
        return self.plan is not None and self.today >= self.plan.start + timedelta(
            weeks=self.plan.weeks
        )

    @property
    def here(self) -> str:
        """The address of this page with what is chosen."""
        return self.path + self.query()

    def span(self, otherwise: timedelta = SOON) -> tuple[date, date]:
        """First and last day that the sheet is narrowed to; from today on when none is chosen."""
        if self.first is not None and self.last is not None:
            return self.first, self.last
        return self.today, self.today + otherwise - timedelta(days=1)

    def season_span(self) -> tuple[date, date]:
        """First and last day chosen, or those of the whole plan."""
        if self.first is not None and self.last is not None:
            return self.first, self.last
        if self.plan is None:
            return self.span()
        return self.plan.start, self.plan.start + timedelta(weeks=self.plan.weeks, days=-1)

    def is_here(self, job: Job) -> bool:
        """Whether a job belongs to the bed chosen: done there, or for what will stand there."""
        if not self.bed or job.place == self.bed:
            return True
        planting = self.plantings.get(job.planting)
        return planting is not None and planting.bed == self.bed

    def query(self, **changed: str | None) -> str:
        """The part of an address that keeps what is chosen, with some of it changed; None takes
        a choice away."""
        kept: dict[str, str] = {}
        if self.first is not None and self.last is not None:
            kept |= {"from": self.first.isoformat(), "to": self.last.isoformat()}
        if self.bed:
            kept["bed"] = self.bed
        for name, value in changed.items():
            key = "from" if name == "from_" else name
            if value is None:
                kept.pop(key, None)
            else:
                kept[key] = value
        return f"?{urlencode(kept)}" if kept else ""

    def address(self, name: str, *parts: Any, **changed: str | None) -> str:
        """The address of a page of this holding, with what is chosen kept."""
        return reverse(name, args=(self.slug, *parts)) + self.query(**changed)


def open_sheet(request: HttpRequest, slug: str) -> Sheet:
    """The holding of this slug as it stands, narrowed as the address says; 404 when there is none.

    A choice that cannot be read, or lies outside, is no choice.
    """
    found = models.Holding.objects.select_related("plan")
    store = get_object_or_404(found, slug=slug)
    now = standing(store)
    first, last = _day(request, "from"), _day(request, "to")
    if first is not None and last is None:
        last = first + timedelta(days=6)
    if first is None or last is None or last < first:
        first = last = None
    bed = request.GET.get("bed", "")
    known = {one.key for one in now.holding.beds} | {one.key for one in now.holding.trees}
    return Sheet(
        store=store,
        standing=now,
        today=today_at(now.holding),
        real_today=real_today(),
        first=first,
        last=last,
        bed=bed if bed in known or bed == NURSERY else "",
        change=_change(store, request.GET.get("change", "")),
        path=request.path,
    )


def _day(request: HttpRequest, name: str) -> date | None:
    try:
        day = date.fromisoformat(request.GET.get(name, ""))
    except ValueError:
        return None
    return day if abs(day.year - real_today().year) <= _YEARS_SHOWN else None


def _change(store: models.Holding, number: str) -> models.Change | None:
    if not (number.isascii() and number.isdecimal() and len(number) < 9):
        return None
    found = store.changes.filter(number=int(number)).select_related("undone_by", "undoes")
    return found.first()


def told_of(change: models.Change) -> tuple[Text, ...]:
    """What a change did to the plan, and before it what it took back."""
    taken_back = (change.undoes.what,) if change.undoes is not None else ()
    return texts_of([*taken_back, *change.said])


class NoPlanError(Http404):
    """What was asked for has no sense before there is a plan; `slug` is the holding's."""

    def __init__(self, slug: str) -> None:
        super().__init__("no plan yet")
        self.slug = slug


def planned(sheet: Sheet) -> Plan:
    """The plan that stands; NoPlanError, a 404, where a page has no sense without one."""
    if sheet.plan is None:
        raise NoPlanError(sheet.slug)
    return sheet.plan


def show(
    request: HttpRequest, sheet: Sheet, name: str, title: str, status: int = 200, **context: Any
) -> HttpResponse:
    """A page of a holding: `name` is that of its address and of its template."""
    from perennate.server.pages.frame import frame

    run = runs.latest_of(sheet.store.pk)
    context |= {
        "sheet": sheet,
        "name": name,
        "title": title,
        "tick_at": reverse("tick", args=(sheet.slug,)),
        "jobs_at": reverse("jobs", args=(sheet.slug,)),
        "today_iso": sheet.today.isoformat(),
        "places": [
            {"name": one, "called": called, "href": sheet.address(one), "here": one == name}
            for one, called in PLACES
        ],
        "run": run,
        "change": sheet.change,
        "change_what": texts_of([sheet.change.what])[0] if sheet.change else None,
        "change_said": told_of(sheet.change) if sheet.change else (),
        **frame(sheet),
    }
    return render(request, f"perennate/{name}.html", context, status=status)
