"""Pieces and the grower's rows written out as plantings: metres, rows, plants, harvest, odds."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from perennate.catalogue.model import Catalogue, Crop
from perennate.holding.model import Bed, HandPlanting, Holding
from perennate.planning.allocate.problem import Piece
from perennate.planning.calendar_weeks import Weeks
from perennate.planning.demand import Use
from perennate.planning.fitness import fitness
from perennate.planning.hand import STRIP_M, Standing
from perennate.planning.offers import Offer, planned_yield
from perennate.planning.plan import PlannedPlanting, WeekAmount
from perennate.planning.pose import Posed
from perennate.science.spacing import plants_in_bed, rows_in_bed
from perennate.terms import Estimate, Text, text

BROADCAST_CLOSER_THAN_CM = 4.0
SELL_SPARE_DAYS = 7
"""Plants for sale are ready a week before they are wanted."""


def merged(pieces: Sequence[Piece]) -> list[Piece]:
    """Pieces of one option that touch in a bed are one planting."""
    found: list[Piece] = []
    for piece in sorted(pieces, key=lambda p: (p.bed, p.option, p.first_strip)):
        last = found[-1] if found else None
        if (
            last is not None
            and (last.bed, last.option) == (piece.bed, piece.option)
            and last.first_strip + last.strips == piece.first_strip
        ):
            found[-1] = replace(last, strips=last.strips + piece.strips)
        else:
            found.append(piece)
    return found


def placed(
    pieces: Sequence[Piece], posed: Posed, holding: Holding, catalogue: Catalogue, weeks: Weeks
) -> list[PlannedPlanting]:
    """Plantings without keys, from the allocation's pieces."""
    found = []
    for piece in merged(pieces):
        option = posed.problem.options[piece.option]
        offer, use = posed.offers[piece.option], posed.uses[option.good]
        bed = holding.beds[piece.bed]
        found.append(
            _planting(
                catalogue.crops[offer.crop],
                offer,
                bed,
                piece.first_strip * STRIP_M,
                piece.strips * STRIP_M,
                "planned",
                "",
                _variety(offer.crop, use, holding),
                _aims(offer.crop, use, holding),
                use.kind == "food",
                weeks,
            )
        )
    return found


def use_of(row: HandPlanting, holding: Holding) -> Use:
    """What a row of the grower's is for: the aim that it names, if that is not food, else food."""
    for aim in holding.aims:
        if aim.key == row.aim and aim.kind in ("seed", "habitat", "compost"):
            return Use(aim.kind, row.crop, aim.key)
    return Use("food", row.crop, "")


def written(
    standing: Sequence[Standing], holding: Holding, catalogue: Catalogue, weeks: Weeks
) -> list[PlannedPlanting]:
    """The grower's own rows as plantings, with the keys that they have."""
    beds = {bed.key: bed for bed in holding.beds}
    found = []
    for one in standing:
        row = one.row
        crop = catalogue.crops[row.crop]
        use = use_of(row, holding)
        status = row.hand if row.hand in ("stands", "fixed", "wished") else "fixed"
        planting = _planting(
            crop,
            one.offer,
            beds[row.bed],
            one.start_m,
            one.length_m,
            status,
            row.key,
            (row.variety, row.lot),
            _aims(row.crop, use, holding),
            use.kind == "food" and "energy" in crop.figures,
            weeks,
        )
        if row.plants is not None:
            planting = replace(planting, plants=row.plants)
        found.append(planting)
    return found


def for_sale(holding: Holding, catalogue: Catalogue, weeks: Weeks) -> list[PlannedPlanting]:
    """Batches on the bench for the aims to sell; they take no bed."""
    found = []
    for aim in holding.aims:
        crop = catalogue.crops.get(aim.crop)
        if aim.kind != "sell" or crop is None:
            continue
        ready = (aim.end or weeks.end) - timedelta(SELL_SPARE_DAYS)
        raised = timedelta(round(7 * crop.value("nursery_time", 6.0)))
        sow = max(ready - raised, weeks.today)
        ready = max(ready, sow + raised)
        found.append(
            PlannedPlanting(
                key="",
                crop=crop.key,
                variety=aim.variety
                or _variety(crop.key, Use("sell", crop.key, aim.key), holding)[0],
                lot=_variety(crop.key, Use("sell", crop.key, aim.key), holding)[1],
                bed="",
                route="nursery",
                status="planned",
                sow=sow,
                ground_from=ready,
                first_harvest=None,
                last_harvest=None,
                ground_to=ready,
                start_m=0.0,
                length_m=0.0,
                width_m=0.0,
                layout="square",
                spacing_cm=0.0,
                rows=0,
                plants=round(aim.amount),
                harvest=Estimate(0.0, 0.0, 0.0, "kg", "computed", "computed"),
                by_week=(),
                aims=(aim.key,),
                rotation_group=crop.fact("rotation_group"),
                rest_years=0.0,
                frost_risk=0.0,
                heat_risk=0.0,
                why=(
                    text("planting.for_sale", crop=crop.key, aim=aim.key, plants=round(aim.amount)),
                ),
            )
        )
    return found


