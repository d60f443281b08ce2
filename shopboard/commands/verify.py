"""Look through the whole journal for damage; nothing is changed."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard import exit_codes
from shopboard.commands.output import Progress, say
from shopboard.commands.shared import paths
from shopboard.desk import utc_now
from shopboard.journal import open_journal
from shopboard.journal.faults import WAY_BACK


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare nothing more."""


def run(options: argparse.Namespace) -> int:
    """Verify every entry."""
    path = paths(options)[1]
    with closing(open_journal(path, utc_now, create=False, read_only=True)) as journal:
        progress = Progress()
        damage, count = journal.verify(said=progress), journal.count()
        progress.end()
    if damage is not None:
        say(f"{path} is damaged: {damage.what.rstrip('.')}.")
        say(WAY_BACK)
        return exit_codes.JOURNAL
    say(f"{path} is whole: {count} entries, each as it was recorded.")
    return exit_codes.ALL_RIGHT
