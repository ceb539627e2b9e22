"""The short lines that calendar, workbook, sheet and command line share."""

from collections.abc import Mapping
from datetime import date

from babel.dates import format_date

from perennate.planning.plan import AimResult, Finding, Job, Need, Plan, PlannedPlanting
from perennate.terms import Estimate, text
from perennate.words.quantities import Units, convert, plain, show, symbol
from perennate.words.say import crop_name, say

Names = Mapping[str, str]


def day(when: date, language: str = "en") -> str:
    """A day within a season: "6 Apr"."""
    return str(format_date(when, "d MMM", locale=language))


def span(first: date, last: date, language: str = "en") -> str:
    """Days from first to last, with the year only where it changes: "30 Mar to 5 Apr"."""
    if first == last:
        return day(first, language)
    pattern = "d MMM y" if first.year != last.year else "d MMM"
    ends = [str(format_date(end, pattern, locale=language)) for end in (first, last)]
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
    if estimate.unit == "share":
        ends = [f"{number:.0%}" for number in (estimate.value, estimate.low, estimate.high)]
        value = ends[0]
    else:
        numbers = (estimate.value, estimate.low, estimate.high)
        ends = [plain(convert(number, estimate.unit, units)[0]) for number in numbers]
        value = show(estimate.value, estimate.unit, units)
    if estimate.low == estimate.high:
        return value
    return say(text("line.spread", value=value, low=ends[1], high=ends[2]))


def amount(value: float, unit: str, units: Units) -> str:
    """An amount with its unit: a share as percent."""
    return f"{value:.0%}" if unit == "share" else show(value, unit, units)


def job_title(
    job: Job, planting: PlannedPlanting | None, units: Units, names: Names | None = None
) -> str:
    """What is done to what: "Sow Carrot 'Rotkäppchen', 420 seeds"."""
    kind = job.kind[:1].upper() + job.kind[1:]
    of = f" {what_grows(planting.crop, planting.variety, names)}" if planting else ""
    much = f", {show(job.quantity, job.unit, units)}" if job.quantity and job.unit != "1" else ""
    return f"{kind}{of}{much}"


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
            wanted=amount(aim.wanted, aim.unit, units),
            expected=spread(aim.expected, units),
        )
    )


def need_line(need: Need, units: Units, names: Names | None = None) -> str:
    """What to get: "0.5 g seed of Carrot 'Rotkäppchen' by 6 Apr"."""
    of_crop = need.kind in ("seed", "sets")
    item = what_grows(need.item, need.variety, names if of_crop else None)
    return say(
        text(
            "line.need_of" if of_crop else "line.need",
            amount=show(need.to_get, need.unit, units),
            kind=need.kind,
            item=item,
            day=day(need.by),
        )
    )


def finding_line(finding: Finding, units: Units, names: Names | None = None) -> str:
    """What a check says and what to do: one line."""
    return f"{say(finding.text, units=units, names=names)} " + say(
        finding.remedy, units=units, names=names
    )


def by_key(plan: Plan) -> dict[str, PlannedPlanting]:
    """The plan's plantings by their keys."""
    return {planting.key: planting for planting in plan.plantings}


def column(heading: str, unit: str, units: Units) -> str:
    """A column's heading with its unit: "Area, m²"."""
    return f"{heading}, {symbol(unit, units)}"
