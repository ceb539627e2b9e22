"""A crop as a page: every figure with its unit and where it comes from."""

from collections.abc import Mapping
from dataclasses import dataclass

from perennate.catalogue.figures import FACTS, FIGURES
from perennate.catalogue.model import Catalogue, Crop, Hazard, Source
from perennate.catalogue.reader import figure_notes
from perennate.terms import Basis, Text, text


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One figure; `label` is its name in words, `citation` the full source."""

    name: str
    label: Text
    value: float
    low: float
    high: float
    unit: str
    basis: Basis
    source: str
    citation: str
    note: str


@dataclass(frozen=True, slots=True)
class FactRow:
    name: str
    label: Text
    value: str
    basis: Basis
    source: str
    citation: str


@dataclass(frozen=True, slots=True)
class CropPage:
    """Everything on record about a crop, as plain data in a fixed order.

    `missing` names figures that nothing is known of. `hazards` ends with a line that says what
    an empty record means, so that no hazard known is never read as safe.
    """

    crop: Crop
    figures: tuple[FigureRow, ...]
    facts: tuple[FactRow, ...]
    hazards: tuple[Text, ...]
    harvest_shares: tuple[float, ...]
    missing: tuple[str, ...]


def crop_page(crop: Crop, catalogue: Catalogue) -> CropPage:
    """The page of a crop. KeyError for a figure whose source has no citation at all."""
    notes = figure_notes()
    shown = []
    for name in FIGURES:
        figure = crop.figures.get(name)
        if figure is None:
            continue
        own = figure.basis == "own records" or figure.basis == "remembered"
        shown.append(
            FigureRow(
                name,
                text(f"catalogue.figure.{name}"),
                figure.value,
                figure.low,
                figure.high,
                figure.unit,
                figure.basis,
                figure.source,
                citation(figure.source, catalogue.sources),
                "" if own else notes.get((crop.key, name), ""),
            )
        )
    facts = tuple(
        FactRow(
            name,
            text(f"catalogue.fact.{name}"),
            fact.value,
            fact.basis,
            fact.source,
            citation(fact.source, catalogue.sources),
        )
        for name in FACTS
        if (fact := crop.facts.get(name)) is not None
    )
    return CropPage(
        crop,
        tuple(shown),
        facts,
        tuple(_hazard(crop, hazard) for hazard in crop.hazards) + _what_is_not_known(crop),
        crop.harvest_shares,
        tuple(name for name in FIGURES if name not in crop.figures),
    )


def citation(source: str, sources: Mapping[str, Source]) -> str:
    """The full citation of one key or of several joined by semicolons.

    A key of the holding's own (its records) has no citation and is shown as it is.
    """
    keys = [key.strip() for key in source.split(";")]
    return "; ".join(sources[key].citation if key in sources else key for key in keys)


def _hazard(crop: Crop, hazard: Hazard) -> Text:
    code = {
        "": "catalogue.hazard.caution",
        "food until processed": "catalogue.hazard.until_processed",
        "food": "catalogue.hazard.never",
        "harvest wait": "catalogue.hazard.wait",
    }[hazard.forbids]
    return text(
        code,
        crop=crop.key,
        hazard=hazard.hazard,
        parts=hazard.parts,
        processing=hazard.processing,
        who=hazard.who_at_risk,
        ask=hazard.ask,
        days=hazard.days or 0,
    )


def _what_is_not_known(crop: Crop) -> tuple[Text, ...]:
    if crop.hazards:
        return (text("catalogue.hazard.others", crop=crop.key),)
    return (text("catalogue.hazard.none_on_record", crop=crop.key),)
