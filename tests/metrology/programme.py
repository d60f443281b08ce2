"""The minimum zone by a general solver."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.optimize import linprog


def by_linear_programme(points: Any) -> float:
    """The minimum zone by scipy's HiGHS: least h with |z - a - b x - c y| <= h."""
    p = np.array(points, float)
    ones = np.ones((len(p), 1))
    plane = np.hstack([ones, p[:, :-1]])
    limits = np.vstack([np.hstack([plane, -ones]), np.hstack([-plane, -ones])])
    free: list[tuple[int | None, None]] = [*[(None, None)] * p.shape[1], (0, None)]
    cost = np.eye(p.shape[1] + 1)[-1]
    right = np.r_[p[:, -1], -p[:, -1]]
    half: Any = linprog(cost, limits, right, bounds=free, method="highs").fun
    return float(2 * half)
