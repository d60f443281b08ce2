"""Make a new journal of what can be read of a broken one; say what is missing."""

from __future__ import annotations

import argparse
import shlex
from itertools import groupby
from pathlib import Path

from shopboard.base import exit_codes
from shopboard.base.dates import day
from shopboard.base.locations import MOVES, file_named, is_folder, journal_path
from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.base.text import counted
from shopboard.commands.errors import UsageError
from shopboard.commands.output import Progress, out_json, say
from shopboard.commands.shared import paths
from shopboard.journal.faults import named
from shopboard.journal.kinds import TAG, Lost
from shopboard.journal.queries import as_time
from shopboard.journal.salvage import Salvaged, salvage
from shopboard.journal.salvage_there import salvage_there
from shopboard.open_shop import utc_now
from shopboard.upkeep.after_salvage import unproven_entries

_MOST_LINES = 40


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("broken", metavar="FROM", nargs="?", help="the broken journal; none: yours")
    parser.add_argument(
        "to", metavar="TO", nargs="?", help="the new journal; left out: a dated name beside FROM"
    )
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.epilog = (
        "Every entry whose seal fits comes back, with its time and its words; FROM is only read."
        " What is missing is named. A point whose result it may have undone is unproven in the new"
        " journal until it is checked. `shopboard restore TO` puts the new journal in place."
        " Close the board before."
    )


def run(options: argparse.Namespace) -> int:
    """Salvage a journal."""
    broken = paths(options)[1] if options.broken is None else journal_path(options.broken)
    target = _beside(broken)
    if options.to is not None:
        target = file_named(options.to, "what is salvaged goes into a file", MOVES)
        if is_folder(target):
            raise UsageError(f"{named(target)} is a folder; name the file of the new journal")
    progress = Progress()
    try:
        if isinstance(broken, ServerPlace):
            done = salvage_there(broken, target, utc_now, unproven_entries, progress)
        else:
            done = salvage(broken, target, utc_now, unproven_entries, progress)
    finally:
        progress.end()
    if options.json:
        out_json(_json(done, broken, target))
        return exit_codes.ALL_RIGHT
    found = counted(done.found, "entry", "entries")
    say(f"Salvaged to {named(target)}: {found}, each with its seal.")
    if done.lost:
        _say_lost(done.lost)
        _say_unproven(done.added - 1)
        own = counted(done.added, "entry is", "entries are")
        say(f"{own} put behind them, on what is missing: {done.found + done.added} in all.")
    else:
        say("None is missing.")
    _say_what_next(broken, target)
    return exit_codes.ALL_RIGHT


def _beside(broken: JournalPlace) -> Path:
    """Give a dated name for the new journal: beside the old one, of a server's in this folder."""
    when = f"{utc_now().astimezone():%Y-%m-%d-%H%M%S}"
    if isinstance(broken, ServerPlace):
        return Path(f"{broken.name}-salvaged-{when}.sqlite3").absolute()
    return broken.with_name(f"{broken.stem}-salvaged-{when}.sqlite3")


def _say_what_next(broken: JournalPlace, target: Path) -> None:
    if isinstance(broken, ServerPlace):
        say(f"{named(broken)} is left as it was. This carries the new one into an empty database:")
        say(f"  {shlex.join(['shopboard', 'move', str(target)])} postgresql://HOST/DATABASE")
        return
    say(f"{named(broken)} is left as it was. This puts the new journal in its place:")
    place = ["--journal", str(broken)] if broken != journal_path(None) else []
    say(f"  {shlex.join(['shopboard', 'restore', str(target), *place])}")


def _json(done: Salvaged, broken: JournalPlace, target: Path) -> dict[str, object]:
    return {
        "from": str(broken),
        "to": str(target),
        "entries": done.found,
        "missing": sum(one.last - one.first + 1 for one in done.lost),
        "lost": [
            {
                "first": one.first,
                "last": one.last,
                "kind": one.kind or None,
                "machine": one.machine or None,
                "point": one.point or None,
                "after": one.after or None,
                "before": one.before or None,
                "certain": one.certain,
            }
            for one in done.lost
        ],
        "unproven": max(done.added - 1, 0),
    }


def _say_lost(lost: tuple[Lost, ...]) -> None:
    missing = sum(one.last - one.first + 1 for one in lost)
    say(f"{counted(missing, 'entry is', 'entries are')} missing:")
    lines = [*_lines(lost)]
    say(*(f"  {line}" for line in lines[:_MOST_LINES]))
    if len(lines) > _MOST_LINES:
        say(f"  and more: {len(lines) - _MOST_LINES} lines like these")
    if any(one.kind in ("", TAG.name) for one in lost):
        say("A tag may be among them: what may carry one stays DO NOT USE until you have looked.")


def _lines(lost: tuple[Lost, ...]) -> list[str]:
    """Say what is missing by number, what it was, and day; one line for what is alike in a row."""
    lines = []
    for _, group in groupby(lost, lambda one: one[2:5]):
        run = [*group]
        first, last = run[0], run[-1]
        many = last.last > first.first
        number = f"entries {first.first} to {last.last}" if many else f"entry {first.first}"
        if len(run) > 1 and last.last - first.first >= sum(o.last - o.first + 1 for o in run):
            number += " in part"
        lines.append(f"{number}: {_what(first)}, {_days(first.after, last.before)}")
    return lines


def _what(one: Lost) -> str:
    place = ".".join(part for part in (one.machine, one.point) if part)
    if not one.kind:
        return "not known what"
    return f"{one.kind} of {place}" if place else one.kind


def _days(after: str, before: str) -> str:
    days = [_day(one) for one in (after, before) if one]
    if not days:
        return "day not known"
    if not (after and before):
        return f"{'after' if after else 'before'} {days[0]}"
    return days[0] if days[0] == days[1] else f"{days[0]} to {days[1]}"


def _day(text: str) -> str:
    try:
        return day(as_time(text))
    except ValueError:
        return "a day not known"


def _say_unproven(points: int) -> None:
    if points:
        stand = counted(points, "point is", "points are")
        say(f"{stand} unproven until checked again: what is missing may have upset the result.")
