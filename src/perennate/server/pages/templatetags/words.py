"""How templates put things into words: texts, quantities, days, spreads."""

from collections.abc import Mapping
from datetime import date
from typing import Any
from urllib.parse import urlencode

from babel.dates import format_date
from django import template

from perennate.catalogue.page import citation
from perennate.outputs.work_list import Line
from perennate.terms import Estimate, Text
from perennate.words import Units, plain, say, templates, word
from perennate.words import show as quantity
from perennate.words.lines import day as day_shown
from perennate.words.lines import span as span_shown
from perennate.words.lines import spread as spread_shown
from perennate.words.lines import what_grows
from perennate.words.say import crop_name as known_name

register = template.Library()
Context = Mapping[str, Any]


def _units(context: Context) -> Units:
    sheet = context.get("sheet")
    return sheet.units if sheet else "metric"


def _names(context: Context) -> Mapping[str, str]:
    sheet = context.get("sheet")
    return sheet.names if sheet else {}


@register.simple_tag(takes_context=True)
def said(context: Context, text: Text) -> str:
    """A text as a sentence with a capital."""
    sentence = say(text, units=_units(context), names=_names(context), dates="day")
    return sentence[:1].upper() + sentence[1:]


@register.simple_tag(takes_context=True)
def shown(context: Context, value: float, unit: str) -> str:
    """A quantity with its unit, as this holding's people read it."""
    return quantity(value, unit, _units(context))


@register.simple_tag(takes_context=True)
def spread(context: Context, estimate: Estimate) -> str:
    """A value with its spread."""
    return spread_shown(estimate, _units(context))


@register.simple_tag(takes_context=True)
def grows(context: Context, crop: str, variety: str = "") -> str:
    """A crop with its variety."""
    return what_grows(crop, variety, _names(context))


@register.simple_tag
def span(first: date, last: date) -> str:
    """Days from first to last."""
    return span_shown(first, last)


@register.simple_tag(name="word")
def word_of(code: str) -> str:
    """A heading, a label."""
    return word(code)


@register.simple_tag(takes_context=True)
def cited(context: Context, estimate: Estimate) -> str:
    """What a figure rests on: its basis, and the source in full where it says more."""
    basis = word(f"basis.{estimate.basis}")
    sheet = context.get("sheet")
    sources = sheet.standing.season.catalogue.sources if sheet else {}
    source = citation(estimate.source, sources)
    return basis if estimate.source in (estimate.basis, "") else f"{basis}: {source}"


@register.simple_tag
def figure(name: str) -> str:
    """What a figure of the catalogue, or of a plan's working, is called."""
    code = f"catalogue.figure.{name}"
    return word(code) if code in templates() else name.replace("_", " ")


@register.filter
def day(when: date | None, more: str = "") -> str:
    """A day as "6 Apr", with "y" as "6 Apr 2026"."""
    return day_shown(when, more=more) if when else ""


@register.filter
def number(value: float) -> str:
    """A number to three figures."""
    return plain(float(value))


@register.filter
def percent(value: float) -> str:
    """A share as whole percent."""
    return f"{value:.0%}"


@register.filter
def hours(minutes: float) -> str:
    """Minutes of work as hours and minutes."""
    whole = round(minutes)
    return f"{whole // 60} h {whole % 60} min" if whole >= 60 else f"{whole} min"


@register.filter
def coming(press: str, part: str = "") -> str:
    """How work that presses so is headed, or with part="note" what that means."""
    return word(f"coming.{press}.{part}" if part else f"coming.{press}")


@register.filter
def asked(line: Line) -> str:
    """The part of an address that names the jobs of a line of work."""
    return urlencode([("job", job.key) for job in line.jobs])


@register.filter
def once(line: Line, part: str) -> list[Text]:
    """What the jobs of a line say under `part` (go, cautions), each once."""
    return list(dict.fromkeys(one for job in line.jobs for one in getattr(job, part)))


@register.filter
def crop_name(key: str, names: Mapping[str, str]) -> str:
    """The common name of a crop or container."""
    return known_name(key, names)


@register.filter
def stage(name: str) -> str:
    """What the planner is at."""
    return word(f"stage.{name or 'waiting'}")


@register.filter
def month_name(month: int) -> str:
    """A month by its name, from its number, 1 to 12."""
    return str(format_date(date(2000, month, 1), "LLLL", locale="en"))


@register.filter
def month_day(when: tuple[int, int]) -> str:
    """Month and day as "6 Apr"."""
    return day_shown(date(2000, *when))
