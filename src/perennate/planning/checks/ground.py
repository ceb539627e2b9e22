"""Checks of the ground: overfull, beyond the end, kept free, too close, too small, too dark."""

from collections.abc import Iterator
from datetime import date

from perennate.catalogue.model import Crop
from perennate.planning.checks.case import CATALOGUE, OWN, Case, finding, named
from perennate.planning.plan import Finding, PlannedPlanting
from perennate.science.spacing import closeness, most_plants_in_bed, row_distance

_ROUNDING_M = 0.005
LIGHT_ORDER = ("shade", "half shade", "full sun")


def bed_unknown(case: Case) -> Iterator[Finding]:
    """A planting in a bed that the holding does not have."""
    for planting in case.plan.plantings:
        if planting.bed and planting.bed not in case.beds:
            yield finding("bed.unknown", "grave", [planting.key], OWN, **named(planting))


def crop_unknown(case: Case) -> Iterator[Finding]:
    """A planting of a crop that the catalogue does not have: nothing else can be said of it."""
    for planting in case.plan.plantings:
        if planting.crop not in case.catalogue.crops:
            yield finding("crop.unknown", "grave", [planting.key], CATALOGUE, **named(planting))


def overfull_bed(case: Case) -> Iterator[Finding]:
    """Two plantings on the same metres at the same time."""
    for bed in case.holding.beds:
        there = sorted(case.in_bed(bed.key), key=lambda item: (item.ground_from, item.key))
        for index, one in enumerate(there):
            for other in there[index + 1 :]:
                metres = _shared_metres(one, other)
                until = min(one.ground_to, other.ground_to)
                if metres > _ROUNDING_M and other.ground_from < until:
                    yield finding(
                        "bed.overfull",
                        "grave",
                        [one.key, other.key, bed.key],
                        OWN,
                        other_crop=other.crop,
                        metres=metres,
                        first=other.ground_from,
                        last=until,
                        **named(one),
                    )


def _shared_metres(one: PlannedPlanting, other: PlannedPlanting) -> float:
    ends = min(one.start_m + one.length_m, other.start_m + other.length_m)
    return ends - max(one.start_m, other.start_m)


def beyond_the_end(case: Case) -> Iterator[Finding]:
    """A planting that reaches past an end or side of its bed."""
    for planting in case.plan.plantings:
        bed = case.beds.get(planting.bed)
        if bed is None:
            continue
        over = max(
            planting.start_m + planting.length_m - bed.length_m,
            -planting.start_m,
            planting.width_m - bed.width_m,
        )
        if over > _ROUNDING_M:
            yield finding(
                "bed.beyond_end",
                "grave",
                [planting.key, bed.key],
                OWN,
                over=over,
                length=bed.length_m,
                width=bed.width_m,
                **named(planting),
            )


def kept_free(case: Case) -> Iterator[Finding]:
    """A planting in a bed while the grower wants it free."""
    for planting, _ in case.chosen:
        bed = case.beds.get(planting.bed)
        if bed is None or (bed.free_from is None and bed.free_to is None):
            continue
        first, last = bed.free_from or date.min, bed.free_to or date.max
        if planting.ground_from <= last and planting.ground_to > first:
            yield finding(
                "bed.kept_free",
                "grave",
                [planting.key, bed.key],
                OWN,
                first=max(first, planting.ground_from),
                last=min(last, planting.ground_to),
                **named(planting),
            )


def least_piece(case: Case) -> Iterator[Finding]:
    """A piece of bed too short to be worth a planting of its own."""
    least = case.holding.habits.least_piece_m
    for planting in case.plan.plantings:
        bed = case.beds.get(planting.bed)
        if bed is None or planting.status in ("stands", "fixed"):
            continue
        if planting.length_m < min(least, bed.length_m) - _ROUNDING_M:
            yield finding(
                "bed.least_piece",
                "note",
                [planting.key, bed.key],
                OWN,
                length=planting.length_m,
                least=least,
                **named(planting),
            )


def rows_fit(case: Case) -> Iterator[Finding]:
    """More plants or rows than the real width and length hold at the spacing given."""
    for planting, _ in case.known:
        if planting.layout == "broadcast" or planting.plants < 1 or planting.spacing_cm <= 0:
            continue
        if not planting.bed:
            continue
        spacing = planting.spacing_cm / 100
        room = int(
            most_plants_in_bed(planting.width_m, planting.length_m, spacing, 0.0, planting.layout)
        )
        across = (planting.rows - 1) * float(row_distance(spacing, planting.layout))
        wide = across > max(planting.width_m, planting.length_m) + _ROUNDING_M
        if planting.plants > room or wide:
            yield finding(
                "bed.rows",
                "mind",
                [planting.key, planting.bed],
                OWN,
                plants=planting.plants,
                room=room,
                rows=planting.rows,
                spacing=planting.spacing_cm,
                width=planting.width_m,
                length=planting.length_m,
                **named(planting),
            )


def spacing(case: Case) -> Iterator[Finding]:
    """Closer than the closest usual spacing, at two levels."""
    for planting, crop in case.known:
        usual = crop.figure("spacing_close")
        if usual is None or planting.layout == "broadcast" or planting.spacing_cm <= 0:
            continue
        tight = int(closeness(planting.spacing_cm, usual.low))
        if tight:
            yield finding(
                "spacing.tight" if tight == 2 else "spacing.close",
                "mind" if tight == 2 else "note",
                [planting.key],
                usual.source,
                spacing=planting.spacing_cm,
                least=usual.low,
                usual=usual.value,
                **named(planting),
            )


def too_dark(case: Case) -> Iterator[Finding]:
    """A crop in a bed with less light than it needs."""
    for planting, crop in case.chosen:
        bed = case.beds.get(planting.bed)
        least = _least_light(crop)
        if bed is None or least is None:
            continue
        short = LIGHT_ORDER.index(least) - LIGHT_ORDER.index(bed.light)
        if short > 0:
            yield finding(
                "bed.light",
                "grave" if short > 1 else "mind",
                [planting.key, bed.key],
                crop.facts["light_need"].source,
                need=least,
                light=bed.light,
                **named(planting),
            )


def _least_light(crop: Crop) -> str | None:
    """The least light among those that the catalogue names, as a word of a bed's light."""
    said = crop.fact("light_need").casefold().replace("partial shade", "half shade")
    named_lights = [light for light in LIGHT_ORDER if _says(said, light)]
    return named_lights[0] if named_lights else None


def _says(said: str, light: str) -> bool:
    if light == "shade":
        return "shade" in said.replace("half shade", "")
    return light in said or (light == "full sun" and "sun" in said)
