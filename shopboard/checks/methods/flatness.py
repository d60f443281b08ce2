"""Flatness: a straightedge along four edges and both diagonals of a table, leaves under it.

Each line tells how far its middle lies above or below its ends. Together they
give a table of three by three heights: the ends of each diagonal are made
equally high and both share the middle (the rule of the surface-plate survey:
Moody, The Tool Engineer, October 1955, from memory). A seventh line, through
the middle, closes the loop. The error is the minimum zone, the narrowest band
between two parallel planes; the sizes of the table drop out of it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from shopboard.checks.advice import which_way
from shopboard.checks.asking import Pick, Reading, Taken, tool_of
from shopboard.checks.job import Job
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.checks.surface import SURFACE_FIELDS, length_json, reckon_surface
from shopboard.metrology.angle import mm_per_m
from shopboard.metrology.form import Points, least_squares
from shopboard.metrology.propagate import Input, steepest
from shopboard.metrology.uncertainty import Source
from shopboard.metrology.wording import small_move
from shopboard.metrology.zone import minimum_zone

Place = tuple[int, int]
"""(0 left, 1 middle, 2 right; 0 front, 1 middle, 2 back)."""


@dataclass(frozen=True)
class Line:
    """One way of laying the straightedge."""

    key: str
    name: str
    ends: tuple[Place, Place]

    @property
    def middle(self) -> Place:
        """The place half way."""
        (a, b), (c, d) = self.ends
        return (a + c) // 2, (b + d) // 2


EDGES = (
    Line("front", "along the front edge", ((0, 0), (2, 0))),
    Line("back", "along the back edge", ((0, 2), (2, 2))),
    Line("left", "along the left edge", ((0, 0), (0, 2))),
    Line("right", "along the right edge", ((2, 0), (2, 2))),
)
DIAGONALS = (
    Line("rising", "from front left to back right", ((0, 0), (2, 2))),
    Line("falling", "from back left to front right", ((0, 2), (2, 0))),
)
CLOSING = Line("closing", "left to right through the middle", ((0, 1), (2, 1)))
LINES = (*EDGES, *DIAGONALS, CLOSING)

CLOSES_MM = 0.12
"""The closing line may differ by this much: four readings between leaves 1.5 thou apart."""
CLOSES_SHARE = 0.25
"""And by this share of the largest reading: the same place is never met twice by a hand."""


def heights(values: Mapping[str, float], words: Mapping[str, str]) -> dict[Place, float]:
    """Give the heights of the nine places, mm, from the gaps of six lines."""
    above = {line.key: _above(line.key, values, words) for line in LINES}
    found: dict[Place, float] = {(1, 1): 0.0}
    for line in DIAGONALS:
        for end in line.ends:
            found[end] = -above[line.key]
    for line in EDGES:
        found[line.middle] = sum(found[end] for end in line.ends) / 2 + above[line.key]
    return found


def _above(key: str, values: Mapping[str, float], words: Mapping[str, str]) -> float:
    """How far a line's middle lies above its ends, mm.

    Rocking on the middle with one end pressed down, the other end stands off by twice that.
    """
    gap = values[key]
    up = gap / 2 if words.get(f"{key}_light") == "ends" else -gap
    return up + values.get("bow", 0.0)


def _points(values: Mapping[str, float], words: Mapping[str, str]) -> Points:
    return [(float(x), float(y), z) for (x, y), z in sorted(heights(values, words).items())]


def form(points: Points) -> dict[str, object]:
    """Give both evaluations of flatness."""
    return {
        "ls_peak_to_valley": length_json(least_squares(points).peak_to_valley(points)),
        "minimum_zone": length_json(minimum_zone(points)),
    }


def form_and_plane(points: Points) -> dict[str, object]:
    """Give both evaluations and the least-squares plane z = a + b x + c y."""
    plane = least_squares(points)
    b, c = (math.atan(slope) for slope in plane.slopes)
    text = f"{plane.at_origin:.9g} mm, {mm_per_m(b):.9g} mm/m, {mm_per_m(c):.9g} mm/m"
    return {
        "least_squares_plane": {
            "a": length_json(plane.at_origin),
            "b": value_json(b, "angle"),
            "c": value_json(c, "angle"),
            "text": text,
        },
        **form(points),
    }


class Flatness(MeasuredCheck):
    """The guided check."""

    name = "flatness"
    title = "Flatness by straightedge"
    kind = "length"
    fields = SURFACE_FIELDS

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate typed points alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        return reckon_surface(self.name, values, ("x", "y", "z"), form_and_plane)

    def to_do(self, job: Job) -> Sequence[Do]:
        """Clean the table."""
        del job
        return (
            Do(
                key="wipe",
                title="Wipe table and straightedge; feel for burrs.",
                lines=(
                    "It must reach from corner to corner.",
                    "Seven lines: four edges, two diagonals, one through the middle.",
                ),
            ),
        )

    def asked(self, job: Job) -> Sequence[Reading | Pick]:
        """Where is light on each line, and how wide is it."""
        del job
        return tuple(one for line in LINES for one in _ask(line))

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> str:
        """Refuse a line through the middle that the other six don't lead to."""
        z = heights(values, words)
        expected = z[CLOSING.middle] - sum(z[end] for end in CLOSING.ends) / 2
        read = _above(CLOSING.key, values, words)
        largest = max(abs(_above(line.key, values, words)) for line in LINES)
        if abs(read - expected) <= CLOSES_MM + CLOSES_SHARE * largest:
            return ""
        side = "above" if expected > 0 else "below"
        return (
            f"the line {CLOSING.name} does not close: by the other six its middle lies"
            f" {small_move(expected, 'inch')} ({small_move(expected, 'mm')}) {side} its ends;"
            " read it again, then the left and right edges and the diagonals"
        )

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the minimum zone of the nine places."""
        return minimum_zone(_points(values, words))

    def near(
        self, values: Mapping[str, float], words: Mapping[str, str]
    ) -> Callable[[Mapping[str, float]], float]:
        """Give the formula with its corners."""
        return steepest(lambda read: self.formula(read, words), values)

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        del words
        return "error = minimum zone of nine heights: the narrowest band that holds them"

    def own(self, job: Job) -> Mapping[str, Input]:
        """Give the straightedge's own bow: it is the same on every line."""
        limit = tool_of(job, "straightedge").limit
        return {"bow": Input(0.0, (Source.within("straightedge, its bow", limit, lasting=True),))}

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give both evaluations of flatness."""
        return form(_points(values, words))

    def perfect(self, job: Job) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give a table without light on any line."""
        del job
        values = {line.key: 0.0 for line in LINES}
        return values, {f"{line.key}_light": "none" for line in LINES}

    def describe(self, job: Job, outcome: Outcome, taken: Taken) -> Outcome:
        """Say where it is highest and lowest."""
        words = high_and_low(heights(taken.values, taken.words))
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "length", job.unit, words, words),
            aims=(
                "Pack it where it is low, or slacken what bends it.",
                "It is flatter than it need be.",
            ),
        )


