"""What the year strip is made of: weeks, months, rows of them, and the signs of its key."""

from dataclasses import dataclass

from perennate.outputs.screen.marks import Box


@dataclass(frozen=True, slots=True)
class WeekCell:
    """A week to choose: what can be hit, and what is written and drawn in it."""

    x: float
    y: float
    w: float
    h: float
    href: str
    name: str
    """In full, for those who hear the page."""
    label: str
    """The day of the month on which it begins, or that day with its month."""
    label_x: float
    label_y: float
    frost: Box
    jobs: Box
    count: int
    chosen: bool
    today: bool


@dataclass(frozen=True, slots=True)
class MonthMark:
    """A month to choose. `year` is written only where a year begins."""

    x: float
    y: float
    w: float
    h: float
    href: str
    name: str
    label: str
    """Empty where there is no room for it."""
    year: str
    label_x: float
    label_y: float
    frost: Box
    count: int
    chosen: bool
    today: bool


@dataclass(frozen=True, slots=True)
class StripRow:
    """A row of weeks with its heights: top, sky (day length and frost), days, jobs, end."""

    top: float
    sky: float
    days: float
    work: float
    end: float
    left: float
    right: float
    weeks: tuple[WeekCell, ...]
    months: tuple[MonthMark, ...]
    curve: str
    frost: str
    """Outline of the frost hatching; empty without frost."""
    noon: float
    """Height at which day and night are equal."""
    today: float | None


@dataclass(frozen=True, slots=True)
class Sign:
    """What the line ("day"), the hatching ("frost") or the bars ("jobs") mean; "": no sign."""

    kind: str
    name: str
