"""What test cuts show: plane geometry of boards that a machine, off by so much, has cut.

How a cut seats and closes, and how a hand follows a line, is common practice, no source.
"""

from __future__ import annotations

import math

from shopboard.checks import registry
from shopboard.checks.doubled import DoubledGap, TestUse
from shopboard.checks.inputs import truest_square
from shopboard.demo.scene import Seen, ToRead, ToReadOf

_CLOSES_MM = 0.015
_EDGES_MM = 0.004
_PLANED_MM = 0.01
_FOLLOWS_MM = 0.4
_TURNED_MM = 0.02
_STRAYS_MM = 0.08
_SIDES = 4
_ROOT_2 = math.sqrt(2)


def _doubled(seen: Seen, use: TestUse, usual: float, closes: float) -> ToRead:
    """Two pieces that each carry the error, turned against each other."""
    lever = seen.size(use.lever.size, usual)
    gap = lever * math.tan(2 * seen.error) + seen.rng.gauss(0.0, closes)
    (plus, _), (minus, _), *_ = use.where.options
    words = {"open": seen.side(gap, plus, minus), **({use.kept.key: "flush"} if use.kept else {})}
    return ToRead({use.lever.key: lever, "gap": abs(gap)}, words)


def _flip(seen: Seen) -> ToRead:
    return _doubled(seen, _usual("flip", seen), 200.0, _CLOSES_MM)


def _edge_pair(seen: Seen) -> ToRead:
    return _doubled(seen, _usual("edge-pair", seen), 40.0, _EDGES_MM)


def _usual(name: str, seen: Seen) -> TestUse:
    method = registry.method(name)
    assert isinstance(method, DoubledGap)  # noqa: S101 - by its name
    return method.usual(seen.job)


def _frame(seen: Seen) -> ToRead:
    """Eight mitres; the faces of the last corner stand open by all that they are off."""
    width = seen.size("width", 60.0)
    each = [seen.error + seen.rng.gauss(0.0, _CLOSES_MM / width / 4) for _ in range(2 * _SIDES)]
    gap = 2 * width * _ROOT_2 * math.sin(sum(each) / 2)
    return ToRead({"width": width, "gap": abs(gap)}, {"open": seen.side(gap, "toe", "heel")})


def _five_cut(seen: Seen) -> ToRead:
    """Four corners one after the other: the strip is wider at the fence by all four."""
    length = seen.size("length", 400.0)
    corners = [seen.error + seen.rng.gauss(0.0, _CLOSES_MM / length) for _ in range(4)]
    b = 25.0 + seen.rng.uniform(-1.5, 1.5)
    return ToRead({"a": b + length * math.tan(sum(corners)), "b": b, "length": length})


def _thickness(seen: Seen) -> ToRead:
    width, right = seen.size("width", 200.0), 19.0 + seen.rng.uniform(-2.0, 2.0)
    ripple = seen.rng.gauss(0.0, _PLANED_MM * _ROOT_2)
    return ToRead({"left": right + width * math.tan(seen.error) + ripple, "right": right,
                  "width": width})  # fmt: skip


def _snipe(seen: Seen) -> ToRead:
    middle = 19.0 + seen.rng.uniform(-2.0, 2.0)
    lead, tail = seen.error, seen.error * seen.form.uniform(0.1, 0.6)
    thick = {"lead": lead, "tail": tail}
    ends = {end: middle - by + seen.rng.gauss(0.0, _PLANED_MM) for end, by in thick.items()}
    far = {f"{end}_length": 55.0 if by > 0.02 else 0.0 for end, by in thick.items()}
    return ToRead({"middle": middle, **ends, **far})


def _diagonals(seen: Seen) -> ToRead:
    """A panel whose marked corner is 90 degrees and the error; d2 starts in that corner."""
    width, length = 600.0 + seen.rng.uniform(-40, 40), 900.0 + seen.rng.uniform(-60, 60)
    lean = seen.error + seen.rng.gauss(0.0, _CLOSES_MM / width)
    across = 2 * width * length * math.sin(lean)
    square = width**2 + length**2
    return ToRead(
        {
            "width": width,
            "other_width": width,
            "length": length,
            "other_length": length,
            "d1": math.sqrt(square + across),
            "d2": math.sqrt(square - across),
        }
    )


def _drift_angle(seen: Seen) -> ToRead:
    length = seen.size("length", 400.0)
    offset = length * math.tan(seen.error) + seen.rng.gauss(0.0, _FOLLOWS_MM)
    return ToRead(
        {"length": length, "offset": abs(offset)}, {"side": "right" if offset >= 0 else "left"}
    )


def _taper(seen: Seen) -> ToRead:
    """A piece turned between centres: its surface runs to the axis on either side."""
    length, tail = seen.size("length", 300.0), 38.0 + seen.rng.uniform(-3.0, 3.0)
    head = tail + 2 * length * math.tan(seen.error) + seen.rng.gauss(0.0, _TURNED_MM * _ROOT_2)
    between = seen.size("span", length + 100.0)
    return ToRead({"head": head, "tail": tail, "length": length, "between": between})


def _drilled_angle(seen: Seen) -> ToRead:
    """A rod that rocks a little in its hole, beside a square that has an error of its own."""
    square = truest_square(seen.job.drawer)
    rise, depth = seen.size("length", min(150.0, 0.9 * square.length)), seen.size("thickness", 38.0)
    strays = seen.rng.gauss(0.0, _STRAYS_MM) + seen.rng.uniform(-_STRAYS_MM, _STRAYS_MM)
    lean = seen.error + strays / depth + seen.tools.squares[square.id]
    low = 20.0
    high = low + rise * math.tan(lean)
    return ToRead({"low": low, "high": high, "rise": rise, "depth": depth}, {"against": "square"})


SCENES: dict[str, ToReadOf] = {
    "flip": _flip,
    "edge-pair": _edge_pair,
    "frame": _frame,
    "five-cut": _five_cut,
    "thickness": _thickness,
    "snipe": _snipe,
    "diagonals": _diagonals,
    "drift-angle": _drift_angle,
    "taper": _taper,
    "drilled-angle": _drilled_angle,
}
"""By the method that is asked."""
