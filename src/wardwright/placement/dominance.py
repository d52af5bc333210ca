"""What a covering problem can leave out without losing its optimum.

Rows are normalised: every row asks for 1, no entry exceeds 1. A row goes when meeting another one meets it too. A
candidate goes when another, no dearer, alone meets every row it takes part in. What a row cannot do without is chosen.
The tests are subset tests on packed bits: all rows that hold every candidate of a row are the bitwise and of those
candidates' columns.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from wardwright.placement.integer_program import Floats, Matrix

Indices = NDArray[np.intp]

FULL = 1.0 - 1e-12
"""An entry this large meets its row alone. [-]"""

_BLOCK = 4096
_DENSE = 1 << 24
"""Entries up to which a matrix is laid out in full: picked from far faster, at 128 MB at most."""


@dataclass(frozen=True, eq=False)
class Reduced:
    """What is left: rows and candidates by their numbers in the problem handed in."""

    rows: Indices
    candidates: Indices


def reduce(costs: Floats, matrix: Matrix, groups: list[frozenset[int]]) -> Reduced:
    """Leave out dominated rows and candidates until none is left.

    Parameters
    ----------
    costs : array
        Of every candidate.
    matrix : sparse array
        Normalised rows by candidates.
    groups : list of frozenset
        For every candidate, the conflict groups it belongs to.
    """
    rows, candidates = np.arange(matrix.shape[0]), np.arange(matrix.shape[1])
    while True:
        part = sparse.csr_array(matrix[rows][:, candidates])
        keep_rows = _rows_needed(part)
        part = sparse.csr_array(part[keep_rows])
        keep = _candidates_needed(costs[candidates], part, [groups[int(j)] for j in candidates])
        done = keep.all() and keep_rows.all()
        rows, candidates = rows[keep_rows], candidates[keep]
        if done:
            return Reduced(rows, candidates)


def _rows_needed(matrix: Matrix) -> NDArray[np.bool_]:
    """Rows no other row implies."""
    holding = _bits(matrix.tocsc().T.tocsr())
    sizes = np.diff(matrix.indptr)
    unit = bool((matrix.data >= FULL).all())
    laid_out = None if unit or matrix.shape[0] * matrix.shape[1] > _DENSE else matrix.toarray()
    needed = np.ones(matrix.shape[0], dtype=bool)
    for k in np.argsort(sizes, kind="stable"):  # the shorter row implies the longer one; of equal ones the first stays
        if not needed[k] or not sizes[k]:
            continue
        mine = slice(matrix.indptr[k], matrix.indptr[k + 1])
        columns = matrix.indices[mine]
        over = np.flatnonzero(np.unpackbits(np.bitwise_and.reduce(holding[columns], axis=0), count=needed.size))
        over = over[needed[over] & (over != k)]
        if not unit and over.size:
            theirs = matrix[over][:, columns].toarray() if laid_out is None else laid_out[np.ix_(over, columns)]
            over = over[(theirs >= matrix.data[mine]).all(axis=1)]
        needed[over] = False
    return needed


def _candidates_needed(costs: Floats, matrix: Matrix, groups: list[frozenset[int]]) -> NDArray[np.bool_]:
    """Candidates no other one can stand in for."""
    full = sparse.csr_array(matrix.multiply(matrix >= FULL))
    full.eliminate_zeros()
    standing_in = _bits(full)
    columns = matrix.tocsc()
    sizes, full_sizes = np.diff(columns.indptr), np.diff(full.tocsc().indptr)
    needed = sizes > 0
    for j in np.flatnonzero(needed):
        rows = columns.indices[columns.indptr[j] : columns.indptr[j + 1]]
        others = np.flatnonzero(np.unpackbits(np.bitwise_and.reduce(standing_in[rows], axis=0), count=needed.size))
        others = others[(others != j) & needed[others] & (costs[others] <= costs[j])]
        for k in others:
            if not groups[k] <= groups[j]:
                continue
            mutual = (
                costs[k] == costs[j]
                and sizes[k] == sizes[j] == full_sizes[j] == full_sizes[k]
                and groups[k] == groups[j]
            )
            if not mutual or k < j:
                needed[j] = False
                break
    return needed


def _bits(matrix: Matrix) -> NDArray[np.uint8]:
    """Pattern of a matrix, eight columns to the byte."""
    packed = np.zeros((matrix.shape[0], (matrix.shape[1] + 7) // 8), dtype=np.uint8)
    for first in range(0, matrix.shape[0], _BLOCK):
        block = matrix[first : first + _BLOCK].toarray() > 0.0
        packed[first : first + _BLOCK] = np.packbits(block, axis=1)
    return packed
