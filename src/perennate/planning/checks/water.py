"""Checks of the plan's water: too little, too much, from where, and what is in it."""

from collections.abc import Iterator

from perennate.catalogue.salt_tolerance import boron_tolerance, salt_tolerance
from perennate.holding.model import WaterSource
from perennate.planning.checks.case import ASSUMED, OWN, Case, finding, named
from perennate.planning.plan import Finding, Gravity, PlannedPlanting
from perennate.planning.water.analysis import classes_of, has_analysis, salt_of
from perennate.planning.water.germs import keeps_off_raw, raw_crops
from perennate.planning.water_plan import PlantingWater
from perennate.science.salinity import EXTRACT_PER_WATER, share_of_second
from perennate.science.water_quality import WaterClass
from perennate.terms.text import Value

THIRSTY, VERY_THIRSTY = 0.95, 0.75
"""Share of the yield that drought leaves under the plan's own watering: under it, a finding."""
AIRLESS_MIND, AIRLESS_GRAVE = 0.2, 0.5
"""Share of the years in which roots go without air for three days or more."""
SERVED = 0.98
LEAST_SODIC = 3.0
"""Sodium ratio (SAR) from which FAO 29 counts sodium as a hazard to the ground at all."""
SALT_LOSS_MIND, SALT_LOSS_GRAVE = 0.1, 0.25
FAO_33 = "fao33"
FAO_29 = "fao29"


def _rows(case: Case) -> Iterator[tuple[PlannedPlanting, PlantingWater]]:
    """Every planting of a known crop with its water, as far as that was reckoned."""
    water = case.plan.water
    by_key = {row.planting: row for row in water.plantings} if water is not None else {}
    for planting, _ in case.known:
        if planting.key in by_key:
            yield planting, by_key[planting.key]


def thirsty_plantings(case: Case) -> Iterator[Finding]:
    """Plantings that lose yield to drought although they are watered by the holding's habit."""
    way = case.holding.habits.watering
    for planting, row in _rows(case):
        if row.yield_left is None or row.yield_left >= THIRSTY:
            continue
        yield finding(
            "water.thirsty",
            "grave" if row.yield_left < VERY_THIRSTY and way == "full" else "mind",
            [planting.key],
            FAO_33,
            lost=1.0 - row.yield_left,
            days=round(row.short_days),
            watered=way,
            **named(planting),
        )


def airless_beds(case: Case) -> Iterator[Finding]:
    """Beds in which roots stand without air for days on end, with the crops that do."""
    drowned: dict[str, list[tuple[PlannedPlanting, PlantingWater]]] = {}
    for planting, row in _rows(case):
        if row.airless_years >= AIRLESS_MIND:
            drowned.setdefault(planting.bed, []).append((planting, row))
    for key, here in sorted(drowned.items()):
        bed = case.beds[key]
        worst, row = max(here, key=lambda pair: (pair[1].airless_years, pair[0].key))
        crops = sorted({planting.crop for planting, _ in here})
        yield finding(
            "water.airless_pan" if bed.pan_cm is not None else "water.airless",
            "grave" if row.airless_years >= AIRLESS_GRAVE else "mind",
            [key, *(planting.key for planting, _ in here)],
            ASSUMED,
            share=row.airless_years,
            days=row.airless_days,
            soil=bed.soil,
            crops=";".join(crops),
            worst_crop=worst.crop,
            bed=key,
        )


def water_beyond_the_limit(case: Case) -> Iterator[Finding]:
    """More water planned than the holding means to use."""
    water, limit = case.plan.water, case.holding.limits.water_l
    if water is None or limit is None:
        return
    if water.total_l.value > limit:
        gravity: Gravity = "mind"
        code = "water.beyond_limit"
    elif water.total_l.high > limit:
        gravity, code = "note", "water.beyond_limit_dry"
    else:
        return
    yield finding(
        code, gravity, [], OWN, litres=water.total_l.value, dry=water.total_l.high, limit=limit
    )


def sources_run_out(case: Case) -> Iterator[Finding]:
    """Sources that cannot give what the plan asks of them."""
    water = case.plan.water
    for source in water.sources if water is not None else ():
        if source.served >= SERVED:
            continue
        worst = max(range(len(source.short_l)), key=lambda week: source.short_l[week])
        tank: dict[str, Value] = {}
        if source.enough_tank_l is not None:
            tank["tank"] = source.enough_tank_l
        yield finding(
            "water.source_small_tank" if tank else "water.source_short",
            "grave" if source.served < 0.7 else "mind",
            [source.source],
            OWN,
            **tank,
            water=source.source,
            served=source.served,
            short=sum(source.short_l),
            years=source.years_without_lack,
            week=case.week(worst),
        )


def sources_not_known(case: Case) -> Iterator[Finding]:
    """Sources that nobody has had analysed: unknown, never safe. Mains water is looked after by
    law, but its salt and lime are unknown here all the same."""
    for source in _used(case):
        if not has_analysis(source):
            yield finding(
                "water.not_analysed",
                "note" if source.kind in ("mains", "roof") else "mind",
                [source.key],
                FAO_29,
                water=source.key,
                kind=source.kind,
            )


