"""What `knives turned` did to the record of the knives, in words."""

from __future__ import annotations

import contextlib

from shopboard.journal import Entry, JournalError, Store, kinds
from shopboard.shop.model import Shop
from shopboard.upkeep.cutter_journal import standings_now
from shopboard.upkeep.cutter_words import edge_words


def edge_words_of(happened: Entry, shop: Shop, journal: Store) -> str:
    """Say which edge knives show now: ``, Head: edge 2 of 3``; or that the record had none left.

    Empty where the shop file tells of no knives with more than one edge on the machine, and where
    the journal cannot be read any more: what was recorded is not to look as if it were not.

    Args:
        happened: what was recorded.
        shop: the shop.
        journal: the records.
    """
    with contextlib.suppress(JournalError):
        return _edge_words(happened, shop, journal)
    return ""


def _edge_words(happened: Entry, shop: Shop, journal: Store) -> str:
    turned = {
        (one.machine, one.point)
        for one in journal.thread(happened.uid)
        if one.kind == kinds.CUTTER.name
    }
    told = []
    for home in (happened.machine, *shop.serving.get(happened.machine, ())):
        for one in standings_now(shop, home, journal):
            here = home == happened.machine or happened.machine in one.serves
            if not (here and one.mounted and one.cutter.sort == "knives" and one.cutter.edges > 1):
                continue
            words = edge_words(one)
            if (home, one.id) not in turned:
                words = f"still recorded as {words}: correct that at its cutters"
            told.append(f", {one.cutter.name}: {words}")
    return "".join(told)
