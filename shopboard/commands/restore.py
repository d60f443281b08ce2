"""Put a copy in the place of the journal; the present file is kept aside."""

from __future__ import annotations

import argparse
from pathlib import Path

from shopboard import exit_codes
from shopboard.commands.backup import copies_folder
from shopboard.commands.errors import UsageError
from shopboard.commands.output import prompt, say
from shopboard.commands.shared import paths
from shopboard.dates import day
from shopboard.desk import utc_now
from shopboard.journal.copies import copies_in
from shopboard.journal.queries import as_time
from shopboard.journal.restore import Loss, made_ready, put_in_place

_MOST_PLACES = 20


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "source",
        metavar="FROM",
        nargs="?",
        help="a copy, or a journal that was salvaged; left out: lists the copies kept by age",
    )
    parser.add_argument("--yes", action="store_true", help="do not ask")
    parser.epilog = (
        "FROM is verified and only read. What is in the present journal and not in FROM is shown"
        " before; the present file stays beside it under a dated name."
    )


def run(options: argparse.Namespace) -> int:
    """Restore the journal."""
    shop, path = paths(options)
    name = options.source
    if name is None:
        return _list_copies(copies_folder(shop, path))
    source = Path(name).expanduser() if name.startswith("~/") else Path(name)
    with made_ready(source, path) as ready:
        last = f", the last of {day(ready.state.last)}" if ready.state.last else ""
        say(f"{source} is whole: {_entries(ready.state.entries)}{last}.")
        _say_loss(ready.loss, path, there=ready.there)
        if ready.there and not options.yes and not _agreed(path):
            say("Nothing was changed.")
            return exit_codes.USAGE
        aside = put_in_place(ready, utc_now())
    say(f"Restored: {path} is now as {source} is.")
    if aside is not None:
        say(f"The file that was there is kept as {aside}")
    return exit_codes.ALL_RIGHT


def _list_copies(folder: Path) -> int:
    try:
        copies = copies_in(folder, None)
    except OSError:
        copies = []
    if not copies:
        raise UsageError(f"FROM is missing: name a copy; there is none in {folder}")
    say(f"shopboard: FROM is missing: name a copy. In {folder} are, the newest first:")
    say(
        *(
            f"  {day(one.made)} {one.made:%H:%M}, {_entries(one.entries)}: {one.path.name}"
            for one in copies
        )
    )
    return exit_codes.USAGE


def _say_loss(loss: Loss, path: Path, *, there: bool) -> None:
    if not there:
        say(f"There is no journal at {path} yet.")
        return
    if loss.broken:
        say(f"{path} is damaged; what can be read of it was compared.")
    if not loss.entries:
        say("It holds all that the present journal holds.")
        return
    days = dict.fromkeys(day(as_time(one)) for one in (loss.first, loss.last))
    say(f"It does not hold {_entries(loss.entries)} of the present journal, {' to '.join(days)}:")
    more = len(loss.places) - _MOST_PLACES
    shown = ", ".join(loss.places[:_MOST_PLACES]) or "of no machine"
    say(f"  {shown}{f' and {more} more' if more > 0 else ''}")


def _agreed(path: Path) -> bool:
    say(f"Put it in the place of {path}? The present file is kept aside.")
    return prompt("yes or no> ").strip().lower() in ("y", "yes")


def _entries(count: int) -> str:
    return f"{count} {'entry' if count == 1 else 'entries'}"
