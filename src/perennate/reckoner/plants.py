"""How many plants a bed holds."""

from typing import Literal

from perennate.catalogue.model import Crop
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.science.spacing import (
    LAYOUTS,
    Layout,
    closeness,
    equal_density_spacing,
    plants_in_bed,
    plants_per_m2,
    row_distance,
    rows_in_bed,
)
from perennate.terms import Estimate, Text, text

Rows = Literal["better", "along", "across"]
INPUTS = (
    Input("crop", "crop", optional=True),
    Input("width", "float", "m", 0.1, 100, default="1.2"),
    Input("length", "float", "m", 0.1, 1000),
    Input("spacing", "float", "cm", 0.5, 1500, optional=True),
    Input("margin", "float", "cm", 0, 500, optional=True),
    Input("layout", "choice", default="both", choices=("both", *LAYOUTS)),
    Input("rows", "choice", default="better", choices=("better", "along", "across")),
)


@reckoner("plants-in-bed", INPUTS)
def plants_in_a_bed(
    crop: Crop | None,
    width: float,
    length: float,
    spacing: float | None,
    margin: float | None,
    layout: Literal["both", "square", "offset"],
    rows: Rows,
) -> list[Answer]:
    """Counts in square and offset rows, by default in the better of the two row directions.

    The spacing is the crop's close spacing where none is given, and its range gives the spread;
    the margin is half a spacing where none is given.
    """
    usual, from_rows = _usual_spacing(crop)
    if spacing is not None:
        apart, wide, close = spacing, spacing, spacing
    elif usual is not None:
        apart, wide, close = usual.value, usual.high, usual.low
    else:
        raise refuse("plants-in-bed", "spacing", "nothing", "a spacing, or a crop that has one")
    edge = margin if margin is not None else apart / 2
    shared: list[Text] = []
    sources = ["geometry"]
    if crop is not None and usual is not None:
        sources.append(usual.source)
        shared.append(
            from_rows
            or text(
                "reckoner.plants.usual",
                crop=crop.key,
                low=usual.low,
                high=usual.high,
                basis=usual.basis,
            )
        )
    shared.append(
        text("reckoner.plants.bed", width=width, length=length, spacing=apart, margin=edge)
    )
    if margin is None:
        shared.append(text("reckoner.plants.half_margin"))
    cautions = _cautions(crop, apart, usual.low if usual is not None else None)
    wanted: tuple[Layout, ...] = LAYOUTS if layout == "both" else (layout,)
    answers = []
    for kind in wanted:
        count, along = _count(width, length, apart, edge, kind, rows)
        wide_edge, close_edge = (
            edge if margin is not None else spaced / 2 for spaced in (wide, close)
        )
        fewest, _ = _count(width, length, wide, wide_edge, kind, rows)
        most, _ = _count(width, length, close, close_edge, kind, rows)
        other, _ = _count(width, length, apart, edge, kind, "across" if along else "along")
        span = width if along else length
        many = int(rows_in_bed(span, apart / 100, edge / 100, kind))
        working = [
            *shared,
            text(
                f"reckoner.plants.rows_{'along' if along else 'across'}",
                rows=many,
                distance=float(row_distance(apart / 100, kind)) * 100,
                other=other,
            ),
            text("reckoner.plants.count", count=count, layout=kind),
            text(
                "reckoner.plants.area_rule",
                count=float(plants_per_m2(apart / 100, kind)) * width * length,
                density=float(plants_per_m2(apart / 100, kind)),
            ),
        ]
        answers.append(
            Answer(
                kind,
                count,
                min(fewest, count),
                max(most, count),
                "plants",
                tuple(working),
                tuple(sources),
                cautions,
            )
        )
    return answers


def _usual_spacing(crop: Crop | None) -> tuple[Estimate | None, Text | None]:
    """The crop's close spacing [cm], else the one that holds as many plants as its rows do."""
    if crop is None:
        return None, None
    close = crop.figure("spacing_close")
    row, in_row = crop.figure("row_spacing"), crop.figure("in_row_spacing")
    if close is not None or row is None or in_row is None:
        return close, None
    value, low, high = (
        float(equal_density_spacing(row_cm, in_row_cm, "offset"))
        for row_cm, in_row_cm in (
            (row.value, in_row.value),
            (row.low, in_row.low),
            (row.high, in_row.high),
        )
    )
    told = text(
        "reckoner.plants.from_rows",
        crop=crop.key,
        row=row.value,
        in_row=in_row.value,
        spacing=value,
        basis=in_row.basis,
    )
    source = row.source if row.source == in_row.source else f"{row.source};{in_row.source}"
    return Estimate(value, low, high, "cm", source, in_row.basis), told


def _count(
    width: float, length: float, spacing_cm: float, margin_cm: float, kind: Layout, rows: Rows
) -> tuple[int, bool]:
    """The count, and whether its rows run along the bed."""
    apart, edge = spacing_cm / 100, margin_cm / 100
    along = int(plants_in_bed(width, length, apart, edge, kind))
    across = int(plants_in_bed(length, width, apart, edge, kind))
    if rows == "better":
        return (along, True) if along >= across else (across, False)
    return (along, True) if rows == "along" else (across, False)


def _cautions(crop: Crop | None, spacing_cm: float, closest: float | None) -> tuple[Text, ...]:
    if crop is None or closest is None:
        return ()
    level = int(closeness(spacing_cm, closest))
    if level == 0:
        return ()
    code = "reckoner.plants.close" if level == 1 else "reckoner.plants.too_tight"
    return (text(code, crop=crop.key, spacing=spacing_cm, closest=closest),)
