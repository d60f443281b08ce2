"""Look through the whole journal for damage; nothing is changed."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.base import exit_codes
from shopboard.commands.errors import to_the_letter
from shopboard.commands.output import Progress, out_json, say
from shopboard.commands.shared import paths
from shopboard.journal import open_journal
from shopboard.journal.faults import named, way_back
from shopboard.open_shop import utc_now


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the option."""
    parser.add_argument(
        "--as-it-is",
        action="store_true",
        help="use this journal from now on, though it differs from the one that was last open"
        " in its place: it takes records again",
    )
    parser.add_argument("--json", action="store_true", help="JSON")


def run(options: argparse.Namespace) -> int:
    """Verify every entry."""
    path = paths(options)[1]
    with closing(
        open_journal(path, utc_now, create=False, read_only=True, watched=True)
    ) as journal:
        differs = journal.differs
        if options.as_it_is:
            journal.take_as_it_is()
        progress = Progress()
        try:
            damage, count = journal.verify(said=progress), journal.count()
        finally:
            progress.end()
    whole = damage is None and (differs is None or options.as_it_is)
    code = exit_codes.ALL_RIGHT if whole else exit_codes.JOURNAL
    if options.json:
        out_json(
            {
                "journal": str(path),
                "whole": damage is None,
                "entries": count,
                "damage": damage.what if damage is not None else None,
                "differs": differs.how if differs is not None else None,
                "differs_in": differs.what if differs is not None else None,
            }
        )
        return code
    if damage is not None:
        words = to_the_letter(way_back(path), options.journal)
        say(f"{named(path)} is damaged: {damage.what.rstrip('.')}.", words)
        return code
    say(f"{named(path)} is whole: {count} entries, each as it was recorded.")
    if differs is not None and options.as_it_is:
        say(f"It {differs.what}. It is the journal from now on.")
    elif differs is not None:
        say(f"Yet: {differs.title} {to_the_letter(differs.advice, options.journal)}")
    return code
