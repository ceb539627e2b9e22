"""How far an aim is met, as a bar: what is expected of what is wanted, with its spread."""

from collections.abc import Mapping
from dataclasses import dataclass

from perennate.outputs.screen.marks import tenth
from perennate.planning.plan import AimResult, Plan
from perennate.terms import text
from perennate.words import say, show
from perennate.words.lines import spread, what_grows

FULL = 100.0
"""Length of a bar whose aim is met in full; nothing is drawn beyond it."""
MET = 0.995


@dataclass(frozen=True, slots=True)
class AimBar:
    """`w` is the bar's length and `low` and `high` the ends of its spread, of FULL."""

    aim: AimResult
    title: str
    kind: str
    wanted: str
    expected: str
    says: str
    w: float
    low: float
    high: float
    is_met: bool


def aim_bars(plan: Plan, names: Mapping[str, str]) -> tuple[AimBar, ...]:
    """The aims by priority and, within it, those that fall furthest short first."""
    ordered = sorted(plan.aims, key=lambda one: (one.priority, round(one.met, 3), one.aim))
    return tuple(aim_bar(one, plan, names) for one in ordered)


def aim_bar(aim: AimResult, plan: Plan, names: Mapping[str, str]) -> AimBar:
    units = plan.holding.units
    wanted = show(aim.wanted, aim.unit, units)
    low, high = (_share(end, aim) for end in (aim.expected.low, aim.expected.high))
    return AimBar(
        aim=aim,
        title=aim.aim,
        kind=", ".join([aim.kind, *([what_grows(aim.crop, "", names)] if aim.crop else [])]),
        wanted=wanted,
        expected=spread(aim.expected, units),
        says=say(text("screen.aims.bar", met=aim.met, wanted=wanted)),
        w=tenth(FULL * min(max(aim.met, 0.0), 1.0)),
        low=tenth(FULL * low),
        high=tenth(FULL * high),
        is_met=aim.met >= MET,
    )


def _share(end: float, aim: AimResult) -> float:
    return min(max(end / aim.wanted, 0.0), 1.0) if aim.wanted > 0 else min(aim.met, 1.0)
