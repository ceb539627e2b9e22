"""A small holding and its season, made by hand, so that outputs can be tried without a planner.

Everything is invented. Names use several scripts and signs that spreadsheets and calendars trip
over; one crop stands over the new year.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, timedelta
from importlib import import_module

from perennate.holding.model import Bed, Holding, Site
from perennate.planning.plan import (
    VERSION,
    AimResult,
    Finding,
    HoldingSummary,
    Job,
    Need,
    Plan,
    PlannedPlanting,
    ShadowPrice,
    SolverReport,
    WeekAmount,
    Yields,
)
from perennate.terms import Estimate, text

START = date(2026, 3, 2)

NAMES = {
    "carrot": "Carrot",
    "bean_dry": "Bean (dry)",
    "garlic": "Garlic",
    "lettuce": "Lettuce",
    "beet": "Beetroot",
    "tomato": "Tomato",
}

SENTENCES = {
    "made.for_aim": "For {aim}.",
    "made.job_for": "{planting} serves {aim}.",
    "made.soil_warm": "Go when the soil has {degrees:degC} on three mornings.",
    "made.caution": "Lift with a straight back.",
    "made.frost": "Frost may take {crop}: {share:.0%} of years.",
    "made.unmet": "{aim} is met to {met:.0%}.",
    "made.rested": "{crop} stood here {years} years ago.",
    "made.remedy": "Move it to {day}.",
    "made.short_of_ground": "Ground is short by {area:m2}.",
    "made.not_covered": "Vitamin B12 is not covered.",
    "made.climate": "Rests on memory; {years} years on record.",
    "made.price": "One more square metre in the week of {week} would bring more.",
    "made.solver": "No plan for this ground meets the aims more than {gap:.1%} better.",
}


@contextmanager
def words_known() -> Iterator[None]:
    """Within it `say` knows the made plan's sentences beside those of the package."""
    module = import_module("perennate.words.say")
    real = module.templates

    def with_made(language: str = "en") -> Mapping[str, str]:
        return {**real(language), **SENTENCES}

    module.templates = with_made
    try:
        yield
    finally:
        module.templates = real


def kg(value: float, low: float, high: float) -> Estimate:
    return Estimate(value, low, high, "kg", "made-up trial", "published")


def minutes(value: float) -> Estimate:
    return Estimate(value, value * 0.6, value * 1.7, "min", "memory", "memory")


def made_holding() -> Holding:
    beds = [
        Bed("Süd 1", 6.0, 1.2, x_m=0.0, y_m=0.0),
        Bed("Süd 2", 6.0, 1.2, x_m=0.0, y_m=1.7),
        Bed("Süd 3", 6.0, 1.2, x_m=0.0, y_m=3.4, light="half shade"),
        Bed("=Ecke", 2.5, 0.9, x_m=7.0, y_m=0.0),
        Bed("Žleb", 2.5, 1.2, x_m=7.0, y_m=1.7, diseases=("clubroot",)),
    ]
    return Holding(
        site=Site("Hof Überlengries", 47.7, 11.5, 690.0),
        as_of=START,
        weeks=52,
        units="metric",
        beds=tuple(beds),
    )


def planting(key: str, crop: str, variety: str, bed: str, **others: object) -> PlannedPlanting:
    made = PlannedPlanting(
        key=key,
        crop=crop,
        variety=variety,
        lot="",
        bed=bed,
        route="direct",
        status="planned",
        sow=date(2026, 4, 6),
        ground_from=date(2026, 4, 6),
        first_harvest=date(2026, 7, 6),
        last_harvest=date(2026, 8, 17),
        ground_to=date(2026, 8, 24),
        start_m=0.0,
        length_m=2.0,
        width_m=1.2,
        layout="offset",
        spacing_cm=5.0,
        rows=8,
        plants=320,
        harvest=kg(9.61, 4.2, 16.8),
        by_week=(
            WeekAmount(date(2026, 7, 6), 4.8049),
            WeekAmount(date(2026, 7, 13), 4.8051),
        ),
        aims=("Möhren",),
        rotation_group="Apiaceae",
        rest_years=3.0,
        frost_risk=0.0123456,
        heat_risk=0.0,
        why=(text("made.for_aim", aim="Möhren"),),
    )
    return replace(made, **others)  # type: ignore[arg-type]


