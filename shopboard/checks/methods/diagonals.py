"""Diagonals: is a panel square? Two diagonals and all four sides.

sin(error) = (d1^2 - d2^2) / (4 width length) where opposite sides are equal;
where they are not, each corner is off by more or less than that, so the other
two sides are read as well. Plus: the marked corner, which d2 starts in, is
more than 90 degrees.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from shopboard.checks.asked import Chosen, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.cutting import SEATING_MM
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.plans import panel
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology.panel import Panel
from shopboard.metrology.wording import both, small_move

FITS_MM = 6.0
FITS_SHARE = 0.002
"""Diagonals that fit the sides no better than this, as mm over both of them and as a share, are
misread: ten times what rules tell, and far less than the inch that a tape hooked there is off."""

MOST_SKEW = math.radians(10)
"""No machine cuts so far from square without being seen: common practice, no source."""

UNEQUAL = 20
"""Opposite sides that differ by more than their length over this are misread."""

TELLS = 1.0
"""Opposite sides that differ by more than this (mm) do so for certain: twice what a rule tells."""


_WIDE, _LONG = 600.0, 900.0
_ACROSS = (_WIDE**2 + _LONG**2) ** 0.5
"""A true panel, mm."""


def _side(key: str, title: str, true: float) -> Reading:
    """Declare one length; none is taken from the shop file: it is their differences that tell."""
    return Reading(key, title, "rule", above=30, true=true)


class Diagonals(MeasuredCheck):
    """The guided check."""

    name = "diagonals"
    title = "Diagonals of a panel"
    finds = "a panel is square, by both diagonals and all four sides"
    tools = "rule or tape"
    minutes = 20.0
    farther = "a larger panel"
    hands_near = False
    fields = (
        Field("d1", "length", "diagonal that misses the marked corner", reads="rule"),
        Field("d2", "length", "diagonal from the marked corner", reads="rule"),
        Field("width", "length", "side at the marked corner", reads="rule"),
        Field("length", "length", "other side at the marked corner", reads="rule"),
        Field("other_width", "length", "side opposite width", needed=False, reads="rule"),
        Field("other_length", "length", "side opposite length", needed=False, reads="rule"),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    care = (
        "Cutting a panel: guard on, riving knife in, the sheet held flat; get help.",
        "Let the blade stop before you reach for pieces.",
    )
    steps = (
        Do(
            key="cut",
            title="Cut a panel to size; mark one corner of it.",
            lines=(
                "The larger the better. Opposite sides to the same stop.",
                "Mark the corner that lay between fence and blade in the last cut.",
                "The panel lies here: {datum}.",
                "Rule or tape from corner to corner, held the same way each time.",
            ),
        ),
    )
    reads = (
        _side("d1", "How long is d1, the diagonal that misses the mark?", _ACROSS),
        _side("d2", "How long is d2, the diagonal from the mark?", _ACROSS),
        _side("width", "How wide is it, from the mark?", _WIDE),
        _side("other_width", "How wide is it at the opposite side?", _WIDE),
        _side("length", "How long is it, from the mark?", _LONG),
        _side("other_length", "How long is it at the opposite side?", _LONG),
    )
    formula_is = (
        "error = asin((d1^2 - d2^2) / (4 width length)), and half of what opposite sides run apart"
    )
    plus = "the marked corner is more than 90 degrees"
    minus = "the marked corner is less than 90 degrees"
    aims = (
        "On the panel's side of the blade, the fence must move toward the work.",
        "On the panel's side of the blade, the fence must move away from the work.",
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone; say what is taken for granted."""
        found = super().reckon(values)
        if "other_width" in values and "other_length" in values:
            return found
        note = "opposite sides are taken as equal: equal diagonals alone do not prove square"
        return replace(found, note=note)

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the panel and what is measured of it."""
        return panel(seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse lengths that make no panel."""
        if min(values.values()) <= 0:
            return contradict("every length must be larger than 0")
        panel = _panel(values)
        pairs = (
            ("width", panel.width, panel.other_width),
            ("length", panel.length, panel.other_length),
        )
        for name, one, other in pairs:
            if abs(one - other) > max(one, other) / UNEQUAL:
                return contradict(
                    f"{name} and other_{name}: opposite sides differ too much; read both again",
                    name,
                    f"other_{name}",
                )
        longest = sum(max(one, other) for _, one, other in pairs)
        for name, diagonal in (("d1", panel.d1), ("d2", panel.d2)):
            if diagonal >= longest:
                return contradict(
                    f"{name}: no diagonal is as long as two sides together; read it again", name
                )
        if abs(panel.misfit) > FITS_MM / math.hypot(panel.d1, panel.d2) + FITS_SHARE:
            word = "long" if panel.misfit > 0 else "short"
            return contradict(f"d1 and d2: they are too {word} for these sides; read all again")
        if abs(panel.skew) > MOST_SKEW:
            return contradict(
                "d1 and d2: they differ by more than any panel racks; read both again",
                "d1",
                "d2",
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the error of the marked corner."""
        return _panel(values).corner

    def repeats_to(self, values: Values) -> float:
        """Give how well the panel seats in the cut, as an angle."""
        return SEATING_MM / min(values["width"], values["length"])

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give skew and worst corner apart."""
        panel = _panel(values)
        return {
            "skew": value_json(panel.skew, "angle"),
            "worst_corner": value_json(panel.worst, "angle"),
        }

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the corner is off, and whether the sides are equal."""
        panel = _panel(taken.values)
        apart = max(abs(panel.width - panel.other_width), abs(panel.length - panel.other_length))
        note = outcome.note
        if apart > TELLS:
            note = (
                f"Opposite sides differ by {small_move(apart, job.unit)}: equal diagonals would"
                f" not prove it square. The worst corner is off by {both(panel.worst, job.unit)}."
            )
        return replace(super().describe(job, outcome, taken), note=note)


def _panel(values: Values) -> Panel:
    """Make the panel; sides that were not read are as their opposites."""
    width, length = values["width"], values["length"]
    return Panel(
        d1=values["d1"],
        d2=values["d2"],
        width=width,
        length=length,
        other_width=values.get("other_width", width),
        other_length=values.get("other_length", length),
    )


METHOD = Diagonals()