_LIGHTS = (
    ("middle", "under the middle: it is hollow"),
    ("ends", "under the ends: it rocks"),
    ("none", "none at all"),
)


def _ask(line: Line) -> tuple[Pick, Reading]:
    drawn = drawing(line)
    return (
        Pick(
            f"{line.key}_light",
            f"Lay it {line.name}. Where is light?",
            _LIGHTS,
            diagram=drawn,
        ),
        Reading(
            line.key,
            "How wide is the gap?",
            "leaves",
            lines=(
                "Hollow: the leaf goes under the middle.",
                "Rocking: press one end down, the leaf goes under the other end.",
            ),
            at_most=20,
            closed_if=(f"{line.key}_light", "none"),
        ),
    )


def drawing(line: Line) -> tuple[str, ...]:
    """Draw the table from above with the straightedge on it."""
    grid = [list(" " * 25) for _ in range(7)]
    (x0, y0), (x1, y1) = line.ends
    for step in range(25):
        at = step / 24
        column = round((x0 + (x1 - x0) * at) * 12)
        row = round(6 - (y0 + (y1 - y0) * at) * 3)
        grid[row][column] = "█"
    rows = [f"   │{''.join(row)}│" for row in grid]
    rows[0] += "  back"
    rows[-1] += "  front"
    return (*rows, "   (the table from above)")


_NAMES = {
    (0, 0): "front left",
    (1, 0): "middle of the front",
    (2, 0): "front right",
    (0, 1): "middle of the left edge",
    (1, 1): "middle",
    (2, 1): "middle of the right edge",
    (0, 2): "back left",
    (1, 2): "middle of the back",
    (2, 2): "back right",
}


def high_and_low(z: Mapping[Place, float]) -> str:
    """Name the highest and the lowest place against the least-squares plane."""
    points = [(float(x), float(y), height) for (x, y), height in z.items()]
    deviations = dict(zip(z, least_squares(points).deviations(points), strict=True))
    low, *_, high = sorted(deviations, key=deviations.__getitem__)
    return f"highest at {_NAMES[high]}, lowest at {_NAMES[low]}"


METHOD = Flatness()
