"""Open the board; without a terminal, the plain status instead."""

from __future__ import annotations

import gc
import os
import sys
import threading
from typing import TYPE_CHECKING

from shopboard.base.served import served
from shopboard.commands.output import say

if TYPE_CHECKING:
    import argparse
    from pathlib import Path

    from shopboard.board.app import BoardApp


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare nothing more than every command has."""


def run(options: argparse.Namespace) -> int:
    """Run the board until it is left."""
    shop, journal = getattr(options, "shop", None), getattr(options, "journal", None)
    begin, who = getattr(options, "new_journal", False), getattr(options, "bench", None)
    return open_board(shop, journal, begin=begin, who=who)


def open_board(
    shop_file: str | None,
    journal_file: str | None,
    *,
    begin: bool = False,
    describes: bool = False,
    who: str | None = None,
) -> int:
    """Run the board on those files, or on the usual ones, until it is left.

    Args:
        shop_file: the shop file; None: the usual one.
        journal_file: the journal; None: the usual one.
        begin: make the journal where there is none, without asking.
        describes: where there is no shop file, ask at once what it is made of.
        who: the name of this bench for this run; None: the usual one.
    """
    if who is not None:
        os.environ["SHOPBOARD_WHO"] = who  # what the board starts is of this bench, too
    why = no_board()
    if why:
        say(f"shopboard: {why}, so there is no board; this is the plain status.")
        return _plain_status(shop_file, journal_file, begin=begin)
    from shopboard.board.stops import Stops

    stops = Stops()
    # Read at import. Nothing is animated: it only shortens the wait before a change is drawn.
    os.environ.setdefault("TEXTUAL_FPS", "250")
    gc.disable()  # nothing of the start is garbage, and looking costs a tenth of it
    from shopboard.board.lean import import_textual

    import_textual()
    from shopboard.base.locations import journal_path, shop_path
    from shopboard.board.app import BoardApp
    from shopboard.journal.remembered import may_begin

    shop, journal = shop_path(shop_file), journal_path(journal_file)
    app = BoardApp(shop, journal, begin=may_begin(journal, told=begin), describes=describes)
    threading.excepthook = lambda failed: _failed_in_thread(app, failed)
    stops.end(app)
    try:
        app.run()
    except BaseException as error:  # noqa: BLE001 - whatever it is, the terminal is given back
        app.crash = app.crash or error
    app.give_back_terminal()
    app.close()
    code = _how_it_ended(app, shop) or stops.code or app.return_code or 0
    stops.over()
    return _go_on_with(app.then) if app.then else code


def _go_on_with(words: tuple[str, ...]) -> int:
    """Run another command of this program, as it would be typed; give its exit code."""
    import subprocess

    return subprocess.call([sys.executable, "-m", "shopboard", *words])  # noqa: S603 - our own


def _how_it_ended(app: BoardApp, shop: Path) -> int:
    """Say what a person has to know; give the exit code of a fault, or 0."""
    if app.gone:
        _speak_to_nobody()
    if app.crash is not None:
        from shopboard.commands.errors import explain

        return explain(app.crash)
    if app.absent is not None:
        say(f"{app.absent.title} {app.absent.advice}")
    elif not app.has_open_shop and not app.then:
        say(f"No shop is open. The shop file goes to {shop}; --shop FILE opens another.")
    return 0


def no_board() -> str:
    """Say why no board can be drawn here; empty when one can."""
    if served() is not None:
        return ""
    if os.environ.get("TERM") == "dumb":
        return "this terminal can only print (TERM=dumb)"
    stream = next((one for one in ("stdin", "stdout") if not getattr(sys, one).isatty()), "")
    return f"{stream} is no terminal" if stream else ""


def _failed_in_thread(app: BoardApp, failed: threading.ExceptHookArgs) -> None:
    """Stop the board for what went wrong in a thread of it."""
    if failed.exc_value is not None:
        app.failed_elsewhere(failed.exc_value)


def _speak_to_nobody() -> None:
    """Let what is still said go nowhere: the terminal that it was meant for is gone."""
    nowhere = os.open(os.devnull, os.O_RDWR)
    for number in range(3):
        os.dup2(nowhere, number)


def _plain_status(shop_file: str | None, journal_file: str | None, *, begin: bool) -> int:
    import argparse

    from shopboard.commands import status

    options = argparse.Namespace(
        json=False, exit_code=False, new_journal=begin, shop=shop_file, journal=journal_file
    )
    return status.run(options)
