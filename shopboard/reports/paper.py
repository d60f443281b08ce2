"""The papers that pages are printed on, and text that keeps to its place there."""

from __future__ import annotations

from typing import Literal, get_args

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import harmless
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import by_unit
from shopboard.reports.plot_marks import cells

PaperName = Literal["a4", "letter"]
PAPER_NAMES: tuple[PaperName, ...] = get_args(PaperName)

MARGIN_MM = 10.0


class Paper(NamedTuple):
    """A sheet of paper, upright, mm."""

    css: str
    width: float
    height: float

    def room(self, *, lying: bool = False) -> tuple[float, float]:
        """Give width and height inside the margins, mm."""
        size = (self.height, self.width) if lying else (self.width, self.height)
        return size[0] - 2 * MARGIN_MM, size[1] - 2 * MARGIN_MM

    def page_css(self, *, lying: bool = False) -> str:
        """Write the rule of CSS that makes a browser print on it."""
        way = "landscape" if lying else "portrait"
        return f"@page {{ size: {self.css} {way}; margin: {MARGIN_MM:g}mm; }}"


PAPERS: dict[PaperName, Paper] = {
    "a4": Paper("A4", 210.0, 297.0),
    "letter": Paper("letter", 215.9, 279.4),
}
"""ISO 216; ANSI/ASME Y14.1."""


def paper_for(unit: Unit, name: PaperName | None = None) -> Paper:
    """Give the paper that was named, or that which goes with the shop's unit."""
    usual: PaperName = by_unit(unit, "letter", "a4")
    return PAPERS[name or usual]


def cut(text: str, most: int) -> str:
    """Keep as much of a text as so many letters take; a letter as wide as high counts twice."""
    fit = harmless(text)
    if cells(fit) <= most:
        return fit
    while cells(fit) > most - 1:
        fit = fit[: min(len(fit) - 1, most - 1)]
    return f"{fit.rstrip()}…"
