"""The minimum zone by a general solver, and by duality: of many forms at once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
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


def band_weights(places: Sequence[tuple[float, float]]) -> np.ndarray:
    """The ways in which three or four places of a table hold a band: the corners of its dual.

    Derived (duality of linear programmes): the narrowest band is the largest w . z of all weights
    that a plane is nought by, their sizes adding up to 2.
    """
    planes = np.array([(1.0, x, y) for x, y in places]).T
    found = []
    for some in (one for count in (3, 4) for one in combinations(range(len(places)), count)):
        _, sizes, rows = np.linalg.svd(planes[:, some])
        if np.sum(sizes > 1e-9) == len(some) - 1 and np.min(np.abs(rows[-1])) > 1e-9:
            weights = np.zeros(len(places))
            weights[list(some)] = rows[-1] * 2 / np.sum(np.abs(rows[-1]))
            found.append(weights)
    return np.array(found)
