"""Results as the journal keeps them, for the tests of needs and answers."""

from __future__ import annotations

from shopboard.metrology.kind import RECORD_UNITS


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
