"""The surface-plate survey of Moody (The Tool Engineer, October 1955, as quoted since).

Eight lines by autocollimator with a 4 in foot, arc seconds. The ends of each diagonal
are made equal, both share the middle; edges and centre lines are fitted between.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Heights = NDArray[np.float64]

READINGS = {
    "NW-SE": "6.5 6.0 5.0 5.2 5.5 5.6 5.5 5.0 5.5 4.8 5.0 5.2 5.3 4.9 4.6 4.2 5.3 4.9 4.5 3.5",
    "NE-SW": "6.6 5.4 5.4 5.2 5.5 5.7 5.0 5.0 5.4 4.5 4.4 4.5 4.5 4.8 4.2 4.2 4.2 4.8 4.3 3.2",
    "NE-SE": "3.5 2.1 2.5 2.8 3.4 3.2 3.5 4.0 4.2 3.5",
    "SE-SW": "16.4 15 15.6 15.5 15.1 15.3 15.1 14.6 14 13.5 13.5 13.3 13.3 13.4 14 13.9",
    "NE-NW": "20.5 19.7 20.5 20.3 20.2 19.9 19.0 19.5 18.8 18.6 18.7 18.6 18.4 18.5 19.0 17.9",
    "NW-SW": "6 4.6 4.5 4.7 5.0 4.5 5.9 6 6 4.9",
    "N-S": "6.6 6.4 6.3 6.5 6.6 6.9 7.5 7.4 7.1 7",
    "E-W": "11.7 12.4 12.1 12.5 12.0 11.5 11.5 11.3 11.3 10.3 10.8 10.3 10 10.7 10.4 10.4",
}
PLACES = {
    "NW": (0, 40),
    "NE": (64, 40),
    "SW": (0, 0),
    "SE": (64, 0),
    "N": (32, 40),
    "S": (32, 0),
    "E": (64, 20),
    "W": (0, 20),
}
PER_SECOND = 4e5 * math.tan(math.radians(1 / 3600))
"""Rise over the foot, in 10 µin."""


def _between(name: str, start: float, end: float) -> Heights:
    """A line's profile, tilted so that its ends have these heights."""
    seconds = [float(one) for one in READINGS[name].split()]
    rise: Heights = np.concatenate([[0.0], np.cumsum(seconds)]) * PER_SECOND
    along = np.linspace(0, 1, len(rise))
    tilted: Heights = rise + start + (end - start - rise[-1]) * along
    return tilted


def _middle(line: Heights) -> float:
    return float(line[len(line) // 2])


def eight_lines() -> list[tuple[float, float, float]]:
    """Every point of the survey: x, y in inches, height in 10 µin."""
    lines = {}
    for name in ("NW-SE", "NE-SW"):
        line = _between(name, 0.0, 0.0)
        lines[name] = line - _middle(line)
    z = {}
    for name, line in lines.items():
        start, end = name.split("-")
        z[start], z[end] = float(line[0]), float(line[-1])
    for name in ("NE-SE", "SE-SW", "NE-NW", "NW-SW"):
        start, end = name.split("-")
        lines[name] = _between(name, z[start], z[end])
    z["N"], z["S"] = _middle(lines["NE-NW"]), _middle(lines["SE-SW"])
    z["E"], z["W"] = _middle(lines["NE-SE"]), _middle(lines["NW-SW"])
    for name in ("N-S", "E-W"):
        start, end = name.split("-")
        lines[name] = _between(name, z[start], z[end])
    found = []
    for name, line in lines.items():
        first, last = (np.array(PLACES[one], float) for one in name.split("-"))
        for share, height in zip(np.linspace(0, 1, len(line)), line, strict=True):
            x, y = first + (last - first) * share
            found.append((float(x), float(y), float(height)))
    return found
