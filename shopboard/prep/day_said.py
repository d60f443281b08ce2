"""What was said of prep days: begun, its time, away, ended. A mistake among it is withdrawn.

The day follows: without its end it goes on, without its beginning it is none.
"""

from __future__ import annotations

from datetime import datetime

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.who import with_bench
from shopboard.journal import Entry, Store, kinds, new_uid
from shopboard.journal.acts import taking_back
from shopboard.journal.kinds import Pause
from shopboard.prep.begun_day import day_under_way, read_day
from shopboard.prep.day_end import last_day
from shopboard.prep.left_words import how_much
from shopboard.prep.pause import LONG
from shopboard.prep.plan_words import clock, had_words, span
from shopboard.shop.model import Shop

_MOST = 40
"""Entries that are shown, of each kind."""

TAKEN_BACK = "recorded by mistake"
"""Why it is withdrawn by a key."""

_HOURS = "as the shop's hours go"


class Said(NamedTuple):
    """Something that was said of a prep day."""

    entry: Entry
    words: str
    why_not: str = ""
    """Why it cannot be withdrawn; empty: it can."""


def said_of_days(journal: Store, shop: Shop, now: datetime) -> list[Said]:
    """Give what was said of prep days lately, the newest first, with what was withdrawn.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found = [one for each in _KINDS for one in journal.recent(each, "", "", _MOST)]
    newest = sorted(found, key=lambda one: -one.seq)[:_MOST]
    day, _ = last_day(journal)
    first = day.seq if day is not None else 0
    names = {ident: one.name for one in shop.projects for ident in (one.id, *one.was)}
    return [Said(one, _words(one, names, now), _why_not(one, first)) for one in newest]


def withdraw(journal: Store, one: Said, reason: str, now: datetime, uid: str = "") -> str:
    """Withdraw something that was said of a prep day; say what follows.

    A day whose end is withdrawn goes on. It stood as ended: what went by with nothing recorded, an
    hour and more, is on record as time away.

    Args:
        journal: the journal.
        one: what was said.
        reason: why, a few words.
        now: the time.
        uid: name of the entry; empty: a new one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    name, entry = uid or new_uid(), one.entry
    entries = [taking_back(entry, reason, name)]
    newest, ended = journal.newest_when(), is_end(entry)
    away = ended and newest is not None and now - newest >= LONG
    if away:
        entries.append(kinds.PAUSE.new(f"{name}-away", Pause(True, newest), refers=name))
    journal.append(entries)
    if entry.kind == kinds.PAUSE.name:
        counts = "counts as work" if kinds.PAUSE.read(entry).away else "does not count"
        return f"Withdrawn: that time {counts}."
    day = day_under_way(journal)
    if day is None:
        return "Withdrawn: no prep day is in progress."
    if newest is not None and away:
        lasted = span((now - newest).total_seconds() / 60)
        return f"Withdrawn: the prep day goes on; {lasted} away since does not count."
    return f"Withdrawn: the prep day goes on, {had_words(day.had, now) or _HOURS}."


def is_end(entry: Entry) -> bool:
    """Tell whether an entry ends a prep day."""
    return entry.kind == kinds.PREP.name and kinds.PREP.read(entry).what == "ended"


_KINDS = (kinds.PREP.name, kinds.PAUSE.name)


def _why_not(one: Entry, first: int) -> str:
    if one.void is not None:
        return "it is withdrawn already"
    if one.seq < first:
        return "it was said of an earlier day"
    told = one.kind == kinds.PAUSE.name or kinds.PREP.read(one).what
    return "" if told else "a later version of shopboard wrote it"


def _words(one: Entry, names: dict[str, str], now: datetime) -> str:
    """Say it; what was withdrawn is marked."""
    back = "" if one.void is None else f"; WITHDRAWN: {one.void}"
    return f"{with_bench(_told(one, names, now), one.by)}{back}"


def _told(one: Entry, names: dict[str, str], now: datetime) -> str:
    if one.kind == kinds.PAUSE.name:
        pause = kinds.PAUSE.read(one)
        what = "away" if pause.away else "at it all the time"
        if pause.since is None:
            return what
        lasted = span((one.when - pause.since).total_seconds() / 60)
        return f"{what}, {lasted} from {clock(pause.since, now)}"
    said = kinds.PREP.read(one)
    if said.what == "ended":
        left = how_much(said.left)
        return f"day ended{f', with {left} left' if left else ''}"
    had = had_words(read_day(one).had, now) or _HOURS
    if said.what == "time":
        return f"time you have: {had}"
    about = f"for {names.get(said.project, said.project)}" if said.project else "for all due"
    return f"day begun, {about}, {had}" if said.what else "told by a later version of shopboard"
