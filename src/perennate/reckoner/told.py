"""Answers and the list of reckoners as plain data for JSON, in words."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from perennate.catalogue.model import Catalogue
from perennate.catalogue.reader import load_catalogue
from perennate.reckoner.references import citations
from perennate.reckoner.registry import RECKONERS, Answer, Input
from perennate.terms import Text, text
from perennate.words import say

SIGNIFICANT = 6


def as_json(
    answers: Sequence[Answer], catalogue: Catalogue | None = None, language: str = "en"
) -> dict[str, Any] | list[dict[str, Any]]:
    """One object for one answer, a list of objects that each carry a `name` for several.

    Keys: answer, low, high (null where a spread has no meaning), unit, working (sentences),
    sources (citations), cautions (sentences). Days are ISO; numbers are cut to six figures, since
    processors differ in the last.
    """
    plants = catalogue if catalogue is not None else load_catalogue()
    names = {key: crop.common_name for key, crop in plants.crops.items()}
    told = [_answer(answer, plants, names, language) for answer in answers]
    if len(told) == 1:
        return {key: value for key, value in told[0].items() if key != "name"}
    return told


def list_json(language: str = "en") -> list[dict[str, Any]]:
    """Every reckoner by name, with its title and its inputs."""
    return [
        {
            "name": name,
            "title": title(name, language),
            "inputs": [_input(name, item, language) for item in RECKONERS[name].inputs],
        }
        for name in sorted(RECKONERS)
    ]


def title(reckoner: str, language: str = "en") -> str:
    """The question that a reckoner answers."""
    return say(text(f"reckoner.{reckoner}"), language)


def input_help(reckoner: str, name: str, language: str = "en") -> str:
    """What an input of a reckoner means."""
    return say(text(f"reckoner.{reckoner}.{name}"), language)


def _answer(
    answer: Answer, catalogue: Catalogue, names: Mapping[str, str], language: str
) -> dict[str, Any]:
    def sentences(texts: Sequence[Text]) -> list[str]:
        return [say(item, language, names=names) for item in texts]

    return {
        "name": answer.name,
        "answer": _plain(answer.value),
        "low": _plain(answer.low),
        "high": _plain(answer.high),
        "unit": answer.unit,
        "working": sentences(answer.working),
        "sources": citations(answer.sources, catalogue),
        "cautions": sentences(answer.cautions),
    }


def _plain(value: float | int | date | str | None) -> float | int | str | None:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return float(f"{value:.{SIGNIFICANT}g}")
    return value


def _input(reckoner: str, item: Input, language: str) -> dict[str, Any]:
    return {
        "name": item.name,
        "kind": item.kind,
        "unit": item.unit,
        "low": item.low,
        "high": item.high,
        "default": item.default,
        "required": item.required,
        "choices": list(item.choices),
        "help": input_help(reckoner, item.name, language),
    }
