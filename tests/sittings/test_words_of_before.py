"""What was left half-way goes on where only the program's own words of it changed since.

The fingerprints, steps and answers are those that the version of November 2026 gave for a shop
with every usual point, task and safety question, told by kind and id alone.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from shopboard.checks.registry import names
from shopboard.journal import NewEntry, SqliteJournal
from shopboard.metrology.quantity import Unit
from shopboard.shop.machine import Machine, SafetyQuestion, Task
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop
from shopboard.sittings.check import resume
from shopboard.sittings.point_job import job_for, same_job
from shopboard.sittings.safety_round import round_of
from shopboard.sittings.waiting import begun_tasks, unfinished
from shopboard.standing.gather import gather
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.safety_questions import (
    in_words_of_now,
    questions_of_machine,
    questions_of_shop,
)
from shopboard.usual.lookup import FILES, machine
from tests.builders import make_shop
from tests.journal.helpers import Clock

_BEFORE = json.loads(Path(__file__).with_name("words_of_before.json").read_text(encoding="utf-8"))
KINDS = [kind for kind in FILES if kind]


@cache
def shop_text(unit: Unit) -> str:
    """Write a shop with all that is usual of every sort of machine, by kind and id alone."""
    lines = ["[shop]", 'name = "All"', f'unit = "{unit}"']
    for kind in KINDS:
        usual, ident = machine(kind), kind.replace(" ", "-")
        lines += ["[[machine]]", f'id = "{ident}"', f'name = "{kind}"', f'kind = "{kind}"']
        for one in usual.points:
            lines += ["[[machine.point]]", f'id = "{one.id}"']
        for task in usual.tasks:
            lines += ["[[machine.task]]", f'id = "{task.id}"']
        for cutter in usual.cutters:
            lines += ["[[machine.cutter]]", f'id = "{cutter.id}"', 'where = "on the shelf"']
            lines += ['state = "sharp"']
    return "\n".join(lines)


def shop_in(unit: Unit, folder: Path) -> Shop:
    """Read that shop."""
    path = folder / "shop.toml"
    path.write_text(shop_text(unit), encoding="utf-8")
    return read_shop(path, names()).shop


def questions(shop: Shop, ident: str) -> dict[str, SafetyQuestion]:
    """Give the usual questions of a machine, or of the shop under the name ``shop``."""
    asked = (
        questions_of_shop(shop)
        if ident == "shop"
        else questions_of_machine(shop.machines_by_id[ident], (), shop.unit)
    )
    return {one.id: one for one in asked}


@pytest.mark.parametrize("unit", ["inch", "mm"])
def test_a_check_of_any_usual_point_is_still_the_one_that_was_begun(
    tmp_path: Path, unit: Unit
) -> None:
    shop = shop_in(unit, tmp_path)
    was = {
        full.partition(" ")[2]: told
        for full, told in _BEFORE["points"].items()
        if full.startswith(unit)
    }
    assert len(was) > 30
    changed = [
        name
        for name, told in was.items()
        if not same_job(told, job_for(shop, shop.points[name], None))
    ]
    assert changed == []


def test_another_tolerance_is_another_check_whatever_its_words(tmp_path: Path) -> None:
    """Or a leaf would be taken for an answer to a question that was not asked."""
    shop = shop_in("inch", tmp_path)
    job = job_for(shop, shop.points["table-saw.rip-fence"], None)
    wider = job.tolerance._replace(high=job.tolerance.high + 0.001)
    told = _BEFORE["points"]["inch table-saw.rip-fence"]
    assert same_job(told, job)
    assert not same_job(told, job._replace(tolerance=wider))
    elsewhere = job.geometry._replace(face="something else that the shop file says")
    assert not same_job(told, job._replace(geometry=elsewhere))


def test_a_check_that_was_begun_then_goes_on(
    journal: SqliteJournal, clock: Clock, tmp_path: Path
) -> None:
    """It is not ended as if the shop file had changed."""
    shop = shop_in("inch", tmp_path)
    point = shop.points["sander.tracking"]
    told = _BEFORE["points"]["inch sander.tracking"]
    body = {"job": told, "method": point.checks[0], "name": "Belt runs in its middle", "v": 1}
    journal.append([NewEntry("c", "begin", point.machine, point.id, body)])
    waiting = unfinished(journal, clock())[point.full_name]
    assert resume(journal, shop, point, waiting, clock()) is not None
    assert [one.kind for one in journal.thread("c")] == []


def task_of(shop: Shop, full: str) -> tuple[str, Task]:
    """Find a task, with the id of its machine."""
    place, _, ident = full.partition(".")
    return place, next(one for one in shop.machines_by_id[place].tasks if one.id == ident)


def found(journal: SqliteJournal, shop: Shop, full: str) -> Begun:
    """How far a task is."""
    place, task = task_of(shop, full)
    return begun_tasks(journal, shop, gather(journal))[place, task.id]


def test_any_usual_task_that_was_begun_then_goes_on(journal: SqliteJournal, tmp_path: Path) -> None:
    shop = shop_in("mm", tmp_path)
    for number, (full, steps) in enumerate(_BEFORE["tasks"].items()):
        place, task = task_of(shop, full)
        uid = f"t{number}"
        begin = NewEntry(uid, "task-begin", place, task.id, {"steps": steps, "v": 1})
        step = NewEntry(f"{uid}-1", "task-step", place, task.id, {"step": 1, "v": 1}, uid)
        journal.append([begin, step])
        begun = found(journal, shop, full)
        assert (full, begun.steps, begun.same) == (full, 1, True)


@pytest.mark.parametrize("steps", [["Wipe the table clean"], ["Wipe", "Wax", "Buff"]])
def test_other_steps_are_another_task(
    journal: SqliteJournal, tmp_path: Path, steps: list[str]
) -> None:
    shop, full = shop_in("mm", tmp_path), "table-saw.wax-table"
    body = {"steps": steps, "v": 1}
    journal.append([NewEntry("t", "task-begin", "table-saw", "wax-table", body)])
    assert not found(journal, shop, full).same


def test_every_answer_of_then_is_one_of_its_question_in_the_words_of_now(tmp_path: Path) -> None:
    """In the same place: what was wanted is wanted, and what was not, is not."""
    shop = shop_in("inch", tmp_path)
    for full, answers in _BEFORE["questions"].items():
        place, _, ident = full.partition(".")
        question = questions(shop, place)[ident]
        now = [*question.wanted, *question.others]
        assert [in_words_of_now(question, one) for one in answers] == now
        assert in_words_of_now(question, "as somebody else would say it") is None


def test_a_walk_that_was_left_then_goes_on_with_all_its_answers(
    journal: SqliteJournal, clock: Clock, tmp_path: Path
) -> None:
    shop = shop_in("inch", tmp_path)
    body = {
        "answers": {
            "extinguisher": "something stands in the way",
            "way-out": "each opens by hand, nothing stands before it",
            "first-aid": "in its place, and nothing is missing",
            "glasses-and-muffs": "at hand, clean and whole",
        },
        "decided": {"extinguisher.then": "go on"},
        "finished": False,
        "number": 5,
        "of": 7,
        "older": {},
        "round": "r",
        "v": 1,
        "wrong": ["extinguisher"],
    }
    journal.append([NewEntry("r-5", "round", "", "", body)])
    walked = round_of(shop, "", clock(), journal)
    assert walked.resumed
    assert walked.step is not None
    assert walked.step.key == "oily-rags"
    walked.answer("there are none")
    assert walked.summary == (
        "5 of 7 answered, 4 in order. Not right: extinguisher, something is in the way."
    )
    stands = journal.get("r-5")
    assert stands is not None
    assert stands.body["answers"] == body["answers"], "what was recorded stands as it was"


def test_an_answer_that_the_shop_no_longer_asks_for_is_asked_again(
    journal: SqliteJournal, clock: Clock
) -> None:
    own = SafetyQuestion("fan", "Look at the fan.", ("it turns",), ("it stands still",))
    shop = replace(make_shop(), machines=(Machine("rack", "Rack", safety=(own,)),))
    body = {
        "answers": {"fan": "it whirrs"}, "decided": {}, "finished": False, "number": 1, "of": 1,
        "older": {}, "round": "r", "v": 1, "wrong": ["fan"],
    }  # fmt: skip
    journal.append([NewEntry("r-1", "round", "rack", "", body)])
    walked = round_of(shop, "rack", clock(), journal)
    assert walked.step is not None
    assert walked.step.key == "fan"
