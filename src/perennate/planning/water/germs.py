"""What is eaten raw, and which of the holding's water is kept off it."""

from collections.abc import Iterable

from perennate.catalogue.model import Catalogue
from perennate.holding.model import WaterSource
from perennate.science.water_quality import carries_germs


def keeps_off_raw(source: WaterSource) -> bool:
    """Whether a source's water is kept off what is eaten raw."""
    return carries_germs(source.kind, source.germs)


def raw_crops(crops: Iterable[str], catalogue: Catalogue) -> tuple[str, ...]:
    """Those among the crops that are often eaten raw, in order of key."""
    known = catalogue.crops
    return tuple(key for key in sorted(set(crops)) if key in known and known[key].fact("eaten_raw"))
