"""What is recorded by a command has a name before the first try, so that a second adds nothing."""

from __future__ import annotations

import argparse
import re
import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from shopboard.base.dates import day
from shopboard.base.server_place import names_a_server
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say

if TYPE_CHECKING:
    from shopboard.journal import Entry
    from shopboard.open_shop import OpenShop

_NAME = re.compile(r"[0-9A-Za-z]{1,32}", re.ASCII)
_UID = "--uid"

_SECRET = re.compile(r":[^/?]*@|password|passfile|sslkey", re.IGNORECASE)
"""Where in a server's URL something stands that is shown to nobody."""


def uid_argument(parser: argparse.ArgumentParser) -> None:
    """Declare the name of what is recorded."""
    parser.add_argument(
        _UID,
        metavar="NAME",
        help="letters and digits that name this record: tried again with the same ones, it is"
        " recorded once",
    )


@contextmanager
def act(options: argparse.Namespace, what: str = "", *, records: bool = True) -> Iterator[str]:
    """Give the uid of what is about to be recorded; an error tells how to try again with it.

    Args:
        options: of the command.
        what: what is not so where nothing was recorded; empty: that says enough.
        records: whether anything is to be recorded.

    Raises:
        UsageError: when the name that was given cannot be one.
    """
    from shopboard.journal import JournalError, new_uid
    from shopboard.journal.faults import ONCE_ONLY

    if options.uid is not None and _NAME.fullmatch(options.uid) is None:
        raise UsageError(f"{_UID} takes 1 to 32 letters and digits")
    uid: str = options.uid or new_uid()
    try:
        yield uid
    except JournalError as error:
        words = [*map(_shown, options.argv), *(() if options.uid else (_UID, uid))]
        again = f"To try again, with nothing recorded twice: {shlex.join(['shopboard', *words])}"
        if words[: len(options.argv)] != options.argv:
            again += " (the URL as you gave it, which holds a password)"
        if error.is_away and records and ONCE_ONLY not in error.advice:
            error.title = f"{_became_of_it(options, what)}{error.title}"
            error.advice = f"{error.advice} {again}"
        error.advice = error.advice.replace(ONCE_ONLY, again)
        raise


def _became_of_it(options: argparse.Namespace, what: str) -> str:
    """Say that nothing was recorded, where that is sure."""
    opened: OpenShop | None = getattr(options, "opened", None)
    if opened is not None and opened.at_its_place.has_recorded:
        return ""  # it failed at what comes after that
    if options.uid is not None:
        return "Nothing was recorded by this try. "
    return f"NOT RECORDED{f': {what}' if what else ''}. "


def _shown(word: str) -> str:
    """Give a word of the command line as it may be shown: without what may be a password."""
    option, _, place = word.rpartition("=") if word.startswith("--journal=") else ("", "", word)
    secret = names_a_server(place) and _SECRET.search(place) is not None
    return f"{option and '--journal='}URL" if secret else word


def found(open_shop: OpenShop, options: argparse.Namespace, kind: str, *place: str) -> Entry | None:
    """Give the record that ``--uid`` names, when it was made by an earlier try; None: it was not.

    Args:
        open_shop: shop and journal.
        options: of the command.
        kind: of its first entry.
        place: machine and point of that, as far as they are certain.

    Raises:
        UsageError: when the name belongs to something else.
        JournalError: when it cannot be read or brought to the disk.
    """
    from shopboard.journal import act_on_record

    entry = act_on_record(open_shop.journal, options.uid) if options.uid is not None else None
    if entry is None:
        return None
    if entry.kind != kind or (entry.machine, entry.point)[: len(place)] != place:
        raise another(options)
    return entry


def on_record(
    open_shop: OpenShop, options: argparse.Namespace, kind: str, *place: str
) -> Entry | None:
    """Give the same as `found`, and say that it was recorded by an earlier try."""
    entry = found(open_shop, options, kind, *place)
    if entry is not None:
        say_on_record(entry)
    return entry


def say_on_record(entry: Entry) -> None:
    """Say that an earlier try had recorded it."""
    back = "" if entry.void is None else f"; it was withdrawn since: {entry.void}"
    say(f"On record already, since {day(entry.when)}{back}. Nothing was recorded twice.")


def another(options: argparse.Namespace) -> UsageError:
    """Say that a name belongs to something else."""
    return UsageError(f"{_UID} {options.uid} names another record; nothing was recorded")
