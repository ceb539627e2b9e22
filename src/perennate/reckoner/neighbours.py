"""Plants that may shed pollen onto a seed crop, as typed: what, how far off, how many."""

import re
from dataclasses import dataclass

from perennate.catalogue.crossing import Kind, kind_named
from perennate.reckoner.quantities import UnreadableError, read_quantity
from perennate.terms import BadInput, Problem

_ONE = re.compile(
    r"(?P<who>\D.*?)[\s,]+(?P<far>\d[\d.,]*\s*[^\W\d]*)\s*(?:[x×*]\s*(?P<many>\d+))?", re.UNICODE
)
_EXPECTED = 'what grows there, how far off and how many, as "kale 200 m x 30; wild carrot 50 m"'
_FARTHEST_M = 100_000.0
NONE = "none"


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A stand of a kind, its distance [m], and its plants (None: as many as the own stand)."""

    kind: Kind
    distance_m: float
    plants: int | None


def read_neighbours(reckoner: str, column: str, typed: str) -> tuple[Neighbour, ...]:
    """Every neighbour of a list with semicolons; () for "none".

    Raises BadInput with a problem for each that cannot be read, or whose kind is not known.
    """
    if typed.strip().casefold() == NONE:
        return ()
    problems: list[Problem] = []
    found = []
    for part in (part.strip() for part in typed.split(";")):
        if part:
            one = _read(part)
            if isinstance(one, Neighbour):
                found.append(one)
            else:
                problems.append(Problem(reckoner, None, column, part, one))
    if not found and not problems:
        problems.append(Problem(reckoner, None, column, typed, f'{_EXPECTED}, or "{NONE}"'))
    if problems:
        raise BadInput(problems)
    return tuple(found)


def _read(part: str) -> Neighbour | str:
    """The neighbour, or what was expected."""
    match = _ONE.fullmatch(part)
    if match is None:
        return _EXPECTED
    kind = kind_named(match["who"].strip())
    if kind is None:
        return f"a crop of the catalogue or a wild relative in place of {match['who']!r}"
    far = match["far"].strip()
    # "200 mx30" has no room between unit and sign
    unit = re.sub(r"(?<=[^\W\d])[x×]$", "", far) if match["many"] else far
    try:
        distance = read_quantity(unit, "m")
    except UnreadableError as unreadable:
        return f"a distance: {unreadable.expected}"
    many = int(match["many"]) if match["many"] else None
    if distance > _FARTHEST_M or many == 0:
        return "a distance up to 100 km, and one plant or more"
    return Neighbour(kind, distance, many)
