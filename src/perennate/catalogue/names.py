"""Finding a crop by any of its names."""

import unicodedata
from collections.abc import Iterator
from difflib import get_close_matches
from functools import lru_cache

from perennate.catalogue.model import Catalogue, Crop

_OPENED = str.maketrans({"×": " x ", "_": " ", "-": " ", ",": " ", "(": " ", ")": " "})
_DROPPED = str.maketrans("", "", "'’‘.")
_MOST_SUGGESTED = 8


@lru_cache(maxsize=8192)
def plain_name(name: str) -> str:
    """A name as it is compared: no accents, no case, no marks, "Group" left out.

    >>> plain_name("Mâche"), plain_name("Brassica oleracea Capitata Group")
    ('mache', 'brassica oleracea capitata')
    """
    letters = _bare(_bare(name).casefold())
    opened = letters.translate(_OPENED).translate(_DROPPED)
    return " ".join(word for word in opened.split() if word != "group")


def _bare(name: str) -> str:
    letters = unicodedata.normalize("NFKD", name)
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


def find_crop(catalogue: Catalogue, name: str) -> Crop | None:
    """The crop of that key, common name, scientific name or synonym, looked for in this order.

    None when no crop is called so, or several are (a species with many forms).
    """
    found = _called(catalogue, name)
    return found[0] if len(found) == 1 else None


def suggestions(catalogue: Catalogue, name: str) -> tuple[str, ...]:
    """Keys of crops that may be meant by a name that `find_crop` does not settle.

    Those that share the name when it is ambiguous; else crops with the name as one of their
    words; else crops with a name much like it. At most eight, in the catalogue's order.
    """
    wanted = plain_name(name)
    if not wanted:
        return ()
    keys = {crop.key for crop in _called(catalogue, name)}
    if not keys:
        keys = {key for known, key in _all_names(catalogue) if wanted in known.split()}
    if not keys:
        by_name: dict[str, set[str]] = {}
        for known, key in _all_names(catalogue):
            by_name.setdefault(known, set()).add(key)
        close = get_close_matches(wanted, list(by_name), n=_MOST_SUGGESTED, cutoff=0.75)
        keys = set().union(*(by_name[known] for known in close))
    return tuple(key for key in catalogue.crops if key in keys)[:_MOST_SUGGESTED]


def _called(catalogue: Catalogue, name: str) -> list[Crop]:
    wanted = plain_name(name)
    if not wanted:
        return []
    for rank in range(4):
        found = [crop for crop in catalogue.crops.values() if wanted in _names(crop, rank)]
        if found:
            return found
    return []


def _names(crop: Crop, rank: int) -> tuple[str, ...]:
    ranks = ((crop.key,), (crop.common_name,), (crop.scientific_name,), crop.synonyms)
    return tuple(plain_name(name) for name in ranks[rank])


def _all_names(catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    for crop in catalogue.crops.values():
        for rank in range(4):
            for name in _names(crop, rank):
                yield name, crop.key
