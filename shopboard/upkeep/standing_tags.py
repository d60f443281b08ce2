"""Which tags of a machine stand: each by itself, until a clearing takes it off.

A clearing names what it takes off. A tag that came while somebody was clearing is not among that,
and stays. Clearings of earlier programs name none: such a one took off all before it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.journal import kinds
from shopboard.upkeep.safety_record import cleared_words, tag_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopboard.journal import Entry, Store

_AT_FIRST, _MORE = 6, 1_000_000


def standing_tags(machine_id: str, journal: Store) -> list[Entry]:
    """Give the tags of a machine that nobody took off, newest first.

    Raises:
        JournalError: when the journal cannot be read.
    """
    for most in (_AT_FIRST, _MORE):
        told = journal.recent(kinds.TAG.name, machine_id, "", most, include_void=False)
        found, ended = _standing(told)
        if ended or len(told) < most:
            break
    return found


def _standing(told: Sequence[Entry]) -> tuple[list[Entry], bool]:
    """Give which of them stand, and whether no older one can."""
    found: list[Entry] = []
    off: set[str] = set()
    for entry in told:
        said = kinds.TAG.read(entry)
        if said.out_of_use and entry.uid not in off:
            found.append(entry)
        elif said.out_of_use or said.off is None:
            return found, True  # whoever cleared the newest that he saw took off all before it
        else:
            off |= {*said.off}
    return found, False


def reasons(tags: Sequence[Entry]) -> list[str]:
    """Give why a machine is not to be used, each reason once, newest first."""
    found: list[str] = []
    for words in map(tag_words, tags):
        # an earlier program's safety walk put what was on the tag behind its own words
        if not any(one == words or f"; {words}" in one for one in found):
            found.append(words)
    return found


def in_one(tags: Sequence[Entry]) -> str:
    """Give all reasons in one line; where there are several, how many; empty: there is none."""
    found = reasons(tags)
    return f"{len(found)} tags: {'; '.join(found)}" if found[1:] else "".join(found)


def told_of(entry: Entry) -> str:
    """Give why a tag was cleared, by whom, and what it said where that were several."""
    off = kinds.TAG.read(entry).off or {}
    took = f"; took off {len(off)} tags: {'; '.join(off.values())}" if len(off) > 1 else ""
    return f"{cleared_words(entry)}{took}"
