"""The short lines that calendar, workbook, sheet and command line share."""

from collections.abc import Mapping
from datetime import date

from perennate.planning.plan import AimResult, Finding, Job, Need, Plan, PlannedPlanting
from perennate.terms import Estimate, text
from perennate.words.quantities import Units, convert, is_share, plain, show, symbol
from perennate.words.say import crop_name, day, say

__all__ = [
    "aim_met",
    "aim_title",
    "by_key",
    "column",
    "day",
    "finding_line",
    "job_title",
    "need_item",
    "need_line",
    "span",
    "spread",
    "week_name",
    "what_grows",
    "work_title",
]

Names = Mapping[str, str]


def span(first: date, last: date, language: str = "en") -> str:
    """Days from first to last, with the year only where it changes: "30 Mar to 5 Apr"."""
    if first == last:
        return day(first, language)
    year = "y" if first.year != last.year else ""
    ends = [day(end, language, year) for end in (first, last)]
    return say(text("line.span", first=ends[0], last=ends[1]), language)


def week_name(monday: date, language: str = "en") -> str:
    """A week by the day it begins, since week numbers differ between countries."""
    return say(text("line.week", day=day(monday, language)), language)


def what_grows(crop: str, variety: str, names: Names | None = None) -> str:
    """A crop with its variety in single quotes: "Carrot 'Rotkäppchen'"."""
    name = crop_name(crop, names)
    return f"{name} '{variety}'" if variety else name


def spread(estimate: Estimate, units: Units) -> str:
    """A value with its spread: "61 kg (40 to 85)"; a share as percent."""
    value = show(estimate.value, estimate.unit, units)
    numbers = (estimate.value, estimate.low, estimate.high)
    if is_share(estimate.unit):
        ends = [f"{number:.0%}" for number in numbers]
    else:
        ends = [plain(convert(number, estimate.unit, units)[0]) for number in numbers]
    if estimate.low == estimate.high:
        return value
    return say(text("line.spread", value=value, low=ends[1], high=ends[2]))


def job_title(
    job: Job, planting: PlannedPlanting | None, units: Units, names: Names | None = None
) -> str:
    """What is done to what: "Sow Carrot 'Rotkäppchen', 420 seeds"."""
    of = what_grows(planting.crop, planting.variety, names) if planting else ""
    return work_title(job.kind, of, job.quantity, job.unit, units)


def work_title(kind: str, of: str, quantity: float, unit: str, units: Units) -> str:
    """A kind of work, what it is done to (may be empty) and how much of it."""
    done = kind[:1].upper() + kind[1:]
    much = f", {show(quantity, unit, units)}" if quantity and unit != "1" else ""
    return f"{done} {of}{much}" if of else f"{done}{much}"


def aim_title(aim: AimResult, names: Names | None = None) -> str:
    """An aim by its own key, with its crop where it has one: "Möhren (food, Carrot)"."""
    inner = ", ".join([aim.kind, *([crop_name(aim.crop, names)] if aim.crop else [])])
    return f"{aim.aim} ({inner})"


def aim_met(aim: AimResult, units: Units) -> str:
    """How far an aim is met: "96% of 10 kg; expected 9.61 kg (4.2 to 16.8)"."""
    return say(
        text(
            "line.aim_met",
            met=aim.met,
            wanted=show(aim.wanted, aim.unit, units),
            expected=spread(aim.expected, units),
        )
    )


def need_line(need: Need, units: Units, names: Names | None = None) -> str:
    """What to get: "0.5 g seed of Carrot 'Rotkäppchen' by 6 Apr".

    `names` may hold the names of containers as well as those of crops.
    """
    much = show(need.to_get, need.unit, units)
    if need.kind == "seed" and need.unit != "seeds":
        much = say(text("line.need_seed", amount=much))
    elif need.kind == "sets" and need.unit == "pieces":
        much = show(need.to_get, "sets", units)
    elif need.kind == "containers":
        much = plain(need.to_get)
    code = f"line.need_{need.kind}" if need.kind in _OWN_LINES else "line.need"
    return say(text(code, amount=much, item=need_item(need, names), day=day(need.by)))


_OWN_LINES = ("containers", "bench", "hours")


def need_item(need: Need, names: Names | None = None) -> str:
    """What is needed, by its common name."""
    return what_grows(need.item, need.variety, names)


def finding_line(finding: Finding, units: Units, names: Names | None = None) -> str:
    """What a check says and what to do: one line, its days as "6 Apr 2026"."""
    said = (finding.text, finding.remedy)
    return " ".join(say(one, units=units, names=names, dates="day") for one in said)


def by_key(plan: Plan) -> dict[str, PlannedPlanting]:
    """The plan's plantings by their keys."""
    return {planting.key: planting for planting in plan.plantings}


def column(heading: str, unit: str, units: Units) -> str:
    """A column's heading with its unit: "Area, m²"."""
    return f"{heading}, {symbol(unit, units)}"
