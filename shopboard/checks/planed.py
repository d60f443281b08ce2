"""Checks of a planer by a board that it planed: how well a thickness repeats, what to mind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.steps import Do
from shopboard.metrology.wording import own_words

PLANED_MM = 0.015
"""Standard uncertainty with which a planed board's thickness repeats at one place: common practice,
no source."""


class PlanedBoard(MeasuredCheck):
    """Base of these checks."""

    hands_near = False
    care = (
        "Board longer than the rollers are apart, no loose knots; stand beside its path.",
        "Never look or reach in. A jam: switch off, plug out, wait till all stands still.",
    )
    plane: Do
    """How the board is planed."""

    def to_do(self, job: CheckContext) -> Sequence[Do]:
        """Plane a board."""
        lines = tuple(own_words(line, job.unit) for line in self.plane.lines)
        return (replace(self.plane, lines=lines),)
