"""One mixed-integer programme to HiGHS: numbers in, the best found and its bound out."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import highspy
import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from wardwright.errors import NoSolutionError

TOLERANCE = 1e-9
"""By how much of its demand a row may be missed by rounding. [-]"""

Floats = NDArray[np.float64]
Matrix: TypeAlias = "sparse.csr_array[np.float64, tuple[int, int]]"


@dataclass(frozen=True, eq=False)
class Programme:
    """Minimise ``costs @ x`` where ``lower <= matrix @ x <= upper`` and ``least <= x <= most``."""

    costs: Floats
    matrix: Matrix
    lower: Floats
    upper: Floats
    whole: NDArray[np.bool_]
    """Which variables are whole; the others may lie between."""
    least: Floats | None = None
    """Zero where not given."""
    most: Floats | None = None
    """One where not given."""


@dataclass(frozen=True, eq=False)
class Solved:
    """What a run found; ``values`` is None where it found nothing."""

    values: Floats | None
    bound: float
    proved: bool
    """No better one exists: ``bound`` is met."""
    impossible: bool
    """Proved: nothing satisfies all rows."""


def minimise(
    programme: Programme,
    *,
    time_limit_s: float,
    gap: float = 0.0,
    start: Floats | None = None,
    progress: Callable[[float, float], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Solved:
    """Solve a programme, or stop with the best found.

    Parameters
    ----------
    programme : Programme
        What to solve.
    time_limit_s : float
        After this the best found so far is returned.
    gap : float
        A solution no dearer than this share above the bound will do. [-]
    start : array, optional
        A solution to begin from.
    progress : callable, optional
        Told the best cost and the bound now and then.
    stop : callable, optional
        Asked now and then; True ends the run with the best found so far.

    Raises
    ------
    NoSolutionError
        If the solver ends without saying anything about the programme.
    """
    solver = _Silent()
    solver.setOptionValue("time_limit", max(float(time_limit_s), 0.01))
    solver.setOptionValue("mip_rel_gap", gap)
    solver.setOptionValue("threads", 1)
    for option in ("mip_feasibility_tolerance", "primal_feasibility_tolerance"):
        solver.setOptionValue(option, TOLERANCE)
    solver.passModel(_model(programme))
    if start is not None:
        solution = highspy.HighsSolution()
        solution.col_value = start.tolist()
        solver.setSolution(solution)
    if stop is not None:
        solver.cbMipInterrupt.subscribe(lambda event: event.interrupt() if stop() else None)
    if progress is not None:
        solver.cbMipLogging.subscribe(
            lambda event: progress(event.data_out.mip_primal_bound, event.data_out.mip_dual_bound)
        )
    solver.run()
    status, info = solver.getModelStatus(), solver.getInfo()
    if status == highspy.HighsModelStatus.kInfeasible:
        return Solved(None, float("inf"), False, True)
    if status not in _ENDS:
        raise NoSolutionError(f"the integer programme ended without an answer ({solver.modelStatusToString(status)})")
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Solved(None, float(info.mip_dual_bound), False, False)
    values = np.asarray(solver.getSolution().col_value)
    values = np.where(programme.whole, np.round(values), values)
    if start is not None and abs(float(programme.costs @ values) - info.objective_function_value) > 1e-6 * (
        1.0 + abs(info.objective_function_value)
    ):
        # where presolve alone settles it, version 1.16 proves the optimum and hands back the start: solve it unstarted
        return minimise(programme, time_limit_s=time_limit_s, gap=gap, progress=progress, stop=stop)
    ended = status == highspy.HighsModelStatus.kOptimal
    met = gap <= 0.0 or info.mip_dual_bound >= info.objective_function_value - 1e-9 * abs(info.objective_function_value)
    return Solved(values, float(info.mip_dual_bound), ended and met, False)


_ENDS = {
    highspy.HighsModelStatus.kOptimal,
    highspy.HighsModelStatus.kTimeLimit,
    highspy.HighsModelStatus.kInterrupt,
    highspy.HighsModelStatus.kModelEmpty,
}


class _Silent(highspy.Highs):
    """A solver that writes nothing: its licence line would land in the middle of a table or of JSON."""

    def __init__(self) -> None:
        super().__init__()  # type: ignore[no-untyped-call]

    def enableCallbacks(self) -> None:  # noqa: N802
        """The line is written when call-backs are first enabled, so the output goes off before."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def _model(programme: Programme) -> highspy.HighsLp:
    matrix = programme.matrix.tocsr()
    model = highspy.HighsLp()
    model.num_row_, model.num_col_ = matrix.shape
    model.col_cost_ = programme.costs
    model.col_lower_ = np.zeros(model.num_col_) if programme.least is None else programme.least
    model.col_upper_ = np.ones(model.num_col_) if programme.most is None else programme.most
    model.row_lower_, model.row_upper_ = programme.lower, programme.upper
    model.integrality_ = [
        highspy.HighsVarType.kInteger if whole else highspy.HighsVarType.kContinuous for whole in programme.whole
    ]
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.num_row_, model.a_matrix_.num_col_ = matrix.shape
    model.a_matrix_.start_ = matrix.indptr
    model.a_matrix_.index_ = matrix.indices
    model.a_matrix_.value_ = matrix.data
    return model
