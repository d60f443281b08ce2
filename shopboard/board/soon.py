"""What the next keys need is imported while the board waits for them."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

SOON = (
    "shopboard.board.screens.machine",
    "shopboard.board.screens.point",
    "shopboard.prep.minutes",
    "shopboard.board.screens.check",
    "shopboard.board.screens.tasks",
    "shopboard.board.screens.projects",
    "shopboard.board.screens.joints",
    "shopboard.board.screens.glue_up",
    "shopboard.wander.outlook",
    "shopboard.wander.point_history",
    "shopboard.prep.day",
    "shopboard.board.screens.prep",
)
"""Modules, the likeliest first."""


def import_soon(goes_on: Callable[[], bool]) -> None:
    """Import all of it, for as long as the board goes on; meant for a thread beside the keys."""
    for name in SOON:
        if goes_on():
            import_module(name)
