"""A description with the questions of a shop, where this computer stands."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

from shopboard.describing.description import Description
from shopboard.describing.here import here
from shopboard.describing.whole import questions
from shopboard.shop.declared import sorts


def computers_day() -> date:
    """Give the day by this computer."""
    return datetime.now().astimezone().date()


def get_ready() -> None:
    """Work out once what the settings take, which the first question waits for."""
    sorts()


def begun(shop_file: Path, today: Callable[[], date] = computers_day) -> Description:
    """Go on with the description of a shop, or begin it.

    Raises:
        DraftError: when the answers cannot be read or written, or another program has them.
    """
    return Description(shop_file, questions(here(), today()), today)
