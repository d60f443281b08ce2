"""A move into a file: under a name of its own until all is carried over and looked through.

So nothing half done ever stands under the journal's name. What holds a journal already, the
beginning of what is moved, gets the rest in one transaction: all of it or nothing.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from shopboard.base.server_place import JournalPlace
from shopboard.journal.backup import confirm
from shopboard.journal.errors import JournalCannotWrite, JournalError
from shopboard.journal.faults import named
from shopboard.journal.place import (
    AtPath,
    holds_something,
    is_unfinished_move,
    look,
    reason,
    unfinished_move,
)


def under_way_at(target: JournalPlace) -> Path | None:
    """Give the file that a move into `target` fills; None: it goes into the place itself.

    Raises:
        JournalError: it can be no journal, there is no folder for it, or something is in the way.
    """
    if not isinstance(target, Path):
        return None
    if is_unfinished_move(target):
        raise JournalCannotWrite(
            f"{named(target)} is the name of a file that a move fills.",
            "Nothing was moved. Name another file.",
        )
    if look(target) is AtPath.JOURNAL:
        return None
    folder = Path(os.path.realpath(target)).parent
    if not folder.is_dir():
        raise JournalCannotWrite(
            f"There is no folder {named(folder)}.", "Nothing was moved. Make it, or name another."
        )
    left = Path(f"{os.path.realpath(target)}-journal")
    if holds_something(left):
        raise JournalCannotWrite(
            f"{named(left)} is left of another journal that was there.",
            "Nothing was moved. Put it elsewhere, or name another place.",
        )
    return unfinished_move(target)


def put_in_place(part: Path, target: Path) -> None:
    """Give what is whole now its name.

    Raises:
        JournalError: somebody put something there meanwhile, or the disk refused it.
    """
    real = Path(os.path.realpath(target))
    if holds_something(real):
        raise JournalError(
            f"Somebody put another file at {named(target)} meanwhile.",
            f"It was left as it is. All that was moved is in {named(part)}.",
        )
    try:
        part.replace(real)
    except OSError as error:
        raise JournalCannotWrite(
            f"{named(part)} could not be named {named(real)} ({reason(error)}).",
            "All is in it. The same command again goes on.",
        ) from error
    with suppress(OSError):  # empty: what was written with it is all in the journal
        Path(f"{part}-journal").unlink()
    confirm(real)
