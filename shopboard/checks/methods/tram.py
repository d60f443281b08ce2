"""Tram: is a drill press table square to its spindle?

An indicator held by the spindle is swept over the table on a radius and read
near, far, left and right. A reading grows where the table is high, so the
table tilts by (near - far) / (2 radius) and (right - left) / (2 radius); the
error is both together, atan of the root of the sum of squares. Spindle and
chuck may run out: the indicator turns with them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from shopboard.checks.asked import Chosen, Pick, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict, unlikely
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines
from shopboard.checks.drawn.dials import tram
from shopboard.checks.indicator import (
    COUNTS_UP,
    LEVER_ANGLE,
    LOWEST_READING,
    REPEATS_MM,
    IndicatorCheck,
    dial,
    shown,
    true_share,
)
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.remedies import FINER_INDICATOR
from shopboard.checks.report import angle_json
from shopboard.checks.steps import Do
from shopboard.checks.two_axes import along_what_was_found, of_two_axes
from shopboard.checks.usual import USUAL_DRAWER
from shopboard.metrology.kind import measure
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.wording import length

SHORTEST_RADIUS_MM = 10.0
"""A shorter radius tells nothing."""

HOLLOW_MM = 0.4
"""No table that is fit to drill on departs so far from flat within a sweep: common practice."""

BEYOND = 3.0
"""Standard deviations from which a difference is remarked upon: 1 in 370 by chance (normal)."""

_SIDES = ("near", "right", "far", "left")

_SET_TO_0 = "Turn the dial's face to 0 here; read the other sides against it."
_GROWS = "The reading grows where the table is high."


class Tram(IndicatorCheck):
    """The guided check."""

    name = "tram"
    title = "Table trammed with an indicator"
    finds = "the table of a drill press is square to its spindle, all round"
    tools = "indicator"
    minutes = 8.0
    over = "radius"
    is_size = True
    fields = (
        *(shown(side, f"reading on the {side} side") for side in ("near", "far", "left", "right")),
        Field("radius", "length", "from the spindle's axis to the tip", reads="rule"),
        LEVER_ANGLE,
        Field("tolerance", "tolerance", "what the tilt may be", needed=False),
    )
    care = (  # what the chuck holds must never spin
        "Plug out, and out it stays: a start would throw the indicator.",
        "Turn the spindle by hand only. No bit in the chuck.",
    )
    steps = (
        Do(
            key="mount",
            title="Hold the indicator in the chuck; quill and table locked.",
            lines=(
                "On an arm, its tip down on the table, preloaded half a turn.",
                "Swing it by hand. Over slots and holes, lift the tip across.",
                COUNTS_UP,
            ),
        ),
    )
    formula_is = "tilt = atan({cos_x}root((near - far)² + (right - left)²) / (2 radius))"

    def dials(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """The radius, four readings on the way round."""
        tools = () if job.drawer is USUAL_DRAWER else job.drawer.others  # `reckon` knows no dial
        reaches = (one.reach for one in tools if one.kind == "indicator")
        travel = min(max(reaches, default=-LOWEST_READING), -LOWEST_READING)
        short = f"the indicator travels {length(travel, job.unit)} only"
        far = "How far is the tip from the axis?"
        return (
            Reading("radius", far, "rule", above=10, size="radius", true=100.0),
            *(
                dial(
                    side,
                    f"What does the indicator show on the {side} side?",
                    _SET_TO_0 if side == "near" else _GROWS,
                    reach=travel,  # it is set to 0 on the first side
                    too_large=short if travel < -LOWEST_READING else "",
                )
                for side in _SIDES
            ),
        )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the four places, and which are high."""
        slopes = _slopes(seen.values, seen.words) if seen.at == FOUND else None
        return tram(seen, slopes, size)

    def impossible(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse four readings that lie on no plane: opposite ones have the same middle."""
        if values["radius"] < SHORTEST_RADIUS_MM:
            return contradict("radius: it is too short to tell an angle; swing wider")
        twist = (values["near"] + values["far"] - values["left"] - values["right"]) / 2
        if abs(twist) > HOLLOW_MM:
            return contradict(
                "the middle of near and far is not the middle of left and right:"
                " near, far, left or right is wrong; read all four again",
                *_SIDES,
            )
        if math.tan(self.formula(values, words)) > 0.1:
            return contradict(
                "the table tilts by over 5 degrees: set it by eye first, or read all four again",
                "radius",
                *_SIDES,
            )
        return None

    def contradictions(self, job: CheckContext, taken: Taken) -> list[Contradiction]:
        """Doubt four readings that lie farther off one plane than dial and setting repeat to.

        Heights at the corners of a square lie in a plane where those of one diagonal add up to as
        much as those of the other; the difference has the errors of all four in it (JCGM 100, 5.1).
        """
        found = super().contradictions(job, taken)
        read = taken.values
        off = abs(read["near"] - read["right"] + read["far"] - read["left"])
        inputs = [taken.inputs[side] for side in _SIDES]
        each = [math.hypot(REPEATS_MM, *(source.u for source in one.sources)) for one in inputs]
        if not found and off > BEYOND * math.hypot(*each):
            words = measure(off / 2, "length", job.unit)
            why = f"the middle of near and far lies {words} off that of left and right: one is"
            why += " misread, or the table is not flat there; read all four again"
            found.append(unlikely(why, *_SIDES))
        return found

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the tilt of both axes together, never below 0."""
        return math.atan(math.hypot(*_slopes(values, words)))

    def near(self, values: Values, words: Chosen) -> Callable[[Values], float]:
        """Give the tilt along the direction in which the table was found to tilt."""
        signed = along_what_was_found(lambda read: _slopes(read, words), values)
        return lambda read: math.atan(signed(read))

    def repeats_to(self, values: Values) -> float:
        """Give how well the indicator repeats, as an angle."""
        return REPEATS_MM * math.sqrt(2) / (2 * values["radius"])

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give both axes, with their high side."""
        along, across = _slopes(values, words)
        worse = "near_far" if abs(along) >= abs(across) else "left_right"
        return {
            "near_far": {**angle_json(math.atan(along)), "high": _high(along, "near", "far")},
            "left_right": {**angle_json(math.atan(across)), "high": _high(across, "right", "left")},
            "worse": worse,
        }

    def sized(self, found: Estimate) -> Estimate:
        """Give a size that is made of two axes."""
        return of_two_axes(found, "two axes make one tilt", FINER_INDICATOR)

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which sides are high, and what to do about the worse axis first."""
        along, across = _slopes(taken.values, taken.words)
        axes = sorted(
            ((along, "near", "far"), (across, "right", "left")), key=lambda one: -abs(one[0])
        )
        words = [
            f"{_high(slope, plus, minus)} side high by {_angle(slope, job)}"
            for slope, plus, minus in axes
            if slope
        ]
        return replace(
            outcome,
            lean=", ".join(words) or "alike all round",
            moves=_moves(axes, taken.values["radius"], job),
        )


def _slopes(values: Values, words: Chosen) -> tuple[float, float]:
    """Give the rise toward the near side, and toward the right side."""
    share = true_share(values, words) / (2 * values["radius"])
    return (values["near"] - values["far"]) * share, (values["right"] - values["left"]) * share


def _high(slope: float, plus: str, minus: str) -> str:
    return "neither" if slope == 0 else plus if slope > 0 else minus


def _angle(slope: float, job: CheckContext) -> str:
    return measure(math.atan(slope), "angle", job.unit)


def _moves(
    axes: Sequence[tuple[float, str, str]], radius: float, job: CheckContext
) -> tuple[str, ...]:
    """Name the worse axis first; a move at the table's edge shows as the same at the tip."""
    lines = []
    for when, (slope, plus, minus) in zip(("First", "Then"), axes, strict=True):
        if slope:
            high, low = (plus, minus) if slope > 0 else (minus, plus)
            apart = measure(2 * radius * abs(slope), "length", job.unit)
            sides = f"{when} the {high} side down, the {low} side up"
            lines.append(f"{sides}: they must come {apart} closer at the tip.")
    return tuple(lines)


METHOD = Tram()
