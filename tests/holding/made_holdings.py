"""Holdings of every kind that a holding may be of, for laws that hold for all of them."""

from dataclasses import replace
from datetime import date
from typing import get_args

from hypothesis import strategies as st

from perennate.holding.agreement import PLACES
from perennate.holding.assumed import SETTINGS, name_of
from perennate.holding.cells import tidy
from perennate.holding.model import (
    Aim,
    Bed,
    Cover,
    Germs,
    Habits,
    HandPlanting,
    Holding,
    Limb,
    Limits,
    Lot,
    LotMove,
    Mulch,
    Nursery,
    OwnValue,
    Person,
    Record,
    RememberedClimate,
    RoofKind,
    Site,
    SourceKind,
    Tree,
    Watering,
    WateringWay,
    WaterSource,
)
from perennate.holding.schema import table_schema
from perennate.science.water_units import EQUIVALENT_WEIGHT
from perennate.terms import Estimate

CROPS = st.sampled_from(["carrot", "kale", "tomato", "potato"])
DAYS = st.dates(date(1990, 1, 1), date(2190, 12, 31))
PAST = st.dates(date(1990, 1, 1), date(2025, 12, 31))
LETTERS = st.characters(categories=["L", "M", "N", "P", "S", "Zs"], include_characters="\n")
NOTES = st.text(LETTERS, max_size=12).map(tidy).filter(lambda text: text == tidy(text))
SIGNS = st.sampled_from(["", "=1+1", "+Crataegomespilus", "-", "@x", "# 1", "'=", "'Osk'", "007"])
TEXTS = NOTES | SIGNS
KEYS = (
    TEXTS.map(lambda text: text.replace(";", ""))
    .map(tidy)
    .filter(
        lambda text: bool(text) and text == tidy(text) and tidy(f"x; {text}; x") == f"x; {text}; x"
    )
    .filter(lambda text: not {".", ".."} & set(text.split("/")))
)


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False) | st.integers(
        int(low) + 1, int(high)
    ).map(float)


def maybe(strategy):
    return st.none() | strategy


def keyed(kind, draw, /, least=0, **fields):
    """A list of up to three of a kind with keys of their own."""
    keys = draw(st.lists(KEYS, unique=True, min_size=least, max_size=3))
    return tuple(draw(st.builds(kind, key=st.just(key), **fields)) for key in keys)


def in_order(draw, count):
    """As many days, some of them not known, none before the one to its left."""
    days = sorted(draw(st.lists(DAYS, min_size=count, max_size=count)))
    return [draw(maybe(st.just(one))) for one in days]


@st.composite
def aims(draw, key):
    kind = draw(st.sampled_from(["food", "household", "sell", "seed", "habitat", "compost"]))
    unit = {"food": "kg", "household": "share", "sell": "plants", "seed": "g"}.get(kind, "m2")
    start, end = in_order(draw, 2)
    return Aim(
        key,
        kind,
        "" if kind == "household" else draw(CROPS),
        draw(TEXTS),
        draw(numbers(0, 1 if kind == "household" else 1e6)),
        unit,
        draw(st.sampled_from(["week", "season"])),
        start,
        end or date(2200, 1, 1),
        draw(st.integers(1, 3)),
        draw(TEXTS),
    )


@st.composite
def lots(draw, keys):
    made = []
    for key in keys:
        unit = draw(st.sampled_from(["g", "seeds", "pieces"]))
        amount = draw(maybe(numbers(0, 1e5) if unit == "g" else st.integers(0, 999999).map(float)))
        made.append(
            Lot(
                key,
                draw(CROPS),
                draw(TEXTS),
                draw(st.sampled_from(["seed", "set", "tuber", "slip", "plant", "other"])),
                amount,
                unit,
                draw(maybe(st.integers(1900, 2200))),
                draw(maybe(numbers(0, 1))),
                draw(maybe(DAYS)),
                draw(TEXTS),
                tuple(draw(st.lists(st.sampled_from(keys), max_size=2))),
                draw(maybe(st.booleans())),
                draw(TEXTS),
            )
        )
    return tuple(made)


@st.composite
def plantings(draw, key, beds, lot_keys):
    hand = draw(st.sampled_from(["stands", "fixed", "wished", "refused", "past"]))
    bed = draw(st.sampled_from(beds))
    sown, ground_from, ground_to = in_order(draw, 3)
    start = draw(maybe(st.floats(0, bed.length_m / 2)))
    return HandPlanting(
        key,
        hand,
        draw(CROPS),
        draw(TEXTS),
        bed.key,
        sown,
        ground_from or (sown or date(1980, 1, 1)),
        ground_to,
        start,
        draw(maybe(st.floats(bed.length_m / 4, bed.length_m / 2))),
        draw(maybe(st.integers(0, 9999))),
        draw(st.sampled_from(["", *lot_keys])),
        draw(TEXTS),
        draw(TEXTS),
    )


