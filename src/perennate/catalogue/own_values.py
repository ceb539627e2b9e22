"""The catalogue with a holding's own figures in place of its own."""

from collections.abc import Iterable
from dataclasses import replace

from perennate.catalogue.figures import FIGURES
from perennate.catalogue.model import Catalogue, Crop, Fact
from perennate.catalogue.names import find_crop, suggestions
from perennate.catalogue.readiness import is_ready
from perennate.terms import BadInput, Estimate, Problem


def with_own_values(
    catalogue: Catalogue, own_values: Iterable[tuple[str, str, Estimate]]
) -> Catalogue:
    """A catalogue in which each (crop, figure, estimate) stands instead of the shipped figure.

    Each estimate keeps its own source and basis; the last one of a crop and figure holds. A crop
    that becomes complete by them counts as ready to plan. BadInput for a crop or figure that is
    not known, for another unit than the figure's, and for a claimed yield.
    """
    problems: list[Problem] = []
    changed: dict[str, dict[str, Estimate]] = {}
    for name, figure, estimate in own_values:
        crop = find_crop(catalogue, name)
        if crop is None:
            near = ", ".join(suggestions(catalogue, name)) or "the key or name of a crop"
            problems.append(_wrong("crop", name, near))
        elif figure not in FIGURES or figure == "yield_claim":
            problems.append(_wrong("figure", figure, "the name of a figure that plans use"))
        elif estimate.unit != FIGURES[figure]:
            problems.append(_wrong("unit", estimate.unit, f"{FIGURES[figure]} for {figure}"))
        else:
            changed.setdefault(crop.key, {})[figure] = estimate
    if problems:
        raise BadInput(problems)
    crops = {
        key: _changed(crop, changed[key]) if key in changed else crop
        for key, crop in catalogue.crops.items()
    }
    return replace(catalogue, crops=crops)


def _changed(crop: Crop, own: dict[str, Estimate]) -> Crop:
    figures = {**crop.figures, **own}
    values = {name: estimate.value for name, estimate in figures.items()}
    if crop.fact("plan_ready") == "yes" or not is_ready(crop.role, crop.fact("life_cycle"), values):
        return replace(crop, figures=figures)
    by = next(iter(own.values()))
    facts = {**crop.facts, "plan_ready": Fact("yes", by.source, by.basis)}
    return replace(crop, figures=figures, facts=facts)


def _wrong(column: str, found: str, expected: str) -> Problem:
    return Problem("own_values.csv", None, column, found, expected)
