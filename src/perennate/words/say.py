"""A Text put into words, from the templates that lie beside this file.

A template is a sentence with places: `"frost.risk" = "Frost may take {crop}: {share:.0%}."`
A bare place shows dates as ISO, numbers to three figures and everything else as given. A place
with a unit, as in `{depth:cm}`, is converted to what the reader uses and shown with its sign. Any
other format goes to the number itself, as in `{share:.0%}`.
"""

import tomllib
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from importlib.resources import files
from string import Formatter
from types import MappingProxyType
from typing import Any

from perennate.terms import Text, text
from perennate.words.quantities import SHOWN, Units, plain, show

LANGUAGES = ("en",)


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
    def __init__(self, units: Units) -> None:
        self.units = units

    def get_value(self, key: int | str, args: Sequence[Any], kwargs: Mapping[str, Any]) -> Any:
        return kwargs[str(key)]

    def format_field(self, value: Any, format_spec: str) -> str:
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if number and format_spec in SHOWN:
            return show(float(value), format_spec, self.units)
        if format_spec:
            return str(format(value, format_spec))
        if isinstance(value, date):
            return value.isoformat()
        return plain(value) if isinstance(value, float) else str(value)


def say(
    text: Text,
    language: str = "en",
    units: Units = "metric",
    names: Mapping[str, str] | None = None,
) -> str:
    """The sentence of a Text.

    `names` gives the common name of a crop by its key and is used for the parameters `crop` and
    those ending in `_crop`; without it a key is shown with its underscores opened.
    KeyError when the code has no template or a place has no parameter.
    """
    template = templates(language).get(text.code)
    if template is None:
        raise KeyError(f"no sentence for the code {text.code!r} in language {language!r}")
    given: dict[str, Any] = {}
    for name, value in text.params:
        crop = isinstance(value, str) and (name == "crop" or name.endswith("_crop"))
        given[name] = crop_name(str(value), names) if crop else value
    try:
        return _Places(units).vformat(template, (), given)
    except KeyError as missing:
        raise KeyError(f"{text.code!r} has a place {missing} that was not given") from None


def crop_name(key: str, names: Mapping[str, str] | None = None) -> str:
    """The common name of a crop as it stands within a sentence."""
    return (names or {}).get(key) or key.replace("_", " ")


def word(code: str, language: str = "en") -> str:
    """A template without places, such as a heading; KeyError when there is none."""
    return say(text(code), language)
