"""One cell of a table, as people write it, read as a number, a day, a yes, a word or a text.

Every function raises CellError with what was expected; none of them guesses.
"""

import difflib
import re
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from fractions import Fraction
from typing import Literal

from perennate.holding.units import Unit, convert, find_unit, spellings

Cell = str | int | float | bool | date | None
"""A cell of a text file is a str; a sheet also has numbers, days, truth values and nothing."""

DecimalSign = Literal[".", ","]
DateOrder = Literal["day first", "month first"]


class CellError(ValueError):
    """A cell that cannot be read, or in more ways than one; says what was expected."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a holding says of how it writes numbers and days; None where it says nothing."""

    decimal: DecimalSign | None = None
    dates: DateOrder | None = None
    us: bool = False

    @property
    def order(self) -> DateOrder | None:
        return self.dates or ("month first" if self.us else None)


Plausible = Callable[[Fraction], bool]

_SPACES = dict.fromkeys(
    map(ord, "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008"), " "
)
_SPACES |= dict.fromkeys(map(ord, "\u2009\u200a\u202f\u205f\u3000"), " ")
_SPACES |= dict.fromkeys(map(ord, "\u200b\ufeff"), "")
_GUARDS = ("=", "+", "-", "@", "#", "\t")
_GUARDED = re.compile(r"'[=+\-@#'\t]")
_FRACTIONS = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_NUMBER = re.compile(
    rf"""(?P<sign>[+−-])?\s*
    (?: (?P<whole>\d+)\s+(?P<top>\d+)\s*[/⁄]\s*(?P<under>\d+)
      | (?P<top2>\d+)\s*[/⁄]\s*(?P<under2>\d+)
      | (?P<whole3>\d*)\s*(?P<sign3>[{_FRACTIONS}])
      | (?P<plain>(?:\d{{1,3}}(?:\ \d{{3}})+(?![\d])|[\d.,]*\d)(?:[.,]\d+)?)
        (?:[eE](?P<power>[+-]?\d+))?
    )\s*(?P<unit>[^\d+−-].*|)""",
    re.VERBOSE | re.DOTALL,
)
_COMPOUND = re.compile(r"(?P<unit>\D+?)\s*(?P<rest>\d.*)")
_LONGEST_NUMBER, _LONGEST_POWER, BEYOND = 400, 4, 1e300
"""Signs of a number with its unit and of its power of ten, and the size of a sheet's number, up to
which it is read: a longer one is nobody's amount, and reckoning with it could take for ever."""
_TRUE = ("true", "yes", "y", "1", "x")
_FALSE = ("false", "no", "n", "0")
_NOT_KNOWN = ("unknown", "?")


def spaced(text: str) -> str:
    """The text with composed accents, plain spaces and no spaces around it."""
    plain = text if text.isascii() else unicodedata.normalize("NFC", text.translate(_SPACES))
    return plain.replace("\r\n", "\n").replace("\r", "\n").strip()


def tidy(text: str) -> str:
    """The text of a table's cell: as `spaced`, and without its guard against formulas."""
    plain = spaced(text)
    return plain[1:] if _GUARDED.match(plain) else plain


def guard(text: str) -> str:
    """The text as written to a file, so that no spreadsheet takes it for a formula or a note."""
    return f"'{text}" if text.startswith(_GUARDS) or _GUARDED.match(text) else text


def literal(cell: Cell) -> Cell:
    """The cell as the reader must be given it to take a text as it is, apostrophe and all."""
    if isinstance(cell, str) and "'" in cell and _GUARDED.match(spaced(cell)):
        return f"'{spaced(cell)}"
    return cell


