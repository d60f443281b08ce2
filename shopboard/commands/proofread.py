"""Look through a shop file: every problem with its place; exit 0 when there is none, 3 else.

Where a journal goes with it, records under names that the file no longer has are told, too.
"""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path

from shopboard import exit_codes
from shopboard.checks.registry import facts, names
from shopboard.commands.output import say
from shopboard.commands.shared import paths
from shopboard.desk import utc_now
from shopboard.journal import JournalError, Store, open_journal
from shopboard.locations import shop_path
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem, render
from shopboard.shop.reader import read_shop
from shopboard.shop.renames import renames_of
from shopboard.upkeep.rename_hints import rename_hints
from shopboard.upkeep.renamed import Renamed
from shopboard.upkeep.retired import find_retired


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("file", metavar="FILE", nargs="?", help="default: your shop file")


def run(options: argparse.Namespace) -> int:
    """Read the file; a bad one raises and is explained with all its problems."""
    path = Path(options.file) if options.file else shop_path(getattr(options, "shop", None))
    loaded = read_shop(path, names(), facts())
    shop = loaded.shop
    hints = () if options.file and not hasattr(options, "journal") else _hints(path, shop, options)
    say(*(render(str(path), warning) for warning in (*loaded.warnings, *hints)))
    counts: tuple[tuple[int, str], ...] = (
        (len(shop.machines), "machine"),
        (len(shop.points), "point"),
    )
    counts += ((len(shop.projects), "project"),) if shop.projects else ()
    words = [f"{number} {what}{'' if number == 1 else 's'}" for number, what in counts]
    say(f"{path} is all right: {', '.join(words)}.")
    return exit_codes.ALL_RIGHT


def _hints(path: Path, shop: Shop, options: argparse.Namespace) -> tuple[Problem, ...]:
    """Say which records lost their name; nothing where there is no journal to be read."""
    renames = renames_of(shop)
    try:
        file = open_journal(paths(options)[1], utc_now, create=False, read_only=True)
        with closing(file):
            journal: Store = Renamed(file, renames) if renames else file
            hints = rename_hints(path, shop, find_retired(shop, journal))
    except JournalError:
        return ()
    return tuple(hint.problem for hint in hints)