def made_plantings() -> tuple[PlannedPlanting, ...]:
    return (
        planting("p-carrot", "carrot", "Rotkäppchen", "Süd 1"),
        planting(
            "p-bean",
            "bean_dry",
            "Бабушка",
            "Süd 2",
            sow=date(2026, 5, 18),
            ground_from=date(2026, 5, 18),
            first_harvest=date(2026, 9, 7),
            last_harvest=date(2026, 9, 21),
            ground_to=date(2026, 10, 5),
            length_m=6.0,
            spacing_cm=15.0,
            rows=4,
            plants=180,
            harvest=kg(1.9, 0.8, 3.1),
            by_week=(WeekAmount(date(2026, 9, 7), 1.9),),
            aims=("Haushalt",),
            rotation_group="Fabaceae",
        ),
        planting(
            "p-garlic",
            "garlic",
            "+Kreuz",
            "Süd 1",
            route="set",
            sow=date(2026, 10, 12),
            ground_from=date(2026, 10, 12),
            first_harvest=None,
            last_harvest=None,
            ground_to=date(2027, 7, 12),
            start_m=2.0,
            length_m=4.0,
            spacing_cm=12.0,
            rows=5,
            plants=165,
            harvest=kg(0.0, 0.0, 0.0),
            by_week=(),
            aims=(),
            rotation_group="Alliaceae",
        ),
        planting(
            "p-tomato",
            "tomato",
            "@Abendrot",
            "Žleb",
            route="nursery",
            sow=date(2026, 3, 9),
            ground_from=date(2026, 5, 25),
            first_harvest=date(2026, 8, 3),
            last_harvest=date(2026, 9, 28),
            ground_to=date(2026, 10, 5),
            length_m=2.5,
            spacing_cm=50.0,
            rows=2,
            plants=10,
            layout="square",
            harvest=kg(17.0, 7.5, 29.0),
            by_week=(WeekAmount(date(2026, 8, 3), 10.0), WeekAmount(date(2026, 8, 10), 7.0)),
            aims=("Haushalt",),
            rotation_group="Solanaceae",
            frost_risk=0.08,
        ),
        planting(
            "p-lettuce",
            "lettuce",
            "=Frühling",
            "=Ecke",
            status="stands",
            sow=date(2026, 2, 16),
            ground_from=date(2026, 2, 23),
            first_harvest=date(2026, 4, 20),
            last_harvest=date(2026, 5, 4),
            ground_to=date(2026, 5, 11),
            length_m=1.5,
            width_m=0.9,
            spacing_cm=25.0,
            rows=3,
            plants=20,
            harvest=kg(4.0, 2.0, 6.0),
            by_week=(WeekAmount(date(2026, 4, 20), 4.0),),
            aims=("Haushalt",),
            rotation_group="Asteraceae",
        ),
        planting(
            "p-beet",
            "beet",
            "Rote Laterne",
            "Süd 3",
            sow=date(2026, 4, 27),
            ground_from=date(2026, 4, 27),
            length_m=3.0,
            plants=120,
            aims=("Haushalt",),
            rotation_group="Amaranthaceae",
        ),
    )


def job(key: str, kind: str, planting: str, place: str, best: date, **others: object) -> Job:
    made = Job(
        key=key,
        kind=kind,
        planting=planting,
        place=place,
        earliest=best - timedelta(days=7),
        best=best,
        latest=best + timedelta(days=10),
        quantity=420.0,
        unit="seeds",
        minutes=minutes(25.0),
        why=text("made.job_for", aim="Möhren", planting=planting),
        go=(),
        cautions=(),
        lost_if_missed=False,
    )
    return replace(made, **others)  # type: ignore[arg-type]


def made_jobs() -> tuple[Job, ...]:
    return (
        job(
            "j-sow-tomato",
            "sow",
            "p-tomato",
            "bench",
            date(2026, 3, 9),
            quantity=14.0,
            why=text("made.job_for", aim="Haushalt", planting="p-tomato"),
        ),
        job("j-compost", "compost", "", "Süd 1", date(2026, 3, 16), quantity=70.0, unit="l"),
        job(
            "j-sow-carrot",
            "sow",
            "p-carrot",
            "Süd 1",
            date(2026, 4, 6),
            lost_if_missed=True,
            go=(text("made.soil_warm", degrees=7.5),),
        ),
        job(
            "j-plant-tomato",
            "plant out",
            "p-tomato",
            "Žleb",
            date(2026, 5, 25),
            quantity=10.0,
            unit="plants",
            go=(text("made.soil_warm", degrees=14.0),),
            cautions=(text("made.caution"),),
        ),
        job("j-thin", "thin", "p-carrot", "Süd 1", date(2026, 5, 4), quantity=2.4, unit="m2"),
        job("j-net", "net", "p-carrot", "Süd 1", date(2026, 4, 7), quantity=2.4, unit="m2"),
        job("j-weed-1", "weed", "", "Süd 1; Süd 2, Süd 3", date(2026, 3, 18), unit="m2"),
        job("j-harvest", "harvest", "p-carrot", "Süd 1", date(2026, 7, 6), quantity=4.8, unit="kg"),
        job("j-leap", "look over", "p-garlic", "Süd 1", date(2028, 2, 29), quantity=1.0, unit="1"),
    )


