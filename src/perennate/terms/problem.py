"""What is wrong with something that came in from outside, and where."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong with the input: where it is, what was found, what was expected."""

    file: str
    row: int | None
    column: str | None
    found: str
    expected: str

    def __str__(self) -> str:
        place = self.file
        if self.row is not None:
            place += f", row {self.row}"
        if self.column is not None:
            place += f", column {self.column}"
        return f"{place}: found {self.found}; expected {self.expected}"


class BadInput(Exception):
    """Raised once with every problem found; nothing has been changed when it is raised."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))
