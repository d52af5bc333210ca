"""A matrix laid out in full and one picked from as it is say the same rows and candidates can go."""

import numpy as np
import pytest
from scipy import sparse

from wardwright.placement import dominance


def test_laid_out_or_not_the_same_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(11)
    smaller = 0
    for _ in range(200):
        m, n = int(rng.integers(2, 40)), int(rng.integers(2, 20))
        # eighths, so that rows are often equal or nested
        rows = np.minimum(rng.integers(0, 9, (m, n)) * (rng.random((m, n)) < 0.4) / 8.0, 1.0)
        matrix = sparse.csr_array(rows[rows.any(axis=1)])
        costs = rng.integers(1, 5, n).astype(float)
        alone = [frozenset[int]()] * n
        monkeypatch.setattr(dominance, "_DENSE", 1 << 24)
        full = dominance.reduce(costs, matrix, alone)
        monkeypatch.setattr(dominance, "_DENSE", -1)
        picked = dominance.reduce(costs, matrix, alone)
        assert np.array_equal(full.rows, picked.rows)
        assert np.array_equal(full.candidates, picked.candidates)
        smaller += full.rows.size < matrix.shape[0]
    assert smaller > 100
