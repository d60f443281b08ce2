"""The name of this computer, as the journal notes who records."""

from __future__ import annotations

from shopboard.base.text import harmless

_LONGEST = 60


def this_computer() -> str:
    """Give the computer's name in its network, harmless; empty when it has none."""
    from platform import node  # not needed before the first recording

    return harmless(node().strip())[:_LONGEST]
