"""Four holdings that do not exist: people, places, varieties and weather are invented."""

from importlib.resources import files
from pathlib import Path

EXAMPLES = ("demo", "southern", "tropics", "high")


def example_folder(name: str) -> Path:
    """The folder of an example; KeyError when there is none of that name."""
    if name not in EXAMPLES:
        raise KeyError(f"no example {name}; there are {', '.join(EXAMPLES)}")
    return Path(str(files("perennate.holding.examples").joinpath(name)))
