"""What a plan is. Everything in it can be written as JSON and read back unchanged."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from perennate.planning.water_plan import WaterPlan
from perennate.terms import Estimate, Text

VERSION = "1.1"

Gravity = Literal["grave", "mind", "note"]
Route = Literal["direct", "nursery", "set"]
"""direct: sown in the bed; nursery: sown under cover and planted out; set: a set, tuber, clove
or slip put straight into the bed."""


@dataclass(frozen=True, slots=True)
class WeekAmount:
    week: date
    """First day of the week."""
    kg: float


@dataclass(frozen=True, slots=True)
class PlannedPlanting:
    """A variety standing in part of a bed from one date to another.

    The bed is taken from `ground_from` up to and not including `ground_to`. `start_m` is
    measured along the bed from its first end. `plants` is the number that should stand.
    """

    key: str
    crop: str
    variety: str
    lot: str
    bed: str
    route: Route
    status: Literal["planned", "wished", "fixed", "stands"]
    sow: date
    ground_from: date
    first_harvest: date | None
    last_harvest: date | None
    ground_to: date
    start_m: float
    length_m: float
    width_m: float
    layout: Literal["offset", "square", "broadcast"]
    spacing_cm: float
    rows: int
    plants: int
    harvest: Estimate
    """Whole harvest in kg as grown (median of a new garden unless own records say more)."""
    by_week: tuple[WeekAmount, ...]
    aims: tuple[str, ...]
    rotation_group: str
    rest_years: float
    frost_risk: float
    """Chance, over the climate's years, that frost kills it before its first harvest."""
    heat_risk: float
    why: tuple[Text, ...]

    @property
    def area_m2(self) -> float:
        return self.length_m * self.width_m


@dataclass(frozen=True, slots=True)
class Job:
    """One dated piece of work: not before `earliest`, lost or late after `latest`."""

    key: str
    kind: str
    """A word of the trade: sow, prick out, pot on, harden off, plant out, cover, thin, weed,
    feed, stake, net, look over, harvest, clear, compost, chit ..."""
    planting: str
    """Key of the planting; empty for a job of the whole holding."""
    place: str
    earliest: date
    best: date
    latest: date
    quantity: float
    unit: str
    minutes: Estimate
    why: Text
    go: tuple[Text, ...]
    """Go or no-go rules for the day itself (soil on three mornings, forecast nights)."""
    cautions: tuple[Text, ...]
    lost_if_missed: bool


@dataclass(frozen=True, slots=True)
class Need:
    """Something to buy, make or draw, by a day."""

    key: str
    kind: Literal[
        "seed", "sets", "compost", "mix", "containers", "bench", "hours", "water", "cover"
    ]
    item: str
    variety: str
    by: date
    amount: float
    unit: str
    have: float
    """What the holding has of it already, in the same unit."""
    to_get: float
    why: Text


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check says about a plan."""

    rule: str
    gravity: Gravity
    about: tuple[str, ...]
    """Keys of plantings, beds, aims or lots."""
    text: Text
    remedy: Text
    source: str


@dataclass(frozen=True, slots=True)
class AimResult:
    """How far an aim is met. `met` is a share from 0 to 1."""

    aim: str
    kind: str
    crop: str
    priority: int
    wanted: float
    expected: Estimate
    unit: str
    met: float
    by_week: tuple[WeekAmount, ...]
    held_back_by: tuple[Text, ...]
    notes: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class ShadowPrice:
    """What one more unit of a scarce thing would bring, as a share of all aims' value."""

    scarce: str
    where: str
    week: date | None
    gain: float
    per: str
    text: Text


@dataclass(frozen=True, slots=True)
class Yields:
    """What the ground brings, over the plan's span."""

    harvest_kg: Estimate
    kg_per_m2: float
    kcal_per_m2: float
    eaten_kg: float
    stored_kg: float
    lost_kg: float
    energy_share: float | None
    protein_share: float | None
    by_week: tuple[WeekAmount, ...]
    notes: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class SolverReport:
    """`status` is "closed" (stopped at a gap), "steps" (after a fixed number of steps) or
    "clock" (stopped by time, outside the promise of equal plans), or "infeasible".
    Objective and bound are costs: unmet value plus ground, work, water and money."""

    status: Literal["closed", "steps", "clock", "infeasible", "nothing to plan"]
    objective: float
    bound: float
    gap: float
    gap_before_placing: float
    gap_after_placing: float
    sowings: int
    columns: int
    rows: int
    nonzeros: int
    shadow_prices: tuple[ShadowPrice, ...]
    text: Text


@dataclass(frozen=True, slots=True)
class HoldingSummary:
    name: str
    latitude_deg: float
    elevation_m: float
    beds: int
    ground_m2: float
    units: Literal["metric", "us"]
    climate_basis: str
    climate_notes: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    version: str
    as_of: date
    start: date
    weeks: int
    seed: int
    effort: str
    holding: HoldingSummary
    aims: tuple[AimResult, ...]
    plantings: tuple[PlannedPlanting, ...]
    jobs: tuple[Job, ...]
    needs: tuple[Need, ...]
    findings: tuple[Finding, ...]
    yields: Yields
    solver: SolverReport
    water: WaterPlan | None = None
    """None where nothing grows, and in plans made before water was reckoned."""
