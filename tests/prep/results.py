"""Results as the journal keeps them, for the tests of needs and answers."""

from __future__ import annotations

import math

from shopboard.metrology.kind import RECORD_UNITS

LEVER = 101.6
"""mm; lever of the results by square."""


def result(error: float, sigma: float, kind: str = "angle") -> dict[str, object]:
    """Give the body of a ``check`` entry: an error, rad or mm, with its standard uncertainty."""
    unit, per_unit = next(value for key, value in RECORD_UNITS.items() if key == kind)

    def whole(value: float) -> int:
        return round(value * per_unit)

    return {
        "v": 1,
        "method": "square",
        "run": "as-found",
        "kind": kind,
        "unit": unit,
        "error": whole(error),
        "even": [],
        "sigma": whole(sigma),
        "expanded": whole(2 * sigma),
        "u_of_change": whole(sigma),
        "k": 2.0,
        "dof": None,
        "budget": [["leaf", whole(sigma)]],
        "tolerance": None,
        "level": 0.95,
        "probability": 0.99,
        "verdict": "true",
        "lean": "it leans",
        "note": "",
        "working": [],
        "readings": {},
    }


def by_square(
    error: float, sigma: float, tool: str, taken: float, half: float
) -> dict[str, object]:
    """Give the body of a result by square and leaves: an angle, rad.

    Args:
        error: what was found.
        sigma: its standard uncertainty but for the square.
        tool: id of the square.
        taken: the square's own error as it was taken, rad.
        half: half-width of what was not known of that, rad.
    """
    body, (_, factor) = result(error, sigma), RECORD_UNITS["angle"]
    gap = round(LEVER * math.tan(error + taken) * 1e6)
    u = math.hypot(sigma, half / math.sqrt(3))
    return body | {
        "even": [round(half * factor)],
        "expanded": round(2 * u * factor),
        "budget": [
            ["leaf", round(sigma * factor)],
            ["square, its own error", round(half / math.sqrt(3) * factor)],
        ],
        "readings": {
            "tool_ids": [tool],
            "gap_nm": [gap, gap],
            "lever_nm": round(LEVER * 1e6),
        },
    }


def proof_of(tool: str, error: float, sigma: float) -> dict[str, object]:
    """Give the body of a proof of a square that found it off by so much, rad."""
    verdict = "true" if abs(error) < math.atan(0.004 / 12) else "out"  # 4 thou/ft
    return result(error, sigma) | {
        "method": "square-flip",
        "verdict": verdict,
        "readings": {"proves": tool},
    }
