"""Water: what the season takes, what is watered now, each bed's soil, tanks, sources, salt."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from perennate.catalogue.salt_tolerance import salt_tolerances
from perennate.outputs.coming_weeks import Shown, with_cautions
from perennate.outputs.drip_told import drip_told, zones_told
from perennate.outputs.screen.salt_sheet import all_beds, beds_say, salt_sheets
from perennate.outputs.screen.tank_sheet import tank_sheets
from perennate.outputs.screen.water_said import salt_key
from perennate.outputs.screen.water_sheet import water_sheet
from perennate.outputs.summary import graver_first
from perennate.outputs.water_figures import Span, due_water
from perennate.outputs.water_today import today_says
from perennate.outputs.water_told import (
    due_says,
    due_table,
    plantings_table,
    salt_unknown,
    season_lines,
    sources_told,
    weeks_at_hand,
)
from perennate.outputs.water_ways import ways_table
from perennate.outputs.work_list import work_lines
from perennate.planning.done import ticked
from perennate.planning.plan import Plan
from perennate.server.pages.frame import any_weeks, as_it_stands, with_weeks
from perennate.server.pages.links import bed_href, linked, planting_href
from perennate.server.pages.look_out import FindingLinks, Told
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.server.store.reading import Kept, water_at_hand
from perennate.terms import Text

MOST_LINES = 6
"""So many waterings are shown to tick; the rest stand with the work of these weeks."""
FEW = 12
"""A table of so many rows stands open; a longer one a touch away."""
_RULES = "water."
_WHAT, _FIGURES = 1, range(2, 9)
_drawn, _whatever_weeks = Kept(32), Kept(32)


@dataclass(frozen=True, slots=True)
class Drawn:
    """The pictures and tables of the page, as written; empty where there is nothing to show."""

    beds: SafeString
    tanks: SafeString
    plantings: SafeString
    due: SafeString
    lines: SafeString
    """Drip lines of the bed chosen."""


@dataclass(frozen=True, slots=True)
class Lasting:
    """What is the same whatever weeks are chosen; the addresses in it hold the query alone."""

    salt: SafeString
    zones: SafeString
    """Beds on drip lines that can run at once."""


def water(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    plan = sheet.plan
    if plan is None or plan.water is None:
        return show(request, sheet, "water", "Water")
    span = _due_span(sheet, plan)
    due = [
        one for one in due_water(plan.water, plan, span) if not sheet.bed or one.bed == sheet.bed
    ]
    lines = _lines(sheet, plan, span)
    is_bed = any(bed.key == sheet.bed for bed in sheet.holding.beds)
    bed = sheet.bed if is_bed else ""
    sources = sources_told(plan, sheet.holding, bed)
    fed = {one.key for one in sources}
    drawn: Drawn = _drawn.get(as_it_stands(sheet), lambda: _draw(sheet, plan, span, bed, fed))
    bare = any_weeks(sheet)
    lasting: Lasting = _whatever_weeks.get(
        as_it_stands(bare), lambda: _draw_lasting(bare, plan, bed)
    )
    advice = _advice(sheet)
    return show(
        request,
        sheet,
        "water",
        f"Water in {sheet.bed}" if is_bed else "Water",
        water=plan.water,
        advice=advice,
        season=season_lines(plan),
        is_bed=is_bed,
        is_elsewhere=bool(sheet.bed) and not is_bed,
        due_says=due_says(due, span),
        lines=lines[:MOST_LINES],
        more=len(lines[MOST_LINES:]),
        drawn=drawn,
        drip=drawn.lines or lasting.zones,
        salt=with_weeks(lasting.salt, sheet),
        sources=sources,
        salt_unknown=salt_unknown(plan, bed),
        findings=_findings(sheet, plan),
        ways=ways_table(plan),
        kept_href=sheet.address("water_kept"),
        whole_href=sheet.address("water", bed=None),
    )


def _advice(sheet: Sheet) -> list[Text]:
    """What is said of today: of the bed chosen, or of all, after what the days rest on."""
    return today_says(water_at_hand(sheet.standing, sheet.today), sheet.bed)


def _due_span(sheet: Sheet, plan: Plan) -> Span:
    """The weeks chosen, else the plan's week with today in it and the next."""
    if sheet.first is not None and sheet.last is not None:
        return sheet.first, sheet.last
    return weeks_at_hand(plan, sheet.today)


