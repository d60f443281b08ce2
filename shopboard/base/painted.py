"""A line of styled text, before anything draws it."""

from __future__ import annotations

Painted = tuple[str, str]
"""A piece of text and the name of its style."""

Line = tuple[Painted, ...]
