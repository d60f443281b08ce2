"""What is usual where pieces are cut or planed for a test: how well they repeat, what to mind."""

from __future__ import annotations

SEATING_MM = 0.02
"""Standard uncertainty with which a board seats against a fence and a cut closes, at the ends of
what is read: common practice, no source. A test cut repeats no better than this."""

PLANED_MM = 0.015
"""Standard uncertainty with which a planed board's thickness repeats at one place: common practice,
no source."""

AT_THE_PLANER = (
    "Board longer than the rollers are apart, no loose knots; stand beside its path.",
    "Never look or reach in. A jam: switch off, plug out, wait till all stands still.",
)
"""Cautions."""
