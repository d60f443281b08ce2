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
    """Declare nothing more."""


def run(options: argparse.Namespace) -> int:
    """Run the board until it is left."""
    return open_board(getattr(options, "shop", None), getattr(options, "journal", None))


def open_board(shop_file: str | None, journal_file: str | None) -> int:
    """Run the board on those files, or on the usual ones, until it is left."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()) or os.environ.get("TERM") == "dumb":
        return _plain_status(shop_file, journal_file)
    # Read at import. Nothing is animated: it only shortens the wait before a change is drawn.
    os.environ.setdefault("TEXTUAL_FPS", "250")
    gc.disable()  # nothing of the start is garbage, and looking costs a tenth of it
    from shopboard.board.app import BoardApp
    from shopboard.locations import journal_path, shop_path

    shop = shop_path(shop_file)
    app = BoardApp(shop, journal_path(journal_file))
    try:
        app.run(mouse=False)
    finally:
        app.close()
    if app.crash is not None:
        from shopboard.commands.errors import explain

        return explain(app.crash)
    if not app.has_desk:
        say(f"No shop is open. The shop file goes to {shop}; --shop FILE opens another.")
    return app.return_code or 0


def _plain_status(shop_file: str | None, journal_file: str | None) -> int:
    import argparse

    from shopboard.commands import status

    options = argparse.Namespace(json=False, exit_code=False)
    if shop_file is not None:
        options.shop = shop_file
    if journal_file is not None:
        options.journal = journal_file
    return status.run(options)
