"""A small made holding, its catalogue, weather and a good plan, invented for the tests."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from types import MappingProxyType

import numpy as np

from perennate.catalogue.model import (
    Catalogue,
    Container,
    Crop,
    Fact,
    Hazard,
    LabourRate,
)
from perennate.holding.model import (
    Aim,
    Bed,
    Habits,
    HandPlanting,
    Holding,
    Limits,
    Lot,
    Nursery,
    Person,
    Site,
    WaterSource,
)
from perennate.planning.jobs import make_jobs
from perennate.planning.needs import make_needs
from perennate.planning.plan import (
    VERSION,
    AimResult,
    HoldingSummary,
    Plan,
    PlannedPlanting,
    SolverReport,
    WeekAmount,
    Yields,
)
from perennate.planning.water_plan import (
    BedSalt,
    BedWater,
    PlantingWater,
    SourceWater,
    WaterPlan,
)
from perennate.terms import Estimate, text
from perennate.weather.climate import Climate

START = date(2027, 3, 1)
WEEKS = 52

LABOUR = """
broadfork_ready m2 0.5 1 2.5|rake_level m2 0.5 1 2|compost_spread_10mm m2 0.6 1.2 2.5
stirrup_hoe m2 0.4 0.8 1.5|hand_weed_thread m2 1 2.5 5|hand_weed_maintenance m2 0.2 0.5 1.5
liquid_feed m2 0.5 1 2|chop_and_drop m2 0.6 1.5 4|cover_broadcast m2 0.008 0.012 0.03
cover_rake_in m2 0.3 0.6 1.2|drill_mark m 0.1 0.2 0.4|sow_small_hand m 0.3 0.6 1.2
sow_large_hand m 0.2 0.4 0.8|sow_jab station 0.03 0.06 0.12|sow_tray_hand tray 2 3.5 6
sow_flat_open flat 0.7 1.5 3|fill_flat_seed flat 0.37 0.62 0.82|prick_out plant 0.1 0.2 0.4
pot_9cm pot 0.15 0.3 0.5|pot_1l pot 0.25 0.45 0.8|harden_off tray_day 0.3 0.6 1
thin_row m 0.4 1 2.5|transplant_plug plant 0.1 0.17 0.35|transplant_pot plant 0.7 1.2 2.5
plant_potato m 0.5 0.9 1.8|plant_sets plant 0.04 0.07 0.12|plant_leek_hole plant 0.1 0.18 0.3
water_in m2 0.4 0.8 1.5|water_hose m2 0.4 0.8 1.5|water_can m2 1.5 3 6|drip_check visit 2 5 10
water_tray tray_visit 0.1 0.2 0.4|string_tomato plant 0.4 0.8 1.5
prune_tomato plant_visit 0.3 0.5 1|trellis_net m 2 4 8|hill_potato m 0.3 0.6 1.2
fleece_on m2 0.3 0.6 1.2|fleece_open m2_visit 0.04 0.08 0.2|net_on m2 0.4 0.8 1.6
scout m2_visit 0.02 0.05 0.15|bench_check m2_day 0.1 0.25 0.6|label_pots pot 0.05 0.1 0.2
clean_small_lot lot 15 30 90|label_lot lot 3 5 10|store_check kg 0.2 0.4 0.8
thresh_bean kg 4 7 12|bean_poles pole 0.6 1.2 2.5
pick_tomato kg 1 1.8 3.5|lift_carrot kg 1.3 2 4|cut_cabbage kg 0.3 0.5 1|lift_potato kg 0.7 1.2 2.5
pick_bean_bush kg 5 8 14|pull_drybean m2 0.5 1 2|bunch_radish bunch 0.8 1.5 2.5
lift_onion kg 0.6 1 2|clean_onion kg 0.8 1.5 3
"""

KINDS = {"kill_seedling": 0.0, "kill_vegetative": 0.0, "kill_bloom": 0.0, "kill_mature": 0.0}


def known(value: float, unit: str, low: float | None = None, high: float | None = None) -> Estimate:
    """An invented figure."""
    return Estimate(
        value,
        value if low is None else low,
        value if high is None else high,
        unit,
        "made",
        "memory",
    )


def labour() -> dict[str, LabourRate]:
    rates = {}
    for row in LABOUR.replace("\n", "|").strip("|").split("|"):
        key, per, low, usual, high = row.split()
        minutes = known(float(usual), "min", float(low), float(high))
        rates[key] = LabourRate(key, "made", key, "", per, minutes)
    return rates


def containers() -> dict[str, Container]:
    rows = [
        ("tray_72", "72-cell tray", 72, 476, 0.045),
        ("tray_128", "128-cell tray", 128, 850, 0.019),
        ("flat_uk", "seed tray", 1, 11, 3.7),
        ("pot_9s", "9 cm square pot", 1, 123, 0.45),
    ]
    return {
        key: Container(key, "made", name, cells, dense, known(fill, "l"), "made", "memory")
        for key, name, cells, dense, fill in rows
    }


def crop(
    key: str,
    family: str,
    group: str,
    hardiness: str,
    feeder: str,
    pick_style: str,
    pick_task: str,
    kill: float,
    *,
    hazards: tuple[Hazard, ...] = (),
    role: str = "vegetable",
    light: str = "full sun",
    **figures: float,
) -> Crop:
    """A crop with the usual figures and those given on top."""
    units = {"kill": "degC"}
    usual: dict[str, float] = {
        "spacing_close": 30.0,
        "soil_temp_sow_min": 5.0,
        "temp_base": 5.0,
        "rest_years": 3.0,
        "harvest_window": 28.0,
        "seeds_per_gram": 300.0,
        "seed_store_years": 4.0,
        "germination_standard": 0.8,
        "field_hold_warm": 10.0,
        "field_hold_cool": 30.0,
        "days_between_picks": 4.0,
        "edible_fraction": 0.9,
        "heat_day": 38.0,
        "sow_depth": 2.0,
        **{f"kill_{stage}": kill for stage in ("seedling", "vegetative", "bloom", "mature")},
        **figures,
    }
    found = {name: known(value, units.get(name, "1")) for name, value in usual.items()}
    found["eaten_per_year"] = known(30.0, "kg", 30.0, 80.0)
    found["spacing_close"] = known(
        usual["spacing_close"], "cm", usual["spacing_close"] * 0.85, usual["spacing_close"] * 1.2
    )
    facts = {
        "rotation_group": group,
        "hardiness": hardiness,
        "feeder": feeder,
        "pick_style": pick_style,
        "pick_task": pick_task,
        "light_need": light,
        "sign_of_loss": "splits",
        **({"eaten_raw": "often"} if key == "carrot" else {}),
    }
    return Crop(
        key,
        key.replace("_", " ").capitalize(),
        f"Plantula {key}",
        (),
        family,
        role,
        MappingProxyType(found),
        MappingProxyType({name: Fact(value, "made", "memory") for name, value in facts.items()}),
        hazards,
        (1.0,),
    )


LUPIN_SEED = Hazard(
    "lupin_bitter",
    "lupin_white",
    "seeds",
    "alkaloids in the seed",
    "leach",
    "everyone",
    "food until processed",
    None,
    "food-safety adviser",
    "made",
    "memory",
)


def crops() -> dict[str, Crop]:
    rows = [
        crop(
            "tomato", "Solanaceae", "solanaceae", "frost-tender", "heavy", "repeat", "pick_tomato",
            0.0, spacing_close=50.0, soil_temp_sow_min=10.0, temp_base=10.0,
        ),
        crop(
            "carrot", "Apiaceae", "umbellifer", "hardy", "light", "few_passes", "lift_carrot",
            -9.0, spacing_close=6.0, seeds_per_gram=800.0,
        ),
        crop(
            "cabbage", "Brassicaceae", "brassica", "hardy", "heavy", "once_over", "cut_cabbage",
            -12.0, spacing_close=42.0, rest_years=4.0, field_hold_warm=20.0,
        ),
        crop(
            "potato", "Solanaceae", "solanaceae", "frost-tender", "heavy", "once_over",
            "lift_potato", -2.0, spacing_close=30.0, rest_years=4.0,
        ),
        crop(
            "bean_snap_bush", "Fabaceae", "legume", "frost-tender", "light", "repeat",
            "pick_bean_bush", 0.0, spacing_close=13.0, soil_temp_sow_min=12.0, seeds_per_gram=3.0,
            field_hold_warm=2.0, field_hold_cool=4.0, temp_base=8.0,
        ),
        crop(
            "radish", "Brassicaceae", "brassica", "half-hardy", "light", "few_passes",
            "bunch_radish", -4.0, spacing_close=6.0, seeds_per_gram=100.0, rest_years=4.0,
        ),
        crop(
            "onion_bulb",
            "Amaryllidaceae",
            "allium",
            "hardy",
            "light",
            "once_over",
            "lift_onion",
            -8.0,
            spacing_close=8.0,
            seeds_per_gram=250.0,
            rest_years=4.0,
        ),
        crop(
            "lupin_white", "Fabaceae", "legume", "half-hardy", "light", "once_over",
            "pull_drybean", -6.0, spacing_close=15.0, seeds_per_gram=3.0,
            role="pulse",
            hazards=(LUPIN_SEED,),
        ),
    ]  # fmt: skip
    return {row.key: row for row in rows}


def catalogue() -> Catalogue:
    return Catalogue(crops(), labour(), containers(), (), {})


def climate(south: bool = False, warmer: float = 0.0, years: int = 30) -> Climate:
    """Mean 11 degC, 8 either way over the year, nights 5 below, years differing by about 1.5."""
    day = np.arange(365)
    mean = 11.0 + warmer - 8.0 * np.cos(2 * np.pi * (day - 20) / 365) * (-1 if south else 1)
    noise = np.random.default_rng(7).normal(0.0, 1.5, (years, 365))
    return Climate(
        -46.0 if south else 46.0,
        200.0,
        mean + 5.0 + noise,
        mean - 5.0 + noise,
        np.full((years, 365), 2.0),
        "normals",
        0,
    )


def beds() -> tuple[Bed, ...]:
    return tuple(Bed(f"B{number}", 10.0, 1.2, x_m=0.0, y_m=2.0 * number) for number in range(1, 6))


def lots() -> tuple[Lot, ...]:
    made = date(2026, 12, 1)
    return (
        Lot("L-tom", "tomato", "Red Lamp", "seed", 2.0, "g", 2026, 0.9, made, treated=False),
        Lot("L-car", "carrot", "Long Lantern", "seed", 20.0, "g", 2026, 0.8, made, treated=False),
        Lot("L-cab", "cabbage", "Grey Dome", "seed", 400, "seeds", 2025, 0.85, made, treated=False),
        Lot("L-pot", "potato", "Kiln", "tuber", 200, "pieces", 2026, None, treated=False),
        Lot("L-bean", "bean_snap_bush", "Thin Reed", "seed", 900, "seeds", 2026, 0.9, made,
            treated=False),
    )  # fmt: skip


def holding() -> Holding:
    return Holding(
        Site("Hollow Croft", 46.0, 9.0, 200.0),
        START,
        WEEKS,
        "metric",
        people=(Person("Ama", "female", 40, 65, 1.7), Person("Bo", "male", 41, 75, 1.7)),
        nursery=Nursery(bench_m2=3.0, container="tray_72"),
        limits=Limits(hours_per_week=20.0, compost_l=900.0),
        habits=Habits(),
        beds=beds(),
        aims=(
            Aim("A-tom", "food", "tomato", "", 60.0, "kg", "season", None, None, 1),
            Aim("A-car", "food", "carrot", "", 30.0, "kg", "season", None, None, 2),
        ),
        lots=lots(),
        plantings=(
            HandPlanting("H1", "past", "cabbage", "", "B1", date(2025, 4, 1), date(2025, 5, 1),
                         date(2025, 9, 1), 0.0, 10.0),
            HandPlanting("H2", "past", "potato", "", "B3", date(2026, 4, 10), date(2026, 4, 10),
                         date(2026, 9, 1), 0.0, 10.0),
        ),
    )  # fmt: skip


def planting(
    key: str,
    crop_key: str,
    variety: str,
    lot: str,
    bed: str,
    route: str,
    sow: date,
    ground_from: date,
    first: date,
    last: date,
    ground_to: date,
    plants: int,
    kg: float,
    *,
    aims: Iterable[str] = (),
    start_m: float = 0.0,
    length_m: float = 10.0,
    spacing_cm: float = 0.0,
    rows: int = 2,
    status: str = "planned",
) -> PlannedPlanting:
    """A planting whose harvest is spread evenly over its weeks."""
    kind = crops()[crop_key]
    weeks = max((last - first).days // 7, 0) + 1
    amounts = tuple(WeekAmount(first + timedelta(7 * week), kg / weeks) for week in range(weeks))
    return PlannedPlanting(
        key, crop_key, variety, lot, bed, route, status, sow, ground_from, first, last, ground_to,
        start_m, length_m, 1.2, "offset", spacing_cm or kind.value("spacing_close"), rows, plants,
        known(kg, "kg", kg * 0.5, kg * 2), amounts, tuple(aims), kind.fact("rotation_group"),
        kind.value("rest_years"), 0.0, 0.0, (),
    )  # type: ignore[arg-type]  # fmt: skip


def plantings() -> tuple[PlannedPlanting, ...]:
    return (
        planting("P-tom", "tomato", "Red Lamp", "L-tom", "B1", "nursery", date(2027, 3, 20),
                 date(2027, 5, 25), date(2027, 7, 25), date(2027, 9, 15), date(2027, 9, 25), 40,
                 62.0, aims=["A-tom"]),
        planting("P-car", "carrot", "Long Lantern", "L-car", "B2", "direct", date(2027, 4, 10),
                 date(2027, 4, 10), date(2027, 7, 10), date(2027, 9, 1), date(2027, 9, 10), 2400,
                 31.0, aims=["A-car"], rows=15),
        planting("P-cab", "cabbage", "Grey Dome", "L-cab", "B3", "nursery", date(2027, 4, 1),
                 date(2027, 5, 5), date(2027, 8, 1), date(2027, 8, 1), date(2027, 8, 20), 60,
                 40.0, rows=3),
        planting("P-pot", "potato", "Kiln", "L-pot", "B4", "set", date(2027, 4, 20),
                 date(2027, 4, 20), date(2027, 8, 10), date(2027, 8, 10), date(2027, 8, 25), 120,
                 36.0, rows=4),
        planting("P-bean", "bean_snap_bush", "Thin Reed", "L-bean", "B5", "direct",
                 date(2027, 5, 20), date(2027, 5, 20), date(2027, 7, 20), date(2027, 8, 25),
                 date(2027, 9, 1), 400, 12.0, rows=9, length_m=8.0),
    )  # fmt: skip


def aims() -> tuple[AimResult, ...]:
    return tuple(
        AimResult(aim, "food", kind, priority, wanted, known(got, "kg"), "kg", 1.0, (), (), ())
        for aim, kind, priority, wanted, got in (
            ("A-tom", "tomato", 1, 60.0, 60.0),
            ("A-car", "carrot", 2, 30.0, 30.0),
        )
    )


def plan(
    grown: Iterable[PlannedPlanting] | None = None,
    place: Holding | None = None,
    kinds: Catalogue | None = None,
    weather: Climate | None = None,
) -> Plan:
    """The good plan, or one of other plantings, with its own jobs and needs."""
    chosen = tuple(plantings() if grown is None else grown)
    place, kinds, weather = place or holding(), kinds or catalogue(), weather or climate()
    jobs = make_jobs(chosen, place, kinds, weather, START, WEEKS)
    needs = make_needs(chosen, jobs, place, kinds, START, WEEKS)
    none = known(0.0, "kg")
    return Plan(
        VERSION, START, START, WEEKS, 1, "usual",
        HoldingSummary(place.site.name, 46.0, 200.0, 5, 60.0, "metric", "normals", ()),
        aims(), chosen, jobs, needs, (),
        Yields(none, 0.0, 0.0, 0.0, 0.0, 0.0, None, None, (), ()),
        SolverReport("closed", 0.0, 0.0, 0.0, 0.0, 0.0, 5, 1, 1, 1, (), text("made")),
    )  # fmt: skip


def with_planting(key: str, **changes: object) -> tuple[PlannedPlanting, ...]:
    """The good plan's plantings with one of them changed."""
    return tuple(
        replace(item, **changes) if item.key == key else item  # type: ignore[arg-type]
        for item in plantings()
    )


