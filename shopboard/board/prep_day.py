"""Whether a prep day is in progress: asked for the first picture, so it imports no plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.journal import kinds

if TYPE_CHECKING:
    from datetime import datetime

    from shopboard.open_shop import OpenShop


def prep_day_begun(open_shop: OpenShop) -> datetime | None:
    """Tell when the prep day that is under way was begun; None: none is.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if not open_shop.journal.recent(kinds.PREP.name, "", "", 1, include_void=False):
        return None  # none ever was: the first picture need not import what reads it
    from shopboard.prep.begun_day import day_under_way

    day_begun = day_under_way(open_shop.journal)
    return None if day_begun is None else day_begun.when
