"""A Text put into words, from the templates that lie beside this file.

A template is a sentence with places: `"frost.risk" = "Frost may take {crop}: {share:.0%}."`
A bare place shows dates as ISO, numbers to three figures and everything else as given. A place
with a unit, as in `{depth:cm}`, is converted to what the reader uses and shown with its sign. A
place with two words, as in `{weeks:week|weeks}`, shows the number and the word that goes with it;
with a bar before them, as in `{weeks:|lies|lie}`, the word alone. A unit may itself be a
parameter, as in `{amount:{unit}}`. Any other format goes to the
number itself, as in `{share:.0%}`.
"""

import tomllib
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache, lru_cache
from importlib.resources import files
from string import Formatter
from types import MappingProxyType
from typing import Any, Literal

from perennate.terms import Text, text
from perennate.words.quantities import COUNTED, SHOWN, Units, is_share, plain, show

LANGUAGES = ("en",)
Dates = Literal["iso", "day"]
"""How a bare place shows a day: 2026-04-06, or 6 Apr 2026."""


@cache
def templates(language: str = "en") -> Mapping[str, str]:
    """Every template of a language, from all its files.

    KeyError when the language is not there; ValueError when a code stands in two files.
    """
    if language not in LANGUAGES:
        raise KeyError(f"no words in language {language!r}; there are {', '.join(LANGUAGES)}")
    found: dict[str, str] = {}
    folder = files("perennate.words").joinpath(language)
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if not entry.name.endswith(".toml"):
            continue
        for code, sentence in tomllib.loads(entry.read_text(encoding="utf-8")).items():
            if code in found:
                raise ValueError(f"{entry.name}: the code {code!r} stands in another file too")
            if not isinstance(sentence, str):
                raise ValueError(f"{entry.name}: {code!r} is not one sentence; quote the whole key")
            found[code] = sentence
    return MappingProxyType(found)


class _Places(Formatter):
    def __init__(self, units: Units, dates: Dates, language: str) -> None:
        self.units = units
        self.dates = dates
        self.language = language

    def get_value(self, key: int | str, args: Sequence[Any], kwargs: Mapping[str, Any]) -> Any:
        return kwargs[str(key)]

    def format_field(self, value: Any, format_spec: str) -> str:
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if number and (format_spec in SHOWN or format_spec in COUNTED or is_share(format_spec)):
            return show(float(value), format_spec, self.units)
        if "|" in format_spec:
            return _counted(self.bare(value), format_spec)
        return str(format(value, format_spec)) if format_spec else self.bare(value)

    def bare(self, value: Any) -> str:
        if isinstance(value, date):
            return value.isoformat() if self.dates == "iso" else day(value, self.language, "y")
        return plain(value) if isinstance(value, float) else str(value)


def _counted(number: str, words: str) -> str:
    """ "1", "week|weeks" -> "1 week"; "2", "|lies|lie" -> "lie"."""
    alone = words.startswith("|")
    one, many = words.removeprefix("|").split("|")
    chosen = one if number == "1" else many
    return chosen if alone else f"{number} {chosen}"


@lru_cache(4096)
def day(when: date, language: str = "en", more: str = "") -> str:
    """A day within a season, "6 Apr"; with more="y" its year too, "6 Apr 2026"."""
    # Babel takes longer to start than most commands take to run
    from babel.dates import format_date

    return str(format_date(when, f"d MMM {more}".rstrip(), locale=language))


def say(
    text: Text,
    language: str = "en",
    units: Units = "metric",
    names: Mapping[str, str] | None = None,
    dates: Dates = "iso",
) -> str:
    """The sentence of a Text.

    `names` gives the common name of a crop by its key and is used for the parameters `crop`, those
    ending in `_crop`, and `crops` (keys with semicolons between them); without it a key is shown
    with its underscores opened.
    KeyError when the code has no template or a place has no parameter.
    """
    template = templates(language).get(text.code)
    if template is None:
        raise KeyError(f"no sentence for the code {text.code!r} in language {language!r}")
    given: dict[str, Any] = {}
    for name, value in text.params:
        given[name] = _named(name, value, names) if isinstance(value, str) else value
    try:
        return _Places(units, dates, language).vformat(template, (), given)
    except KeyError as missing:
        raise KeyError(f"{text.code!r} has a place {missing} that was not given") from None


def _named(name: str, value: str, names: Mapping[str, str] | None) -> str:
    if name == "crops":
        return ", ".join(crop_name(key, names) for key in value.split(";"))
    return crop_name(value, names) if name == "crop" or name.endswith("_crop") else value


def crop_name(key: str, names: Mapping[str, str] | None = None) -> str:
    """The common name of a crop as it stands within a sentence."""
    return (names or {}).get(key) or key.replace("_", " ")


def word(code: str, language: str = "en") -> str:
    """A template without places, such as a heading; KeyError when there is none."""
    return say(text(code), language)