def as_text(cell: Cell) -> str:
    """The cell as text; a whole number from a sheet has no decimals, a day is ISO."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    if isinstance(cell, date):
        return cell.isoformat()
    found = tidy(cell) if isinstance(cell, str) else str(cell)
    if found.isprintable():
        return found
    for sign in found:
        if unicodedata.category(sign) == "Cc" and sign not in "\n\t":
            raise CellError("a text without control characters")
    return found


def nearest(word: str, words: Iterable[str], cutoff: float = 0.6) -> tuple[str, ...]:
    """Up to three of the words that are most like the word, best first."""
    by_folded = {other.casefold(): other for other in words}
    close = difflib.get_close_matches(word.casefold(), sorted(by_folded), 3, cutoff)
    return tuple(by_folded[other] for other in close)


def choice(cell: Cell, choices: Sequence[str]) -> str:
    """The one of the choices that the cell names, whatever its capitals and underscores."""
    found = " ".join(as_text(cell).casefold().replace("_", " ").split())
    for one in choices:
        if one.casefold() == found:
            return one
    near = nearest(found, choices)
    guess = f"; did you mean {near[0]}?" if near else ""
    raise CellError(f"one of {', '.join(choices)}{guess}")


def yes_no(cell: Cell) -> bool | None:
    """Yes, no, or None where the cell says that it is not known."""
    if isinstance(cell, bool):
        return cell
    found = as_text(cell).casefold()
    if found in _TRUE:
        return True
    if found in _FALSE:
        return False
    if found in _NOT_KNOWN:
        return None
    raise CellError("yes or no, or nothing when it is not known")


def quantity(cell: Cell, reading: Reading, plausible: Plausible, unit: str) -> Fraction:
    """The number in `unit`; a unit written in the cell is converted, a bare number is in it.

    `plausible` says which values the column may hold; it decides between two ways of reading a
    number, never whether a value is right.
    """
    target = find_unit(unit, us=False) if unit else None
    value, written = amount(cell, reading, plausible, target)
    if not written:
        return value
    source = find_unit(written, reading.us)
    if target is None:
        raise CellError("a number without a unit")
    if source is None or source.dimension != target.dimension:
        raise CellError(f"a number, in one of {', '.join(spellings(target.dimension))}")
    return convert(value, source, target)


def amount(
    cell: Cell, reading: Reading, plausible: Plausible, target: Unit | None = None
) -> tuple[Fraction, str]:
    """The number of the cell and the unit as it is written beside it, or an empty text.

    `plausible` is asked for the value in `target`, when there is one. "3 ft 6 in" adds up.
    """
    if isinstance(cell, bool | date):
        raise CellError("a number (the sheet may have turned a fraction into a date)")
    if isinstance(cell, int | float):
        if not -BEYOND < cell < BEYOND:
            raise CellError("a number")
        return Fraction(str(cell)), ""
    text = as_text(cell)
    match = _NUMBER.fullmatch(text) if len(text) <= _LONGEST_NUMBER else None
    if match is None or len(match["power"] or "") > _LONGEST_POWER:
        raise CellError("a number")
    word = match["unit"]
    unit = find_unit(word, reading.us) if word else None
    compound = _COMPOUND.fullmatch(word) if word and unit is None else None
    if compound is not None:
        word, unit = compound["unit"], find_unit(compound["unit"], reading.us)

    def in_target(value: Fraction) -> bool:
        same = unit is not None and target is not None and unit.dimension == target.dimension
        return plausible(convert(value, unit, target) if same and unit and target else value)

    value = _value(match, reading, in_target)
    if abs(value) >= BEYOND:
        raise CellError("a number")
    if compound is None:
        return value, word
    more, second = amount(compound["rest"], reading, plausible)
    smaller = find_unit(second, reading.us)
    if unit is None or smaller is None or smaller.dimension != unit.dimension:
        raise CellError("one number")
    if smaller.size >= unit.size:
        raise CellError("one number")
    return value + convert(more, smaller, unit), word


def _value(match: re.Match[str], reading: Reading, plausible: Plausible) -> Fraction:
    sign = -1 if match["sign"] in ("-", "−") else 1
    if match["plain"] is not None:
        value = _plain(match["plain"], reading, lambda value: plausible(sign * value))
        return sign * value * Fraction(10) ** int(match["power"] or 0)
    if match["sign3"] is not None:
        part = Fraction(unicodedata.numeric(match["sign3"])).limit_denominator(10)
        return sign * (int(match["whole3"] or 0) + part)
    top, under = match["top"] or match["top2"], match["under"] or match["under2"]
    if int(under) == 0:
        raise CellError("a number")
    return sign * (int(match["whole"] or 0) + Fraction(int(top), int(under)))


def _plain(text: str, reading: Reading, plausible: Plausible) -> Fraction:
    """A number of digits and signs, read in the one way that it can be read."""
    spaceless = text.replace(" ", "")
    ways: list[Fraction] = []
    for decimal, grouping in ((".", ","), (",", ".")):
        if reading.decimal in (None, decimal):
            value = _digits(spaceless, decimal, grouping)
            if value is not None and value not in ways:
                ways.append(value)
    if not ways:
        if reading.decimal is None:
            raise CellError("a number")
        raise CellError(f'a number with the decimal sign "{reading.decimal}" (see holding.toml)')
    if len(ways) > 1:
        likely = [value for value in ways if plausible(value)]
        if len(likely) != 1 and reading.us:
            # where people write US units, the point is the decimal sign; it was tried first
            likely = ways[:1]
        if len(likely) != 1:
            fraction, thousands = sorted(ways)
            raise CellError(
                f"a number that reads in one way only: {float(fraction)}0 or {int(thousands)},"
                " or the decimal sign told in holding.toml"
            )
        ways = likely
    return ways[0]


def _digits(text: str, decimal: str, grouping: str) -> Fraction | None:
    whole, point, part = text.partition(decimal)
    if grouping in whole:
        groups = whole.split(grouping)
        if not 1 <= len(groups[0]) <= 3 or any(len(group) != 3 for group in groups[1:]):
            return None
        if groups[0].startswith("0"):
            return None
        whole = "".join(groups)
    if (point and not part.isdecimal()) or not (whole or part) or not (whole + part).isdecimal():
        return None
    return Fraction(f"{whole or '0'}.{part or '0'}")


FIRST_YEAR, LAST_YEAR = 1600, 2400
"""No day of a holding lies outside: days are added to and taken away from, and the calendar of
the machine has an end."""


def day(cell: Cell, reading: Reading) -> date:
    """The day of a date cell, an ISO date, d.m.yyyy, or an order that only fits one way."""
    found = _any_day(cell, reading)
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise CellError(f"a day in the years {FIRST_YEAR} to {LAST_YEAR}")
    return found


def _any_day(cell: Cell, reading: Reading) -> date:
    if isinstance(cell, datetime):
        if cell.time() != time():
            raise CellError("a day without a time of day")
        return cell.date()
    if isinstance(cell, date):
        return cell
    expected = "a date such as 2026-03-14"
    if not isinstance(cell, str):
        raise CellError(expected)
    found = as_text(cell)
    if match := re.fullmatch(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:[T ]00:00(?::00)?)?", found):
        return _calendar(int(match[1]), int(match[3]), int(match[4]), expected)
    if match := re.fullmatch(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})", found):
        return _calendar(int(match[3]), int(match[2]), int(match[1]), expected)
    if match := re.fullmatch(r"(\d{1,2})([/-])(\d{1,2})\2(\d{4})", found):
        return _slashed(int(match[1]), int(match[3]), int(match[4]), reading.order)
    raise CellError(expected)


def _slashed(first: int, second: int, year: int, order: DateOrder | None) -> date:
    expected = f"a date such as 2026-03-14{f', or {order} as told' if order else ''}"
    ways: set[date] = set()
    for this, month, number in (("day first", second, first), ("month first", first, second)):
        if order in (None, this):
            try:
                ways.add(date(year, month, number))
            except ValueError:
                continue
    if len(ways) == 1:
        return ways.pop()
    if ways:
        raise CellError(
            "a date that reads in one way only, such as 2026-03-14,"
            " or the order of dates told in holding.toml"
        )
    raise CellError(expected)


def _calendar(year: int, month: int, number: int, expected: str) -> date:
    try:
        return date(year, month, number)
    except ValueError:
        raise CellError(f"{expected}: a day that the calendar has") from None
