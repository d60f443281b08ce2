"""Look through a shop file: every problem with its place; exit 0 when there is none, 3 else.

Told, too: points that the drawer cannot check, tolerances that it cannot prove, and, where a
journal goes with the file, records under names that the file no longer has.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from shopboard.base import exit_codes
from shopboard.base.locations import is_folder, shop_path
from shopboard.base.text import counted
from shopboard.checks.registry import facts, names
from shopboard.commands.copies_place import copies_place
from shopboard.commands.output import say
from shopboard.commands.readable_journal import readable_journal
from shopboard.journal import JournalError, Store
from shopboard.prep.beyond_drawer import beyond_the_drawer
from shopboard.shop.files import UnreadableFileError, decode, read_bytes
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem, render
from shopboard.shop.reader import read_shop
from shopboard.upkeep.rename_hints import rename_hints
from shopboard.upkeep.retired import find_retired


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("file", metavar="FILE", nargs="?", help="default: your shop file")


def run(options: argparse.Namespace) -> int:
    """Read the file; a bad one raises and is explained with all its problems."""
    path = Path(options.file) if options.file else shop_path(getattr(options, "shop", None))
    loaded = read_shop(path, names(), facts())
    shop = loaded.shop
    by_file_alone = options.file and not hasattr(options, "journal")
    with readable_journal(shop, None if by_file_alone else options) as journal:
        hints = () if journal is None else _hints(path, shop, journal)
        beyond = _beyond(path, shop, journal)
    told = {(one.line, one.column) for one in loaded.warnings if not one.file}
    beyond = tuple(one for one in beyond if (one.line, one.column) not in told)
    found = sorted((*loaded.warnings, *hints, *beyond), key=lambda one: (one.file, one.line))
    say(*(render(str(path), warning) for warning in found))
    if shop.copies and not is_folder(folder := copies_place(path, shop.copies)):
        say(f"{path}: copies: there is no folder {folder} at this moment.")
    words = [counted(len(shop.machines), "machine"), counted(len(shop.points), "point")]
    words += [counted(len(shop.projects), "project")] if shop.projects else []
    say(f"{path} is all right: {', '.join(words)}.")
    return exit_codes.ALL_RIGHT


def _beyond(path: Path, shop: Shop, journal: Store | None) -> tuple[Problem, ...]:
    """Say what the tools cannot prove."""
    try:
        return beyond_the_drawer(shop, decode(read_bytes(path)[0]), journal)
    except UnreadableFileError:
        return ()  # it is being written


def _hints(path: Path, shop: Shop, journal: Store) -> tuple[Problem, ...]:
    """Say which records lost their name."""
    try:
        hints = rename_hints(path, shop, find_retired(shop, journal))
    except JournalError:
        return ()
    return tuple(hint.problem for hint in hints)
