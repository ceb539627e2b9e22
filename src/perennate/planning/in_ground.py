"""Which plantings of a plan are in the ground by what was written down, whatever was planned."""

from collections.abc import Iterable

from perennate.holding.model import Record
from perennate.planning.done import ticked
from perennate.planning.plan import Plan

PUTS_IN = {"direct": "sow", "nursery": "plant out", "set": "plant sets"}
"""The work, by route, after which a planting is in its bed."""
TAKES_OUT = "clear"


def in_ground(plan: Plan, records: Iterable[Record]) -> frozenset[str]:
    """Keys of plantings that were sown or set out, in whole or in part, and not yet cleared."""
    done = ticked(records)
    routes = {one.key: one.route for one in plan.plantings}
    put, gone = set(), set()
    for job in plan.jobs:
        if job.key in done and job.planting in routes:
            if job.kind == PUTS_IN[routes[job.planting]]:
                put.add(job.planting)
            elif job.kind == TAKES_OUT and done[job.key].whole:
                gone.add(job.planting)
    return frozenset(put - gone)
