"""A position as people write it, and what is already known of the weather there."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from perennate.terms import BadInput, Problem

_EXPECTED = (
    'latitude, and longitude when it is known, such as "47.1 N, 8.6 E", "47°06\'N 8°36\'E" or'
    ' "-33.9, 151.2"'
)
_SIGNS = str.maketrans(
    {"−": "-", "–": "-", "º": "°", "˚": "°", "′": "'", "’": "'", "″": '"', "”": '"', "“": '"'}
)
_WORDS = (("north", "N"), ("south", "S"), ("east", "E"), ("west", "W"))
_ONE = (
    r"(?P<before{0}>[NSEW])?\s*(?P<sign{0}>[+-])?\s*(?P<degrees{0}>\d{{1,3}}(?:\.\d+)?)\s*"
    r"(?:°\s*(?:(?P<minutes{0}>\d{{1,2}}(?:\.\d+)?)\s*'?\s*"
    r"(?:(?P<seconds{0}>\d{{1,2}}(?:\.\d+)?)\s*(?:\"|''))?)?)?"
    r"(?(before{0})|\s*(?P<after{0}>[NSEW])?)"
)
_BETWEEN = r"(?:\s*;\s*|\s+|(?<=[NSEW'\"])|(?=[NSEW+-]))"
_PAIR = re.compile(_ONE.format(1) + _BETWEEN + _ONE.format(2))
_SINGLE = re.compile(_ONE.format(1))
_LONGEST = 80


@dataclass(frozen=True, slots=True)
class PlaceHint:
    """Broad guesses from the position alone: months 1 to 12, means of the day [degC].

    Another place of the same latitude and height may lie `spread_k` from them (one standard
    deviation).
    """

    warmest_month: int
    warmest_c: float
    coldest_month: int
    coldest_c: float
    spread_k: float


def place_hint(latitude_deg: float, elevation_m: float) -> PlaceHint:
    """What `weather.position` says of a place, for a person to hold against what they know.

    ValueError for a latitude that there is not.
    """
    from perennate.weather.position import POSITION_SPREAD_K, normals_of_position

    normals = normals_of_position(latitude_deg, elevation_m)
    mean = (normals.tmin + normals.tmax) / 2
    warmest, coldest = int(mean.argmax()), int(mean.argmin())
    return PlaceHint(
        warmest + 1,
        round(float(mean[warmest]), 1),
        coldest + 1,
        round(float(mean[coldest]), 1),
        POSITION_SPREAD_K,
    )


def read_position(text: str) -> tuple[float, float | None]:
    """Latitude and longitude [degrees, north and east positive]; None where there is no second.

    Takes degrees with a point or a comma, degrees with minutes and seconds, letters before or
    after, in either order where letters tell. Raises BadInput (file "answers", column
    "position") for what cannot be read, or in more ways than one.
    """
    written = _plain(text)
    if written is not None:
        for pattern in (_PAIR, _SINGLE):
            if pattern is _PAIR and written.count("°") == 1:
                continue  # "47° 8.6" without a second degree sign may be degrees and minutes
            match = pattern.fullmatch(written)
            found = _coordinates(match) if match else None
            if found is not None:
                return found
    shown = text.strip()[:_LONGEST]
    found_text = f'"{shown}"' if shown else "nothing"
    raise BadInput([Problem("answers", None, "position", found_text, _EXPECTED)])


def _plain(text: str) -> str | None:
    """The text with decimal points, and semicolons between coordinates; None when ambiguous."""
    plain = " ".join(text.translate(_SIGNS).split())
    if len(plain) > _LONGEST:
        return None
    plain = re.sub(r"^geo:\s*", "", plain, flags=re.IGNORECASE).replace("/", ";")
    plain = re.sub(r"^lat(?:itude)?\b[:=]?(.*)\blon(?:gitude)?\b[:=]?", r"\1 ", plain, flags=re.I)
    for word, letter in _WORDS:
        plain = re.sub(rf"\b{word}\b", letter, plain, flags=re.IGNORECASE)
    plain = re.sub(r"\bdeg(?:rees)?\b", "°", plain, flags=re.IGNORECASE).upper()
    if re.search(r"\d\.\d", plain):
        return plain.replace(",", ";")
    decimal = re.sub(r"(?<=\d),(?=\d)", ".", plain)
    if decimal.count(".") == 1 and _bare(decimal):
        return None  # "47,8" may be one coordinate or two
    return decimal.replace(",", ";")


def _bare(decimal: str) -> bool:
    return re.fullmatch(r"[+-]?\d+\.\d+", decimal) is not None


def _coordinates(match: re.Match[str]) -> tuple[float, float | None] | None:
    read = list(_each(match))
    if None in read:
        return None
    values = [value for one in read if one for value in [one[0]]]
    letters = [one[1] for one in read if one]
    if len(values) == 1:
        return (values[0], None) if letters[0] in ("", "N") and abs(values[0]) <= 90 else None
    if letters == ["E", "N"]:
        values.reverse()
    elif letters not in (["N", "E"], ["N", ""], ["", "E"], ["", ""]):
        return None
    latitude, longitude = values
    return (latitude, longitude) if abs(latitude) <= 90 and abs(longitude) <= 180 else None


def _each(match: re.Match[str]) -> Iterator[tuple[float, str] | None]:
    """Each coordinate with N or E for its axis, or neither; None for one that there is not."""
    named = match.groupdict()
    for number in (1, 2) if "degrees2" in named else (1,):
        part = {name[:-1]: value for name, value in named.items() if name.endswith(str(number))}
        minutes, seconds = float(part["minutes"] or 0), float(part["seconds"] or 0)
        letter = part["before"] or part["after"] or ""
        broken = part["minutes"] is not None and "." in part["degrees"]
        if broken or minutes >= 60 or seconds >= 60:
            yield None
            continue
        value = float(part["degrees"]) + minutes / 60 + seconds / 3600
        south = part["sign"] == "-" or letter in ("S", "W")
        axis = {"S": "N", "W": "E"}.get(letter, letter)
        yield round(-value if south else value, 6), axis
