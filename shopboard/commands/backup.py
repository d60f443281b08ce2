"""A copy of the journal, verified: into a folder or a file, or to where copies are kept by age."""

from __future__ import annotations

import argparse
import os
from contextlib import suppress
from pathlib import Path

from shopboard.base import exit_codes
from shopboard.base.dates import day
from shopboard.base.locations import MOVES, file_named, is_folder
from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.base.text import counted
from shopboard.commands.copies_place import copies_folder
from shopboard.commands.output import moment_json, out_json, say
from shopboard.commands.shared import paths
from shopboard.journal import JournalError
from shopboard.journal.backup import CopyState
from shopboard.journal.copies import dated_name, folder_beside, keep_one, newest_copy
from shopboard.journal.faults import named
from shopboard.journal.from_server import back_up_at, state_at
from shopboard.open_shop import utc_now


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "to", metavar="TO", nargs="?", help="a folder, such as a stick, or a file of that name"
    )
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.epilog = (
        "Without TO the copy goes where the board puts its own: the folder `copies` of the shop"
        " file, else one beside the journal. There the newest of each of the last 7 days, 8 weeks"
        " and 12 months are kept. A copy made with cp or a file manager while somebody records"
        " can be damaged; this one is not. `shopboard restore` puts a copy back. Of a journal on"
        " a server the board makes no copies by itself: run this every night at one bench; without"
        " `copies` they are kept in your data folder."
    )


def run(options: argparse.Namespace) -> int:
    """Copy the journal."""
    shop, journal = paths(options)
    if options.to is None:
        copy, state, made = _kept_by_age(shop, journal)
    else:
        state, copy = _to(journal, options.to)
        made = True
    beside = copy is not None and _same_disk(copy, journal)
    if options.json:
        out_json(
            {
                "copy": str(copy) if copy is not None else None,
                "made": made,
                "entries": state.entries,
                "last": moment_json(state.last) if state.last else None,
                "same_disk": beside,
            }
        )
    elif copy is None:
        say("Nothing was recorded yet: there is nothing to copy.")
    elif not made:
        say(f"Nothing was recorded since the newest copy: {named(copy)}")
    else:
        _say_made(copy, state)
        if beside and copy.parent != folder_beside(journal):
            say("It is on the same disk as the journal: no help when that disk fails.")
    return exit_codes.ALL_RIGHT


def _to(journal: JournalPlace, to: str) -> tuple[CopyState, Path]:
    target = file_named(to, "a copy is a file", MOVES)
    if is_folder(target) or to.endswith(("/", os.sep)):
        target = target / dated_name(journal, state_at(journal), utc_now())
    return back_up_at(journal, target), target


def _kept_by_age(shop: Path, journal: JournalPlace) -> tuple[Path | None, CopyState, bool]:
    folder = copies_folder(shop, journal)
    try:
        copy, state, made = keep_one(journal, folder, utc_now())
    except JournalError:
        with suppress(JournalError):
            newest = newest_copy(folder, state_at(journal), utc_now())
            say(
                f"The newest copy is from {day(newest.made)}."
                if newest
                else "There is no copy yet."
            )
        raise
    return copy.path if copy is not None else None, state, made


def _same_disk(one: Path, other: JournalPlace) -> bool:
    with suppress(OSError):
        if isinstance(other, ServerPlace):
            return False
        return one.stat().st_dev == other.stat().st_dev
    return False


def _say_made(path: Path, state: CopyState) -> None:
    entries = counted(state.entries, "entry", "entries")
    last = f", the last of {day(state.last)}" if state.last else ""
    say(f"Copied to {named(path)}: {entries}{last}; each checked against its hash.")
