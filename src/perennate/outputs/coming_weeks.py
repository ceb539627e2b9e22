"""The work of some weeks in the order in which it presses: past, lost if left, due, next."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from perennate.outputs.work_list import Line, work_lines
from perennate.planning.done import Done
from perennate.planning.plan import Job, PlannedPlanting
from perennate.terms import Text
from perennate.words import Units
from perennate.words.lines import Names

FEW_LINES = 3
"""Where there is less work of different kinds, what comes next is told as well."""

Press = Literal["past", "lost", "due", "may", "next", "done"]


@dataclass(frozen=True, slots=True)
class Shown:
    """A line as it is shown: a caution stands in full where it is first met on the page, and is
    pointed to by its number from then on."""

    line: Line
    cautions: tuple[tuple[int, Text], ...]
    above: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Lines of work that press alike; `shown` are those that are shown at once."""

    press: Press
    lines: tuple[Line, ...]
    shown: tuple[Shown, ...] = ()

    @property
    def more(self) -> int:
        """Lines that are not shown."""
        return len(self.lines) - len(self.shown)

    @property
    def minutes(self) -> float:
        """Minutes of its work that belong to these weeks."""
        counted = self.press not in ("next", "done")
        return sum(line.minutes for line in self.lines) if counted else 0.0


@dataclass(frozen=True, slots=True)
class Weeks:
    """Which weeks are looked at: `today`, the first and the last day, and the day from which the
    plan's jobs count (`made_for`)."""

    today: date
    first: date
    last: date
    made_for: date


def coming_weeks(
    jobs: Sequence[Job],
    done: Mapping[str, Done],
    weeks: Weeks,
    plantings: Mapping[str, PlannedPlanting],
    units: Units,
    names: Names,
    most: int,
) -> tuple[Group, ...]:
    """The groups that have any line, those that press first; at most `most` lines of each shown.

    past: last day gone by unticked since the plan was made, where that loses something; lost: the
    last day falls within the weeks; due: the best day does; may: its time has begun; next: what
    comes after, where these weeks have little; done: ticked whole.
    """

    def lines(some: Iterable[Job]) -> tuple[Line, ...]:
        return tuple(work_lines(list(some), plantings, units, names))

    over = [job for job in jobs if job.key in done and done[job.key].whole]
    left = [job for job in jobs if job.key not in done or not done[job.key].whole]
    at_hand = [
        job
        for job in left
        if job.earliest <= weeks.last and (job.best >= weeks.first or job.latest >= weeks.first)
    ]
    past = [
        job
        for job in left
        if job.lost_if_missed
        and weeks.made_for <= job.latest < weeks.today
        and job.key not in done
        and weeks.first <= weeks.today
    ]
    lost = [job for job in at_hand if job.lost_if_missed and job.latest <= weeks.last]
    rest = [job for job in at_hand if not (job.lost_if_missed and job.latest <= weeks.last)]
    seen = {_work(one, plantings) for one in (*lines(past), *lines(at_hand))}
    after = [job for job in left if job.earliest > weeks.last and job.key not in done]
    following = other_work(lines(after), seen, plantings) if len(seen) < FEW_LINES else ()
    groups = (
        Group("past", lines(past)),
        Group("lost", lines(lost)),
        Group("due", lines(job for job in rest if job.best <= weeks.last)),
        Group("may", lines(job for job in rest if job.best > weeks.last)),
        Group("next", following[:FEW_LINES]),
        Group("done", lines(job for job in over if _falls_in(job, done[job.key], weeks))),
    )
    met: dict[Text, int] = {}
    return tuple(
        replace(group, shown=with_cautions(group.lines[:most], met))
        for group in groups
        if group.lines
    )


def with_cautions(lines: Sequence[Line], met: dict[Text, int]) -> tuple[Shown, ...]:
    """The lines as shown; `met` numbers the cautions met so far on the page and is added to."""
    shown: list[Shown] = []
    for line in lines:
        said = dict.fromkeys(one for job in line.jobs for one in job.cautions)
        above = tuple(met[one] for one in said if one in met)
        fresh = [one for one in said if one not in met]
        met.update({one: len(met) + count for count, one in enumerate(fresh, 1)})
        shown.append(Shown(line, tuple((met[one], one) for one in fresh), above))
    return tuple(shown)


def _falls_in(job: Job, done: Done, weeks: Weeks) -> bool:
    return any(weeks.first <= day <= weeks.last for day in (done.day, job.best))


def _work(line: Line, plantings: Mapping[str, PlannedPlanting]) -> tuple[str, str]:
    """What is done and to what: the same for a round that comes every week."""
    planting = plantings.get(line.jobs[0].planting)
    return line.jobs[0].kind, planting.crop if planting else ""


def other_work(
    lines: Iterable[Line],
    seen: Collection[tuple[str, str]],
    plantings: Mapping[str, PlannedPlanting],
) -> tuple[Line, ...]:
    """The first line of each kind of work, by kind and crop, that is not among those seen."""
    first: dict[tuple[str, str], Line] = {}
    for line in lines:
        first.setdefault(_work(line, plantings), line)
    return tuple(line for work, line in first.items() if work not in seen)
