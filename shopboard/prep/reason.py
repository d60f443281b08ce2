"""A reason to hold before a glue-up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from shopboard.base.light_tuple import NamedTuple

ReasonSort = Literal["tag", "change", "clock", "nothing shows", "cannot", "not proven", "too much"]
"""What holds it up, the worst first."""


class Reason(NamedTuple):
    """One reason to hold, and the shortest thing to do about it."""

    sort: ReasonSort
    words: str
    """What holds it up."""
    to_do: str
    """What to do about it, without its minutes."""
    points: tuple[str, ...] = ()
    """Full names of the points to check, in that order; none: a check does not help."""
    minutes: float | None = None
    """How long these checks take; None: a check does not help."""
    about: str = ""
    """Full name of the point, or id of the machine, that is the reason."""
    short: str = ""
    """Name of the point to check first, to be read from afar; empty: a check does not help."""
    methods: Mapping[str, str] = {}
    """By what method a point is checked, where that matters, by its full name."""
    misfit: str = ""
    """Of a misfit alone: how large it can be, without what makes most of it."""

    @property
    def point(self) -> str:
        """Full name of the point to check first; empty: a check does not help."""
        return self.points[0] if self.points else ""
