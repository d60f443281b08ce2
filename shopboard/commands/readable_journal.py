"""The journal that goes with a shop file, for commands that only look into it where it is there."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import closing, contextmanager

from shopboard.commands.shared import paths
from shopboard.journal import JournalError, Store, open_journal
from shopboard.open_shop import utc_now
from shopboard.shop.model import Shop
from shopboard.shop.renames import renames_of
from shopboard.upkeep.renamed import Renamed


@contextmanager
def readable_journal(shop: Shop, options: argparse.Namespace | None) -> Iterator[Store | None]:
    """Open the journal to be read; None where there is none, or none goes with the file."""
    if options is None:
        yield None
        return
    renames = renames_of(shop)
    try:
        file = open_journal(paths(options)[1], utc_now, create=False, read_only=True)
    except JournalError:
        yield None
        return
    with closing(file):
        yield Renamed(file, renames) if renames else file