def _planting(
    crop: Crop,
    offer: Offer,
    bed: Bed,
    start_m: float,
    length_m: float,
    status: str,
    key: str,
    variety: tuple[str, str],
    aims: tuple[str, ...],
    is_food: bool,
    weeks: Weeks,
) -> PlannedPlanting:
    spacing_m = _spacing_m(crop)
    margin = min(spacing_m / 2, bed.width_m / 2)
    rows = int(rows_in_bed(bed.width_m, spacing_m, margin, "offset"))
    offset = int(plants_in_bed(bed.width_m, length_m, spacing_m, margin, "offset"))
    square = int(plants_in_bed(bed.width_m, length_m, spacing_m, margin, "square"))
    layout = "square" if square > offset else "offset"
    if layout == "square":
        rows = int(rows_in_bed(bed.width_m, spacing_m, margin, "square"))
    plants = max(offset, square, 1)
    if spacing_m * 100 < BROADCAST_CLOSER_THAN_CM or crop.role == "cover":
        layout, plants = "broadcast", 0
    area = length_m * bed.width_m
    share = area * fitness(crop, bed)
    by_week = _by_week(offer, share, weeks) if is_food else ()
    return PlannedPlanting(
        key=key,
        crop=crop.key,
        variety=variety[0],
        lot=variety[1],
        bed=bed.key,
        route=offer.route,
        status=status,  # type: ignore[arg-type]
        sow=offer.sow,
        ground_from=offer.ground_from,
        first_harvest=offer.first_harvest,
        last_harvest=offer.last_harvest,
        ground_to=offer.ground_to,
        start_m=round(start_m, 3),
        length_m=round(length_m, 3),
        width_m=bed.width_m,
        layout=layout,  # type: ignore[arg-type]
        spacing_cm=round(spacing_m * 100, 1),
        rows=max(rows, 1),
        plants=plants,
        harvest=_harvest(crop, share, sum(week.kg for week in by_week)),
        by_week=by_week,
        aims=aims,
        rotation_group=crop.fact("rotation_group"),
        rest_years=crop.value("rest_years", 0.0),
        frost_risk=offer.frost_risk,
        heat_risk=offer.heat_risk,
        why=_why(offer),
    )


def _why(offer: Offer) -> tuple[Text, ...]:
    return (
        text(
            "planting.dates",
            crop=offer.crop,
            first=offer.first_harvest,
            early=offer.first_early,
            late=offer.first_late,
        ),
    )


def _spacing_m(crop: Crop) -> float:
    close = crop.figure("spacing_close")
    if close is not None:
        return close.value / 100
    row, in_row = crop.value("row_spacing", 30.0), crop.value("in_row_spacing", 10.0)
    return round(float((1.1547 * row * in_row) ** 0.5) / 100, 3)


def _by_week(offer: Offer, area: float, weeks: Weeks) -> tuple[WeekAmount, ...]:
    found: dict[date, float] = {}
    for day, kg in offer.made:
        if day >= weeks.start and kg > 0:
            week = weeks.day(weeks.of(day))
            found[week] = found.get(week, 0.0) + kg * area
    return tuple(WeekAmount(week, round(kg, 3)) for week, kg in sorted(found.items()))


def _harvest(crop: Crop, area: float, counted: float) -> Estimate:
    """What is counted on, with the spread of the crop's yield about it."""
    figure = crop.figure("yield")
    if figure is None or counted <= 0:
        return Estimate(0.0, 0.0, 0.0, "kg", "computed", "computed")
    per_m2 = planned_yield(crop)
    low, high = figure.low / per_m2 * counted, figure.high / per_m2 * counted
    return Estimate(
        round(counted, 3),
        round(min(low, counted), 3),
        round(max(high, counted), 3),
        "kg",
        figure.source,
        figure.basis,
    )


def _aims(crop: str, use: Use, holding: Holding) -> tuple[str, ...]:
    if use.aim:
        return (use.aim,)
    named = [aim.key for aim in holding.aims if aim.kind == "food" and aim.crop == crop]
    if not holding.eats or crop in holding.eats:
        named += [aim.key for aim in holding.aims if aim.kind == "household"]
    return tuple(named)


def _variety(crop: str, use: Use, holding: Holding) -> tuple[str, str]:
    """(variety, lot): the aim's variety, else the first lot of the crop, else none."""
    wanted = next(
        (
            a.variety
            for a in holding.aims
            if a.variety and (a.key == use.aim or (not use.aim and a.crop == crop))
        ),
        "",
    )
    lots = [
        lot
        for lot in holding.lots
        if lot.crop == crop and (not wanted or lot.variety == wanted) and lot.treated is not True
    ]
    lots.sort(key=lambda lot: (-(lot.year or 0), lot.key))
    if lots:
        return lots[0].variety, lots[0].key
    return wanted, ""
