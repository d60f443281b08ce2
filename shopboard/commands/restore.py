"""Put a copy in the place of the journal; the present file is kept aside."""

from __future__ import annotations

import argparse
from contextlib import suppress
from pathlib import Path

from shopboard.base import exit_codes
from shopboard.base.dates import day
from shopboard.base.locations import MOVES, file_named, is_folder
from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.commands.copies_place import copies_folder
from shopboard.commands.errors import UsageError
from shopboard.commands.output import moment_json, out_json, prompt, say
from shopboard.commands.shared import paths
from shopboard.journal import JournalError
from shopboard.journal.copies import Copy, copies_in
from shopboard.journal.faults import named
from shopboard.journal.from_server import state_at
from shopboard.journal.queries import as_time
from shopboard.journal.restore import Loss, Ready, made_ready, put_in_place
from shopboard.journal.watch import entries
from shopboard.open_shop import utc_now

_MOST_PLACES = 20
OTHER = " (of another journal)"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "source",
        metavar="FROM",
        nargs="?",
        help="a copy, or a salvaged journal; a folder, or left out: lists the copies"
        " there, or those kept by age",
    )
    parser.add_argument("--yes", action="store_true", help="do not ask")
    parser.add_argument(
        "--json", action="store_true", help="JSON; without --yes nothing is changed"
    )
    parser.epilog = (
        "FROM is verified and only read. What is in the present journal and not in FROM is shown"
        " before; the present file stays beside it under a dated name."
    )


def run(options: argparse.Namespace) -> int:
    """Restore the journal."""
    shop, path = paths(options)
    if options.source is None:
        return _list_copies(copies_folder(shop, path), path, "FROM is missing", options)
    source = file_named(options.source, "a copy is a file", MOVES)
    if is_folder(source):
        return _list_copies(source, path, f"{named(source)} is a folder", options)
    if isinstance(path, ServerPlace):
        raise UsageError(
            f"the journal is on a server, {path}: nothing there is put aside. Carry the copy into"
            " an empty database: `shopboard move FROM postgresql://HOST/DATABASE`"
        )
    with made_ready(source, path) as ready:
        if not options.json:
            _say_what_it_is(ready, source, path)
        agreed = options.yes or not ready.there or (not options.json and _agreed(path))
        aside = put_in_place(ready, utc_now()) if agreed else None
    if options.json:
        out_json(_json(ready, source, path, aside, restored=agreed))
    elif not agreed:
        say("Nothing was changed.")
    else:
        say(f"Restored: {named(path)} is now as {named(source)} is.")
        if aside is not None:
            say(f"The file that was there is now {named(aside)}")
    return exit_codes.ALL_RIGHT if agreed else exit_codes.USAGE


def _list_copies(folder: Path, journal: JournalPlace, why: str, options: argparse.Namespace) -> int:
    try:
        copies = copies_in(folder, None)
    except OSError:
        copies = []
    others = _of_another(folder, journal, copies)
    if options.json:
        out_json({"copies": [_copy_json(one, others) for one in copies]})
        return exit_codes.ALL_RIGHT
    if not copies:
        raise UsageError(f"{why}: name a copy; there is none in {named(folder)}")
    say(f"shopboard: {why}: name a copy. {named(folder)} has these, the newest first:")
    say(*(f"  {_copy(one)}{OTHER if one in others else ''}" for one in copies))
    return exit_codes.USAGE


def _say_what_it_is(ready: Ready, source: Path, path: Path) -> None:
    last = f", the last of {day(ready.state.last)}" if ready.state.last else ""
    say(f"{named(source)} is whole: {entries(ready.state.entries)}{last}.")
    if ready.newer_form:
        say("A newer version of this program made it: it can be read here, not recorded in.")
    if not ready.there:
        say(f"There is no journal at {named(path)} yet.")
        return
    if ready.loss.another:
        say("It is ANOTHER JOURNAL, not a copy of this one: it begins with another entry.")
    _say_loss(ready.loss, path)


def _say_loss(loss: Loss, path: Path) -> None:
    if loss.broken:
        say(f"{named(path)} is damaged; what can be read of it was compared.")
    if not loss.entries:
        say("It has everything that the present journal has.")
        return
    days = dict.fromkeys(day(as_time(one)) for one in (loss.first, loss.last))
    say(f"It lacks {entries(loss.entries)} of the present journal, {' to '.join(days)}:")
    more = len(loss.places) - _MOST_PLACES
    shown = ", ".join(loss.places[:_MOST_PLACES]) or "of no machine"
    say(f"  {shown}{f' and {more} more' if more > 0 else ''}")


def _agreed(path: Path) -> bool:
    say(f"Put it in place of {named(path)}? The present file is set aside.")
    return prompt("yes or no> ").strip().lower() in ("y", "yes")


def _json(
    ready: Ready, source: Path, path: Path, aside: Path | None, *, restored: bool
) -> dict[str, object]:
    loss = ready.loss
    return {
        "from": str(source),
        "entries": ready.state.entries,
        "last": moment_json(ready.state.last) if ready.state.last else None,
        "newer_form": ready.newer_form,
        "journal": str(path),
        "there": ready.there,
        "damaged": loss.broken,
        "another": ready.loss.another,
        "lost": {
            "entries": loss.entries,
            "first": moment_json(as_time(loss.first)) if loss.first else None,
            "last": moment_json(as_time(loss.last)) if loss.last else None,
            "places": [*loss.places],
        },
        "restored": restored,
        "kept_as": str(aside) if aside is not None else None,
    }


def _of_another(folder: Path, journal: JournalPlace, copies: list[Copy]) -> list[Copy]:
    """Give those of another journal than the present one, as far as that can be read."""
    with suppress(JournalError, OSError):
        first = state_at(journal).first_uid
        own = copies_in(folder, first) if first else copies
        return [one for one in copies if one not in own]
    return []


def _copy(one: Copy) -> str:
    when = f"{day(one.made)} {one.made:%H:%M}"
    return f"{when}, {entries(one.entries)}: {named(Path(one.path.name))}"


def _copy_json(one: Copy, others: list[Copy]) -> dict[str, object]:
    return {
        "copy": str(one.path),
        "made": moment_json(one.made),
        "entries": one.entries,
        "another": one in others,
    }
