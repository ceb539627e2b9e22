"""A job of a plan that was done, as a record of the holding."""

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
    return tuple(amount * job.quantity / whole for job in jobs)
