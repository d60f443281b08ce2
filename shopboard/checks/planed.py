"""Checks of a planer by a board that it planed: how well a thickness repeats, what to mind."""

from __future__ import annotations

from shopboard.checks.measured import MeasuredCheck

PLANED_MM = 0.015
"""Standard uncertainty with which a planed board's thickness repeats at one place: common practice,
no source."""


class PlanedBoard(MeasuredCheck):
    """Base of these checks."""

    hands_near = False
    care = (
        "Board longer than the rollers are apart, no loose knots; stand to one side of its path.",
        "Never look or reach in. A jam: switch off, plug out, wait until everything has stopped.",
    )
