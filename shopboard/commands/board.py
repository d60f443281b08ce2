"""Open the board; without a terminal, the plain status instead."""

from __future__ import annotations

import argparse
import gc
import os
import sys

from shopboard.commands.output import say


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare nothing more."""


def run(options: argparse.Namespace) -> int:
    """Run the board until it is left."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()) or os.environ.get("TERM") == "dumb":
        from shopboard.commands import status

        return status.run(argparse.Namespace(json=False, exit_code=False, **vars(options)))
    # Read at import. Nothing is animated: it only shortens the wait before a change is drawn.
    os.environ.setdefault("TEXTUAL_FPS", "250")
    gc.disable()  # nothing of the start is garbage, and looking costs a tenth of it
    from shopboard.board.app import BoardApp
    from shopboard.locations import journal_path, shop_path

    shop = shop_path(getattr(options, "shop", None))
    app = BoardApp(shop, journal_path(getattr(options, "journal", None)))
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
