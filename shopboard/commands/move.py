"""Carry a whole journal over to another place: into a file, or onto a server, either way."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path

from shopboard.base import exit_codes
from shopboard.base.locations import JOURNAL_VARIABLE, journal_path
from shopboard.base.text import counted
from shopboard.commands.errors import UsageError, to_the_letter
from shopboard.commands.output import Progress, out_json, say
from shopboard.journal import JournalError, KeptJournal, open_journal
from shopboard.journal.carry import Carried, begun_with, carry, holds_all, whole
from shopboard.journal.faults import named
from shopboard.journal.moving import put_in_place, under_way_at
from shopboard.open_shop import utc_now


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("source", metavar="FROM", help="the journal; it is only read")
    parser.add_argument("to", metavar="TO", help="where it goes: no journal may be there yet")
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.epilog = (
        "FROM and TO are files or postgresql://HOST/DATABASE. Every entry keeps its number, time,"
        " words and seal. Where it is cut short the same command goes on: nothing is there twice."
        " FROM stays as it was; close the board on it before."
    )


def run(options: argparse.Namespace) -> int:
    """Move a journal."""
    source_at, target_at = journal_path(options.source), journal_path(options.to)
    if source_at == target_at:
        raise UsageError(f"FROM and TO are the same place, {named(source_at)}")
    progress = Progress()
    with closing(
        open_journal(source_at, utc_now, create=False, read_only=True, watched=True)
    ) as source:
        _must_be_the_one(source, options.source)
        try:
            whole(source, progress)
            part = under_way_at(target_at)
            fills = target_at if part is None else part
            with closing(open_journal(fills, utc_now, watched=part is None, moving=True)) as target:
                done, was_there = _into(
                    source, target, options.to, progress, goes_on=part is not None
                )
            if part is not None and isinstance(target_at, Path):
                put_in_place(part, target_at)
                with closing(open_journal(target_at, utc_now, create=False, watched=True)) as new:
                    new.take_as_it_is()
        finally:
            progress.end()
    if options.json:
        out_json(_json(done, str(source_at), str(target_at)))
        return exit_codes.ALL_RIGHT
    if was_there:
        say(f"{holds_all(source_at, target_at, done.entries)} There is nothing to move.")
        return exit_codes.ALL_RIGHT
    both = counted(done.entries, "entry", "entries")
    say(f"Moved: {named(target_at)} holds {both}, each as in {named(source_at)}, seal for seal.")
    if done.entries:
        say(f"The last seal is the same in both: {done.seal}")
    say(f"From now on name it with --journal or {JOURNAL_VARIABLE}, at every bench.")
    say(f"{named(source_at)} is as it was; what is recorded there from now on is in it alone.")
    return exit_codes.ALL_RIGHT


def _into(
    source: KeptJournal, target: KeptJournal, typed: str, progress: Progress, *, goes_on: bool
) -> tuple[Carried, bool]:
    """Carry it over; until all is there, the place says that it is not.

    Tell, too, whether all was there before, and its place said so.
    """
    try:
        _must_be_the_one(target, typed)
    except JournalError:
        if not target.last_seq():
            target.end_move()  # nothing is moved
        raise
    try:
        before = begun_with(source, target, progress)
    except JournalError as error:
        if goes_on:  # in a file of the move's own
            error.advice += (
                f" To give up the move that was begun there, delete {named(target.path)}."
            )
        raise
    if before < source.last_seq():
        target.begin_move()
    if 0 < before < source.last_seq():
        begun = counted(before, "entry", "entries")
        say(f"{named(target.path)} has the first {begun} of it: it goes on from there.")
    at_once = isinstance(target.path, Path) and not goes_on
    try:
        done = carry(source, target, before, progress, at_once=at_once)
        goes_on |= target.end_move()
    except (JournalError, KeyboardInterrupt):
        progress.end()
        say("It was cut short. The same command again goes on where it stopped.")
        raise
    return done, 0 < before == done.entries and not goes_on


def _must_be_the_one(journal: KeptJournal, typed: str) -> None:
    """Refuse a journal that is another one than was last open at its place."""
    if (differs := journal.differs) is not None:
        raise JournalError(
            differs.title, f"Nothing was moved. {to_the_letter(differs.advice, typed)}"
        )


def _json(done: Carried, source: str, target: str) -> dict[str, object]:
    return {
        "from": source,
        "to": target,
        "entries": done.entries,
        "were_there": done.before,
        "last_seal": done.seal,
    }
