"""What season.pdf shows, as plain data in words; season.typ only draws it."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from perennate.holding.model import Bed, Holding
from perennate.outputs.drawing import (
    Drawing,
    bed_rows,
    fullest_day,
    ground_drawing,
    hatch_of,
    scale_bar,
    stands,
    year_bars,
)
from perennate.outputs.season_weeks import day_lengths, frost_shares, months_of, season_weeks
from perennate.outputs.short_codes import short_codes
from perennate.outputs.summary import graver_first, soon_lines
from perennate.outputs.work_list import Line, work_lines
from perennate.planning.plan import Finding, Job, Plan
from perennate.terms import Text, text
from perennate.weather.climate import Climate
from perennate.words import Units, plain, say, show, word
from perennate.words.lines import (
    aim_met,
    aim_title,
    by_key,
    day,
    need_item,
    span,
    week_name,
    what_grows,
)
from perennate.words.say import crop_name

_WEEK = timedelta(days=7)
_FIRST_FINDINGS = 5
_FIRST_JOBS = 24
_LABELS = (
    *(
        "first",
        "aims",
        "aims_in_full",
        "findings",
        "soon",
        "ground",
        "drawing",
        "year",
        "jobs",
        "to_get",
    ),
    *("holding", "sheet", "made", "page", "scale", "season"),
    *(
        "nothing_soon",
        "nothing_to_get",
        "no_findings",
        "more_findings",
        "more_jobs",
        "without_place",
    ),
    *("code", "day", "window", "job", "place", "minutes", "amount", "item", "by", "have"),
    *("lost", "notes", "daylight", "frost", "picked", "nursery", "hours"),
)
_UPRIGHT_MM = (176.0, 190.0)
_LYING_MM = (240.0, 138.0)
"""Room for the ground on either paper, width and height."""
_LONGEST_NAME = 18


def sheet_data(
    plan: Plan, holding: Holding, names: Mapping[str, str], climate: Climate | None
) -> dict[str, Any]:
    """Everything on the sheets. Pictures carry a sentence each that says the same."""
    units = plan.holding.units
    last = plan.start + plan.weeks * _WEEK - timedelta(days=1)
    groups = hatch_of(one.rotation_group for one in plan.plantings)
    codes = short_codes(job.key for job in plan.jobs)
    soon = soon_lines(plan, names)
    findings = graver_first(plan.findings)
    shown = fullest_day(plan.plantings, plan.start, plan.weeks)
    return {
        "paper": "us-letter" if units == "us" else "a4",
        "label": {name: word(f"label.{name}") for name in _LABELS},
        "holding": plan.holding.name,
        "season": span(plan.start, last),
        "made": day(plan.as_of, more="y"),
        "version": plan.version,
        "basis": say(text("sheet.basis", basis=word(f"climate.{plan.holding.climate_basis}"))),
        "aims": [
            {
                "title": aim_title(aim, names),
                "short": aim.aim,
                "met": round(min(max(aim.met, 0.0), 1.0), 4),
                "percent": f"{aim.met:.0%}",
                "line": aim_met(aim, units),
                "memory": aim.expected.basis == "memory",
                "held": [_said(one, units, names) for one in aim.held_back_by],
                "notes": [_said(one, units, names) for one in aim.notes],
            }
            for aim in sorted(plan.aims, key=lambda aim: aim.priority)
        ],
        "findings": [_finding(one, units, names) for one in findings[:_FIRST_FINDINGS]],
        "findings_left": max(0, len(findings) - _FIRST_FINDINGS),
        "soon": _job_list(soon[:_FIRST_JOBS], codes, units, names),
        "soon_left": max(0, len(soon) - _FIRST_JOBS),
        "groups": [{"name": name, "hatch": hatch} for name, hatch in groups.items()],
        "ground": _ground(plan, holding.beds, groups, shown, names),
        "year": _year(plan, holding.beds, groups, names, climate),
        "weeks": _jobs_by_week(plan, codes, units, names),
        "needs": [
            {
                "by": day(need.by),
                "amount": show(need.to_get, need.unit, units),
                "item": need_item(need, names),
                "kind": need.kind,
                "have": show(need.have, need.unit, units),
                "why": _said(need.why, units, names),
            }
            for need in sorted(plan.needs, key=lambda one: (one.by, one.key))
            if need.to_get > 0
        ],
    }


def _said(told: Text, units: Units, names: Mapping[str, str]) -> str:
    """A sentence with its days as the sheets write them."""
    return say(told, units=units, names=names, dates="day")


def _finding(finding: Finding, units: Units, names: Mapping[str, str]) -> dict[str, Any]:
    return {
        "gravity": finding.gravity,
        "word": word(f"gravity.{finding.gravity}"),
        "text": _said(finding.text, units, names),
        "remedy": _said(finding.remedy, units, names),
        "source": finding.source,
    }


def _job_list(
    work: Sequence[Line], codes: Mapping[str, str], units: Units, names: Mapping[str, str]
) -> dict[str, Any]:
    """Work in lines; rules for the day and cautions once below them, pointed to by number.

    A line of several jobs carries the code of its first, which stands for them all.
    """
    notes: dict[str, int] = {}
    lines = []
    for line in work:
        said = [_said(one, units, names) for job in line.jobs for one in (*job.go, *job.cautions)]
        numbers = sorted({notes.setdefault(one, len(notes) + 1) for one in said})
        lines.append(
            {
                "code": codes[line.jobs[0].key],
                "day": day(line.best),
                "window": span(*line.window),
                "title": line.title,
                "place": line.place,
                "minutes": line.minutes_shown,
                "memory": line.from_memory,
                "lost": line.lost_if_missed,
                "notes": ", ".join(str(number) for number in numbers),
            }
        )
    return {"jobs": lines, "notes": list(notes)}


def _jobs_by_week(
    plan: Plan, codes: Mapping[str, str], units: Units, names: Mapping[str, str]
) -> list[dict[str, Any]]:
    plantings = by_key(plan)
    weeks: dict[date, list[Job]] = {}
    for job in sorted(plan.jobs, key=lambda one: one.best):
        first = plan.start + ((job.best - plan.start).days // 7) * _WEEK
        weeks.setdefault(first, []).append(job)
    return [
        {
            "name": week_name(first),
            "span": f"{span(first, first + _WEEK - timedelta(days=1))} {first.year}",
            "hours": plain(round(sum(job.minutes.value for job in jobs) / 60, 1)),
            **_job_list(work_lines(jobs, plantings, units, names), codes, units, names),
        }
        for first, jobs in weeks.items()
    ]


def _ground(
    plan: Plan,
    beds: Sequence[Bed],
    groups: Mapping[str, int],
    shown: date,
    names: Mapping[str, str],
) -> dict[str, Any]:
    on_bed: dict[str, list[dict[str, Any]]] = {}
    width = {bed.key: bed.width_m for bed in beds}
    told = []
    for one in sorted(plan.plantings, key=lambda one: (one.bed, one.start_m, one.key)):
        if not stands(one, shown) or one.bed not in width:
            continue
        on_bed.setdefault(one.bed, []).append(
            {
                "from_m": one.start_m,
                "to_m": one.start_m + one.length_m,
                "share": round(min(1.0, one.width_m / width[one.bed]), 4),
                "hatch": groups[one.rotation_group],
                "label": crop_name(one.crop, names),
                "variety": one.variety,
                "status": one.status,
            }
        )
        told.append(f"{one.bed}: {what_grows(one.crop, one.variety, names)}")
    loose = [bed for bed in beds if bed.x_m is None or bed.y_m is None]
    placed = ground_drawing(beds, on_bed, _UPRIGHT_MM, _LYING_MM)
    rows = bed_rows(loose, on_bed, *_UPRIGHT_MM)
    units = plan.holding.units
    return {
        "day": day(shown),
        "placed": _drawn(placed, units) if placed else None,
        "rows": [_drawn(sheet, units) for sheet in rows],
        "alt": say(
            text("sheet.ground_alt", day=day(shown), list="; ".join(told) or word("sheet.bare"))
        ),
    }


def _drawn(drawing: Drawing, units: Units) -> dict[str, Any]:
    """A drawing with its scale bar, at most 40 mm of paper."""
    bar_mm, bar = scale_bar(drawing.scale / 1000, 40.0, units)
    return {
        "scale": f"1:{drawing.scale}",
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "beds": drawing.beds,
        "lying": drawing.lying,
        "bar_mm": round(bar_mm, 3),
        "bar": bar,
    }


def _year(
    plan: Plan,
    beds: Sequence[Bed],
    groups: Mapping[str, int],
    names: Mapping[str, str],
    climate: Climate | None,
) -> dict[str, Any]:
    weeks = season_weeks(plan.start, plan.weeks)
    months = [{"at": month.week, "name": month.name} for month in months_of(weeks)]
    rows = year_bars(plan, beds)
    for row in rows:
        row["shown"] = shortened(row["name"] or word("label.bench"))
        for bar in row["bars"]:
            bar["hatch"] = groups[bar["group"]]
            bar["label"] = crop_name(bar["crop"], names)
    hours = day_lengths(weeks, plan.holding.latitude_deg)
    told = "; ".join(
        f"{row['name'] or word('label.bench')}: "
        + (", ".join(bar["label"] for bar in row["bars"]) or word("sheet.bare"))
        for row in rows
    )
    return {
        "weeks": plan.weeks,
        "months": months,
        "today": round((plan.as_of - plan.start).days / 7, 3),
        "daylight": hours,
        "hours": f"{plain(round(min(hours), 1))}–{plain(round(max(hours), 1))} h",
        "frost": frost_shares(weeks, climate),
        "rows": rows,
        "alt": say(text("sheet.year_alt", season=span(weeks[0], weeks[-1]), list=told)),
    }


def shortened(name: str) -> str:
    """A bed's name as it fits beside its row."""
    return name if len(name) <= _LONGEST_NAME else name[: _LONGEST_NAME - 1] + "…"
