"""A prep day as the journal keeps it, also where two programs speak of the same one."""

from __future__ import annotations

from datetime import timedelta

from shopboard.journal import NewEntry, SqliteJournal, kinds, new_uid
from shopboard.journal.kinds import LeftUndone, PrepAct
from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.begun_day import begin_day, change_time, day_under_way, end_day
from shopboard.prep.day_end import last_day
from shopboard.prep.left_words import as_left
from shopboard.prep.pieces import Piece
from shopboard.prep.time_had import TimeHad
from tests.journal.helpers import Clock

TWO_DAYS = TimeHad(days=2)


def test_a_day_keeps_its_beginning_when_its_time_changes(
    journal: SqliteJournal, clock: Clock
) -> None:
    day = begin_day(journal, "chest", clock.now, allow_open=True)
    clock.pass_by(minutes=20)
    change_time(journal, day, TWO_DAYS)
    assert day_under_way(journal) == day._replace(had=TWO_DAYS, told=clock.now)


def test_a_day_that_is_over_stays_over_whatever_time_is_told_of_it(
    journal: SqliteJournal, clock: Clock
) -> None:
    """A second window still asked for its time; nothing could have ended the day again."""
    day = begin_day(journal, "", None)
    end_day(journal, day)
    change_time(journal, day, TWO_DAYS)
    assert day_under_way(journal) is None
    clock.pass_by(hours=1)
    next_one = begin_day(journal, "", None)
    change_time(journal, day, TWO_DAYS)
    assert day_under_way(journal) == next_one
    change_time(journal, next_one, TWO_DAYS)
    assert day_under_way(journal) == next_one._replace(had=TWO_DAYS, told=clock.now)


def test_a_day_whose_beginning_is_lost_is_known_by_what_was_told_later(
    journal: SqliteJournal, clock: Clock
) -> None:
    said = PrepAct("time", "chest", finish=clock.now + timedelta(hours=2), days=2)
    journal.append([kinds.PREP.new("told", said, refers="lost")])
    day = day_under_way(journal)
    assert day is not None
    assert (day.uid, day.project, day.had) == ("told", "chest", TWO_DAYS)
    end_day(journal, day)
    assert day_under_way(journal) is None


def test_what_a_later_program_says_of_a_day_leaves_it_as_it_was(
    journal: SqliteJournal, clock: Clock
) -> None:
    """However often: such an act is no end."""
    day = begin_day(journal, "chest", None)
    change_time(journal, day, TWO_DAYS)
    told = day_under_way(journal)
    for _ in range(30):
        clock.pass_by(minutes=1)
        journal.append([NewEntry(new_uid(), "prep", "", "", {"v": 9, "what": "handed over"})])
    assert told is not None
    assert day_under_way(journal) == told
    end_day(journal, day)
    journal.append([NewEntry(new_uid(), "prep", "", "", {"v": 9, "what": "looked over"})])
    assert day_under_way(journal) is None


def test_a_day_follows_what_is_withdrawn_of_it(journal: SqliteJournal, clock: Clock) -> None:
    """Without its end it goes on, and can end again; without its beginning it is none."""
    day = begin_day(journal, "chest", None)
    change_time(journal, day, TWO_DAYS, "two days")
    told = day_under_way(journal)
    for _ in range(3):
        end_day(journal, day)
        end_day(journal, day)  # a key that bounced
        assert day_under_way(journal) is None
        end = journal.recent("prep", "", "")[0]
        journal.void(end.uid, "a slip")
        assert day_under_way(journal) == told
    assert len(journal.recent("prep", "", "")) == 5
    journal.void("two days", "a slip")
    assert day_under_way(journal) == day
    change_time(journal, day, TWO_DAYS)
    journal.void(day.uid, "a slip")
    assert day_under_way(journal) is None
    assert last_day(journal) == (None, None)
    clock.pass_by(hours=1)
    after = begin_day(journal, "", None)
    assert day_under_way(journal) == after


def test_what_a_day_leaves_stands_in_its_end(journal: SqliteJournal) -> None:
    left = (LeftUndone("saw", "check fence", 6.0, "stays out"), LeftUndone("gone", "Wax", 9.5, ""))
    day = begin_day(journal, "", None)
    end_day(journal, day, left=left)
    ended = last_day(journal)[1]
    assert ended is not None
    assert kinds.PREP.read(ended).left == left
    for odd in (7, [["saw"]], [["saw", None, "x", None]], [1]):
        body = {"v": 2, "what": "ended", "left": odd}
        entry = journal.append([NewEntry(new_uid(), "prep", "", "", body, day.uid)])[0]
        assert len(kinds.PREP.read(entry).left) == (odd == [["saw", None, "x", None]])


def test_steps_that_are_left_are_told_with_their_task_once() -> None:
    wipe = Piece("a", "task", "saw", "Wax", 6.0, "Wipe clean", of=3)
    gouge = Piece("b", "task", "bench", "Hone", 9.0, "1/4 in gouge: Hone", of=2)
    whole = Piece("c", "task", "bench", "Oil", 9.0, "Oil")
    told = as_left([LeftPiece(one, "") for one in (wipe, gouge, whole)])
    assert [one.words for one in told] == ["Wipe clean (Wax)", "1/4 in gouge: Hone", "Oil"]
