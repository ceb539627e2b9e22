"""Checks of rotation: a family back too soon on its ground, and diseases known in a bed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from perennate.catalogue.model import Crop
from perennate.catalogue.rotation_diseases import RotationDisease, disease_named
from perennate.planning.checks.case import CATALOGUE, Case, finding, named
from perennate.planning.plan import Finding, PlannedPlanting

DAYS_PER_YEAR = 365.25
_APART = 1e-6


@dataclass(frozen=True, slots=True)
class Stand:
    """A crop on some metres of a bed for a time; without metres known, on the whole bed."""

    key: str
    crop: str
    group: str
    bed: str
    start: date
    end: date
    first_m: float | None
    last_m: float | None
    planned: bool

    def meets(self, other: "Stand") -> bool:
        """Whether both lie on some of the same metres."""
        if self.first_m is None or other.first_m is None:
            return True
        if self.last_m is None or other.last_m is None:
            return True
        return self.first_m < other.last_m - _APART and other.first_m < self.last_m - _APART


def stands(case: Case) -> tuple[Stand, ...]:
    """What stood, stands and is to stand, in order of time."""
    found = [_of_plan(planting) for planting in case.plan.plantings if planting.bed]
    kept = {stand.key for stand in found}
    for row in case.holding.plantings:
        crop = case.catalogue.crops.get(row.crop)
        start = row.ground_from or row.sown
        if row.hand not in ("past", "stands") or crop is None or row.key in kept:
            continue
        end = row.ground_to or start
        if end is None:
            continue
        last_m = None
        if row.start_m is not None and row.length_m is not None:
            last_m = row.start_m + row.length_m
        found.append(
            Stand(
                row.key,
                row.crop,
                crop.fact("rotation_group"),
                row.bed,
                start or end,
                end,
                row.start_m,
                last_m,
                False,
            )
        )
    return tuple(sorted(found, key=lambda stand: (stand.start, stand.key)))


def _of_plan(planting: PlannedPlanting) -> Stand:
    return Stand(
        planting.key,
        planting.crop,
        planting.rotation_group,
        planting.bed,
        planting.ground_from,
        planting.ground_to,
        planting.start_m,
        planting.start_m + planting.length_m,
        planting.status != "stands",
    )


def family_rest(case: Case) -> Iterator[Finding]:
    """A family comes back to its metres before its rest is over. One finding a planting: the
    shortest rest."""
    by_bed: dict[tuple[str, str], list[Stand]] = {}
    for stand in stands(case):
        if stand.group and stand.group != "none":
            by_bed.setdefault((stand.bed, stand.group), []).append(stand)
    rests = {planting.key: planting for planting in case.plan.plantings}
    for (_, group), members in sorted(by_bed.items()):
        for later in members:
            if not later.planned:
                continue
            planting = rests[later.key]
            crop = case.catalogue.crops.get(later.crop)
            need = crop.value("rest_years", planting.rest_years) if crop else planting.rest_years
            gaps = [
                ((later.start - earlier.end).days / DAYS_PER_YEAR, earlier)
                for earlier in members
                if earlier.key != later.key
                and earlier.start <= later.start
                and earlier.end <= later.start
                and earlier.meets(later)
            ]
            if not gaps or min(gap for gap, _ in gaps) >= need - 1 / DAYS_PER_YEAR:
                continue
            gap, earlier = min(gaps, key=lambda found: (found[0], found[1].key))
            figure = crop.figure("rest_years") if crop else None
            yield finding(
                "rotation.family",
                "grave" if gap < need / 2 else "mind",
                [later.key, earlier.key, later.bed],
                figure.source if figure else CATALOGUE,
                group=group,
                rest=round(gap, 1),
                need=need,
                before_crop=earlier.crop,
                until=earlier.end,
                **named(planting),
            )


def disease_in_bed(case: Case) -> Iterator[Finding]:
    """A host in a bed where its disease is known to be, before enough years without a host."""
    everything = stands(case)
    for planting, crop in case.chosen:
        bed = case.beds.get(planting.bed)
        for word in bed.diseases if bed else ():
            disease = disease_named(word)
            if disease is None or not disease.is_host(crop):
                continue
            last = _last_host(everything, planting, disease, case.catalogue.crops)
            rest = None if last is None else (planting.ground_from - last).days / DAYS_PER_YEAR
            if disease.cures and rest is not None and rest >= disease.years:
                continue
            rule = (
                "rotation.no_cure"
                if not disease.cures
                else "rotation.disease"
                if rest is not None
                else "rotation.disease_since_unknown"
            )
            yield finding(
                rule,
                "grave",
                [planting.key, planting.bed],
                disease.source,
                disease=disease.name,
                need=disease.years,
                rest=round(rest or 0.0, 1),
                **named(planting),
            )


def _last_host(
    everything: tuple[Stand, ...],
    planting: PlannedPlanting,
    disease: RotationDisease,
    crops: Mapping[str, Crop],
) -> date | None:
    ends = [
        stand.end
        for stand in everything
        if stand.bed == planting.bed
        and stand.key != planting.key
        and stand.end <= planting.ground_from
        and stand.crop in crops
        and disease.is_host(crops[stand.crop])
    ]
    return max(ends, default=None)


def disease_not_known(case: Case) -> Iterator[Finding]:
    """A disease is named for a bed that the table does not know: nothing is safe by that."""
    for bed in case.holding.beds:
        unknown = [word for word in bed.diseases if disease_named(word) is None]
        used = [planting.key for planting in case.in_bed(bed.key)]
        if unknown and used:
            yield finding(
                "rotation.disease_unknown",
                "mind",
                [bed.key, *used],
                CATALOGUE,
                bed=bed.key,
                disease=", ".join(unknown),
            )
