"""Jobs as people work through them: those that are done in one go stand in one line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from perennate.planning.plan import Job, PlannedPlanting
from perennate.terms import text
from perennate.words import Units, say, word
from perennate.words.lines import Names, what_grows, work_title

_OF_THE_GROUND = frozenset({"compost", "prepare bed", "cover ground", "water"})
"""Work that is the same whatever is to grow there."""


@dataclass(frozen=True, slots=True)
class Line:
    """One or several jobs of one kind, crop, variety and best day, in the plan's order."""

    jobs: tuple[Job, ...]
    title: str
    place: str

    @property
    def best(self) -> date:
        return self.jobs[0].best

    @property
    def window(self) -> tuple[date, date]:
        """The days on which every one of the jobs may be done."""
        return max(job.earliest for job in self.jobs), min(job.latest for job in self.jobs)

    @property
    def minutes(self) -> float:
        return sum(job.minutes.value for job in self.jobs)

    @property
    def minutes_shown(self) -> str:
        """Whole minutes, a moment as one."""
        return f"{max(1.0, self.minutes):.0f}" if self.minutes > 0 else "0"

    @property
    def lost_if_missed(self) -> bool:
        return any(job.lost_if_missed for job in self.jobs)

    @property
    def from_memory(self) -> bool:
        return any(job.minutes.basis == "memory" for job in self.jobs)


def work_lines(
    jobs: Sequence[Job],
    plantings: Mapping[str, PlannedPlanting],
    units: Units,
    names: Names | None = None,
) -> list[Line]:
    """The jobs by best day and else in their own order, what differs only by planting folded.

    Work on raised plants names the beds that they are for; other work stands with its places.
    """
    alike: dict[tuple[object, ...], list[Job]] = {}
    for job in sorted(jobs, key=lambda job: job.best):
        alike.setdefault(_likeness(job, plantings.get(job.planting)), []).append(job)
    return [_line(folded, plantings, units, names) for folded in alike.values()]


def _likeness(job: Job, planting: PlannedPlanting | None) -> tuple[object, ...]:
    if job.kind in _OF_THE_GROUND:
        return job.best, job.kind, job.unit
    if planting is None:
        return job.best, job.kind, job.unit, job.key
    raised = job.place != planting.bed
    return job.best, job.kind, job.unit, planting.crop, planting.variety, raised


def _line(
    jobs: Sequence[Job],
    plantings: Mapping[str, PlannedPlanting],
    units: Units,
    names: Names | None,
) -> Line:
    grown = [plantings[job.planting] for job in jobs if job.planting in plantings]
    crops = list(dict.fromkeys(what_grows(one.crop, one.variety, names) for one in grown))
    title = work_title(
        jobs[0].kind,
        crops[0] if len(crops) == 1 else "",
        sum(job.quantity for job in jobs),
        jobs[0].unit,
        units,
    )
    places = list(dict.fromkeys(job.place for job in jobs if job.place))
    beds = list(dict.fromkeys(one.bed for one in grown if one.bed))
    if beds and not set(places) & set(beds):
        title = say(text("line.job_for", job=title, beds=", ".join(beds)))
    return Line(tuple(jobs), title, ", ".join(places) or word("line.everywhere"))