def germs_on_raw_food(case: Case) -> Iterator[Finding]:
    """Water that may carry germs, given from above to what is eaten raw."""
    fed = _feeds(case)
    for source in _used(case):
        if not keeps_off_raw(source):
            continue
        beds = [bed for bed, key in fed.items() if key == source.key]
        wet = {key for key in beds if case.beds[key].watering in ("", "can", "hose", "sprinkler")}
        eaten = raw_crops((p.crop for p, _ in case.known if p.bed in wet), case.catalogue)
        if eaten:
            found = source.germs == "found" or source.kind == "grey"
            yield finding(
                "water.germs",
                "grave" if found else "mind",
                [source.key, *sorted(wet)],
                "common-practice",
                water=source.key,
                kind=source.kind,
                germs=source.germs,
                crops=";".join(eaten),
                count=len(eaten),
            )


def quality_of_sources(case: Case) -> Iterator[Finding]:
    """What an analysis says by FAO's classes, for the way in which the water is given."""
    fed = _feeds(case)
    for source in _used(case):
        ways = {case.beds[bed].watering for bed, key in fed.items() if key == source.key}
        for one in classes_of(source, overhead=bool(ways & {"sprinkler"})):
            if one.rating in ("none", "unknown") or _harmless(one):
                continue
            said: dict[str, Value] = {"water": source.key, "value": one.value or 0.0}
            code, severe = f"water.class.{one.hazard}", one.rating == "severe"
            if one.hazard == "boron":
                harmed = _harmed_by_boron(case, source, one.value or 0.0)
                said["crops"] = ";".join(harmed)
                code, severe = (code, True) if harmed else ("water.class.boron_borne", False)
            gravity: Gravity = "mind" if severe else "note"
            yield finding(code, gravity, [source.key], FAO_29, rating=one.rating, **said)


def _harmed_by_boron(case: Case, source: WaterSource, mg_l: float) -> tuple[str, ...]:
    """Crops of the plan, in beds that the source feeds, that may not bear so much boron: those
    whose class begins below it, and those of which nothing is known."""
    fed = {bed for bed, key in _feeds(case).items() if key == source.key}
    crops = sorted({planting.crop for planting, _ in case.known if planting.bed in fed})
    borne = {key: boron_tolerance(key) for key in crops}
    return tuple(key for key, limit in borne.items() if limit is None or limit.low < mg_l)


def _harmless(one: WaterClass) -> bool:
    """Water of hardly any sodium seals no ground, however pure it is."""
    return one.hazard == "infiltration" and (one.value or 0.0) < LEAST_SODIC


def salt_in_beds(case: Case) -> Iterator[Finding]:
    """Beds in which salt will cost yield if all goes on as planned."""
    water = case.plan.water
    for salt in water.salts if water is not None else ():
        worst = max(salt.losses, key=lambda entry: entry[1], default=None)
        if worst is None or worst[1] < SALT_LOSS_MIND:
            continue
        said: dict[str, Value] = {
            "bed": salt.bed,
            "crop": worst[0],
            "lost": worst[1],
            "ece": salt.ece[-1],
            "years": len(salt.ece),
        }
        mixed = _mixed_in(case, salt.source, worst[0])
        gravity: Gravity = "grave" if worst[1] >= SALT_LOSS_GRAVE else "mind"
        code = "water.salt_mix" if mixed else "water.salt"
        yield finding(code, gravity, [salt.bed], FAO_29, **said, **mixed)


def _mixed_in(case: Case, key: str, crop: str) -> dict[str, Value]:
    """How much of the holding's least salty other water, mixed in, would bring the salt of the
    root zone under what the crop bears; empty where none would."""
    sources = {source.key: source for source in case.holding.water_sources}
    salty, tolerance = salt_of(sources.get(key)), salt_tolerance(crop)
    known = [(salt, name) for name, one in sources.items() if (salt := salt_of(one)) is not None]
    if salty is None or not known or tolerance is None or tolerance.threshold is None:
        return {}
    fresh, other = min(known)
    wanted = tolerance.threshold.value / EXTRACT_PER_WATER
    share = float(share_of_second(salty, fresh, wanted))
    if other == key or not 0.0 < share <= 1.0:
        return {}
    return {"water": key, "other": other, "share": share, "wanted": wanted}


def _used(case: Case) -> tuple[WaterSource, ...]:
    """Sources that feed a bed in which something of the plan stands."""
    keys = set(_feeds(case).values())
    return tuple(source for source in case.holding.water_sources if source.key in keys)


def _feeds(case: Case) -> dict[str, str]:
    """What feeds each bed of the plan's water."""
    water = case.plan.water
    return {bed.bed: bed.source for bed in water.beds} if water is not None else {}
