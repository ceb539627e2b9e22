"""What was typed on the first screens, read into answers; every fault at its field."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from perennate.catalogue.model import Catalogue
from perennate.catalogue.names import find_crop, suggestions
from perennate.holding.cells import CellError, Reading, quantity
from perennate.holding.first_guess import BedsAlike, FirstAnswers, Place, SeedHeld, Standing
from perennate.holding.model import MonthDay
from perennate.holding.place import read_position
from perennate.reckoner.quantities import UnreadableError, read_month_day
from perennate.terms import BadInput, Problem

Typed = Mapping[str, Sequence[str]]
"""What was typed, by field; a field of a row that is asked several times has a value a row."""

SCREENS: Mapping[str, tuple[str, ...]] = {
    "place": ("units", "position", "height", "name", "water"),
    "frost": ("frost", "last_frost", "first_frost", "coldest", "wet"),
    "beds": ("bed_count", "bed_length", "bed_width", "bed_light"),
    "standing": ("stand_crop", "stand_bed", "stand_since"),
    "eats": ("eats", "more"),
    "seeds": ("seed_crop", "seed_variety", "seed_year"),
    "people": ("adults", "children", "bench", "hours"),
}
"""The screens in order, with their fields."""

SEVERAL = ("water", "wet", "eats", "more")
"""Fields that may hold several values without being rows."""
LIGHTS = ("full sun", "half shade", "shade")
WATERS: Mapping[str, str] = {
    "mains": "a pipe of the supplier",
    "well": "a well",
    "roof": "rain from a roof",
    "surface": "a stream, pond or ditch",
    "grey": "water used in the house",
}
"""Where water comes from: kinds of sources, and what a person calls them."""
BENCHES = ("none", "window sill", "small greenhouse")
_PARTS_OF_MONTH = {"early": 5, "beginning of": 3, "mid": 15, "middle of": 15, "late": 25}
_PARTS_OF_MONTH |= {"end of": 28, "": 15}
_BARE = re.compile(r"[+\-−]?[\d.,\s]+")


@dataclass
class Told:
    """What was read so far and what is wrong, by field ("bed_length.2" for the second row)."""

    typed: Typed
    catalogue: Catalogue
    as_of: date
    wrong: dict[str, list[str]] = field(default_factory=dict)
    near: tuple[str, ...] = ()
    """Crops that may have been meant by one that is not known."""
    said: dict[str, Any] = field(default_factory=dict)

    def one(self, name: str) -> str:
        values = self.typed.get(name, ())
        return values[0].strip() if values else ""

    @property
    def us(self) -> bool:
        return self.one("units") == "us"

    def refuse(self, name: str, found: str, expected: str) -> None:
        shown = f"“{found}” was found" if found else "nothing was found"
        self.wrong.setdefault(name, []).append(f"{shown}; expected {expected}")

    def rows(self, screen: str) -> Iterable[tuple[int, dict[str, str]]]:
        """The rows of a screen in which something is typed, counted from 1."""
        names = SCREENS[screen]
        most = max((len(self.typed.get(name, ())) for name in names), default=0)
        for at in range(most):
            columns = {name: self.typed.get(name, ()) for name in names}
            cells = {
                name: (values[at].strip() if at < len(values) else "")
                for name, values in columns.items()
            }
            if any(value for name, value in cells.items() if name != "bed_light"):
                yield at + 1, cells

    def measure(
        self, name: str, written: str, unit: str, us: str, low: float, high: float
    ) -> float | None:
        """A quantity in `unit`; a bare number is in `us` where people write US units."""
        text = f"{written} {us}" if self.us and us and _BARE.fullmatch(written) else written
        expected = f"a number from {low:g} to {high:g} {unit}".rstrip()
        if self.us and us:
            expected += f", or one with a unit, such as {us}"
        try:
            found = float(quantity(text, Reading(us=self.us), lambda n: low <= n <= high, unit))
        except CellError:
            self.refuse(name, written, expected)
            return None
        if not low <= found <= high:
            self.refuse(name, written, expected)
            return None
        return found

    def whole(self, name: str, written: str, low: int, high: int) -> int | None:
        if written.isascii() and written.isdecimal() and low <= int(written[:9]) <= high:
            return int(written)
        self.refuse(name, written, f"a whole number from {low} to {high}")
        return None

    def month_day(self, name: str, written: str) -> MonthDay | None:
        """A day of the year: "10 May", "05-10", "mid May", "May"."""
        text = written.casefold().replace("-", " " if re.search(r"[a-z]", written, re.I) else "-")
        for part, day in _PARTS_OF_MONTH.items():
            text = re.sub(rf"^{part}\s*(?=[a-z]+$)", f"{day} ", text) if part else text
        if re.fullmatch(r"[a-z]+", text):
            text = f"{_PARTS_OF_MONTH['']} {text}"
        try:
            return read_month_day(text)
        except UnreadableError:
            self.refuse(name, written, "a day such as “10 May”, or “mid May”")
            return None

    def crop(self, name: str, written: str) -> str | None:
        found, meant = _found(self.catalogue, written)
        if found is not None:
            return found
        self.near = (*self.near, *(one for one in meant if one not in self.near))
        called = " or ".join(self.catalogue.crops[one].common_name for one in meant[:4])
        known = "the name of a crop that is known here"
        other = f"{known}, or nothing here: not every crop is known yet"
        self.refuse(name, written, f"{known}: {called}, perhaps" if called else other)
        return None


def _found(catalogue: Catalogue, written: str) -> tuple[str | None, tuple[str, ...]]:
    """The key of the crop of that name; else None and the keys of those that may be meant."""
    names = (written, *_singulars(written))
    for one in names:
        crop = find_crop(catalogue, one)
        if crop is not None:
            return crop.key, ()
    meant = [key for one in names for key in suggestions(catalogue, one)]
    return None, tuple(dict.fromkeys(meant))[:8]


def _singulars(written: str) -> tuple[str, ...]:
    """What people may mean who name a crop by its plural: carrots, tomatoes, berries."""
    endings = (("ies", "y"), ("oes", "o"), ("ches", "ch"), ("s", ""))
    return tuple(
        written[: -len(many)] + one for many, one in endings if written.casefold().endswith(many)
    )


def read_screen(screen: str, typed: Typed, catalogue: Catalogue, as_of: date) -> Told:
    """One screen, read; what it needs of those before it is taken from them."""
    told = Told(typed, catalogue, as_of)
    _READ[screen](told)
    return told


def read_all(typed: Typed, catalogue: Catalogue, as_of: date) -> tuple[FirstAnswers | None, str]:
    """The answers, or the first screen on which something is wrong."""
    said: dict[str, Any] = {}
    for screen in SCREENS:
        told = read_screen(screen, typed, catalogue, as_of)
        if told.wrong:
            return None, screen
        said |= told.said
    return FirstAnswers(as_of=as_of, **said), ""


def screen_of(problem: Problem) -> str:
    """The screen on which the answer that a problem names is given."""
    stem = (problem.column or "").partition(".")[0]
    for screen in ("place", "beds", "standing", "eats", "seeds"):
        if stem == screen:
            return screen
    if stem in ("adults", "children", "bench", "hours_per_week"):
        return "people"
    return "place" if stem in ("name", "units", "water", "") else "frost"


def _place(told: Told) -> None:
    latitude, longitude = 0.0, None
    try:
        latitude, longitude = read_position(told.one("position"))
    except BadInput as bad:
        told.refuse("position", told.one("position")[:80], bad.problems[0].expected)
    height = told.one("height")
    elevation = told.measure("height", height, "m", "ft", -430, 6000) if height else None
    units = "us" if told.us else "metric"
    told.said |= {"units": units, "name": told.one("name")[:120] or "My holding"}
    told.said["place"] = Place(latitude, longitude, elevation)
    told.said["water"] = tuple(one for one in WATERS if one in told.typed.get("water", ()))


def _frost(told: Told) -> None:
    kind = told.one("frost")
    if kind not in ("remembered", "none", "unknown"):
        told.refuse("frost", kind, "one of the three")
    told.said["no_frost"] = kind == "none"
    for name in ("last_frost", "first_frost"):
        written = told.one(name)
        if kind == "remembered" and written:
            told.said[name] = told.month_day(name, written)
    if kind == "remembered" and not (told.one("last_frost") or told.one("first_frost")):
        told.refuse("last_frost", "", "one of the two days, or “I do not know” above")
    if told.one("coldest"):
        degrees = told.measure("coldest", told.one("coldest"), "degC", "F", -70, 40)
        told.said["coldest_night_c"] = degrees
    months = {int(one) for one in told.typed.get("wet", ()) if one.isdecimal()}
    told.said["wet_months"] = tuple(sorted(month for month in months if 1 <= month <= 12))


def _beds(told: Told) -> None:
    groups: list[BedsAlike] = []
    for at, cells in told.rows("beds"):
        count = told.whole(f"bed_count.{at}", cells["bed_count"] or "1", 1, 500)
        sizes: list[float | None] = []
        for name, most in (("bed_length", 500), ("bed_width", 100)):
            field_name = f"{name}.{at}"
            sizes.append(told.measure(field_name, cells[name], "m", "ft", 0.1, most))
        light: Any = cells["bed_light"] if cells["bed_light"] in LIGHTS else None
        length, width = sizes
        if count is not None and length is not None and width is not None:
            groups.append(BedsAlike(count, length, width, light))
    if not groups and not told.wrong:
        told.refuse("bed_length.1", "", "at least one bed: how long and how wide it is")
    told.said["beds"] = tuple(groups)


def _standing(told: Told) -> None:
    beds = _count_of_beds(told)
    found: list[Standing] = []
    for at, cells in told.rows("standing"):
        crop = told.crop(f"stand_crop.{at}", cells["stand_crop"])
        bed = (
            told.whole(f"stand_bed.{at}", cells["stand_bed"], 1, beds) if cells["stand_bed"] else ""
        )
        since = None
        if cells["stand_since"]:
            since = told.month_day(f"stand_since.{at}", cells["stand_since"])
        if crop is not None and bed is not None:
            found.append(Standing(crop, bed, since))
    told.said["standing"] = tuple(found)


def _count_of_beds(told: Told) -> int:
    before = Told(told.typed, told.catalogue, told.as_of)
    _beds(before)
    groups: tuple[BedsAlike, ...] = before.said["beds"]
    return max(1, sum(group.count for group in groups))


def settled(typed: Typed, catalogue: Catalogue) -> tuple[list[str], list[str]]:
    """What is eaten as keys and as what is not settled yet, the latter by the field it stands in.

    A name that could be several crops is settled when one of those it could be is chosen.
    """
    keys = [key for key in typed.get("eats", ()) if key in catalogue.crops]
    left: list[str] = []
    for written in typed.get("more", ()):
        open_still = []
        for name in _names_in(written):
            found, meant = _found(catalogue, name)
            if found is not None:
                keys.append(found)
            elif not set(meant) & set(keys):
                open_still.append(name)
        left.append(", ".join(open_still))
    return list(dict.fromkeys(keys)), left


def _names_in(written: str) -> list[str]:
    """The names in a field that takes several; a comma in brackets is part of a name."""
    parts = (part.strip() for part in re.split(r"[;,\n](?![^()]*\))", written))
    return [part for part in parts if part]


def _eats(told: Told) -> None:
    keys, left = settled(told.typed, told.catalogue)
    for at, written in enumerate(left, 1):
        for name in _names_in(written):
            told.crop(f"more.{at}", name)
    if not keys and not told.wrong:
        told.refuse("more.1", "", "at least one thing that you eat")
    told.said["eats"] = tuple(keys)


def _seeds(told: Told) -> None:
    found: list[SeedHeld] = []
    for at, cells in told.rows("seeds"):
        crop = told.crop(f"seed_crop.{at}", cells["seed_crop"])
        year = None
        if cells["seed_year"]:
            year = told.whole(f"seed_year.{at}", cells["seed_year"], 1900, told.as_of.year)
        if crop is not None:
            found.append(SeedHeld(crop, cells["seed_variety"][:80], year))
    told.said["seeds"] = tuple(found)


def _people(told: Told) -> None:
    adults = told.whole("adults", told.one("adults") or "0", 0, 60)
    children = told.whole("children", told.one("children") or "0", 0, 60)
    if adults == 0 and children == 0:
        told.refuse("adults", "0", "at least one who eats")
    bench = told.one("bench")
    told.said |= {"adults": adults, "children": children}
    told.said["bench"] = bench if bench in BENCHES else "none"
    hours = told.one("hours")
    told.said["hours_per_week"] = told.measure("hours", hours, "", "", 0.5, 1000) if hours else None


_READ: Mapping[str, Callable[[Told], None]] = {
    "place": _place,
    "frost": _frost,
    "beds": _beds,
    "standing": _standing,
    "eats": _eats,
    "seeds": _seeds,
    "people": _people,
}
