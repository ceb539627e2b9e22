"""The allocation problem as numbers: ground, options, goods and aims. Knows no plant by name.

Amounts of goods are in the good's own unit (kg of food, m2 of standing cover). Weeks are counted
from the first week of the plan. All numbers are expected to be quantised by the caller, so that
the last bits of a processor cannot change a plan.
"""

from dataclasses import dataclass, field

from perennate.planning.allocate.supply import WaterSupply


@dataclass(frozen=True, slots=True)
class BedGround:
    """One bed cut across into equal strips. `group` joins beds that are alike."""

    strips: int
    strip_m2: float
    group: int
    taken: tuple[tuple[int, int, int, int], ...] = ()
    """(first strip, strips, first week, week after the last): not to be planted."""


@dataclass(frozen=True, slots=True)
class Rest:
    """A family's claim on part of a bed: no planting of `family` may meet these weeks."""

    bed: int
    family: int
    first_strip: int
    strips: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Option:
    """One way to grow one good: from `start` up to `end`, per m2 of ground.

    `made`, `minutes` and `water` (litres) are (week, amount per m2) pairs; `bench` are stays (first
    week, week after, m2 of bench per m2 of ground). `fitness[group]` scales what is made; 0 bars
    the group. `refused` names beds where the grower does not want it.
    """

    good: int
    start: int
    end: int
    family: int
    rest: int
    made: tuple[tuple[int, float], ...]
    minutes: tuple[tuple[int, float], ...]
    bench: tuple[tuple[int, int, float], ...]
    compost: float
    cost: float
    fitness: tuple[float, ...]
    least_strips: int = 1
    refused: frozenset[int] = frozenset()
    water: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Good:
    """Something made by options and used up week by week.

    `most_per_week` is the ceiling of use; `keeps` the weeks after the one of harvest for which
    it can be stored; `weekly_loss` the share lost in each stored week; `ready` amounts that come
    anyway (week, amount) from what already stands.
    """

    most_per_week: float
    keeps: int
    weekly_loss: float
    minutes_per_unit: float = 0.0
    ready: tuple[tuple[int, float], ...] = ()
    energy: float = 0.0
    protein: float = 0.0
    food_group: int = -1
    group_share: float = 0.0
    """How much of one person-week of its food group a unit is."""
    eaten_per_week: float = float("inf")
    """The most of it in a week that counts towards a diet; more may be wanted for its own sake."""


@dataclass(frozen=True, slots=True)
class AmountAim:
    """So much of one good: `weekly[w]` in each week, or `total` over the weeks where allowed."""

    good: int
    weekly: tuple[float, ...]
    total: float | None
    value: float


@dataclass(frozen=True, slots=True)
class DietAim:
    """Weekly energy, protein and food groups wanted from all goods together."""

    energy: float
    protein: float
    groups: tuple[float, ...]
    first: int
    last: int
    value: float


@dataclass(frozen=True, slots=True)
class Prices:
    """What the scarce things cost, in the unit of the aims' value."""

    ground: float
    minute: float
    compost: float
    sowing: float
    waste: float
    water: float = 0.0
    """Of a litre."""


@dataclass(frozen=True, slots=True)
class Problem:
    weeks: int
    beds: tuple[BedGround, ...]
    rests: tuple[Rest, ...]
    options: tuple[Option, ...]
    goods: tuple[Good, ...]
    amounts: tuple[AmountAim, ...]
    diet: DietAim | None
    families: int
    bench: tuple[float, ...]
    """m2 of bench left for this in each week."""
    minutes: tuple[float, ...]
    """Minutes of work left in each week; infinite when not limited."""
    compost: float
    upkeep: float
    """Minutes a week for each m2 under crop."""
    prices: Prices
    groups: int = field(default=1)
    most_goods: int = field(default=1_000_000)
    """Kinds that the grower will mind; more are not grown."""
    water: WaterSupply | None = None
    """None: there is always enough."""

    def group_beds(self, group: int) -> list[int]:
        return [index for index, bed in enumerate(self.beds) if bed.group == group]

    @property
    def value(self) -> float:
        """Value of all aims when fully met."""
        diet = self.diet.value if self.diet else 0.0
        return sum(aim.value for aim in self.amounts) + diet


@dataclass(frozen=True, slots=True, order=True)
class Piece:
    """One planting as placed: an option on whole strips of one bed, in one piece."""

    bed: int
    first_strip: int
    option: int
    strips: int


@dataclass(frozen=True, slots=True)
class Judged:
    """What a set of pieces is worth. `cost` is unmet value plus ground, work and the rest."""

    cost: float
    met: tuple[float, ...]
    """Share of each amount aim met."""
    diet_met: tuple[float, float, float]
    """Share of the wanted energy, protein and food groups met (0 without a diet aim)."""
    used: tuple[tuple[float, ...], ...]
    stored: tuple[tuple[float, ...], ...]
    lost: tuple[float, ...]
    over_minutes: float
    over_bench: float
