"""Two tags on one machine stand by themselves, in a file and on a server alike.

What must come out is what a person with two paper tags on one machine would find there: both
hang until somebody takes each off, and taking off the one that was read leaves the other.
"""

from __future__ import annotations

import random

import pytest

from shopboard.checks.steps import AnswerError
from shopboard.journal import Entry, KeptJournal, NewEntry, new_uid
from shopboard.journal.kinds import TAG
from shopboard.standing.gather import gather
from shopboard.standing.gathered import gathered_on
from shopboard.standing.model import Past
from shopboard.upkeep.standing_tags import in_one, reasons, standing_tags
from shopboard.upkeep.tags import clear_tag, record_tag, standing_tag

FIRST, SECOND = "odd noise or vibration", "the stop button does not stop it"


def words(journal: KeptJournal, machine: str = "drill") -> list[str]:
    return reasons(standing_tags(machine, journal))


def test_a_second_tag_hides_no_first(store: KeptJournal) -> None:
    record_tag("drill", FIRST, store)
    record_tag("drill", SECOND, store)
    both = f"2 tags: {SECOND}; {FIRST}"
    assert words(store) == [SECOND, FIRST]
    assert standing_tag("drill", store) == gather(store).tag_of("drill") == both
    assert gather(store).tag_of("saw") == ""


def test_a_clearing_names_all_that_it_takes_off(store: KeptJournal) -> None:
    tags = [record_tag("drill", why, store) for why in (FIRST, SECOND)]
    done = clear_tag("drill", "fixed and tested", store)
    assert standing_tag("drill", store) == gather(store).tag_of("drill") == ""
    assert done.body["off"] == [
        {"uid": one.uid, "why": TAG.read(one).why} for one in reversed(tags)
    ]


def test_a_tag_that_came_while_somebody_was_clearing_stays(store: KeptJournal) -> None:
    seen = record_tag("drill", FIRST, store)
    record_tag("drill", SECOND, store)  # by another bench, before the second key
    done = clear_tag("drill", "fixed and tested", store, looked_at=[seen.uid])
    assert TAG.read(done).off == {seen.uid: FIRST}
    assert standing_tag("drill", store) == gather(store).tag_of("drill") == SECOND
    with pytest.raises(AnswerError, match="another tag on it by now"):
        clear_tag("drill", "fixed and tested", store, looked_at=[seen.uid])
    clear_tag("drill", "fixed and tested", store)
    assert standing_tag("drill", store) == ""


def test_who_saw_no_tag_takes_none_off(store: KeptJournal) -> None:
    """That it carries none was said of what could be seen then."""
    record_tag("drill", FIRST, store)
    with pytest.raises(AnswerError, match="another tag"):
        clear_tag("drill", "I looked: it carries none", store, looked_at=[])
    assert words(store) == [FIRST]


def old(store: KeptJournal, why: str, *, up: bool) -> Entry:
    """Record as programs did before a clearing named what it takes off."""
    body = {"v": 1, "out_of_use": up, "why": why}
    return store.append([NewEntry(new_uid(), TAG.name, "drill", "", body)])[0]


def test_an_older_clearing_took_off_all_before_it(store: KeptJournal) -> None:
    for why in (FIRST, SECOND):
        old(store, why, up=True)
    old(store, "fixed", up=False)
    assert words(store) == []
    old(store, "smells hot", up=True)
    assert words(store) == ["smells hot"]


def test_what_an_older_safety_walk_put_on_a_tag_again_is_told_once(store: KeptJournal) -> None:
    old(store, "guard, it is off", up=True)
    old(store, "push stick, not here; guard, it is off", up=True)
    assert in_one(standing_tags("drill", store)) == "push stick, not here; guard, it is off"


def test_it_is_taken_in_as_it_is_gathered_anew(store: KeptJournal) -> None:
    """Against a simulation: tags as pieces of paper on a machine, seen late by some benches."""
    draw = random.Random(4)
    on: dict[str, str] = {}
    seen: list[str] = []
    past, seq = Past(), 0
    for number in range(60):
        act = draw.choice(("tag", "look", "clear", "clear"))
        if act == "tag":
            on[record_tag("drill", f"reason {number}", store).uid] = f"reason {number}"
        elif act == "look":
            seen = [*on]
        elif {*seen} & {*on}:
            clear_tag("drill", "fixed", store, looked_at=seen)
            on = {uid: why for uid, why in on.items() if uid not in seen}
        assert words(store) == [*on.values()][::-1]
        taken = gathered_on(store, past, seq, store.last_seq())
        assert taken is not None
        past, seq = taken, store.last_seq()
        assert past.tags == gather(store).tags
