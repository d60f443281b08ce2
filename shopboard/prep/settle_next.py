"""What settles a borderline point of which another check as before would tell nothing new."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.prep.begun_day import day_under_way
from shopboard.prep.day_end import found_since
from shopboard.prep.open_points import left_to_do
from shopboard.prep.options import what_settles
from shopboard.prep.stays_open import TWICE

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop
    from shopboard.standing.model import PointStanding


def to_settle(open_shop: OpenShop, one: PointStanding) -> str:
    """Say what would settle a point, where that is no further check as before; empty: check it.

    So it is with one that was found borderline twice today (of a prep day in progress: on it),
    nothing having moved since, or that no check with the tools at hand can prove true.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if one.state != "near" or one.doubted:
        return ""
    found = what_settles(open_shop, one.point.full_name)
    how = found.how if found is not None else ""
    if found is not None and not found.at_hand:
        return how
    journal = open_shop.journal
    day = day_under_way(journal)
    since = day.seq if day is not None else journal.seq_at(_midnight(open_shop.now()))
    if found_since(journal, since, one) < TWICE:
        return ""
    return how or left_to_do(open_shop.shop, one)


def _midnight(now: datetime) -> datetime:
    return now.astimezone().replace(hour=0, minute=0, second=0, microsecond=0)