def _lines(sheet: Sheet, plan: Plan, span: Span) -> list[Shown]:
    """The waterings of these weeks that are not ticked off, and can be."""
    done = ticked(sheet.holding.records)
    jobs = [
        job
        for job in plan.jobs
        if job.kind == "water"
        and span[0] <= job.best <= span[1]
        and sheet.is_here(job)
        and not (job.key in done and done[job.key].whole)
    ]
    found = work_lines(jobs, sheet.plantings, sheet.units, sheet.names)
    return list(with_cautions(found, {}))


def _findings(sheet: Sheet, plan: Plan) -> list[Told]:
    """What the checks say of water, the gravest first; of the bed chosen alone, with one."""
    to = FindingLinks(sheet)
    found = [one for one in plan.findings if one.rule.startswith(_RULES)]
    return [to.told(one) for one in graver_first(found) if _is_of_bed(one.about, sheet)]


def _is_of_bed(about: Sequence[str], sheet: Sheet) -> bool:
    if not sheet.bed or sheet.bed in about:
        return True
    return any(key in sheet.plantings and sheet.plantings[key].bed == sheet.bed for key in about)


def _draw(sheet: Sheet, plan: Plan, span: Span, bed: str, fed: Collection[str]) -> Drawn:
    beds = bed_href(sheet, "water")
    chosen = (sheet.first, sheet.last) if sheet.first and sheet.last else None
    strips = water_sheet(plan, sheet.holding, beds, chosen, bed, sheet.today)
    tanks = tank_sheets(plan, sheet.holding, chosen, sheet.today)
    table = plantings_table(plan, sheet.names, bed, chosen)
    rows = linked(table, beds, planting_href(sheet), _WHAT, _FIGURES)
    due = due_table(plan, span, bed)
    return Drawn(
        beds=_written("water_beds", {"strips": strips}) if strips else SafeString(""),
        tanks=_written("water_tanks", {"tanks": [one for one in tanks if one.key in fed]}),
        plantings=_written(
            "water_plantings", {"table": table, "rows": rows, "few": len(rows) <= FEW}
        ),
        due=_written("water_due", {"table": due}) if due.rows else SafeString(""),
        lines=_drip_lines(sheet, bed) if bed else SafeString(""),
    )


def _draw_lasting(sheet: Sheet, plan: Plan, bed: str) -> Lasting:
    def bed_query(key: str) -> str:
        return sheet.query(bed=key)

    salts = salt_sheets(plan, sheet.names, bed_query, _thresholds(), bed, few=not bed)
    salt = {
        "salts": salts,
        "key": salt_key(),
        "is_bed": bool(bed),
        "says": beds_say(plan),
        "all": all_beds(plan, sheet.names),
        "sheet": sheet,
    }
    zones = () if bed else zones_told(sheet.holding)
    return Lasting(
        salt=_written("water_salt", salt) if salts else SafeString(""),
        zones=_written("water_lines", {"zones": zones, "sheet": sheet})
        if zones
        else SafeString(""),
    )


def _drip_lines(sheet: Sheet, bed: str) -> SafeString:
    drip = drip_told(sheet.holding, bed)
    asked = dict(drip.asked) if drip else {}
    reckon = sheet.address("reckoner", "drip-layout", **asked)
    return _written("water_lines", {"drip": drip, "reckon_href": reckon, "sheet": sheet})


def _written(name: str, context: Mapping[str, object]) -> SafeString:
    return render_to_string(f"perennate/{name}.html", dict(context))


def _thresholds() -> dict[str, float]:
    """Salt from which on each crop loses, dS/m of the saturated extract, as far as it is known."""
    found = {key: one.threshold for key, one in salt_tolerances().items()}
    return {key: one.value for key, one in found.items() if one is not None}
