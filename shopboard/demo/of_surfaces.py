"""What straightedge, leaves, indicator and rule show at a machine that is off by so much.

A point has a form of its own that stays: which knife stands highest, to which side a table tilts.
"""

from __future__ import annotations

import math

from shopboard.demo.scene import Seen, ToRead, ToReadOf

_STEEL_MPA = 200_000.0
"""Modulus of a band's steel: a handbook value, from memory."""
_CLAMP_MM = 0.0008
_SLIP_MM = 0.25
_HAND_S = 0.15
_LOWERED_MM = 0.4
_DIAL_MM = 0.002
_DENT_MM = 0.12
_SIGHTED_MM = 0.12


def _leaf_gap(seen: Seen) -> ToRead:
    return ToRead({"gap": max(seen.error, 0.0)})


def _straightness(seen: Seen) -> ToRead:
    """A hollow, deepest near its middle; a hollow straightedge shows more."""
    deepest = max(seen.error + seen.tools.off("straightedge"), 0.0)
    names = ("near", "quarter", "middle", "three-quarters", "far")
    gaps = {name: deepest * (1 - (place / 2 - 1) ** 2) for place, name in enumerate(names)}
    return ToRead({**gaps, "nowhere": 0.0}, {"light": "some" if seen.shows(deepest) else "none"})


def _flatness(seen: Seen) -> ToRead:
    """A bowl: its corners are highest, and the middles of its edges half way down."""
    values, words = {}, {}
    for line in ("front", "back", "left", "right", "rising", "falling", "closing"):
        deep = seen.error * (1.0 if line in ("rising", "falling") else 0.5)
        gap = deep + seen.tools.off("straightedge")
        shows = seen.shows(gap)
        # on a crown it rocks: pressed down at one end it stands off by twice as much at the other
        words[f"{line}_light"] = "none" if not shows else "middle" if gap > 0 else "ends"
        values[line] = gap if gap > 0 else -2 * gap
    return ToRead(values, words)


def _coplanar(seen: Seen) -> ToRead:
    """The outfeed table is flat; the infeed table hangs at its outer end, and a little in front."""
    length, width = seen.size("length", 580.0), seen.size("width", 200.0)
    pitch, twist = math.tan(seen.error), math.tan(seen.error) * seen.form.uniform(-0.4, 0.4)
    bow = seen.tools.off("straightedge") / 2
    # so low that the straightedge rests on the outfeed table alone, however the other one tilts
    lowered = _LOWERED_MM + max(-pitch * length, 0.0) + abs(twist) * width
    values, words = {"length": length, "width": width}, {}
    for side, y in (("front", -width / 2), ("back", width / 2)):
        values[f"{side}_out"] = 0.0
        values[f"{side}_lip"] = lowered - twist * y
        values[f"{side}_end"] = lowered + pitch * length - twist * y + bow
        words[f"{side}_light"] = "none"
    return ToRead(values, words)


def _carry(seen: Seen) -> ToRead:
    """Three knives on the head; one end is the farthest off, the others less."""
    circle, wanted = seen.size("circle", 100.0), seen.job.tolerance.middle
    shares = [1.0, *(seen.form.uniform(0.1, 0.7) for _ in range(5))]
    heights = [wanted + share * (seen.error - wanted) for share in shares]
    seen.form.shuffle(heights)
    if min(heights) < 0:
        return ToRead({"circle": circle, "below": -min(heights)}, {"knives": "low"})
    names = [f"knife{number}_{end}" for number in (1, 2, 3) for end in ("front", "back")]
    carries = {
        name: max(2 * math.sqrt(height * (circle - height)) + seen.rng.gauss(0.0, _SLIP_MM), 0.0)
        for name, height in zip(names, heights, strict=True)
    }
    return ToRead({"circle": circle, **carries}, {"knives": "three"})


def _sweep(seen: Seen) -> ToRead:
    span = seen.size("span", 200.0)
    return ToRead({"span": span, "front": 0.0, "back": -span * math.tan(seen.error)})


