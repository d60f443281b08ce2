"""What is drawn and said while the journal cannot be read, or could not for a while."""

from __future__ import annotations

from shopboard.board.paint import Line, said, wrap
from shopboard.journal import JournalError


def told(error: JournalError, width: int) -> list[Line]:
    """Say what is the matter, and what to do, in the place of what cannot be drawn."""
    words = ((error.title, "out"), (error.advice, ""))
    return [
        (),
        *(((f"  {line}", st),) for text, st in words for line in wrap(said(text), width - 4)),
    ]
