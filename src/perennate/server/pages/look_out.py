"""What the checks say of the plan: the gravest first, the rest by rule."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from perennate.catalogue.page import citation
from perennate.outputs.screen.marks import Href
from perennate.outputs.summary import graver_first
from perennate.planning.next_year import RULE as NEXT_YEAR
from perennate.planning.plan import Finding, PlannedPlanting
from perennate.server.pages.links import aim_href, bed_href, planting_href
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.words import templates, word
from perennate.words.lines import what_grows

FIRST = 5
NAMED = 3
"""Of what a finding is about, so many are named; the rest are counted and one tap away."""


@dataclass(frozen=True, slots=True)
class Link:
    words: str
    href: str


@dataclass(frozen=True, slots=True)
class Told:
    """A finding with its source in full and the pages of what it is about."""

    finding: Finding
    source: str
    links: tuple[Link, ...]
    more: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Rule:
    heading: str
    gravity: str
    told: tuple[Told, ...]


def look_out(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    here = _here(sheet)
    first = graver_first(here)[:FIRST]
    rest = [finding for finding in here if finding not in first]
    to = FindingLinks(sheet)
    return show(
        request,
        sheet,
        "look_out",
        "Look out",
        first=[to.told(finding) for finding in first],
        rules=_rules(rest, to),
        count=len(here),
        is_narrowed=bool(sheet.bed or sheet.first),
    )


def _here(sheet: Sheet) -> list[Finding]:
    """Findings about the bed chosen, and about plantings that are there in the weeks chosen."""
    if sheet.plan is None:
        return []
    return [one for one in sheet.plan.findings if _is_of_bed(one, sheet) and _is_now(one, sheet)]


def _is_of_bed(finding: Finding, sheet: Sheet) -> bool:
    if not sheet.bed or sheet.bed in finding.about:
        return True
    return any(one.bed == sheet.bed for one in _plantings(finding, sheet))


def _is_now(finding: Finding, sheet: Sheet) -> bool:
    """Whether one of its plantings is there in the weeks chosen; true of one about none."""
    about = _plantings(finding, sheet)
    if sheet.first is None or sheet.last is None or not about:
        return True
    return any(_overlaps(one, sheet.first, sheet.last) for one in about)


def _overlaps(planting: PlannedPlanting, first: date, last: date) -> bool:
    return min(planting.sow, planting.ground_from) <= last and planting.ground_to > first


def _plantings(finding: Finding, sheet: Sheet) -> list[PlannedPlanting]:
    return [sheet.plantings[key] for key in finding.about if key in sheet.plantings]


def _rules(findings: Sequence[Finding], to: "FindingLinks") -> list[Rule]:
    """By rule, those with the gravest finding first and then the longest."""
    by_rule: dict[str, list[Finding]] = {}
    for finding in findings:
        by_rule.setdefault(finding.rule, []).append(finding)
    order = {"grave": 0, "mind": 1, "note": 2}
    rules = []
    for rule, found in by_rule.items():
        found.sort(key=lambda one: order[one.gravity])
        told = tuple(to.told(one) for one in found)
        rules.append(Rule(_heading(rule), found[0].gravity, told))
    return sorted(rules, key=lambda one: (order[one.gravity], -len(one.told), one.heading))


def _heading(rule: str) -> str:
    """What a rule is called; one of a plan that another version made may have no name here."""
    code = f"page.rule.{rule}"
    if code in templates():
        return word(code)
    opened = rule.replace(".", " ").replace("_", " ")
    return opened[:1].upper() + opened[1:]


class FindingLinks:
    """Addresses of what findings are about."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.planting: Href = planting_href(sheet)
        self.aim: Href = aim_href(sheet)
        self.bed: Href = bed_href(sheet, "ground")
        self.add = reverse("planting_add", args=(sheet.slug,))
        self.sources = sheet.standing.season.catalogue.sources
        holding = sheet.holding
        self.beds = {one.key for one in holding.beds}
        self.aims = {one.key for one in holding.aims}
        self.rows = {
            one.key: table
            for table in ("trees", "lots", "plantings", "water_sources")
            for one in getattr(holding, table)
        }

    def told(self, finding: Finding) -> Told:
        links = [link for key in finding.about if (link := self._to(key)) is not None]
        crop = dict(finding.text.params).get("crop")
        if finding.rule == NEXT_YEAR and crop:
            links.append(Link(word("page.plant_it"), f"{self.add}?{urlencode({'crop': crop})}"))
        source = citation(finding.source, self.sources)
        return Told(finding, source, tuple(links[:NAMED]), tuple(links[NAMED:]))

    def _to(self, key: str) -> Link | None:
        planting = self.sheet.plantings.get(key)
        if planting is not None:
            of = what_grows(planting.crop, planting.variety, self.sheet.names)
            return Link(f"{of}, {planting.bed or word('label.bench')}", self.planting(key))
        if key in self.beds:
            return Link(key, self.bed(key))
        if key in self.aims:
            return Link(key, self.aim(key))
        if key in self.rows:
            return Link(key, reverse("row", args=(self.sheet.slug, self.rows[key], key)))
        return None
