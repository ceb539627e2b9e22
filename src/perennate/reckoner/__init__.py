"""Single answers to single questions: `run(name, given)`, put into words by `as_json`."""

from perennate.reckoner import food, frost, heat, plants, seed, store, windows
from perennate.reckoner.registry import RECKONERS, Answer, Input, Reckoner, reckoner, run
from perennate.reckoner.told import as_json, input_help, list_json, title

__all__ = [
    "RECKONERS",
    "Answer",
    "Input",
    "Reckoner",
    "as_json",
    "food",
    "frost",
    "heat",
    "input_help",
    "list_json",
    "plants",
    "reckoner",
    "run",
    "seed",
    "store",
    "title",
    "windows",
]
