"""Hours, cuts, lengths and projects: running totals that stay right, whoever counts and voids."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import Entry, NewEntry, Store, new_uid, open_journal
from shopboard.shop.machine import HOURS_RUN, NOTE, PROJECT_FINISHED, USES
from shopboard.standing.gather import gather
from shopboard.upkeep.cutter_journal import take_back
from shopboard.upkeep.happenings import newest_happenings, newest_of, record_happening
from shopboard.upkeep.task_marks import record_task
from tests.in_turn import part
from tests.journal.helpers import Clock


def total(journal: Store, machine: str, what: str) -> float:
    """What is judged by."""
    found = [
        one for one in gather(journal).happenings if (one.machine, one.what) == (machine, what)
    ]
    return found[0].total if found else 0.0


def test_each_use_of_each_machine_adds_up_by_itself(journal: Store) -> None:
    """Minutes, cuts and mm do not mix, nor do saw and planer."""
    for machine, what, amount in (
        ("saw", "hours run", 90.0),
        ("planer", "hours run", 30.0),
        ("saw", "cuts made", 40.0),
        ("saw", "hours run", 60.0),
        ("saw", "length cut", 36576.0),
    ):
        record_happening(journal, machine, what, amount)
    totals = {
        ("saw", "hours run"): 150,
        ("planer", "hours run"): 30,
        ("saw", "cuts made"): 40,
        ("saw", "length cut"): 36576,
    }
    for (machine, what), wanted in totals.items():
        assert total(journal, machine, what) == wanted


def test_a_finished_project_is_the_whole_shops(journal: Store) -> None:
    """From whatever machine it is told."""
    for machine in ("saw", "planer", ""):
        record_happening(journal, machine, PROJECT_FINISHED)
    assert total(journal, "", PROJECT_FINISHED) == 3
    assert [one.machine for one in newest_happenings(journal, "drill")] == ["", "", ""]


@settings(max_examples=part(40), deadline=None)
@given(
    st.lists(
        st.one_of(st.floats(0.1, 5000), st.just(None), st.just("reopen")), min_size=1, max_size=20
    )
)
def test_the_total_is_the_sum_of_what_stands(
    tmp_path_factory: pytest.TempPathFactory, told: list[float | str | None]
) -> None:
    """However often the newest is withdrawn (None here), whatever program does it."""
    path = tmp_path_factory.mktemp("counting") / "journal"
    standing: list[float] = []
    journal = open_journal(path, Clock())
    for one in told:
        if isinstance(one, float):
            record_happening(journal, "saw", HOURS_RUN, one)
            standing.append(one)
        elif one == "reopen":
            journal.close()
            journal = open_journal(path, Clock())
        elif standing:
            newest = newest_of(journal, "saw", HOURS_RUN)
            assert newest is not None
            journal.void(newest.uid, "typed wrong")
            standing.pop()
        assert total(journal, "saw", HOURS_RUN) == pytest.approx(sum(standing))
    journal.close()


def test_of_two_programs_that_count_on_from_the_same_entry_none_is_lost(
    journal_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The later one counts on from what the earlier one recorded."""
    with (
        closing(open_journal(journal_path, clock)) as board,
        closing(open_journal(journal_path, clock)) as script,
    ):
        record_happening(board, "saw", HOURS_RUN, 60.0)
        append = board.append
        raced: list[Entry] = []

        def slowly(entries: list[NewEntry], after: int | None = None) -> object:
            if not raced:  # the script comes between the look at the total and the recording
                raced.append(record_happening(script, "saw", HOURS_RUN, 30.0))
            return append(entries, after)

        monkeypatch.setattr(board, "append", slowly)
        record_happening(board, "saw", HOURS_RUN, 120.0)
        assert total(board, "saw", HOURS_RUN) == 210
        assert board.verify() is None


@pytest.mark.parametrize("first", ["count", "take back"])
def test_of_a_count_and_a_taking_back_at_once_neither_is_lost(
    journal_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch, first: str
) -> None:
    """Whichever program is first, the other reckons anew: 60 withdrawn, 30 and 15 stand."""
    with (
        closing(open_journal(journal_path, clock)) as board,
        closing(open_journal(journal_path, clock)) as script,
    ):
        wrong = record_happening(board, "saw", HOURS_RUN, 60.0)
        record_happening(board, "saw", HOURS_RUN, 30.0)
        append, raced = board.append, list[object]()

        def other() -> object:
            if first == "count":
                return record_happening(script, "saw", HOURS_RUN, 15.0)
            return take_back(wrong, "the planer's", script)

        def slowly(entries: list[NewEntry], after: int | None = None) -> object:
            if not raced:
                raced.append(True)
                raced.append(other())
            return append(entries, after)

        monkeypatch.setattr(board, "append", slowly)
        if first == "count":
            take_back(wrong, "the planer's", board)
        else:
            record_happening(board, "saw", HOURS_RUN, 15.0)
        assert total(board, "saw", HOURS_RUN) == 45
        assert record_happening(script, "saw", HOURS_RUN, 5.0).body["total"] == 50
        assert board.verify() is None


