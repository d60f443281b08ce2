"""Sittings as they were written before all were written in one way: read as ever, and gone on with.

The bodies are those that a version of November 2026 wrote, letter by letter.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from shopboard.checks.registry import names
from shopboard.journal import Entry, NewEntry, SqliteJournal
from shopboard.shop.machine import Machine
from shopboard.shop.reader import read_shop
from shopboard.sittings import cutter_change
from shopboard.sittings.check import resume, start
from shopboard.sittings.point_job import fingerprint, job_for
from shopboard.sittings.safety_round import round_of
from shopboard.sittings.task import WaitStep
from shopboard.sittings.waiting import unfinished
from shopboard.upkeep.changing import changing
from shopboard.upkeep.wait_watch import left_words
from tests.builders import Person, make_point, make_shop
from tests.journal.helpers import Clock
from tests.safety.test_round import GUARD, PLUG_OUT, STICK, STOP
from tests.sittings.test_check import go_on
from tests.sittings.test_task import begun, run
from tests.two_shops import written
from tests.upkeep.cutter_shop import CROSS, RIP, now_standing, shop_of
from tests.upkeep.test_cutter_change import go_on as go_on_changing

_ROWS = (Path(__file__).parent / "old_forms.jsonl").read_text(encoding="utf-8").splitlines()
CHECK, CUTTER, ROUND, TASK = (
    [row for row in _ROWS if json.loads(row)[0].startswith(letter)] for letter in "cwrt"
)
"""Name, kind, machine, point, what it refers to, body; all but the round's are ended by the last.
"""

CUTTERS = shop_of(RIP, CROSS._replace(state="sharp"))
SAW = Machine(
    "saw", "Table saw", points=(make_point(cutter_near=True),), safety=(GUARD, STICK, STOP),
    not_asked=("cutter", "stop-button"),
)  # fmt: skip
POINT = make_point()


def put_in(journal: SqliteJournal, rows: Sequence[str]) -> None:
    """Record what was written."""
    for row in rows:
        uid, kind, machine, point, refers, body = json.loads(row)
        journal.append([NewEntry(uid, kind, machine, point, body, refers)])


def thread(journal: SqliteJournal, uid: str) -> list[Entry]:
    """What a sitting has recorded, its first entry among it."""
    first = journal.get(uid)
    return [*([first] if first else []), *journal.thread(uid)]


def test_a_check_goes_on_where_it_stood(journal: SqliteJournal, clock: Clock) -> None:
    """With what only made ready told apart, and what was withdrawn forgotten."""
    put_in(journal, CHECK[:-1])
    shop = make_shop(POINT)
    waiting = unfinished(journal, clock())[POINT.full_name]
    sitting = resume(journal, shop, POINT, waiting, clock())
    assert sitting is not None
    assert sitting.step is not None
    assert sitting.step.key == "leaf2"
    assert list(sitting.walk.answers) == ["tools", "place", "light", "leaf1"]
    sitting.back()
    sitting.back()
    assert not sitting.has_measured
    go_on(sitting, Person(0.008))
    assert [one.run for one in sitting.walk.findings] == ["as-found"]
    uids = [one.uid for one in thread(journal, "c")]
    assert uids == ["c", *(f"c-{number}" for number in range(1, len(uids)))]


@pytest.mark.parametrize(
    ("name", "point", "was"),
    [
        ("metric", "saw.blade", "c55e2daf3ef61412"),
        ("metric", "saw.arbor", "1d74f06f329f0ec6"),
        ("combination", "saw.blade", "3681918b5a75fc92"),
        ("combination", "jointer.fence", "e6595daa846735c4"),
    ],
)
def test_what_a_check_was_begun_by_is_told_by_the_same_sum(
    tmp_path: Path, name: str, point: str, was: str
) -> None:
    """Or each that waits were closed by an update, as if the shop file had changed.

    The sums are those that the version of November 2026 printed, run on the same shop files.
    """
    shop = read_shop(written(name, tmp_path), names()).shop
    others = tuple(one for one in shop.drawer.others if one.kind != "tape")  # none was told then
    shop = replace(shop, drawer=shop.drawer._replace(others=others))
    assert fingerprint(job_for(shop, shop.points[point], None)) == was


def test_a_check_that_was_ended_does_not_wait(journal: SqliteJournal, clock: Clock) -> None:
    put_in(journal, CHECK)
    assert unfinished(journal, clock()) == {}


def test_a_change_of_cutter_goes_on_where_it_stood(journal: SqliteJournal, clock: Clock) -> None:
    """Under names that none of its entries has; the blade is on at its end."""
    put_in(journal, CUTTER[:-1])
    assert changing(journal.latest("cutter"), "saw") is not None
    sitting = cutter_change.resume(journal, CUTTERS, "saw", clock())
    assert sitting is not None
    assert sitting.step is not None
    assert sitting.step.key == "off"
    go_on_changing(sitting)
    assert now_standing(journal, "cross", CUTTERS).mounted
    assert changing(journal.latest("cutter"), "saw") is None
    uids = [one.uid for one in thread(journal, "w") if one.point == ""]
    assert len(uids) == len({*uids}) > 5


def test_a_change_that_tells_neither_its_cutter_nor_its_number_is_given_up(
    journal: SqliteJournal, clock: Clock
) -> None:
    """As that version did, or the machine would stand open for good."""
    put_in(journal, CUTTER[:2])
    broken = {"act": "put on", "open": True, "v": 1, "what": "step"}
    journal.append([NewEntry("x", "cutter", "saw", "", broken, "w")])
    journal.append([NewEntry("w-1", "cutter", "saw", "", broken, "w")])
    assert changing(journal.latest("cutter"), "saw") is not None
    assert cutter_change.resume(journal, CUTTERS, "saw", clock()) is None
    assert changing(journal.latest("cutter"), "saw") is None


def test_a_change_that_was_given_up_is_not_under_way(journal: SqliteJournal, clock: Clock) -> None:
    put_in(journal, CUTTER)
    assert cutter_change.resume(journal, CUTTERS, "saw", clock()) is None


def test_a_round_goes_on_where_it_stood(journal: SqliteJournal, clock: Clock) -> None:
    """What was not as wanted stands at its end, too."""
    put_in(journal, ROUND)
    shop = replace(make_shop(), machines=(SAW,))
    sitting = round_of(shop, "saw", clock(), journal)
    assert sitting.resumed
    assert sitting.step is not None
    assert sitting.step.key == "push-stick"
    sitting.answer("here")
    sitting.answer("stops")
    assert sitting.summary == "4 of 4 answered, 3 in order. Not right: guard, off."
    again = round_of(shop, "saw", clock(), journal)
    assert (again.resumed, again.uid == "r") == (False, False)


@pytest.mark.parametrize("made_longer", [False, True])
def test_a_task_goes_on_with_its_clock(
    journal: SqliteJournal, clock: Clock, *, made_longer: bool
) -> None:
    """The wait began with its step, whatever was recorded since."""
    put_in(journal, TASK[:3])
    since = clock()
    clock.pass_by(minutes=4)
    put_in(journal, TASK[3:4] if made_longer else ())
    found = begun(journal, clock)
    assert found is not None
    wait = 25.0 if made_longer else 10.0
    assert (found.steps, found.since, found.wait) == (2, since, wait)
    assert left_words("Soak", wait * 60 - 240) == f"Soak: {wait - 4:.0f} min left"
    sitting = run(journal, clock)
    assert isinstance(sitting.step, WaitStep)
    for _ in range(4):
        sitting.answer("")
    assert sitting.done is not None
    uids = [one.uid for one in thread(journal, "t")]
    assert uids == ["t", *(f"t-{number}" for number in range(1, len(uids)))]


def test_a_task_that_was_left_is_begun_anew(journal: SqliteJournal, clock: Clock) -> None:
    put_in(journal, TASK)
    assert begun(journal, clock) is None


def test_what_an_earlier_program_read_is_in_what_is_written_now(
    journal: SqliteJournal, clock: Clock
) -> None:
    """It shows no other tag, answer, wait or change under way than there is: all of that is kept.

    Why a check or a task was ended is the one thing that it does not find.
    """
    shop = make_shop(POINT)
    check = go_on(start(journal, shop, POINT, uid="c"), Person(0.008), until="leaf2")
    check.answer("goes")
    check.back()
    cross = now_standing(journal, "cross", CUTTERS)
    change = cutter_change.begin(journal, CUTTERS, cross, "put on")
    for text in ("plug out", "", ""):
        change.answer(text)
    change.back()
    walked = round_of(replace(shop, machines=(SAW,)), "saw", clock(), journal)
    for text in (PLUG_OUT, "off", "go on"):
        walked.answer(text)
    task = run(journal, clock)
    for text in ("", "", "25"):
        task.answer(text)
    assert task.begun is not None
    forms = (CHECK[:-1], CUTTER[:-1], ROUND, TASK[:-1])
    uids = ("c", change.uid, walked.uid, task.begun.uid)
    for form, uid in zip(forms, uids, strict=True):
        were = [json.loads(row) for row in form]
        now = thread(journal, uid)
        assert [one.kind for one in now] == [one[1] for one in were]
        for one, was in zip(now, were, strict=True):
            told = {**was[5], **({"round": uid} if "round" in was[5] else {})}
            assert {key: one.body.get(key) for key in told} == told
