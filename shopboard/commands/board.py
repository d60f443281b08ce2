"""Open the board; without a terminal, the plain status instead."""

from __future__ import annotations

import gc
import os
import sys
from typing import TYPE_CHECKING

from shopboard.commands.output import say

if TYPE_CHECKING:
    import argparse


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare nothing more than every command has."""


def run(options: argparse.Namespace) -> int:
    """Run the board until it is left."""
    shop, journal = getattr(options, "shop", None), getattr(options, "journal", None)
    return open_board(shop, journal, begin=getattr(options, "new_journal", False))


def open_board(shop_file: str | None, journal_file: str | None, *, begin: bool = False) -> int:
    """Run the board on those files, or on the usual ones, until it is left.

    Args:
        shop_file: the shop file; None: the usual one.
        journal_file: the journal; None: the usual one.
        begin: make the journal where there is none, without asking.
    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()) or os.environ.get("TERM") == "dumb":
        return _plain_status(shop_file, journal_file, begin=begin)
    # Read at import. Nothing is animated: it only shortens the wait before a change is drawn.
    os.environ.setdefault("TEXTUAL_FPS", "250")
    gc.disable()  # nothing of the start is garbage, and looking costs a tenth of it
    from shopboard.board.app import BoardApp
    from shopboard.locations import journal_path, may_begin, shop_path

    shop, journal = shop_path(shop_file), journal_path(journal_file)
    app = BoardApp(shop, journal, begin=may_begin(journal, told=begin))
    try:
        app.run(mouse=False)
    finally:
        app.close()
    if app.crash is not None:
        from shopboard.commands.errors import explain

        return explain(app.crash)
    if app.absent is not None:
        say(f"{app.absent.title} {app.absent.advice}")
    elif not app.has_desk:
        say(f"No shop is open. The shop file goes to {shop}; --shop FILE opens another.")
    return app.return_code or 0


def _plain_status(shop_file: str | None, journal_file: str | None, *, begin: bool) -> int:
    import argparse

    from shopboard.commands import status

    options = argparse.Namespace(json=False, exit_code=False, new_journal=begin)
    if shop_file is not None:
        options.shop = shop_file
    if journal_file is not None:
        options.journal = journal_file
    return status.run(options)
