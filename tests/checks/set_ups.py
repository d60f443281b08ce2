"""Set-ups with a planted error, by plain coordinates: what is read there, what must be seen.

Lengths mm, angles rad. None of it calls a formula of the program; each case is plane geometry.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

OFF = 0.01
"""rad; far more than any check leaves uncertain."""


@dataclass(frozen=True)
class Planted:
    """What a person finds at a set-up that is off."""

    values: Mapping[str, float]
    """Readings, mm; of a gap the gap itself."""
    words: Mapping[str, str] = field(default_factory=dict)
    seen: str = ""
    """What must be seen in the drawing."""
    says: str = ""
    """Part of the words of the result."""


def sweep(lean: int, slot: str) -> Planted:
    """A face whose back is off to the right (lean 1) or left, read from a slot; 200 mm between.

    A dial that reaches from the slot shows more the nearer the face is.
    """
    tilt, sign = lean * OFF, 1 if slot == "left" else -1
    far = {"front": 60.0 * sign, "back": 60.0 * sign + 200 * math.tan(tilt)}
    near = min(far, key=lambda end: abs(far[end]))
    read = {end: 70.0 - abs(x) for end, x in far.items()}
    return Planted({"span": 200.0, **read}, {}, f"{near} {_way(lean)}", f"the {near} is nearer")


def _way(sign: float) -> str:
    return "right" if sign > 0 else "left"


def flip(lean: int, stays: str) -> Planted:
    """A cut whose top is off to the right or left; the other half is turned over and closed to it.

    At height y the half that stays ends at x = y tan t, the other at (w - y) tan t.
    """
    width, tilt = 150.0, lean * OFF
    apart = {}
    for end, y in (("table", 0.0), ("top", width)):
        kept, turned = y * math.tan(tilt), (width - y) * math.tan(tilt)
        apart[end] = turned - kept if stays == "left" else kept - turned
    gaps = {end: one - min(apart.values()) for end, one in apart.items()}
    end = max(gaps, key=gaps.__getitem__)
    leans = "leans away" if (lean > 0) == (stays == "left") else "leans over"
    words = {"open": end, "use": "on-edge"}
    return Planted({"width": width, "gap": max(gaps.values())}, words, _way(lean), leans)


def crosscut(way: int, stays: str) -> Planted:
    """The same, lying flat: the straightedge is where the fence was."""
    found = flip(way if stays == "left" else -way, stays)
    words = {"open": "fence" if found.words["open"] == "table" else "away", "use": "crosscut"}
    said = "more than 90" if way > 0 else "less than 90"
    return Planted(found.values, words, found.seen, said)


def mitre(way: int) -> Planted:
    """Two points of 45 degrees and a bit more make a corner of over 90: a square gapes at its tip.

    The second board's inner edge turns away from the blade by as much as the corner is over.
    """
    corner = 2 * (math.pi / 4 + way * OFF)
    blade, board = cmath.rect(100, math.pi / 2), cmath.rect(100, corner)
    at_tip = (blade - board).real  # the board lies left of the blade
    words = {"open": "tip" if at_tip > 0 else "heel", "use": "mitre"}
    said = "more than 45" if way > 0 else "less than 45"
    seen = "top" if at_tip > 0 else "bottom"
    return Planted({"width": 100.0, "gap": abs(at_tip)}, words, seen, said)


def edges(way: int) -> Planted:
    """Two edges, each 90 degrees and a bit to its marked face; both marked faces in one plane.

    The lower board's edge rises from its marked face, at x = 0, by tan t; the upper one mirrors it.
    """
    thick, slope = 25.0, math.tan(way * OFF)
    apart = {"fence": 0.0, "away": -2 * thick * slope}
    gaps = {end: one - min(apart.values()) for end, one in apart.items()}
    end = max(gaps, key=gaps.__getitem__)
    said = "more than 90" if way > 0 else "less than 90"
    words = {"open": end, "use": "edges", "flush": "flush"}
    seen = "left" if end == "fence" else "right"
    return Planted({"thickness": thick, "gap": max(gaps.values())}, words, seen, said)


def across(way: int) -> Planted:
    """The same boards closed: at the marked faces the wood fills 180 degrees and two errors."""
    filled = 2 * (math.pi / 2 + way * OFF)
    hollow = filled > math.pi
    said = "more than 90" if way > 0 else "less than 90"
    gap = 75.0 * abs(math.tan(2 * OFF))
    words = {"open": "hollow" if hollow else "away", "use": "straightedge"}
    return Planted({"thickness": 75.0, "gap": gap}, words, "other" if hollow else "marked", said)


def five_cut(way: int) -> Planted:
    """A board with three corners of 90 degrees and a bit: the fourth is what is left of 360.

    The last cut leaves its corner as the others; the strip lies between it and the first edge.
    """
    corner, long = math.pi / 2 + way * OFF, 400.0
    fourth = 2 * math.pi - 3 * corner
    first, last = (cmath.rect(long, math.pi - one) for one in (fourth, corner))
    a = 25.0
    b = a + (first - last).real
    said = "more than 90" if way > 0 else "less than 90"
    return Planted({"a": a, "b": b, "length": long}, {}, "fence" if a > b else "away", said)


def frame(way: int) -> Planted:
    """Eight points of 45 degrees and a bit; three corners are closed, the last has what is left.

    Its two points take up more than the room there is: they meet at the heel, and gape at the toe.
    """
    point, face = math.pi / 4 + way * OFF, 60.0 * math.sqrt(2)
    room = 2 * math.pi - 3 * 2 * point
    over = 2 * point - room
    end = "toe" if over > 0 else "heel"
    said = "more than 45" if way > 0 else "less than 45"
    gap = 2 * face * math.sin(abs(over) / 2)
    return Planted({"width": 60.0, "gap": gap}, {"open": end}, end, said)


def drift(lean: int) -> Planted:
    """An edge whose far end is off to one side."""
    side = _way(lean)
    read = {"length": 400.0, "offset": 400 * math.tan(OFF)}
    return Planted(read, {"side": side}, side, f"far end to the {side}")


def rod(way: int) -> Planted:
    """A rod right of an upright blade, its top off to the right or left; read at two heights."""
    low, high = (80.0 + y * math.tan(way * OFF * 5) for y in (20.0, 170.0))
    said = "away from the blade" if way > 0 else "toward the blade"
    read = {"low": low, "high": high, "rise": 150.0, "depth": 38.0}
    return Planted(read, {"against": "square"}, _way(way), said)


def wind(way: int) -> Planted:
    """A far stick, high at one end."""
    high = _way(way)
    read = {"sticks": 500.0, "across": 150.0, "raised": 150 * math.tan(OFF)}
    return Planted(read, {"high": high}, high, f"high at the {high}")


def square_flip(way: int) -> Planted:
    """A square that leans toward its stock: with the stock on the right its line goes right."""
    one, two = (math.tan(way * OFF * stock) * 150 for stock in (1, -1))
    lies = "right" if one > two else "left"
    said = "toward its stock" if way > 0 else "away from its stock"
    return Planted({"at": 150.0, "gap": abs(one - two)}, {"lies": lies}, lies, said)


def squares(way: int) -> Planted:
    """Three squares that lean alike toward their stocks, blade to blade."""
    apart = {end: 2 * y * math.tan(way * OFF) for end, y in (("top", 150.0), ("bottom", 0.0))}
    gaps = {end: one - min(apart.values()) for end, one in apart.items()}
    end = max(gaps, key=gaps.__getitem__)
    said = "toward its stock" if way > 0 else "away from its stock"
    return Planted(*_of_pairs({"length": 150.0}, max(gaps.values()), end), end, said)


def straightedges(way: int) -> Planted:
    """Three straightedges hollow (or crowned) by half a millimetre each."""
    middle, ends = 2 * way * 0.5, 0.0
    end = "middle" if middle > ends else "ends"
    said = "hollow" if way > 0 else "crowned"
    return Planted(*_of_pairs({}, 1.0, end), end, said)


def _of_pairs(
    more: Mapping[str, float], gap: float, end: str
) -> tuple[dict[str, float], dict[str, str]]:
    pairs = ("ab", "ac", "bc")
    return {**more, **dict.fromkeys(pairs, gap)}, {f"{one}_light": end for one in pairs}


def dents(across: int, up: int) -> Planted:
    """A tail point off the axis: turned half round, the first dent is where the point is not.

    The person stands at the left; the point is (across: toward the person).
    """
    point = complex(-across, up) * 0.8
    first = -point
    apart = point - first
    words = {
        "nearer": "toward" if apart.real < 0 else "away",
        "higher": "high" if apart.imag > 0 else "low",
    }
    seen = f"{'left' if across > 0 else 'right'} {'above' if up > 0 else 'below'}"
    said = "toward you" if across > 0 else "away from you"
    return Planted({"across": abs(apart.real), "up": abs(apart.imag)}, words, seen, said)


def panel(way: int) -> Planted:
    """A panel with equal opposite sides, its marked corner at the origin over or under 90."""
    width, long = 600.0, 900.0
    mark, along = 0j, complex(long, 0)
    up = cmath.rect(width, math.pi / 2 + way * OFF / 2)
    read = {
        "d2": abs(up + along - mark),
        "d1": abs(along - up),
        **dict.fromkeys(("width", "other_width"), width),
        **dict.fromkeys(("length", "other_length"), long),
    }
    seen = "left" if up.real < 0 else "right"
    return Planted(read, {}, seen, "")


def tram(near: int, right: int) -> Planted:
    """A table that rises toward the near side or the far one, and to one side; a dial on it."""
    places = {"near": (0, -1), "far": (0, 1), "left": (-1, 0), "right": (1, 0)}
    height = {name: 0.1 * right * x - 0.2 * near * y for name, (x, y) in places.items()}
    high = sorted(name for name in places if height[name] > 0)
    first = "near" if near > 0 else "far"
    return Planted({"radius": 100.0, **height}, {}, " ".join(high), f"{first} side high")


def thickness(way: int) -> Planted:
    """Bed and head that are further apart at the left, or at the right."""
    left, right = (19 + x * math.tan(-way * OFF) for x in (-100.0, 100.0))
    side = "left" if left > right else "right"
    return Planted({"left": left, "right": right, "width": 200.0}, {}, side, f"at the {side}")


def taper(way: int) -> Planted:
    """A cone, thick at the headstock (left) or at the tailstock."""
    head, tail = 38 + way * 150 * math.tan(OFF) * 2, 38.0
    end, side = ("headstock", "left") if head > tail else ("tailstock", "right")
    read = {"head": head, "tail": tail, "length": 150.0}
    return Planted(read, {"carried": "hand"}, side, f"thicker at the {end}")


def snipe(end: str) -> Planted:
    """A board whose one end is cut half a millimetre deeper; it was fed to the right."""
    read = {"middle": 19.0, "lead": 19.0, "tail": 19.0, "lead_length": 0.0, "tail_length": 0.0}
    read |= {end: 18.5, f"{end}_length": 60.0}
    seen = "right" if end == "lead" else "left"
    said = "leading end" if end == "lead" else "trailing end"
    return Planted(read, {}, seen, said)


def both_ways(make: Callable[[int], Planted]) -> list[Planted]:
    """Plant an error either way."""
    return [make(1), make(-1)]
