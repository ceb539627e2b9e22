"""Codes put into words: sentences, quantities and the short lines that every sheet repeats."""

from perennate.words.quantities import Units, convert, plain, show, symbol
from perennate.words.say import LANGUAGES, say, templates, word

__all__ = [
    "LANGUAGES",
    "Units",
    "convert",
    "plain",
    "say",
    "show",
    "symbol",
    "templates",
    "word",
]
