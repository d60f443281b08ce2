"""Every single-bit flip of a small journal: whatever a question gives is right, or is told.

No question gives what was not recorded, or an older result as the newest, or none, without
a word of the damage. Asked through the store, as each command and the board do before they
show anything; so all bits take minutes, where the commands' own answers take hours.
"""

from __future__ import annotations

import contextlib
import random
import tempfile
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple
from unittest.mock import patch

from shopboard.journal import Entry, JournalError, SqliteJournal, open_journal
from shopboard.journal.looking import Looking
from tests.campaigns.byte_damage import Bits, fill
from tests.campaigns.frame import Campaign, Try
from tests.journal.helpers import Clock

BOUND = 5.0
"""Seconds of the processor that all questions together may take; they take thousandths."""

Answers = Mapping[tuple[object, ...], list[Entry]]


class Asked(NamedTuple):
    """What is asked for in every try."""

    kinds: tuple[str, ...]
    places: tuple[tuple[str, str, str], ...]
    """Kind, machine, point."""
    threads: tuple[str, ...]
    middle: int


def _all(journal: SqliteJournal) -> dict[int, Entry]:
    return {one.seq: one for one in journal.newest(_KINDS, 10**6, 10**6, 10**6)}


_KINDS = ("begin", "answer", "moved", "check", "end", "void", "happening", "tag", "computer")


def _asked(entries: Mapping[int, Entry]) -> Asked:
    places = {(one.kind, one.machine, one.point) for one in entries.values()}
    begun = tuple(one.uid for one in entries.values() if one.kind == "begin")
    return Asked(_KINDS, tuple(sorted(places)), begun[:3], len(entries) // 2)


def _answers(journal: SqliteJournal, asked: Asked) -> Answers:
    then = journal.as_of(asked.middle)
    found: dict[tuple[object, ...], list[Entry]] = {}
    for kind in asked.kinds:
        found["latest", kind] = [*journal.latest(kind).values()]
    found["latest then",] = [*then.latest("check").values()]
    for place in asked.places:
        found["recent", place] = journal.recent(*place)
        if place[0] == "check":
            found["standing", place] = journal.recent(*place, include_void=False)
            found["machine", place] = journal.machine_entries(*place[:2])
    for uid in asked.threads:
        found["thread", uid] = journal.thread(uid)
        found["get", uid] = [one for one in (journal.get(uid),) if one is not None]
    found["open",] = journal.open_checks()
    return found


def _times(journal: SqliteJournal) -> tuple[object, ...]:
    midst = Clock()
    midst.pass_by(hours=50)
    return journal.newest_when(), journal.seq_at(midst.now), journal.last_seq()


@contextlib.contextmanager
def every_flip(seed: int) -> Iterator[Try]:
    """Flip a bit a try; a count as large as the number of bits flips each once."""
    late = Clock()
    late.pass_by(days=60)
    with tempfile.TemporaryDirectory() as name, patch("shopboard.journal.held.fence"):
        folder = Path(name)  # the fence against writing is left out: it takes a third of the time
        _, path = fill(folder)
        with contextlib.closing(open_journal(path, late, read_only=True)) as journal:
            entries = _all(journal)
            asked = _asked(entries)
            good, times = _answers(journal, asked), _times(journal)
        raw, broken = path.read_bytes(), folder / "broken.sqlite3"
        order = Bits(raw, random.Random(seed))

        def attempt(index: int) -> str:
            bit = order[index % len(order)]
            flipped = bytearray(raw)
            flipped[bit // 8] ^= 1 << bit % 8
            broken.write_bytes(flipped)
            began = time.process_time()
            try:
                with contextlib.closing(open_journal(broken, late, read_only=True)) as journal:
                    Looking(journal, broken, late, time.monotonic).at_once()
                    found, told = _answers(journal, asked), _times(journal)
                    what = _wrong(entries, good, found, journal)
                    if told != times and journal.damage is None:
                        what = f"{told}, was {times}, and no word of damage"
            except JournalError:
                what = ""
            took = time.process_time() - began
            what = what or (f"took {took:.1f} s" if took > BOUND else "")
            return f"bit {bit}: {what}" if what else ""

        yield attempt


def _wrong(
    entries: Mapping[int, Entry], good: Answers, found: Answers, journal: SqliteJournal
) -> str:
    for what, was in good.items():
        now, damage = found[what], journal.damage
        if now == was:
            continue
        if damage is None:
            return f"{what}: another answer, and no word of damage"
        for one in now:
            recorded = entries.get(one.seq)
            if recorded is None or one._replace(void=None) != recorded._replace(void=None):
                return f"{what}: {one} was never recorded"
            if one not in was and not damage.shakes(one.seq):
                return f"{what}: entry {one.seq} is not as it stood, and is not shaken"
    return ""


CAMPAIGN = Campaign(every_flip, count=226_232, in_ci=150)
