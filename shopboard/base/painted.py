"""A line of styled text, before anything draws it."""

from __future__ import annotations

Painted = tuple[str, str]
"""A piece of text and the name of its style."""

Line = tuple[Painted, ...]

WHOLE = 1200
"""Cells of a line on which nothing is cut nor broken: a page's buttons are read off such lines. It
is wider than any terminal that is drawn."""