def made_needs() -> tuple[Need, ...]:
    return (
        Need(
            "n-seed",
            "seed",
            "carrot",
            "Rotkäppchen",
            date(2026, 4, 6),
            0.7,
            "g",
            0.2,
            0.5,
            text("made.job_for", aim="Möhren", planting="p-carrot"),
        ),
        Need(
            "n-compost",
            "compost",
            "compost",
            "",
            date(2026, 3, 16),
            70.0,
            "l",
            100.0,
            0.0,
            text("made.job_for", aim="Möhren", planting="p-carrot"),
        ),
        Need(
            "n-mix",
            "mix",
            "-potting mix",
            "",
            date(2026, 3, 9),
            6.0,
            "l",
            0.0,
            6.0,
            text("made.job_for", aim="Haushalt", planting="p-tomato"),
        ),
    )


def made_findings() -> tuple[Finding, ...]:
    return (
        Finding(
            "frost",
            "grave",
            ("p-tomato",),
            text("made.frost", crop="tomato", share=0.08),
            text("made.remedy", day=date(2026, 6, 1)),
            "made-up frost table",
        ),
        Finding(
            "aim unmet",
            "mind",
            ("Haushalt",),
            text("made.unmet", aim="Haushalt", met=0.41),
            text("made.remedy", day=date(2026, 6, 8)),
            "computed",
        ),
        Finding(
            "rotation",
            "note",
            ("p-beet", "Süd 3"),
            text("made.rested", crop="beet", years=3.0),
            text("made.remedy", day=date(2026, 6, 9)),
            "common practice",
        ),
    )


def made_aims() -> tuple[AimResult, ...]:
    return (
        AimResult(
            "Möhren",
            "food",
            "carrot",
            1,
            10.0,
            kg(9.61, 4.2, 16.8),
            "kg",
            0.961,
            (WeekAmount(date(2026, 7, 6), 4.8049), WeekAmount(date(2026, 7, 13), 4.8051)),
            (),
            (),
        ),
        AimResult(
            "Haushalt",
            "household",
            "",
            2,
            0.3,
            Estimate(0.124, 0.06, 0.19, "share", "computed", "computed"),
            "share",
            0.4133333,
            (),
            (text("made.short_of_ground", area=31.5),),
            (text("made.not_covered"),),
        ),
    )


def made_plan() -> Plan:
    return Plan(
        version=VERSION,
        as_of=START,
        start=START,
        weeks=52,
        seed=7,
        effort="usual",
        holding=HoldingSummary(
            "Hof Überlengries",
            47.7,
            690.0,
            5,
            25.05,
            "metric",
            "remembered",
            (text("made.climate", years=0),),
        ),
        aims=made_aims(),
        plantings=made_plantings(),
        jobs=made_jobs(),
        needs=made_needs(),
        findings=made_findings(),
        yields=Yields(
            kg(42.12, 18.0, 71.0),
            1.68,
            512.3,
            30.0,
            8.1,
            4.02,
            0.0312,
            0.041,
            (
                WeekAmount(date(2026, 4, 20), 4.0),
                WeekAmount(date(2026, 7, 6), 14.4),
                WeekAmount(date(2026, 8, 3), 23.72),
            ),
            (text("made.not_covered"),),
        ),
        solver=SolverReport(
            "closed",
            12.34567,
            12.2,
            0.0123456,
            0.004,
            0.009,
            6,
            1200,
            340,
            5600,
            (
                ShadowPrice(
                    "ground",
                    "full sun",
                    date(2026, 5, 4),
                    0.0041,
                    "m2",
                    text("made.price", week=date(2026, 5, 4)),
                ),
            ),
            text("made.solver", gap=0.0123456),
        ),
    )
