"""Jobs of a plan and the holding's records of them: what was done is written, what is written
tells how far jobs are done."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from perennate.holding.model import Record
from perennate.planning.plan import Job, PlannedPlanting

_RECORDED = {
    "sow": "sown",
    "plant sets": "planted out",
    "prick out": "pricked out",
    "pot on": "potted on",
    "plant out": "planted out",
    "harvest": "harvested",
    "clear": "cleared",
    "feed": "fed",
    "weed": "weeded",
    "water": "watered",
    "look over": "seen",
}
_OTHER = "work"


@dataclass(frozen=True, slots=True)
class Done:
    """How far a job was ticked: whole or in part, and when last."""

    whole: bool
    day: date


def ticked(records: Iterable[Record]) -> dict[str, Done]:
    """What the records say of each job, by its key; what was whole once stays whole."""
    found: dict[str, Done] = {}
    for record in sorted(records, key=lambda one: one.day):
        if record.job:
            before = found.get(record.job)
            whole = not record.part or (before is not None and before.whole)
            found[record.job] = Done(whole, record.day)
    return found


def record_of(
    job: Job, planting: PlannedPlanting | None, day: date, amount: float | None, part: bool
) -> Record:
    """What is written down of a job done on a day: how much in the job's unit (None: not told), and
    whether some of it is left. Work without a kind of its own among records is named in the note.
    """
    kind = _RECORDED.get(job.kind, _OTHER)
    return Record(
        key=f"{job.key} {day.isoformat()}",
        day=day,
        kind=kind,
        crop=planting.crop if planting else "",
        place=job.place,
        amount=amount,
        unit=job.unit if amount is not None else "",
        minutes=None,
        note=job.kind if kind == _OTHER else "",
        job=job.key,
        part=part,
    )


def shared_out(amount: float, jobs: tuple[Job, ...]) -> tuple[float, ...]:
    """An amount said for several jobs of one unit, shared out among them as it was planned."""
    whole = sum(job.quantity for job in jobs)
    if whole <= 0:
        return tuple(amount / len(jobs) for _ in jobs)
    return tuple(amount * (job.quantity / whole) for job in jobs)
