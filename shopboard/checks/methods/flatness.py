"""Flatness: a straightedge along four edges and both diagonals of a table, leaves under it.

Each line tells how far its middle lies above or below its ends; together they
give three by three heights. A seventh line, through the middle, closes the
loop. The error is the minimum zone, the narrowest band
between two parallel planes; the sizes of the table drop out of it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Chosen, Pick, Reading, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict, far_above, unlikely
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines
from shopboard.checks.drawn.plans import table
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.checks.surface import SurfaceCheck, length_json
from shopboard.checks.table_lines import (
    CLOSING,
    LINES,
    TableLine,
    above_ends,
    extremes,
    heights,
    high_and_low,
)
from shopboard.metrology.adjuster import Screw, Slot
from shopboard.metrology.angle import mm_per_m
from shopboard.metrology.form import Points, least_squares
from shopboard.metrology.reach import true_errors
from shopboard.metrology.wording import small_move
from shopboard.metrology.zone import minimum_zone

CLOSES_MM = 0.12
"""The closing line may differ by this much: four readings between leaves 1.5 thou apart."""
CLOSES_SHARE = 0.25
"""And by this share of the largest reading: the same place is never met twice by a hand."""

_LOOP = (CLOSING.key, "left", "right", "rising", "falling")
"""Lines that the closing one follows from."""

_DIAGONALS = ("rising", "falling")

LEAST_MM = 0.05
"""A gap of many times the next smaller one (or this, two thou) was probably misread."""


def _points(values: Values, words: Chosen) -> Points:
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


def _does_not_close(values: Values, words: Chosen) -> Contradiction | None:
    """Say how far the closing line is from what the others lead to; None when it closes."""
    z = heights(values, words)
    expected = z[CLOSING.middle] - sum(z[end] for end in CLOSING.ends) / 2
    read = above_ends(CLOSING.key, values, words)
    largest = max(abs(above_ends(line.key, values, words)) for line in LINES)
    if abs(read - expected) <= CLOSES_MM + CLOSES_SHARE * largest:
        return None
    side = "above" if expected > 0 else "below"
    return contradict(
        f"the line {CLOSING.name} does not close: by the other six its middle lies"
        f" [{small_move(expected, 'inch')}|{small_move(expected, 'mm')}] {side} its ends;"
        " read it again, then the left and right edges and the diagonals",
        *(f"{one}_light" for one in _LOOP),
        *_LOOP,
    )


_LIGHTS = (
    ("middle", "under the middle: it is hollow"),
    ("ends", "under the ends: it rocks"),
    ("none", "none at all"),
)


def _ask(line: TableLine) -> tuple[Pick, Reading]:
    return (
        Pick(
            f"{line.key}_light",
            f"Lay it {line.name}. Where is light?",
            _LIGHTS,
            true="none",
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
            true=0.0,
        ),
    )


class Flatness(SurfaceCheck):
    """The guided check."""

    name = "flatness"
    title = "Flatness by straightedge"
    finds = "a table is flat: its edges, both diagonals and its middle under a straightedge"
    tools = "straightedge, leaves"
    by_hand = (
        "by hand: the middle of a line lies below its ends by the gap under it, or above them by"
        " half the gap where it rocks. Call the middle of the table 0: a corner lies below it by"
        " what the middle of its diagonal lies above the ends, the middle of an edge half way"
        " between its corners and up by its own. The highest of the nine less the lowest is never"
        " too little"
    )
    minutes = 12.0
    columns = ("x", "y", "z")
    what = "the table from corner to corner"
    takes_sizes = ("length", "width")
    steps = (
        Do(
            key="wipe",
            title="Wipe table and straightedge; feel for burrs.",
            lines=(
                "It must reach from corner to corner.",
                "Seven lines: four edges, two diagonals, one through the middle.",
            ),
        ),
    )
    reads = tuple(one for line in LINES for one in _ask(line))
    formula_is = "error = minimum zone of nine heights: the narrowest band that holds them"
    aims = (
        "Pack it where it is low, or slacken what bends it.",
        "It is flatter than it need be.",
    )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the table, the straightedge on its line; then its high and its low place."""
        line = next((one for one in LINES if one.key == seen.at.removesuffix("_light")), None)
        light = seen.words.get(line.key + "_light", "") if line else ""
        told = {}
        if seen.at == FOUND and seen.way:
            low, high = extremes(heights(seen.values, seen.words))
            told = {low: "low", high: "HIGH"}
        if seen.at == FOUND and not told:
            return ()
        return table(line.ends if line else None, light, seen, told, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a line through the middle that the others don't lead to; doubt one wild gap."""
        open_loop = _does_not_close(values, words)
        wild = far_above({line.key: values[line.key] for line in LINES}, LEAST_MM)
        if not wild:
            return open_loop
        name = next(line.name for line in LINES if line.key == wild)
        why = f"the gap {name} is many times the others"
        if open_loop is None:
            return unlikely(f"{why}; read it again", f"{wild}_light", wild)
        if wild not in _LOOP:
            return open_loop
        why = f"{why}, and the line {CLOSING.name} does not close; read it again"
        return contradict(why, f"{wild}_light", wild)

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the minimum zone of the nine places."""
        return minimum_zone(_points(values, words))

    def across(self, job: CheckContext) -> float:
        """Give the distance from corner to corner."""
        return math.hypot(*(job.sizes.get(size, 0.0) for size in self.takes_sizes))

    def forms(self, points: Points) -> dict[str, object]:
        """Give both evaluations of flatness, and the plane."""
        return form_and_plane(points)

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give both evaluations of flatness."""
        return form(_points(values, words))

    def good(self, job: CheckContext) -> Sequence[TruePoint]:
        """Give tables that are hollow within the tolerance, like a bowl: on every line is light."""
        words = {f"{line.key}_light": "middle" for line in LINES}
        hollow = [error for error in true_errors(job.tolerance) if error > 0]
        return [
            ({line.key: by if line.key in _DIAGONALS else by / 2 for line in LINES}, words)
            for by in hollow
        ] or (self.perfect(job),)

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say where it is highest and lowest."""
        high, low, apart = high_and_low(heights(taken.values, taken.words))
        words = f"highest at {high}, lowest at {low}"
        between = small_move(apart, job.unit)
        set_right = [f"Bring it down at {high}, or up at {low}: {between} lie between them."]
        if isinstance(job.adjuster, Screw | Slot):
            set_right = [f"{between} lie between {high} and {low}.", *_not_by_a_screw(job.adjuster)]
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "length", job.unit, words, words),
            aims=self.aims,
            # How wide a band is tells an adjuster no direction.
            moves=tuple(set_right) if job.adjuster else (),
        )


def _not_by_a_screw(adjuster: Screw | Slot) -> tuple[str, ...]:
    """Say what makes a table flat, and what does not (common practice, no source)."""
    return (
        f"{adjuster.name[:1].upper()}{adjuster.name[1:]} helps only where it bears on one of these"
        " places or bends the table: then go by the gap, and check the whole table again.",
        "A wing is packed at its joint; a casting that is not flat is scraped or reground.",
    )


METHOD = Flatness()
