"""What a holding is: its site, ground, stock, people and wishes, as frozen dataclasses.

Lengths in metres, masses in kilograms (lot amounts in their own stated unit), temperatures in
degrees Celsius. Keys are the person's own short names and stay as they were typed.
"""

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from perennate.terms import Estimate

Light = Literal["full sun", "half shade", "shade"]
Soil = Literal[
    "sand", "loamy sand", "sandy loam", "loam", "silt loam", "clay loam", "clay", "peat", "unknown"
]
Hand = Literal["stands", "fixed", "wished", "refused", "past"]
AimKind = Literal["food", "household", "sell", "seed", "habitat", "compost"]
Mulch = Literal["none", "straw", "grass cuttings", "leaves", "wood chips", "compost", "sheet"]
Cover = Literal["open", "shade net", "rain cover", "greenhouse"]
WateringWay = Literal["", "drip", "can", "hose", "sprinkler"]
Watering = Literal["full", "sparing", "none"]
SourceKind = Literal["mains", "well", "roof", "surface", "grey"]
RoofKind = Literal["metal", "tile", "flat gravel", "green", "unknown"]
Germs = Literal["untested", "clean", "found"]
MonthDay = tuple[int, int]


@dataclass(frozen=True, slots=True)
class RememberedClimate:
    """What the grower remembers of the weather; every part may be left blank.

    `no_frost` says that frost is not known here at all, which is not the same as blank.
    """

    last_frost: MonthDay | None = None
    first_frost: MonthDay | None = None
    coldest_night_c: float | None = None
    hottest_day_c: float | None = None
    wet_months: tuple[int, ...] = ()
    no_frost: bool = False


@dataclass(frozen=True, slots=True)
class Site:
    name: str
    latitude_deg: float
    longitude_deg: float | None
    elevation_m: float
    remembered: RememberedClimate = field(default_factory=RememberedClimate)
    wind_m_s: float | None = None
    """Mean wind 2 m above the ground in the growing season; None: not known."""
    coast: bool = False
    """Whether large water lies near enough to keep days and nights alike."""


@dataclass(frozen=True, slots=True)
class Person:
    """One eater. `activity` is the physical activity level (total energy / basal rate)."""

    name: str
    sex: Literal["female", "male"]
    age_years: float
    weight_kg: float
    activity: float


@dataclass(frozen=True, slots=True)
class Nursery:
    """The home nursery: benches under cover. Area in m2; zero when there is none."""

    bench_m2: float = 0.0
    warm_m2: float = 0.0
    min_night_c: float = 5.0
    container: str = "tray_77"


@dataclass(frozen=True, slots=True)
class Limits:
    """What the season may draw on. None means: not a limit, but still summed and reported.

    `water_l` is all water that is given to the beds from any source over the plan's span; what
    each source gives by itself is said by the source.
    """

    hours_per_week: float | None = None
    compost_l: float | None = None
    water_l: float | None = None


@dataclass(frozen=True, slots=True)
class Habits:
    """Choices that keep a plan human.

    `watering`: full, no yield is lost to drought; sparing, water for young plants and sensitive
    stages only; none, rain only but for settling in. `watering_every_days` are the least days
    between two waterings of a bed.
    """

    least_piece_m: float = 1.0
    most_kinds_at_once: int = 24
    surety: float = 0.9
    least_ground: bool = False
    rotation_by: Literal["bed", "half bed"] = "bed"
    compost_mm_per_year: float = 10.0
    watering: Watering = "full"
    watering_every_days: int = 1


@dataclass(frozen=True, slots=True)
class Bed:
    """A piece of growing ground. `free_from`/`free_to`: kept free of plan between these days.

    Organic matter, stones, sand and clay are in % by weight, of fine earth but for the stones;
    None is not known. `loosened_cm` is how deep the ground is loosened, `pan_cm` how deep a
    compacted layer begins. `source` is the key of the water source that feeds the bed (empty:
    any), `watering` how the water is given (empty: not said). `ece_ds_m` is the salt in the soil
    as the conductivity of its saturated extract, measured on `ece_on`.
    """

    key: str
    length_m: float
    width_m: float
    light: Light = "full sun"
    soil: Soil = "unknown"
    x_m: float | None = None
    y_m: float | None = None
    diseases: tuple[str, ...] = ()
    free_from: date | None = None
    free_to: date | None = None
    note: str = ""
    organic_matter: float | None = None
    stones: float | None = None
    sand: float | None = None
    clay: float | None = None
    loosened_cm: float | None = None
    pan_cm: float | None = None
    mulch: Mulch = "none"
    mulch_cm: float | None = None
    cover: Cover = "open"
    sheltered: bool = False
    source: str = ""
    watering: WateringWay = ""
    ece_ds_m: float | None = None
    ece_on: date | None = None

    @property
    def area_m2(self) -> float:
        return self.length_m * self.width_m