def grounds(source):
    """What a bed may say of its ground, its water and its mulch, in agreement with itself."""
    loosened = st.floats(0, 100)
    return {
        "organic_matter": maybe(numbers(0, 100)),
        "stones": maybe(numbers(0, 95)),
        "sand": maybe(numbers(0, 50)),
        "clay": maybe(numbers(0, 50)),
        "loosened_cm": maybe(loosened),
        "pan_cm": maybe(numbers(100, 300)),
        "mulch": st.sampled_from(get_args(Mulch)[1:]),
        "mulch_cm": maybe(numbers(0, 60)),
        "cover": st.sampled_from(get_args(Cover)),
        "sheltered": st.booleans(),
        "source": source,
        "watering": st.sampled_from(get_args(WateringWay)),
        "ece_ds_m": numbers(0, 100),
        "ece_on": maybe(PAST),
    }


@st.composite
def sources(draw, key):
    tank = draw(maybe(numbers(1, 1e8)))
    level = draw(maybe(st.floats(0, 1).map(lambda share: share * tank))) if tank else None
    kind = draw(st.sampled_from(get_args(SourceKind)))
    of_roofs = maybe(numbers(0, 1e5)) if kind == "roof" else st.none()
    fields = [field for field in table_schema("water_sources").fields if field.unit == "mg/l"]
    ions = {field.name: draw(maybe(numbers(0, field.high))) for field in fields}
    ec = draw(maybe(numbers(0, 60)))
    if ec is not None:
        # no more of anything than water of that conductivity can hold
        for ion, weight in EQUIVALENT_WEIGHT.items():
            most = min(10 * ec * weight, table_schema("water_sources").field(f"{ion}_mg_l").high)
            ions[f"{ion}_mg_l"] = draw(maybe(st.floats(0, most)))
        ions["tds_mg_l"] = draw(maybe(st.floats(300 * ec, 900 * ec)))
    return WaterSource(
        key,
        kind,
        flow_l_min=draw(maybe(numbers(0, 10000))),
        pressure_bar=draw(maybe(numbers(0, 20))),
        per_week_l=draw(maybe(numbers(0, 1e8))),
        per_season_l=draw(maybe(numbers(0, 1e9))),
        tank_l=tank,
        level_l=level,
        roof_m2=draw(of_roofs),
        roof_kind=draw(st.sampled_from(get_args(RoofKind))),
        first_flush_l=draw(of_roofs),
        tested=draw(maybe(PAST)),
        ec_ds_m=ec,
        ph=draw(maybe(numbers(0, 14))),
        sar_adjusted=draw(maybe(numbers(0, 200))),
        germs=draw(st.sampled_from(get_args(Germs))),
        note=draw(TEXTS),
        **ions,
    )


