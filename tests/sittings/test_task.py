"""A task done step by step: durable, to be left and gone on with, back, cut short, given up."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.checks.steps import AnswerError
from shopboard.journal import JournalCannotWrite, JournalLocked, NewEntry, Store, open_journal
from shopboard.shop.machine import Machine, Task, TaskStep
from shopboard.shop.model import Shop
from shopboard.sittings.task import TaskSitting, WaitStep
from shopboard.sittings.waiting import begun_tasks
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.task_marks import record_task, take_back_task
from shopboard.upkeep.tasks import TaskStanding
from tests.builders import make_point, make_shop
from tests.in_turn import part
from tests.journal.helpers import Clock

CLEAN = Task(
    "clean",
    "Clean the blade",
    28,
    every="4 weeks",
    steps=(TaskStep("Spray"), TaskStep("Soak", 10), TaskStep("Brush"), TaskStep("Dry", 2)),
)


def shop_of(*tasks: Task) -> Shop:
    shop = make_shop(make_point())
    return replace(
        shop, machines=(Machine("saw", "Saw", points=shop.machines[0].points, tasks=tasks),)
    )


def stand(journal: Store, clock: Clock, task: Task = CLEAN) -> TaskStanding:
    shop, past = shop_of(task), gather(journal)
    past = past._replace(begun=begun_tasks(journal, shop, past))
    return shop_standing(shop, past, clock()).machines[0].tasks[0]


def begun(journal: Store, clock: Clock, task: Task = CLEAN) -> Begun | None:
    return stand(journal, clock, task).begun


def run(journal: Store, clock: Clock, task: Task = CLEAN) -> TaskSitting:
    """Open the task as its screen does."""
    return TaskSitting(journal, "saw", task, begun(journal, clock, task))


def asked(task: TaskSitting) -> str:
    """What its step asks."""
    assert task.step is not None
    return task.step.title


def test_looking_at_a_task_begins_nothing(journal: Store, clock: Clock) -> None:
    """Only its first step, done, does."""
    task = run(journal, clock)
    assert (task.number, asked(task), task.waits) == (1, "Spray", False)
    with pytest.raises(AnswerError, match="this is the first step"):
        task.back()
    task.discard("only looked")
    assert journal.count() == 0


def test_from_the_first_step_to_the_mark(journal: Store, clock: Clock) -> None:
    """Step, step and wait, step, step and wait; with the last it is done."""
    task = run(journal, clock)
    task.answer("")
    assert (task.number, asked(task)) == (2, "Soak")
    task.answer("")
    assert (task.waits, task.number) == (True, 3)
    assert isinstance(task.step, WaitStep)
    task.answer("")
    assert (task.waits, asked(task)) == (False, "Brush")
    task.answer("")
    task.answer("")
    assert (task.done, task.waits) == (None, True)
    assert stand(journal, clock).due
    task.answer("")
    assert task.done is not None
    found = stand(journal, clock)
    assert (found.due, found.begun) == (False, None)
    assert found.done is not None
    assert found.done.seq == task.done.seq


def test_a_task_whose_last_step_needs_no_wait_is_done_with_it(journal: Store, clock: Clock) -> None:
    """Recorded together: there is no moment at which all is done and the mark is missing."""
    task = run(journal, clock, CLEAN._replace(steps=(TaskStep("Wipe"),)))
    task.answer("")
    assert task.done is not None
    assert [one.kind for one in journal.thread(task.done.refers)] == ["task-step", "task"]


@settings(max_examples=part(60), deadline=None)
@given(st.lists(st.sampled_from(["go", "go", "go", "back", "longer", "minute"]), max_size=25))
def test_at_every_moment_it_goes_on_where_it_stood(
    tmp_path_factory: pytest.TempPathFactory, moves: list[str]
) -> None:
    """A program that is killed after any entry and one that goes on see the same."""
    clock = Clock()
    path = tmp_path_factory.mktemp("run") / "journal"
    with closing(open_journal(path, clock)) as journal:
        going_on = run(journal, clock)
        for move in moves:
            anew = run(journal, clock)
            assert (anew.number, anew.waits) == (going_on.number, going_on.waits)
            assert anew.begun == going_on.begun
            task = anew if len(moves) % 2 else going_on
            if move == "minute":
                clock.pass_by(minutes=1)
            elif move == "back" and task.number > 1:
                task.back()
            elif move == "longer" and task.begun is not None and task.waits:
                task.answer(str(task.begun.wait + 5))
            elif move == "go":
                task.answer("")
            if task.done is not None:
                assert not stand(journal, clock).due
                return
            going_on = task
        assert journal.verify() is None


def test_a_wait_counts_from_its_step_and_can_be_made_longer(journal: Store, clock: Clock) -> None:
    """The clock does not start anew."""
    task = run(journal, clock)
    task.answer("")
    clock.pass_by(minutes=1)
    task.answer("")
    since = clock()
    clock.pass_by(minutes=4)
    task.answer("15")
    found = begun(journal, clock)
    assert found is not None
    assert (found.since, found.wait, found.steps) == (since, 15, 2)
    assert found.last == clock()


def test_back_undoes_a_step_and_its_wait(journal: Store, clock: Clock) -> None:
    """Done again, it is waited for again."""
    task = run(journal, clock)
    task.answer("")
    task.answer("")
    task.back()
    assert (task.waits, asked(task)) == (False, "Soak")
    clock.pass_by(minutes=3)
    task.answer("")
    found = begun(journal, clock)
    assert found is not None
    assert (found.since, found.wait) == (clock(), 10)
    task.back()
    task.back()
    assert asked(task) == "Spray"
    with pytest.raises(AnswerError, match="this is the first step"):
        task.back()


def test_a_task_given_up_is_begun_anew_and_stays_due(journal: Store, clock: Clock) -> None:
    """The steps done stay on record."""
    task = run(journal, clock)
    task.answer("")
    task.discard("no time")
    assert task.step is None
    assert (begun(journal, clock), stand(journal, clock).due) == (None, True)
    again = run(journal, clock)
    assert again.number == 1
    again.answer("")
    assert begun(journal, clock) is not None


def test_a_mark_made_without_the_steps_ends_what_is_under_way(journal: Store, clock: Clock) -> None:
    """Done is done."""
    run(journal, clock).answer("")
    record_task(journal, "saw", "clean")
    assert (begun(journal, clock), stand(journal, clock).due) == (None, False)


def test_a_mark_taken_back_does_not_bring_its_steps_back(journal: Store, clock: Clock) -> None:
    """It is due again, from its first step."""
    task = run(journal, clock, CLEAN._replace(steps=(TaskStep("Wipe"),)))
    task.answer("")
    assert take_back_task(journal, "saw", "clean", "it was the other machine")
    found = stand(journal, clock, CLEAN._replace(steps=(TaskStep("Wipe"),)))
    assert (found.due, found.begun) == (True, None)
    assert not take_back_task(journal, "saw", "clean", "once more")


def test_other_steps_in_the_shop_file_begin_it_anew(journal: Store, clock: Clock) -> None:
    """And close what was begun with the old ones; another wait alone does not."""
    run(journal, clock).answer("")
    longer = CLEAN._replace(steps=(CLEAN.steps[0], TaskStep("Soak", 20), *CLEAN.steps[2:]))
    assert run(journal, clock, longer).number == 2
    other = CLEAN._replace(steps=(TaskStep("Rinse"), *CLEAN.steps))
    anew = run(journal, clock, other)
    assert anew.number == 1
    anew.answer("")
    assert run(journal, clock, other).number == 2
    assert [one.body.get("text") for one in journal.recent("task-end", "saw", "clean")] == [
        "the shop file has changed since"
    ]


def test_fewer_steps_in_the_shop_file_break_nothing(journal: Store, clock: Clock) -> None:
    """Even when more were done than there are now."""
    task = run(journal, clock)
    for _ in range(2):
        task.answer("")
    short = CLEAN._replace(steps=(TaskStep("Wipe"),))
    assert stand(journal, clock, short).begun is not None
    anew = run(journal, clock, short)
    anew.answer("")
    assert anew.done is not None
    assert stand(journal, clock, CLEAN._replace(steps=())).begun is None


def test_two_programs_do_not_do_one_step_twice(journal: Store, clock: Clock) -> None:
    """The one that comes late is told so, and goes on where the other stands."""
    run(journal, clock).answer("")
    first, second = run(journal, clock), run(journal, clock)
    first.answer("")
    second.answer("")  # the same step, done once: the same entry
    first.answer("")
    with pytest.raises(JournalLocked):
        second.answer("12")
    steps = [one.body["step"] for one in journal.recent("task-step", "saw", "clean")]
    assert steps == [2, 2, 1]


def test_what_cannot_be_recorded_leaves_the_step(
    journal: Store, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And can be done again when the disk is back."""
    task = run(journal, clock)

    def full(_: object) -> None:
        raise JournalCannotWrite("The disk is full.", "Make room.")

    with monkeypatch.context() as patch:
        patch.setattr(journal, "append", full)
        with pytest.raises(JournalCannotWrite):
            task.answer("")
        assert task.number == 1
    task.answer("")
    assert task.number == 2


