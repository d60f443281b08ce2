"""What is drawn and said while the journal cannot be read, or could not for a while."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.board.paint import Line, said, wrap
from shopboard.journal import JournalCannotRead, JournalError

if TYPE_CHECKING:
    from shopboard.board.app import BoardApp
    from shopboard.board.screens.base import ShopScreen

SETTLED_FOR = 10.0
"""Seconds for which the same key still means the act that was found to be on record."""

AGAIN = "Press the same key again once it answers."
"""What to do about what a server that is away did not take."""


def told(error: JournalError, width: int) -> list[Line]:
    """Say what is the matter, and what to do, in the place of what cannot be drawn."""
    words = ((error.title, "out"), (error.advice, ""))
    return [
        (),
        *(((f"  {line}", st),) for text, st in words for line in wrap(said(text), width - 4)),
    ]


def lead(error: JournalError) -> str:
    """Say in two words what became of what was to be recorded: one of two."""
    return "NOT CERTAIN." if error.uncertain else "NOT RECORDED."


def to_do(error: JournalError) -> str:
    """Say what to do about it: where nothing was sent to a server that is away, the key again."""
    return (
        f"{error.advice} {AGAIN}"
        if isinstance(error, JournalCannotRead) and error.is_away
        else error.advice
    )


def takes_in(board: BoardApp, top: ShopScreen) -> bool:
    """Tell whether the screen may show what is on record by now.

    An act that met an error may be on record: taken in, the same key would mean another act. Where
    a server was away that is found out, and said, as soon as it answers.
    """
    doubt = board.in_doubt
    if not doubt.is_open:
        return True
    if doubt.settled_at is not None:
        if board.monotonic() - doubt.settled_at > SETTLED_FOR:
            doubt.forget()
        return True
    if not top.says_something:
        return True
    if not doubt.is_away:
        return False
    try:
        known = doubt.on_record(board.open_shop.journal)
    except JournalError:
        doubt.is_away = True
        return False
    doubt.is_away = False
    if known is None:
        top.say("The server answers again. It is not on record: press the same key again.", "out")
        return False
    doubt.settled_at = board.monotonic()
    top.say("The server answers again. It is on record, once.", "true")
    return True


def say_it_reads_again(board: BoardApp, top: ShopScreen) -> None:
    """Say that the journal can be read, where it could not, and whether it is another one."""
    differs = board.open_shop.journal_differs
    if differs is not None:
        top.say(f"This journal {differs.what}.", "out")
    elif top.waits_for_server and top.says_something:
        top.say("The journal can be read again. Press the same key again.", "due")
    elif board.in_doubt.settled_at is None:
        top.say("The journal can be read again.", "true")