@st.composite
def unassuming(draw):
    source_keys = draw(st.lists(KEYS, unique=True, max_size=2))
    beds = keyed(
        Bed,
        draw,
        least=1,
        length_m=numbers(0.2, 500),
        width_m=numbers(0.1, 100),
        light=st.sampled_from(["full sun", "half shade", "shade"]),
        soil=st.sampled_from(["loam", "silt loam", "unknown"]),
        x_m=maybe(numbers(-100, 100)),
        y_m=maybe(numbers(-100, 100)),
        diseases=st.lists(KEYS, max_size=2).map(tuple),
        free_from=maybe(st.just(date(2026, 3, 1))),
        free_to=maybe(st.just(date(2026, 9, 1))),
        note=TEXTS,
        **grounds(st.sampled_from(["", *source_keys])),
    )
    lot_keys = draw(st.lists(KEYS, unique=True, max_size=3))
    stock = draw(lots(lot_keys))
    moves = [
        LotMove(lot.key, draw(DAYS), draw(st.integers(0, 10**9)), unit, draw(TEXTS))
        for lot in stock
        for unit in ["mg" if lot.unit == "g" else lot.unit]
    ]
    trees = keyed(
        Tree, draw, species=KEYS, rootstock=TEXTS, planted=maybe(DAYS), x_m=st.none(), note=TEXTS
    )
    limbs = ()
    if trees:
        of = st.sampled_from([tree.key for tree in trees])
        limbs = keyed(Limb, draw, tree=of, variety=KEYS, grafted=maybe(DAYS), note=TEXTS)
    own = st.builds(
        OwnValue,
        crop=CROPS,
        figure=st.just("yield"),
        estimate=st.lists(numbers(0.01, 90), min_size=3, max_size=3)
        .map(sorted)
        .flatmap(
            lambda three: st.builds(
                Estimate,
                value=st.just(three[1]),
                low=st.just(three[0]),
                high=st.just(three[2]),
                unit=st.just("kg/m2"),
                source=KEYS,
                basis=st.sampled_from(["own records", "memory", "published"]),
            )
        ),
    )
    no_frost = draw(st.booleans())
    frost = st.none() if no_frost else maybe(st.sampled_from([(2, 29), (5, 15), (12, 31)]))
    return Holding(
        site=draw(
            st.builds(
                Site,
                name=TEXTS,
                latitude_deg=numbers(-90, 90),
                longitude_deg=maybe(numbers(-180, 180)),
                elevation_m=numbers(-400, 6000),
                wind_m_s=maybe(numbers(0, 30)),
                coast=st.booleans(),
                remembered=st.builds(
                    RememberedClimate,
                    last_frost=frost,
                    first_frost=frost,
                    coldest_night_c=maybe(numbers(-90, 60)),
                    hottest_day_c=maybe(numbers(-90, 60)),
                    wet_months=st.lists(st.integers(1, 12), max_size=3).map(tuple),
                    no_frost=st.just(no_frost),
                ),
            )
        ),
        as_of=draw(maybe(DAYS)),
        weeks=draw(st.integers(1, 520)),
        units=draw(st.sampled_from(["metric", "us"])),
        people=tuple(
            draw(
                st.lists(
                    st.builds(
                        Person,
                        name=TEXTS,
                        sex=st.sampled_from(["female", "male"]),
                        age_years=numbers(0, 120),
                        weight_kg=numbers(2, 400),
                        activity=st.floats(1.2, 2.5),
                    ),
                    min_size=1,
                    max_size=3,
                )
            )
        ),
        eats=tuple(draw(st.lists(CROPS, unique=True, max_size=3))),
        processes=tuple(draw(st.lists(CROPS, unique=True, max_size=2))),
        nursery=draw(st.builds(Nursery, bench_m2=numbers(0, 1e4), min_night_c=numbers(-9, 30))),
        limits=draw(st.builds(Limits, hours_per_week=maybe(numbers(0, 900)))),
        habits=draw(
            st.builds(
                Habits,
                surety=st.floats(0.5, 0.99),
                least_ground=st.booleans(),
                watering=st.sampled_from(get_args(Watering)),
                watering_every_days=st.integers(1, 14),
            )
        ),
        beds=beds,
        water_sources=tuple(draw(sources(key)) for key in source_keys),
        aims=tuple(draw(aims(key)) for key in draw(st.lists(KEYS, unique=True, max_size=3))),
        lots=stock,
        lot_moves=tuple(moves),
        trees=trees,
        limbs=limbs,
        plantings=tuple(
            draw(plantings(key, beds, lot_keys))
            for key in draw(st.lists(KEYS, unique=True, max_size=3))
        ),
        records=keyed(
            Record,
            draw,
            day=DAYS,
            kind=st.sampled_from(["harvested", "seen"]),
            crop=CROPS | st.just(""),
            place=st.sampled_from(["", *PLACES, beds[0].key]),
            amount=maybe(numbers(0, 1e9)),
            unit=st.sampled_from(["kg", "basket"]),
            minutes=maybe(numbers(0, 1440)),
            who=TEXTS,
            note=TEXTS,
            job=TEXTS,
            part=st.booleans(),
        ),
        own_values=tuple(draw(st.lists(own, max_size=2))),
        year_start=draw(st.sampled_from([(1, 1), (7, 1), (2, 29)])),
    )


def assumable(holding):
    """The name of every setting and cell of the holding that may be assumed."""
    names = [
        f"{section}.{name}"
        for section, settings in SETTINGS.items()
        if section != "people"
        for name in settings
    ]
    names += [f"people.{number}.sex" for number in range(1, len(holding.people) + 1)]
    names += [
        name_of("beds", bed.key, column) for bed in holding.beds for column in ("soil", "x_m")
    ]
    return names + [name_of("plantings", one.key, "sown") for one in holding.plantings]


@st.composite
def holdings(draw):
    holding = draw(unassuming())
    some = draw(st.lists(st.sampled_from(assumable(holding)), unique=True, max_size=4))
    return replace(holding, assumed=tuple(some))
