"""A mistake is withdrawn by a further entry, never by removing one."""

from __future__ import annotations

import pytest

from shopboard.journal import JournalError, KeptJournal, NewEntry, new_uid
from tests.journal.helpers import check


def test_a_voided_entry_stays_and_says_why(store: KeptJournal) -> None:
    """Both entries can be read: what was said, and why it does not count."""
    (entry,) = store.append([check(error=9)])
    void = store.void(entry.uid, "read the wrong leaf")
    told = store.get(entry.uid)
    assert told is not None
    assert (told.void, told.body) == ("read the wrong leaf", entry.body)
    assert (void.kind, void.refers, void.machine, void.point) == ("void", entry.uid, "saw", "blade")
    assert store.count() == 2


def test_the_newest_that_stands_is_the_latest(store: KeptJournal) -> None:
    """With the newest one void, the one before it counts again; with all void, none."""
    first, second = store.append([check(error=1), check(error=2)])
    assert store.latest("check")["saw", "blade"] == second
    store.void(second.uid, "typed wrong")
    assert store.latest("check")["saw", "blade"] == first
    store.void(first.uid, "typed wrong")
    assert store.latest("check") == {}


def test_recent_shows_voided_entries_unless_asked_not_to(store: KeptJournal) -> None:
    """A history shows what was voided; a reckoning leaves it out."""
    first, second = store.append([check(), check()])
    store.void(second.uid, "typed wrong")
    assert [entry.void for entry in store.recent("check", "saw", "blade")] == [
        "typed wrong",
        None,
    ]
    assert store.recent("check", "saw", "blade", include_void=False) == [first]


def test_a_correction_is_one_step(store: KeptJournal) -> None:
    """A void and the entry that replaces it are recorded together or not at all."""
    (wrong,) = store.append([check(error=1)])
    right = check(error=2)
    void = NewEntry(new_uid(), "void", body={"v": 1, "reason": "typed wrong"}, refers=wrong.uid)
    store.append([void, right])
    assert store.latest("check")["saw", "blade"].uid == right.uid


def test_what_cannot_be_voided(store: KeptJournal) -> None:
    """No void of nothing, of a void, or of what is void already; and never without a reason."""
    entry, other = store.append([check(), check()])
    void = store.void(entry.uid, "typed wrong")
    for uid, why in (
        ("nobody", "no entry"),
        (void.uid, "kind void, cannot be withdrawn"),
        (entry.uid, "already"),
    ):
        with pytest.raises(JournalError, match=why):
            store.void(uid, "again")
    for reason in ("", "  "):
        with pytest.raises(JournalError, match="reason"):
            store.void(other.uid, reason)
    assert store.count() == 3


def test_a_void_handed_in_as_an_entry_keeps_the_rules(store: KeptJournal) -> None:
    """There is no way round the rules by recording the void oneself."""
    (entry,) = store.append([check()])

    def void(refers: str) -> NewEntry:
        return NewEntry(new_uid(), "void", body={"v": 1, "reason": "x"}, refers=refers)

    with pytest.raises(JournalError, match="already"):
        store.append([void(entry.uid), void(entry.uid)])
    with pytest.raises(JournalError, match="no entry"):
        store.append([void("nobody")])
    assert store.count() == 1