def water(
    plan: Plan,
    source: WaterSource,
    rows: dict[str, dict[str, object]] | None = None,
    served: float = 1.0,
    tank_l: float | None = None,
    salts: tuple[BedSalt, ...] = (),
) -> WaterPlan:
    """The good plan's water: 20 mm a week for what stands, all of it given."""
    week, none = (20.0,) * plan.weeks, (0.0,) * plan.weeks
    beds = tuple(
        BedWater(bed, source.key, (12.0,) * plan.weeks, none, week, week, week, (1.0,) * plan.weeks,
                 (0.8,) * plan.weeks, (0.6,) * plan.weeks, none, none)
        for bed in sorted({p.bed for p in plan.plantings})
    )  # fmt: skip
    plantings = tuple(
        replace(
            PlantingWater(p.key, 300.0, known(900.0, "l"), 12.0, 0.99, 0.7, 1.0, 0.0, 0.0, None,
                          ""),
            **(rows or {}).get(p.key, {}),
        )
        for p in plan.plantings
    )  # fmt: skip
    litres = (200.0,) * plan.weeks
    lacking = tuple((1 - served) * one for one in litres)
    sources = (SourceWater(source.key, source.kind, litres, litres, lacking, (), (), served,
                           1.0 if served == 1.0 else 0.2, tank_l),)  # fmt: skip
    return WaterPlan("full", beds, plantings, sources, salts,
                     known(40_000.0, "l", 30_000.0, 50_000.0), (), 0.3, ())  # fmt: skip
