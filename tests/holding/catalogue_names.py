"""What the reader asks of the catalogue: crops by name, names alike, servings."""

from perennate.catalogue.names import find_crop, suggestions
from perennate.catalogue.reader import load_catalogue


def find(name: str) -> str | None:
    crop = find_crop(load_catalogue(), name)
    return crop.key if crop else None


def suggest(name: str) -> tuple[str, ...]:
    return suggestions(load_catalogue(), name)


def portion(key: str) -> float | None:
    figure = load_catalogue().crops[key].figure("portion")
    return figure.value if figure else None
