"""A number with its spread and where it comes from."""

from dataclasses import dataclass
from typing import Literal

Basis = Literal[
    "published", "computed", "memory", "common practice", "own records", "remembered", "assumed"
]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure with its spread, unit, source key and basis.

    `low` and `high` are the ends of the usual range (about one in ten lies beyond each end);
    where no spread is known they equal `value`. Raises ValueError when they are out of order
    or when the source is missing.
    """

    value: float
    low: float
    high: float
    unit: str
    source: str
    basis: Basis

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise ValueError(f"estimate out of order: {self.low} <= {self.value} <= {self.high}")
        if not self.source:
            raise ValueError("an estimate needs a source key")

    def times(self, factor: float, unit: str) -> "Estimate":
        """The estimate scaled by an exact, non-negative factor, in another unit."""
        return Estimate(
            self.value * factor,
            self.low * factor,
            self.high * factor,
            unit,
            self.source,
            self.basis,
        )
