"""A linear or mixed-integer programme put together in blocks and given to HiGHS."""

import ctypes
import os
import sys
from dataclasses import dataclass
from functools import cache
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
INF = float("inf")


class NoAnswer(Exception):
    """The solver stopped without a usable answer; the status says why."""


@dataclass(frozen=True)
class Answer:
    objective: float
    bound: float
    columns: Floats
    row_duals: Floats
    reduced_costs: Floats
    status: str


class Program:
    """Minimise cost @ x subject to row bounds and column bounds; some columns whole."""

    def __init__(self) -> None:
        self.cost: list[Floats] = []
        self.lower: list[Floats] = []
        self.upper: list[Floats] = []
        self.whole: list[NDArray[np.bool_]] = []
        self.row_lower: list[Floats] = []
        self.row_upper: list[Floats] = []
        self._rows: list[Ints] = []
        self._cols: list[Ints] = []
        self._vals: list[Floats] = []
        self.n_columns = 0
        self.n_rows = 0
        self.nonzeros = 0
        self.entered = 0

    def columns(
        self,
        count: int,
        cost: Floats | float = 0.0,
        lower: Floats | float = 0.0,
        upper: Floats | float = INF,
        whole: bool = False,
    ) -> Ints:
        """Add `count` columns; returns their indices."""
        self.cost.append(np.broadcast_to(np.asarray(cost, float), (count,)))
        self.lower.append(np.broadcast_to(np.asarray(lower, float), (count,)))
        self.upper.append(np.broadcast_to(np.asarray(upper, float), (count,)))
        self.whole.append(np.full(count, whole))
        first = self.n_columns
        self.n_columns += count
        return np.arange(first, self.n_columns)

    def rows(self, count: int, lower: Floats | float, upper: Floats | float) -> Ints:
        """Add `count` rows with these bounds; returns their indices."""
        self.row_lower.append(np.broadcast_to(np.asarray(lower, float), (count,)))
        self.row_upper.append(np.broadcast_to(np.asarray(upper, float), (count,)))
        first = self.n_rows
        self.n_rows += count
        return np.arange(first, self.n_rows)

    def entries(self, rows: Ints, cols: Ints, values: Floats | float) -> None:
        """Add coefficients; repeated places add up."""
        rows = np.asarray(rows, np.int64)
        self.entered += len(rows)
        self._rows.append(rows)
        self._cols.append(np.asarray(cols, np.int64))
        self._vals.append(np.broadcast_to(np.asarray(values, float), rows.shape))

    def model(self) -> highspy.HighsLp:
        """The programme in HiGHS's own form, columns in compressed order."""
        matrix = coo_matrix(
            (
                np.concatenate(self._vals),
                (np.concatenate(self._rows), np.concatenate(self._cols)),
            ),
            shape=(self.n_rows, self.n_columns),
        ).tocsc()
        matrix.eliminate_zeros()
        matrix.sort_indices()
        self.nonzeros = int(matrix.nnz)
        lp = highspy.HighsLp()
        lp.num_col_ = self.n_columns
        lp.num_row_ = self.n_rows
        lp.col_cost_ = np.concatenate(self.cost)
        lp.col_lower_ = np.concatenate(self.lower)
        lp.col_upper_ = np.concatenate(self.upper)
        lp.row_lower_ = np.concatenate(self.row_lower)
        lp.row_upper_ = np.concatenate(self.row_upper)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = matrix.indptr
        lp.a_matrix_.index_ = matrix.indices
        lp.a_matrix_.value_ = matrix.data
        whole = np.concatenate(self.whole)
        if whole.any():
            kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
            lp.integrality_ = [kinds[int(flag)] for flag in whole]
        return lp


@cache
def _greeted() -> None:
    """Let HiGHS say its first words, which no option silences, to nobody."""
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        highspy.Highs()  # type: ignore[no-untyped-call]
        ctypes.CDLL(None).fflush(None)
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def solver(**options: Any) -> Any:
    """A silent, single-threaded HiGHS with a fixed seed; options by their HiGHS names."""
    _greeted()
    highs: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    settings: dict[str, Any] = {
        "output_flag": False,
        "log_to_console": False,
        "threads": 1,
        "parallel": "off",
        "random_seed": 1,
        **options,
    }
    for name, value in settings.items():
        highs.setOptionValue(name, value)
    return highs


def solve(program: Program, **options: Any) -> Answer:
    """Solve; raises NoAnswer unless a feasible point was found and the status says so."""
    highs = solver(**options)
    highs.passModel(program.model())
    highs.run()
    return read_answer(highs)


_USABLE = {
    highspy.HighsModelStatus.kOptimal,
    highspy.HighsModelStatus.kSolutionLimit,
    highspy.HighsModelStatus.kIterationLimit,
    highspy.HighsModelStatus.kTimeLimit,
    highspy.HighsModelStatus.kObjectiveBound,
    highspy.HighsModelStatus.kUnknown,
}


def read_objective(highs: Any) -> float:
    """Objective of a solver that has run; raises NoAnswer unless its point is feasible."""
    status = highs.getModelStatus()
    info = highs.getInfo()
    feasible = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    if status not in _USABLE or not feasible:
        raise NoAnswer(highs.modelStatusToString(status))
    return float(info.objective_function_value)


def read_answer(highs: Any) -> Answer:
    """Status, primal, duals and bound of a solver that has run."""
    objective = read_objective(highs)
    solution = highs.getSolution()
    is_whole = bool(highs.getLp().integrality_)
    bound = highs.getInfo().mip_dual_bound if is_whole else objective
    return Answer(
        objective,
        bound,
        np.asarray(solution.col_value),
        np.asarray(solution.row_dual),
        np.asarray(solution.col_dual),
        highs.modelStatusToString(highs.getModelStatus()),
    )
