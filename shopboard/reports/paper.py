"""Text that keeps to its place on a printed page."""

from __future__ import annotations

from shopboard.base.text import harmless
from shopboard.reports.plot_marks import cells


def cut(text: str, most: int) -> str:
    """Keep as much of a text as so many letters take; a letter as wide as high counts twice."""
    fit = harmless(text)
    if cells(fit) <= most:
        return fit
    while cells(fit) > most - 1:
        fit = fit[: min(len(fit) - 1, most - 1)]
    return f"{fit.rstrip()}…"
