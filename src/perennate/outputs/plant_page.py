"""A crop of the catalogue in lines and as plain data: every figure with its source."""

from collections.abc import Mapping
from typing import Any

from perennate.catalogue.model import Catalogue
from perennate.catalogue.page import CropPage
from perennate.outputs.summary import Section, in_columns
from perennate.terms import Estimate, text
from perennate.words import say, word
from perennate.words.lines import spread


def plant_sections(page: CropPage, names: Mapping[str, str]) -> tuple[Section, ...]:
    """The crop's names, cautions, figures, facts, and what is not known of it."""
    crop = page.crop
    about = [crop.scientific_name, say(text("plant.family", family=crop.family))]
    if crop.synonyms:
        about.append(say(text("plant.synonyms", names=", ".join(crop.synonyms))))
    figures = []
    for row in page.figures:
        measured = Estimate(row.value, row.low, row.high, row.unit, row.source, row.basis)
        line = text(
            "plant.figure",
            label=say(row.label),
            value=spread(measured, "metric"),
            basis=word(f"basis.{row.basis}"),
            citation=row.citation,
        )
        figures.append(say(line))
        if row.note:
            figures.append(f"  {row.note}")
    facts = [
        say(
            text(
                "plant.figure",
                label=say(fact.label),
                value=fact.value,
                basis=word(f"basis.{fact.basis}"),
                citation=fact.citation,
            )
        )
        for fact in page.facts
    ]
    missing = [", ".join(say(text_of) for text_of in map(_label, page.missing))]
    return (
        Section(crop.common_name, tuple(about)),
        Section(word("plant.cautions"), tuple(say(hazard, names=names) for hazard in page.hazards)),
        Section(word("plant.figures"), tuple(figures)),
        Section(word("plant.facts"), tuple(facts)),
        *((Section(word("plant.missing"), tuple(missing)),) if page.missing else ()),
    )


def _label(figure: str) -> Any:
    return text(f"catalogue.figure.{figure}")


def plant_data(page: CropPage, names: Mapping[str, str]) -> dict[str, Any]:
    """The same as plain data for JSON."""
    crop = page.crop
    return {
        "key": crop.key,
        "common_name": crop.common_name,
        "scientific_name": crop.scientific_name,
        "synonyms": list(crop.synonyms),
        "family": crop.family,
        "role": crop.role,
        "cautions": [say(hazard, names=names) for hazard in page.hazards],
        "figures": [
            {
                "name": row.name,
                "label": say(row.label),
                "value": row.value,
                "low": row.low,
                "high": row.high,
                "unit": row.unit,
                "basis": row.basis,
                "source": row.source,
                "citation": row.citation,
                "note": row.note,
            }
            for row in page.figures
        ],
        "facts": [
            {
                "name": fact.name,
                "label": say(fact.label),
                "value": fact.value,
                "basis": fact.basis,
                "source": fact.source,
                "citation": fact.citation,
            }
            for fact in page.facts
        ],
        "harvest_shares": list(page.harvest_shares),
        "missing": list(page.missing),
    }


def crops_sections(catalogue: Catalogue) -> tuple[Section, ...]:
    """Every crop by role: key, common name, and whether a plan can take it."""
    by_role: dict[str, list[tuple[str, str, str]]] = {}
    for one in crops_data(catalogue):
        ready = word("plant.ready") if one["ready"] else word("plant.not_ready")
        by_role.setdefault(one["role"], []).append((one["key"], one["name"], ready))
    return tuple(
        Section(say(text("plant.role", role=role, count=len(rows))), tuple(in_columns(rows)))
        for role, rows in sorted(by_role.items())
    )


def crops_data(catalogue: Catalogue) -> list[dict[str, Any]]:
    """The same as plain data for JSON, by key."""
    return [
        {
            "key": crop.key,
            "name": crop.common_name,
            "role": crop.role,
            "ready": crop.fact("plan_ready") == "yes",
        }
        for _, crop in sorted(catalogue.crops.items())
    ]
