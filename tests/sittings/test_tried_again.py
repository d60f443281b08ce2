"""What goes on step by step, on a disk that fails after every recording: the same again is once.

The journal of each is held against that of the same work done on a sound disk.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import pytest

from shopboard.journal import Entry, JournalCannotWrite, NewEntry, SqliteJournal, Store
from shopboard.results.remarks import take_back
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.check import start
from shopboard.sittings.cutter_change import begin
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.happenings import record_happening
from tests.builders import Person
from tests.journal.helpers import Clock, opened
from tests.sittings.test_check import steps
from tests.sittings.test_task import CLEAN
from tests.upkeep.cutter_shop import CROSS, KNIVES, RIP, RIP_2, now_standing, shop_of
from tests.upkeep.test_cutter_change import answer_to

SHOP = shop_of(RIP, RIP_2, CROSS._replace(state="sharp"), KNIVES)


class LateFailure:
    """A journal whose every recording is in the file and then told to have failed, once each."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.failures = 0
        self._failed = False

    def append(self, entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:
        recorded = self._store.append(entries, after)
        self._failed = not self._failed
        if self._failed:
            self.failures += 1
            raise JournalCannotWrite("The disk failed.", "It is not certain what was recorded.")
        return recorded

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)


def again(act: Callable[[], object]) -> None:
    """Do it; after an error once more."""
    try:
        act()
    except JournalCannotWrite:
        act()


def written(journal: Store) -> list[tuple[str, str, str, object]]:
    """Sort, place and what it says of each entry, without its name."""
    kinds = ("begin", "answer", "moved", "check", "end", "cutter", "happening", "round", "tag")
    found = journal.newest((*kinds, "task", "task-begin", "task-step", "void"), 999, 999, 999)
    return [(one.kind, one.machine, one.point, one.body) for one in reversed(found)]


def change_cutters(journal: Any) -> None:
    change = begin(journal, SHOP, now_standing(journal, "cross", SHOP), "put on")
    while (step := change.step) is not None:
        text = answer_to(step)
        again(lambda: change.answer(text))  # noqa: B023 - called at once
    assert change.happened == "blade changed"


def do_task(journal: Any) -> None:
    task = TaskSitting(journal, "saw", CLEAN, None)
    for _ in range(6):  # four steps and two waits
        again(lambda: task.answer(""))
    assert task.done is not None


@pytest.mark.parametrize("work", [change_cutters, do_task])
def test_work_step_by_step_is_recorded_as_on_a_sound_disk(
    journal: SqliteJournal, tmp_path: Any, work: Callable[[Any], None]
) -> None:
    """A change of cutters, and a task with waits, to their end."""
    failing = LateFailure(journal)
    work(failing)
    sound = opened(tmp_path / "sound")
    work(sound)
    assert failing.failures >= 3
    assert [one[:3] for one in written(journal)] == [one[:3] for one in written(sound)]
    sound.close()


def test_a_check_is_recorded_as_on_a_sound_disk(
    journal: SqliteJournal, tmp_path: Any, shop: Shop, point: Point
) -> None:
    """With a correction: found, turned, left."""
    found = []
    sound = opened(tmp_path / "sound")
    for one in (LateFailure(journal), sound):
        kept: Any = one
        if isinstance(one, LateFailure):
            one._failed = True  # the beginning itself is not tried again here
        sitting = start(kept, shop, point)
        for _, said in steps(sitting, Person(0.008, then=(0.0,))):
            again(lambda: sitting.answer(said))  # noqa: B023 - called at once
        found.append(sitting)
    assert [one[:3] for one in written(journal)] == [one[:3] for one in written(sound)]
    assert [one.run for one in found[0].walk.findings] == ["as-found", "as-left"]
    sound.close()


def test_a_task_done_keeps_the_totals_of_its_moment(journal: SqliteJournal, clock: Clock) -> None:
    """Hours that were counted between the two tries do not stand in its way."""
    failing: Any = LateFailure(journal)
    task = TaskSitting(failing, "saw", CLEAN._replace(steps=CLEAN.steps[:1]), None)
    with pytest.raises(JournalCannotWrite):
        task.answer("")
    record_happening(journal, "saw", "hours run", 60.0)
    task.answer("")
    assert task.done is not None
    assert task.done.body["minutes"] == 0.0
    assert len(journal.recent("task", "saw", "clean")) == 1


def test_taking_a_result_back_is_tried_again_whole(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """While its correction is under way the point stands as moved, once."""
    sitting = start(journal, shop, point)
    for step, said in steps(sitting, Person(0.008, then=(0.0,))):
        sitting.answer(said)
        if said == "adjust" or step.key == "next":
            break
    uid = next(iter(sitting.recorded.values())).uid
    failing: Any = LateFailure(journal)
    with pytest.raises(JournalCannotWrite):
        take_back(failing, uid, "misread", "v1")
    take_back(failing, uid, "misread", "v1")
    assert len(journal.recent("moved", point.machine, point.id)) == 1
    result = journal.get(uid)
    assert result is not None
    assert result.void == "misread"
