"""The day on which something was last done, as a person says it: so many days ago, or its date."""

from __future__ import annotations

import re
from datetime import date, timedelta

from shopboard.shop.allowed import typed
from shopboard.shop.kinds import as_text
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

LONGEST_AGO = 3650
"""Days: what was done longer ago is due whatever it is."""

_WANTED = 'a number of days, or a day such as "2026-05-01"'


def day_of(words: str, today: date) -> date:
    """Give the day that is meant by words, said today.

    Raises:
        ValueError: when there is no such day.
    """
    if re.fullmatch(r"\d{1,4}", words, re.ASCII):
        return today - timedelta(days=int(words))
    return date.fromisoformat(words)


def days_ago(today: date) -> Parser[date]:
    """A past day."""

    def read(raw: object, spot: Spot) -> date:
        words = as_text(raw, spot, _WANTED)
        try:
            day = day_of(words, today)
        except (ValueError, OverflowError):
            spot.refuse(f"{shorten(words)} is not a day", f"write {_WANTED}")
        if day > today:
            spot.refuse(f"{shorten(words)} is in the future", f"today is {today}")
        if (today - day).days > LONGEST_AGO:
            spot.refuse(f"{shorten(words)} is too long ago", "up to ten years")
        return day

    return Parser(read, today, lambda: typed(_WANTED, '"3"', r"^\d{1,4}$"))