@dataclass(frozen=True, slots=True)
class WaterSource:
    """Where water comes from, what it can give and what was found in it.

    `per_week_l` and `per_season_l` are the most that may be drawn in a week and over the plan's
    span (None: no limit), `tank_l` the size of the tank that it fills (None: no tank) and
    `level_l` what stands in that tank now. `roof_m2` is the roof as seen from above and
    `first_flush_l` what is let run off at the beginning of each rain.

    The analysis of the day `tested`: conductivity at 25 degrees Celsius in dS/m, what is
    dissolved and each ion in mg/l (nitrate and chloramine as nitrogen and as chlorine), the
    adjusted sodium adsorption ratio as the laboratory gives it. None is not known, and never
    reads as safe.
    """

    key: str
    kind: SourceKind
    flow_l_min: float | None = None
    pressure_bar: float | None = None
    per_week_l: float | None = None
    per_season_l: float | None = None
    tank_l: float | None = None
    level_l: float | None = None
    roof_m2: float | None = None
    roof_kind: RoofKind = "unknown"
    first_flush_l: float | None = None
    tested: date | None = None
    ec_ds_m: float | None = None
    ph: float | None = None
    tds_mg_l: float | None = None
    sodium_mg_l: float | None = None
    calcium_mg_l: float | None = None
    magnesium_mg_l: float | None = None
    potassium_mg_l: float | None = None
    chloride_mg_l: float | None = None
    bicarbonate_mg_l: float | None = None
    carbonate_mg_l: float | None = None
    sulphate_mg_l: float | None = None
    boron_mg_l: float | None = None
    nitrate_n_mg_l: float | None = None
    iron_mg_l: float | None = None
    free_chlorine_mg_l: float | None = None
    chloramine_mg_l: float | None = None
    sar_adjusted: float | None = None
    germs: Germs = "untested"
    note: str = ""


@dataclass(frozen=True, slots=True)
class Aim:
    """One thing that the year should bring.

    food: `crop`, `amount` kg (or servings, converted by the reader) `per` week or season between
      `start` and `end`.
    household: `amount` is the share (0 to 1) of the household's energy and protein wanted from
      the ground; `crop` is empty; only crops in `Holding.eats` count when that is not empty.
    sell: `amount` plants of `crop` ready by `end`.
    seed: `amount` in grams of seed of `crop`, `variety`.
    habitat, compost: `amount` m2 of ground kept for insectary or compost crops between the dates.
    `priority` 1 is served first; 3 last.
    """

    key: str
    kind: AimKind
    crop: str
    variety: str
    amount: float
    unit: str
    per: Literal["week", "season"]
    start: date | None
    end: date | None
    priority: int = 2
    note: str = ""


@dataclass(frozen=True, slots=True)
class Lot:
    """An amount of living material of one variety and one origin.

    `treated` None means unknown, which never reads as safe.
    """

    key: str
    crop: str
    variety: str
    kind: Literal["seed", "set", "tuber", "slip", "plant", "other"]
    amount: float | None
    unit: Literal["g", "seeds", "pieces"]
    year: int | None
    germination: float | None
    tested: date | None = None
    origin: str = ""
    parents: tuple[str, ...] = ()
    treated: bool | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class LotMove:
    """One movement of a lot, in whole seeds, milligrams or pieces; negative goes out."""

    lot: str
    day: date
    change: int
    unit: Literal["mg", "seeds", "pieces"]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Tree:
    key: str
    species: str
    rootstock: str
    planted: date | None
    x_m: float | None = None
    y_m: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Limb:
    key: str
    tree: str
    variety: str
    grafted: date | None
    note: str = ""


@dataclass(frozen=True, slots=True)
class HandPlanting:
    """A row of `plantings`: what stands, stood, or is fixed, wished or refused by the grower.

    stands: in the ground (or on the bench) on the start date; past: history for the rotation;
    fixed: must be in the plan just so; wished: taken if it costs little; refused: never this
    crop, in this bed, between these days (an empty crop, bed or date means any).
    `start_m` and `length_m` place it along the bed; empty means the planner may choose. `aim` is
    the key of the aim for seed, habitat or compost that it is for; empty, or any other, is food.
    """

    key: str
    hand: Hand
    crop: str
    variety: str
    bed: str
    sown: date | None
    ground_from: date | None
    ground_to: date | None
    start_m: float | None = None
    length_m: float | None = None
    plants: int | None = None
    lot: str = ""
    note: str = ""
    aim: str = ""


@dataclass(frozen=True, slots=True)
class Record:
    """What was done or seen: one day, one place, one kind of event.

    `job` is the key of the plan's job that this did; `part` says that some of it is left to do.
    """

    key: str
    day: date
    kind: str
    crop: str
    place: str
    amount: float | None
    unit: str
    minutes: float | None
    who: str = ""
    note: str = ""
    job: str = ""
    part: bool = False


@dataclass(frozen=True, slots=True)
class OwnValue:
    """A figure of the catalogue that this holding replaces by its own."""

    crop: str
    figure: str
    estimate: Estimate


@dataclass(frozen=True, slots=True)
class Holding:
    """The place worked as one. `as_of` and `weeks` say from when and for how long to plan."""

    site: Site
    as_of: date | None
    weeks: int
    units: Literal["metric", "us"]
    people: tuple[Person, ...] = ()
    eats: tuple[str, ...] = ()
    processes: tuple[str, ...] = ()
    nursery: Nursery = field(default_factory=Nursery)
    limits: Limits = field(default_factory=Limits)
    habits: Habits = field(default_factory=Habits)
    beds: tuple[Bed, ...] = ()
    aims: tuple[Aim, ...] = ()
    lots: tuple[Lot, ...] = ()
    lot_moves: tuple[LotMove, ...] = ()
    trees: tuple[Tree, ...] = ()
    limbs: tuple[Limb, ...] = ()
    plantings: tuple[HandPlanting, ...] = ()
    records: tuple[Record, ...] = ()
    own_values: tuple[OwnValue, ...] = ()
    weather_files: tuple[str, ...] = ()
    water_sources: tuple[WaterSource, ...] = ()
    year_start: MonthDay = (1, 1)
    """First day of the holding's year: a season over new year is named for both years."""
    assumed: tuple[str, ...] = ()
    """Names of settings ("site.elevation_m") and cells ("beds.b3.soil") that were guessed for the
    grower and that nobody has confirmed yet."""
