"""A copy of the journal, verified: into a folder or a file, or to where copies are kept by age."""

from __future__ import annotations

import argparse
import os
from contextlib import suppress
from pathlib import Path

from shopboard import exit_codes
from shopboard.commands.output import say
from shopboard.commands.shared import paths
from shopboard.dates import day
from shopboard.desk import utc_now
from shopboard.journal import JournalError
from shopboard.journal.backup import State, back_up, reading, state_of
from shopboard.journal.copies import dated_name, folder_beside, keep_one, newest_copy
from shopboard.locations import is_folder


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "to", metavar="TO", nargs="?", help="a folder, such as a stick, or a file of that name"
    )
    parser.epilog = (
        "Without TO the copy goes where the board puts its own: the folder `copies` of the shop"
        " file, else one beside the journal. There the newest of each of the last 7 days, 8 weeks"
        " and 12 months are kept. A copy made with cp or a file manager while somebody records"
        " can be damaged; this one is not. `shopboard restore` puts a copy back."
    )


def run(options: argparse.Namespace) -> int:
    """Copy the journal."""
    shop, journal = paths(options)
    if options.to is None:
        return _kept_by_age(shop, journal)
    state, target = _to(journal, options.to)
    _say_made(target, state)
    return exit_codes.ALL_RIGHT


def _to(journal: Path, to: str) -> tuple[State, Path]:
    target = Path(to).expanduser() if to.startswith("~/") else Path(to)
    if is_folder(target) or to.endswith(("/", os.sep)):
        with reading(journal) as db:
            target = target / dated_name(journal, state_of(db), utc_now())
    return back_up(journal, target), target


def _kept_by_age(shop: Path, journal: Path) -> int:
    folder = copies_folder(shop, journal)
    try:
        copy, state, made = keep_one(journal, folder, utc_now())
    except JournalError:
        with suppress(JournalError), reading(journal) as db:
            newest = newest_copy(folder, state_of(db).first_uid)
            say(f"The newest copy is of {day(newest.made)}." if newest else "There is no copy yet.")
        raise
    if copy is None:
        say("Nothing was recorded yet: there is nothing to copy.")
    elif made:
        _say_made(copy.path, state)
    else:
        say(f"Nothing was recorded since the newest copy: {copy.path}")
    return exit_codes.ALL_RIGHT


def copies_folder(shop_file: Path, journal: Path) -> Path:
    """Give the folder for copies that the shop file names, else the one beside the journal.

    A shop file that cannot be used keeps nobody from a copy.
    """
    from shopboard.checks.registry import names
    from shopboard.shop.problems import ShopFileError
    from shopboard.shop.reader import read_shop

    try:
        named = read_shop(shop_file, names()).shop.copies
    except ShopFileError:
        say("The shop file cannot be used; the copy goes beside the journal.")
        named = ""
    return copies_place(shop_file, named) if named else folder_beside(journal)


def copies_place(shop_file: Path, named: str) -> Path:
    """Give the folder for copies that a shop file names, from its own folder on."""
    place = Path(named).expanduser() if named.startswith("~/") else Path(named)
    return shop_file.absolute().parent / place


def _say_made(path: Path, state: State) -> None:
    entries = f"{state.entries} {'entry' if state.entries == 1 else 'entries'}"
    last = f", the last of {day(state.last)}" if state.last else ""
    say(f"Copied to {path}: {entries}{last}; compared with their hashes.")