def test_a_note_keeps_its_words_and_counts_nothing(journal: Store) -> None:
    """It is listed with the others."""
    record_happening(journal, "saw", NOTE, note="the bearing hums")
    assert newest_happenings(journal, "saw")[0].body == {
        "v": 1,
        "what": NOTE,
        "note": "the bearing hums",
    }


def test_happenings_are_listed_newest_first_without_the_voided(journal: Store) -> None:
    """Those of the machine and of the whole shop, in the order of recording."""
    entries = [
        record_happening(journal, machine, what, 1.0)
        for machine, what in (
            ("saw", "knocked"),
            ("planer", "knocked"),
            ("", PROJECT_FINISHED),
            ("saw", "hours run"),
            ("saw", "blade changed"),
        )
    ]
    journal.void(entries[-1].uid, "wrong machine")
    listed = [one.point for one in newest_happenings(journal, "saw")]
    assert listed == ["hours run", "project finished", "knocked"]
    assert len(newest_happenings(journal, "saw", 2)) == 2


def counted(journal: Store, machine: str, what: str) -> tuple[float, list[float]]:
    """What is judged by: the total now, and those on the days of the tasks, by their ids."""
    past = gather(journal)
    place = 0 if what == HOURS_RUN else 1
    marks = [(task, (one.minutes, one.projects)[place]) for (_, task), one in past.tasks.items()]
    return total(journal, machine, what), [number for _, number in sorted(marks)]


@settings(max_examples=part(60), deadline=None)
@given(
    st.lists(
        st.one_of(
            st.floats(0.1, 5000),
            st.just("task"),
            st.tuples(st.just("take back"), st.integers(0, 30)),
            st.just("reopen"),
        ),
        min_size=2,
        max_size=25,
    )
)
def test_whatever_is_taken_back_the_totals_are_those_of_what_stands(
    tmp_path_factory: pytest.TempPathFactory, told: list[float | str | tuple[str, int]]
) -> None:
    """Now and on the day of each task: held against a plain sum over a list."""
    path = tmp_path_factory.mktemp("counting") / "journal"
    clock = Clock()
    journal = open_journal(path, clock)
    lines: list[tuple[str, float]] = []  # what was recorded; uid of a count, or a task's name
    for number, one in enumerate(told):
        standing = [at for at, (uid, _) in enumerate(lines) if not uid.startswith("t")]
        if isinstance(one, float):
            entry = record_happening(journal, "saw", HOURS_RUN, one)
            lines.append((f"u{entry.uid}", one))
        elif one == "task":
            name = f"t{number:03}"
            record_task(journal, "saw", name)
            lines.append((name, 0.0))
        elif one == "reopen":
            journal.close()
            journal = open_journal(path, clock)
        elif isinstance(one, tuple) and standing:
            at = standing[one[1] % len(standing)]
            entry = journal.get(lines[at][0][1:])  # type: ignore[assignment]
            take_back(entry, "typed wrong", journal)
            del lines[at]
        stands = sum(amount for _, amount in lines)
        marks = [
            (name, sum(amount for _, amount in lines[:at]))
            for at, (name, _) in enumerate(lines)
            if name.startswith("t")
        ]
        now, then = counted(journal, "saw", HOURS_RUN)
        assert now == pytest.approx(stands, abs=1e-6)
        assert then == pytest.approx([number for _, number in sorted(marks)], abs=1e-6)
    journal.close()


@pytest.mark.parametrize("what", [HOURS_RUN, PROJECT_FINISHED])
def test_a_count_is_taken_back_though_a_task_done_since_has_counted_it(
    journal: Store, what: str
) -> None:
    """Also a project, which every machine's tasks count."""
    first = record_happening(journal, "saw", what, 60.0)
    record_task(journal, "planer" if what == PROJECT_FINISHED else "saw", "wax")
    record_happening(journal, "saw", what, 30.0)
    machine, each = ("", (1.0, 1.0)) if what == PROJECT_FINISHED else ("saw", (60.0, 30.0))
    assert counted(journal, machine, what) == (sum(each), [each[0]])
    take_back(first, "twice told", journal)
    assert counted(journal, machine, what) == (each[1], [0.0])
    record_happening(journal, "saw", what, 30.0)
    assert counted(journal, machine, what) == (2 * each[1], [0.0])


def test_what_was_counted_is_shown_as_it_counts(journal: Store) -> None:
    """Looking back before it was withdrawn, as it was known then."""
    first = record_happening(journal, "saw", HOURS_RUN, 60.0)
    record_happening(journal, "saw", HOURS_RUN, 30.0)
    before = journal.count()
    take_back(first, "of the planer", journal)
    assert [one.body["total"] for one in newest_happenings(journal, "saw")] == [30.0]
    assert total(journal.as_of(before), "saw", HOURS_RUN) == 90.0


@pytest.mark.parametrize("wrong", ["12", True, None, 1e300, [1]])
def test_a_total_that_is_no_number_counts_as_none(journal: Store, wrong: object) -> None:
    """Written by a later program; counting goes on from nothing rather than failing."""
    for what in USES:
        body = {"v": 9, "what": what, "total": wrong}
        journal.append([NewEntry(new_uid(), "happening", "saw", what, body)])
        record_happening(journal, "saw", what, 5.0)
        assert total(journal, "saw", what) == 5
