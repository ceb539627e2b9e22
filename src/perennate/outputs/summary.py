"""The season in a few plain lines: what the command line prints."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from rich.cells import cell_len

from perennate.outputs.water_told import season_lines
from perennate.outputs.work_list import Line, work_lines
from perennate.planning.plan import AimResult, Finding, Plan, PlannedPlanting
from perennate.terms import Text, text
from perennate.words import convert, plain, say, show, symbol, word
from perennate.words.lines import (
    aim_met,
    aim_title,
    by_key,
    day,
    finding_line,
    need_line,
    span,
    spread,
    what_grows,
)

_MOST_LINES = 20
_MOST_PLANTINGS = 15
_SOON = timedelta(weeks=3)
_GRAVITY = {"grave": 0, "mind": 1, "note": 2}
_TOLD_WITH_THE_AIMS = "aim.unmet"


@dataclass(frozen=True, slots=True)
class Section:
    heading: str
    lines: tuple[str, ...]


def summary(plan: Plan, names: Mapping[str, str] | None = None) -> tuple[Section, ...]:
    """Aims and how far met, what is planted where, the next three weeks' jobs, what to get, the
    findings.

    At most twenty entries a section, fifteen plantings; what is left out is counted. `names` may
    hold the names of containers as well as those of crops.
    """
    teller = _Teller(plan, names)
    last = plan.start + timedelta(weeks=plan.weeks, days=-1)
    return (
        Section(f"{plan.holding.name}, {span(plan.start, last)}", tuple(teller.season())),
        Section(word("label.aims"), teller.aims()),
        Section(word("label.plantings"), teller.plantings()),
        Section(word("label.soon"), teller.soon()),
        Section(word("label.to_get"), teller.needs()),
        Section(word("label.findings"), teller.findings()),
    )


def graver_first(findings: Sequence[Finding]) -> list[Finding]:
    """Findings with the grave ones first, else in the plan's order.

    An aim that falls short is left out: where findings are listed, the aims stand above them.
    """
    kept = (one for one in findings if one.rule != _TOLD_WITH_THE_AIMS)
    return sorted(kept, key=lambda one: _GRAVITY[one.gravity])


def soon_lines(plan: Plan, names: Mapping[str, str] | None = None) -> list[Line]:
    """Work whose best day lies within three weeks of the day the plan is made for."""
    end = plan.as_of + _SOON
    soon = [job for job in plan.jobs if plan.as_of <= job.best < end]
    return work_lines(soon, by_key(plan), plan.holding.units, names)


@dataclass(frozen=True, slots=True)
class _Teller:
    plan: Plan
    names: Mapping[str, str] | None

    def said(self, told: Text) -> str:
        sentence = say(told, units=self.plan.holding.units, names=self.names, dates="day")
        return sentence[:1].upper() + sentence[1:]

    def season(self) -> list[str]:
        plan, yields, units = self.plan, self.plan.yields, self.plan.holding.units
        holding = text(
            "summary.holding",
            beds=plan.holding.beds,
            ground=plan.holding.ground_m2,
            plantings=len(plan.plantings),
            jobs=len(plan.jobs),
        )
        harvest = text(
            "summary.harvest",
            harvest=spread(yields.harvest_kg, units),
            per_area=show(yields.kg_per_m2, "kg/m2", units),
            energy=show(yields.kcal_per_m2, "kcal/m2", units),
        )
        lines = [self.said(holding), self.said(harvest)]
        if yields.energy_share is not None and yields.protein_share is not None:
            shares = {"energy": yields.energy_share, "protein": yields.protein_share}
            lines.append(self.said(text("summary.shares", **shares)))
        lines += [self.said(note) for note in yields.notes]
        lines += [self.said(line) for line in season_lines(plan)]
        basis = word(f"climate.{plan.holding.climate_basis}")
        return [*lines, say(text("sheet.basis", basis=basis)), self.said(plan.solver.text)]

    def aims(self) -> tuple[str, ...]:
        """An aim with what holds it back counts as one entry."""
        aims = sorted(self.plan.aims, key=lambda one: one.priority)
        lines = [line for aim in aims[:_MOST_LINES] for line in self._aim(aim)]
        if len(aims) > _MOST_LINES:
            lines.append(_left(len(aims) - _MOST_LINES))
        return tuple(lines) or (word("summary.no_aims"),)

    def _aim(self, aim: AimResult) -> list[str]:
        lines = [f"{aim_title(aim, self.names)}: {aim_met(aim, self.plan.holding.units)}"]
        if aim.held_back_by:
            units = self.plan.holding.units
            told = aim.held_back_by
            reasons = (say(one, units=units, names=self.names, dates="day") for one in told)
            lines.append("  " + say(text("summary.held_back", reasons="; ".join(reasons))))
        return lines

    def plantings(self) -> tuple[str, ...]:
        """Bed, crop, sown, in the bed from and to, length, plants and harvest, by day of sowing;
        what stands already comes last."""
        plan, units = self.plan, self.plan.holding.units
        if not plan.plantings:
            return (word("summary.no_plantings"),)
        ordered = sorted(
            plan.plantings,
            key=lambda one: (one.status == "stands", one.sow, one.ground_from, one.bed, one.key),
        )
        heading = (
            *(word(f"column.{name}") for name in ("bed", "crop", "sow", "ground_from")),
            word("column.ground_to"),
            symbol("m", units),
            word("column.plants"),
            symbol("kg", units),
        )
        rows = [heading, *(self._planting(one) for one in ordered[:_MOST_PLANTINGS])]
        lines = in_columns(rows, to_the_right=(5, 6, 7))
        if len(ordered) > _MOST_PLANTINGS:
            lines.append(_left(len(ordered) - _MOST_PLANTINGS))
        return tuple(lines)

    def _planting(self, one: PlannedPlanting) -> tuple[str, ...]:
        units, first_year = self.plan.holding.units, self.plan.start.year
        days = (one.sow, one.ground_from, one.ground_to)
        return (
            one.bed or word("label.bench"),
            what_grows(one.crop, one.variety, self.names),
            *(day(when, more="" if when.year == first_year else "y") for when in days),
            plain(convert(one.length_m, "m", units)[0]),
            str(one.plants),
            plain(convert(one.harvest.value, "kg", units)[0]),
        )

    def soon(self) -> tuple[str, ...]:
        lines = [self._work(line) for line in soon_lines(self.plan, self.names)]
        if lines:
            return _few(lines)
        later = [job for job in self.plan.jobs if job.best >= self.plan.as_of]
        first = work_lines(later, by_key(self.plan), self.plan.holding.units, self.names)[:1]
        told = [say(text("summary.first_job", job=self._work(line))) for line in first]
        return (word("label.nothing_soon"), *told)

    def _work(self, line: Line) -> str:
        return say(
            text(
                "summary.job",
                day=day(line.best),
                window=span(*line.window),
                job=line.title,
                place=line.place,
                minutes=line.minutes_shown,
            )
        )

    def needs(self) -> tuple[str, ...]:
        wanted = [need for need in self.plan.needs if need.to_get > 0]
        wanted.sort(key=lambda one: (one.by, one.key))
        lines = [need_line(need, self.plan.holding.units, self.names) for need in wanted]
        return _few(lines) or (word("label.nothing_to_get"),)

    def findings(self) -> tuple[str, ...]:
        lines = [
            f"{word(f'gravity.{one.gravity}')}: "
            + finding_line(one, self.plan.holding.units, self.names)
            for one in graver_first(self.plan.findings)
        ]
        return _few(lines) or (word("label.no_findings"),)


def in_columns(rows: Sequence[Sequence[str]], to_the_right: Sequence[int] = ()) -> list[str]:
    """Rows of cells as lines, each column as wide as its widest cell on a terminal."""
    widths = [max(cell_len(cell) for cell in column) for column in zip(*rows, strict=True)]
    lines = []
    for row in rows:
        cells = []
        for place, (cell, width) in enumerate(zip(row, widths, strict=True)):
            gap = " " * (width - cell_len(cell))
            cells.append(gap + cell if place in to_the_right else cell + gap)
        lines.append("  ".join(cells).rstrip())
    return lines


def _few(lines: Sequence[str]) -> tuple[str, ...]:
    left = len(lines) - _MOST_LINES
    return tuple(lines) if left <= 0 else (*lines[:_MOST_LINES], _left(left))


def _left(count: int) -> str:
    return say(text("summary.more", count=count))