def _runout(seen: Seen) -> ToRead:
    return ToRead({"low": 0.0, "high": max(seen.error + seen.rng.gauss(0.0, _DIAL_MM), 0.0)})


def _tram(seen: Seen) -> ToRead:
    """A plane that tilts to one side, swept on a circle, set to 0 on its near side."""
    radius, way = seen.size("radius", 100.0), seen.form.uniform(0, math.tau)
    along = radius * math.tan(seen.error) * math.cos(way)
    across = radius * math.tan(seen.error) * math.sin(way)
    high = {"near": 0.0, "right": across - along, "far": -2 * along, "left": -across - along}
    return ToRead({"radius": radius, **high})


def _blade_tension(seen: Seen) -> ToRead:
    over = seen.size("marks", 127.0)
    stretch = max(seen.error, 0.0) / _STEEL_MPA * over + seen.rng.gauss(0.0, _CLAMP_MM)
    return ToRead({"over": over, "stretch": max(stretch, 0.0)})


def _timed(seen: Seen) -> ToRead:
    return ToRead({"time": max(seen.error + seen.rng.gauss(0.0, _HAND_S), 0.3)})


def _centres(seen: Seen) -> ToRead:
    """Two dents, each as far from the axis as the point is, on opposite sides of it."""
    way = seen.form.uniform(0, math.tau)
    across, up = 2 * seen.error * math.cos(way), 2 * seen.error * math.sin(way)
    across, up = across + seen.rng.gauss(0.0, _DENT_MM), up + seen.rng.gauss(0.0, _DENT_MM)
    words = {"nearer": "toward" if across > 0 else "away", "higher": "high" if up > 0 else "low"}
    return ToRead({"across": abs(across), "up": abs(up)}, words)


def _wind(seen: Seen) -> ToRead:
    """Two sticks across the ways, sighted over each other to a hair."""
    sticks, across = 500.0, seen.size("width", 150.0)
    lean = math.tan(seen.error) + seen.rng.gauss(0.0, _SIGHTED_MM * math.sqrt(2) / sticks)
    raised = across * lean
    high = seen.side(raised, "right", "left")
    return ToRead({"sticks": sticks, "across": across, "raised": abs(raised)}, {"high": high})


def _line_flip(seen: Seen) -> ToRead:
    """Two lines along a square, once each way; a hair apart they cannot be told from one."""
    at = seen.size("length", 150.0)
    gap = 2 * at * math.tan(seen.error) + seen.rng.gauss(0.0, 0.04)
    lies = "none" if abs(gap) < 0.03 else "right" if gap > 0 else "left"
    return ToRead({"at": at, "gap": 0.0 if lies == "none" else abs(gap)}, {"lies": lies})


def _three(seen: Seen, over: float, other: float, ends: tuple[str, str]) -> ToRead:
    """Three tools in pairs: each pair shows what both are off by, over their length."""
    off = {"a": seen.error, "b": seen.form.gauss(0.0, other), "c": seen.form.gauss(0.0, other)}
    values, words = {}, {}
    for pair in ("ab", "ac", "bc"):
        gap = over * (off[pair[0]] + off[pair[1]])
        values[pair], words[f"{pair}_light"] = abs(gap), seen.side(gap, *ends)
    return ToRead(values, words)


def _three_squares(seen: Seen) -> ToRead:
    length = seen.size("length", 150.0)
    found = _three(seen, length, 0.05 / length, ("top", "bottom"))
    return ToRead({"length": length, **found.values}, found.words)


def _three_straightedges(seen: Seen) -> ToRead:
    return _three(seen, 1.0, 0.05, ("middle", "ends"))


SCENES: dict[str, ToReadOf] = {
    "leaf-gap": _leaf_gap,
    "straightness": _straightness,
    "flatness": _flatness,
    "coplanar": _coplanar,
    "carry": _carry,
    "sweep": _sweep,
    "runout": _runout,
    "tram": _tram,
    "blade-tension": _blade_tension,
    "timed": _timed,
    "centres": _centres,
    "wind": _wind,
    "square-flip": _line_flip,
    "three-squares": _three_squares,
    "three-straightedges": _three_straightedges,
}
"""By the method that is asked."""