@pytest.mark.parametrize(
    ("minutes", "asked_again"), [(0, False), (10, False), (10.1, True), (-1, True)]
)
def test_after_a_pause_somebody_may_have_used_the_machine(
    journal: Store, clock: Clock, minutes: float, *, asked_again: bool
) -> None:
    """Ten minutes of a wait, or a clock that went back: the plug is asked for again."""
    task = run(journal, clock, CLEAN._replace(cutter_near=True))
    assert asked(task) == "Unplug the machine first."
    with pytest.raises(AnswerError):
        task.answer("")
    task.answer("1")
    assert journal.count() == 0  # looked at, and no more
    task.answer("")
    task.answer("")
    clock.pass_by(minutes=minutes)
    task.answer("")
    assert asked(task) == ("Is the machine still unplugged?" if asked_again else "Brush")


def test_a_journal_of_a_later_program_breaks_nothing(journal: Store, clock: Clock) -> None:
    """Numbers that are none, steps that are not there."""
    task = run(journal, clock)
    task.answer("")
    assert task.begun is not None
    uid = task.begun.uid
    bodies: list[dict[str, object]] = [
        {"step": "two"},
        {"step": 99},
        {"step": -1},
        {"wait": "long"},
        {"step": 1, "wait": -3},
    ]
    for at, body in enumerate(bodies):
        entry = NewEntry(f"later-{at}", "task-step", "saw", "clean", {"v": 9, **body}, uid)
        journal.append([entry])
    found = begun(journal, clock)
    assert found is not None
    assert found.steps == 1


def test_the_path_of_a_journal_file_is_kept(journal_path: Path, clock: Clock) -> None:
    """Closed and opened, it is the same task."""
    with closing(open_journal(journal_path, clock)) as journal:
        run(journal, clock).answer("")
    with closing(open_journal(journal_path, clock)) as journal:
        assert run(journal, clock).number == 2
