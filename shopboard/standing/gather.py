"""What the journal says that matters now, gathered to be judged."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from datetime import datetime

from shopboard.journal import Entry, Store, kinds
from shopboard.results.record import CheckRecord, UnreadableRecordError, read_check
from shopboard.shop.machine import HOURS_RUN
from shopboard.standing.model import Move, Past
from shopboard.upkeep.happenings import happening_of
from shopboard.upkeep.safety_record import lost_tags, read_round, tag_words
from shopboard.upkeep.standing_tags import in_one, standing_tags
from shopboard.upkeep.taken_back import Counts, counts_gone, newest_cutters, results_gone, still_in
from shopboard.upkeep.task_marks import done_of

Anew = Callable[[Store, CheckRecord], CheckRecord]
"""Gives the newest result of a point with how long it holds by what still stands of before it."""


def gather(journal: Store, anew: Anew | None = None) -> Past:
    """Read what `judge` needs from the journal.

    Args:
        journal: the journal.
        anew: reckons how long a result holds that was judged with one that was withdrawn since;
            None: it keeps what it was judged to hold.

    Raises:
        JournalError: when the journal cannot be read.
    """
    set_right = next(iter(journal.recent(kinds.CLOCK.name, "", "", 1, include_void=False)), None)
    moves = {
        place: Move(entry.seq, _when(entry, set_right))
        for place, entry in journal.latest(kinds.MOVED.name).items()
    }
    entries = journal.latest(kinds.CHECK.name)
    gone = counts_gone(journal)
    latest = _readable(entries, set_right, gone)
    taken_back = results_gone(journal, entries)
    latest |= _held_anew(journal, latest, taken_back.among, anew)
    happenings = [
        happening_of(entry, gone.get(place, ()))._replace(when=_when(entry, set_right))
        for place, entry in journal.latest(kinds.HAPPENING.name).items()
    ]
    tasks = {
        place: done_of(entry, _when(entry, set_right), gone)
        for place, entry in journal.latest(kinds.TASK.name).items()
    }
    proving = [place for place, record in latest.items() if record.readings.get("proves")]
    tags = {machine: entry for (machine, _), entry in journal.latest(kinds.TAG.name).items()}
    walked = journal.latest(kinds.ROUND.name)
    rounds = {machine: read_round(entry) for (machine, _), entry in walked.items()}
    return Past(
        latest=latest,
        taken_back=taken_back.every,
        moves=moves,
        happenings=happenings,
        tasks=tasks,
        cutters=newest_cutters(journal),
        tags={one: words for one in tags if (words := in_one(standing_tags(one, journal)))},
        lost_tags=lost_tags(journal),
        cleared={one: entry.seq for one, entry in tags.items() if not tag_words(entry)},
        rounds={machine: one for machine, one in rounds.items() if one is not None},
        proofs=_proofs(journal, proving, set_right) if proving else (),
        unreadable=len(entries) - len(latest),
        damage=journal.damage,  # last: what was read above may have shown some
    )


def _held_anew(
    journal: Store,
    latest: Mapping[tuple[str, str], CheckRecord],
    among: AbstractSet[tuple[str, str]],
    anew: Anew | None,
) -> dict[tuple[str, str], CheckRecord]:
    """Reckon again how long those hold that were judged with what was withdrawn since."""
    return {one: anew(journal, latest[one]) for one in among & latest.keys()} if anew else {}


def _proofs(
    journal: Store, places: Sequence[tuple[str, str]], set_right: Entry | None
) -> list[CheckRecord]:
    """Give what was found of the drawer's tools, oldest first."""
    found: list[CheckRecord] = []
    for place in places:
        for entry in journal.recent(kinds.CHECK.name, *place, include_void=False):
            found += _readable({place: entry}, set_right, {}).values()
    proofs = [one for one in found if one.readings.get("proves")]
    return sorted(proofs, key=lambda one: one.seq)


def _readable(
    entries: Mapping[tuple[str, str], Entry], set_right: Entry | None, gone: Counts
) -> dict[tuple[str, str], CheckRecord]:
    found: dict[tuple[str, str], CheckRecord] = {}
    for place, entry in entries.items():
        try:
            record = read_check(entry)
        except UnreadableRecordError:
            continue  # a later program's result: this one cannot judge it
        holds = record.holds
        if holds is not None and (place[0], HOURS_RUN) in gone:
            total = holds.total_minutes - still_in(gone[place[0], HOURS_RUN], entry.seq)
            record = record._replace(holds=holds._replace(total_minutes=total))
        when = _when(entry, set_right)
        if when is not entry.when:  # the clock was ahead then
            record = record._replace(when=when, clock_ok=False)
        found[place] = record
    return found


def _when(entry: Entry, set_right: Entry | None) -> datetime:
    """Give the time of an entry; no later than the clock was right again, if it came before."""
    if set_right is None or entry.seq > set_right.seq or entry.when <= set_right.when:
        return entry.when
    return set_right.when
