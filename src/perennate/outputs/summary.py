"""The season in a few plain lines: what the command line prints."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

from perennate.outputs.sheet_data import graver_first, jobs_soon
from perennate.planning.plan import Plan
from perennate.terms import text
from perennate.words import plain, say, word
from perennate.words.lines import (
    aim_met,
    aim_title,
    amount,
    by_key,
    day,
    finding_line,
    job_title,
    need_line,
    span,
    spread,
)

_MOST_LINES = 20


@dataclass(frozen=True, slots=True)
class Section:
    heading: str
    lines: tuple[str, ...]


def summary(plan: Plan, names: Mapping[str, str] | None = None) -> tuple[Section, ...]:
    """Aims and how far met, the next three weeks' jobs, what to get, the findings, the search.

    At most twenty lines a section; what is left out is counted.
    """
    units = plan.holding.units
    plantings = by_key(plan)
    last = plan.start + timedelta(weeks=plan.weeks, days=-1)
    aims = []
    for aim in sorted(plan.aims, key=lambda one: one.priority):
        aims.append(f"{aim_title(aim, names)}: {aim_met(aim, units)}")
        aims += [f"  {say(one, units=units, names=names)}" for one in aim.held_back_by]
    jobs = [
        say(
            text(
                "summary.job",
                day=day(job.best),
                window=span(job.earliest, job.latest),
                job=job_title(job, plantings.get(job.planting), units, names),
                place=job.place,
                minutes=plain(job.minutes.value),
            )
        )
        for job in jobs_soon(plan)
    ]
    needs = [
        need_line(need, units, names)
        for need in sorted(plan.needs, key=lambda one: (one.by, one.key))
        if need.to_get > 0
    ]
    findings = [
        f"{word(f'gravity.{finding.gravity}')}: {finding_line(finding, units, names)}"
        for finding in graver_first(plan.findings)
    ]
    return (
        Section(
            f"{plan.holding.name}, {span(plan.start, last)}", tuple(_season_lines(plan, names))
        ),
        Section(word("label.aims"), _few(aims, word("summary.no_aims"))),
        Section(word("label.soon"), _few(jobs, word("label.nothing_soon"))),
        Section(word("label.to_get"), _few(needs, word("label.nothing_to_get"))),
        Section(word("label.findings"), _few(findings, word("label.no_findings"))),
    )


def _season_lines(plan: Plan, names: Mapping[str, str] | None) -> list[str]:
    units = plan.holding.units
    yields = plan.yields
    lines = [
        say(
            text(
                "summary.holding",
                beds=plan.holding.beds,
                ground=plan.holding.ground_m2,
                plantings=len(plan.plantings),
                jobs=len(plan.jobs),
            ),
            units=units,
        ),
        say(
            text(
                "summary.harvest",
                harvest=spread(yields.harvest_kg, units),
                per_area=amount(yields.kg_per_m2, "kg/m2", units),
                energy=amount(yields.kcal_per_m2, "kcal/m2", units),
            )
        ),
    ]
    if yields.energy_share is not None and yields.protein_share is not None:
        shares = text("summary.shares", energy=yields.energy_share, protein=yields.protein_share)
        lines.append(say(shares))
    lines += [say(note, units=units, names=names) for note in yields.notes]
    lines.append(say(text("sheet.basis", basis=word(f"climate.{plan.holding.climate_basis}"))))
    lines.append(say(plan.solver.text, units=units, names=names))
    return lines


def _few(lines: list[str], otherwise: str) -> tuple[str, ...]:
    if not lines:
        return (otherwise,)
    left = len(lines) - _MOST_LINES
    if left <= 0:
        return tuple(lines)
    return (*lines[:_MOST_LINES], say(text("summary.more", count=left)))
