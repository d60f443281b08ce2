"""What all sittings have in common, tried on each: names, another journal, another program."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shopboard.checks.steps import AnswerError
from shopboard.journal import Entry, JournalLocked, JournalMissing, SqliteJournal, open_journal
from shopboard.sittings import cutter_change
from shopboard.sittings.check import resume, start
from shopboard.sittings.cutter_change import begin
from shopboard.sittings.safety_round import round_of
from shopboard.sittings.sitting import Sitting
from tests.builders import make_shop
from tests.journal.helpers import Clock, opened
from tests.safety.test_round import PLUG_OUT
from tests.sittings.test_old_forms import CUTTERS, POINT, SAW
from tests.sittings.test_task import run
from tests.upkeep.cutter_shop import now_standing

SHOP = make_shop(POINT)
ROUND_SHOP = replace(make_shop(), machines=(SAW,))

Opened = Callable[[SqliteJournal, Clock], Sitting]


def check(journal: SqliteJournal, clock: Clock) -> Sitting:
    """Begin one, or go on with the one that waits."""
    for begun in journal.open_checks():
        sitting = resume(journal, SHOP, POINT, begun, clock())
        assert sitting is not None
        return sitting
    return start(journal, SHOP, POINT)


def change(journal: SqliteJournal, clock: Clock) -> Sitting:
    under_way = cutter_change.resume(journal, CUTTERS, "saw", clock())
    return under_way or begin(journal, CUTTERS, now_standing(journal, "cross", CUTTERS), "put on")


def walked(journal: SqliteJournal, clock: Clock) -> Sitting:
    return round_of(ROUND_SHOP, "saw", clock(), journal)


def task(journal: SqliteJournal, clock: Clock) -> Sitting:
    return run(journal, clock)


WAYS: dict[str, tuple[Opened, tuple[str, ...], str]] = {
    "check": (check, ("", "", "top", "goes"), "2"),
    "change": (change, ("plug out", "", "", "dull"), "sharp"),
    "safety walk": (walked, (PLUG_OUT, "on", "here", "stops"), "runs on"),
    "task": (task, ("", "", "25", ""), "30"),
}
"""How each is opened, four answers to it, and another one than the last."""

EACH = pytest.mark.parametrize("called", WAYS)


@EACH
def test_an_entry_says_what_was_done_under_its_number(
    journal: SqliteJournal, clock: Clock, called: str
) -> None:
    """In the same words whatever is done; each refers to the first."""
    open_it, answers, _ = WAYS[called]
    sitting = open_it(journal, clock)
    assert sitting.called == called
    keys = []
    for text in answers[:3]:
        assert sitting.step is not None
        keys.append(sitting.step.key)
        sitting.answer(text)
    sitting.back()
    first = journal.get(sitting.uid)
    assert first is not None
    entries = [first, *journal.thread(sitting.uid)]
    assert [one.uid for one in entries[1:]] == [
        f"{sitting.uid}-{number}" for number in range(1, len(entries))
    ]
    way = [one.body for one in entries if one.body["did"] != "begin"]
    assert [one["did"] for one in way] == ["answer", "answer", "answer", "back"]
    assert [one["key"] for one in way[:3]] == keys
    assert all(one["text"] for one in way[:3])


@EACH
def test_what_another_program_answered_is_seen(
    journal: SqliteJournal, clock: Clock, called: str
) -> None:
    """The same answer is the same entry; another one is refused, and the step stays."""
    open_it, answers, other = WAYS[called]
    first = open_it(journal, clock)
    for text in answers[:3]:
        first.answer(text)
    second, third = open_it(journal, clock), open_it(journal, clock)
    asked = third.step
    first.answer(answers[3])
    count = journal.count()
    second.answer(answers[3])
    assert journal.count() == count
    with pytest.raises(JournalLocked, match=f"this {called} meanwhile"):
        third.answer(other)
    assert (journal.count(), third.step) == (count, asked)


@EACH
def test_two_benches_that_answer_at_the_same_moment_are_not_both_taken(
    journal_path: Path, clock: Clock, called: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other one's answer comes between the look at what is there and the recording."""
    open_it, answers, other = WAYS[called]
    with (
        closing(open_journal(journal_path, clock, who=lambda: "north")) as north,
        closing(open_journal(journal_path, clock, who=lambda: "south")) as south,
    ):
        first = open_it(north, clock)
        for text in answers[:3]:
            first.answer(text)
        second = open_it(south, clock)
        asked, record = second.step, south.append

        def late(*said: Any) -> list[Entry]:
            first.answer(answers[3])
            return record(*said)

        monkeypatch.setattr(south, "append", late)
        with pytest.raises(JournalLocked) as error:
            second.answer(other)
        assert "Somebody else (north) has" in error.value.title
        assert f"this {called} meanwhile" in error.value.title
        assert second.step == asked
        assert north.verify() is None


@EACH
def test_a_journal_that_does_not_hold_it_takes_no_answer(
    journal: SqliteJournal, clock: Clock, tmp_path: Path, called: str
) -> None:
    """It was put in the place of the right one meanwhile."""
    open_it, answers, _ = WAYS[called]
    sitting = open_it(journal, clock)
    sitting.answer(answers[0])
    other = opened(tmp_path / "other")
    sitting._journal = other
    with pytest.raises(JournalMissing, match=f"does not hold this {called}"):
        sitting.answer(answers[1])
    with pytest.raises(JournalMissing, match=f"does not hold this {called}"):
        sitting.back()
    assert other.count() == 0
    sitting._journal = journal
    sitting.answer(answers[1])
    other.close()


@EACH
def test_one_that_is_ended_takes_no_answer(
    journal: SqliteJournal, clock: Clock, called: str
) -> None:
    """Nor has it a way back; that it was ended, and why, is on record."""
    open_it, answers, _ = WAYS[called]
    sitting = open_it(journal, clock)
    sitting.answer(answers[0])
    sitting.discard("tried")
    with pytest.raises(AnswerError, match=f"this {called} is finished"):
        sitting.answer(answers[1])
    with pytest.raises(AnswerError, match=f"this {called} is finished"):
        sitting.back()
    newest = journal.thread(sitting.uid)[-1]
    assert (newest.body["did"], newest.body["text"]) == ("end", "tried")
