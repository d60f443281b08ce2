"""Glue-ups on hold and prep days as the journal keeps them, read back and held against its rows."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import timedelta

import pytest

from shopboard.journal import NewEntry, SqliteJournal, new_uid
from shopboard.prep.begun_day import begin_day, day_under_way, end_day, says_the_same
from shopboard.prep.decided import (
    decide,
    decided_at,
    decided_between,
    decisions,
    standing_decision,
)
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.modes_now import modes_now
from shopboard.prep.needs import joint_needs
from shopboard.prep.reason import Reason
from shopboard.shop.machine import Cutter, Machine, Task, TaskStep
from shopboard.shop.model import Shop
from shopboard.shop.project import Joint, Project
from shopboard.shop.renames import renames_of
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.renamed import Renamed
from tests.builders import DRAWER, do_steps, make_shop
from tests.journal.helpers import Clock
from tests.prep.parts import joint_of

BOX = joint_of("panel", pieces=5)._replace(points={"edge angle": ("jointer.fence",)})
LID = BOX._replace(id="lid", name="The lid", points={"edge line": ("jointer.beds", "saw.fence")})
DUE = Reason("not proven", "Fence: due", "check it", ("jointer.fence",))
TAG = Reason("tag", "Saw: DO NOT USE", "see to it", about="saw")


def test_what_was_decided_follows_joint_and_project_to_their_new_ids(
    journal: SqliteJournal,
) -> None:
    """Whatever both were called: it is looked up by any of their names, and told by today's."""
    decide(journal, answer(BOX, DUE), "it closes")
    box = BOX._replace(project="coffer", id="body", was=("joint",))
    shop = make_shop()
    shop = replace(shop, projects=(Project("coffer", "Coffer", joints=(box,), was=("chest",)),))
    renames = renames_of(shop)
    assert renames is not None
    today = Renamed(journal, renames)
    for one in (box, BOX):
        assert [found.why for found in decisions(today, one)] == ["it closes"]
    decide(today, answer(box, DUE), "again")
    assert [found.why for found in decisions(today, box)] == ["again", "it closes"]
    assert [row[2] for row in rows(journal)] == ["chest.joint", "coffer.body"]
    assert decisions(journal, box)[1:] == []
    assert renames_of(replace(shop, projects=(Project("chest", "Chest", joints=(BOX,)),))) is None


def answer(joint: Joint, *reasons: Reason) -> GlueUpAnswer:
    return GlueUpAnswer(joint_needs(joint, {}, 0.95), 0.95, reasons)


def rows(journal: SqliteJournal) -> list[tuple[str, str, str, str, dict[str, object]]]:
    """Kind, place, what it refers to and body of each entry, as SQLite itself reads them."""
    query = "SELECT kind, machine, point, refers, body FROM entries ORDER BY seq"
    with closing(sqlite3.connect(journal.path)) as db:
        return [(*row[:4], json.loads(row[4])) for row in db.execute(query)]


def test_a_decision_says_what_held_it_up_and_why_it_was_done_all_the_same(
    journal: SqliteJournal,
) -> None:
    found = decide(journal, answer(BOX, DUE, TAG), "it closes", "mine")
    assert (found.uid, found.why, found.held) == ("mine", "it closes", (DUE.words, TAG.words))
    assert found.words == "glued up on HOLD, Mon 1 Jun 2026: it closes"
    body: dict[str, object] = {
        "v": 1,
        "project": "chest",
        "joint": "joint",
        "name": "The joint",
        "why": "it closes",
    }
    body |= {"held": [DUE.words, TAG.words], "held_sorts": ["not proven", "tag"]}
    assert rows(journal) == [("glue-up", "", "chest.joint", "", body)]
    assert decide(journal, answer(BOX, DUE), "again").uid not in ("", "mine")


def test_where_it_is_go_there_is_nothing_to_decide(journal: SqliteJournal) -> None:
    with pytest.raises(ValueError, match="it is GO"):
        decide(journal, answer(BOX), "it closes")
    assert journal.count() == 0


def test_the_newest_that_was_not_taken_back_stands(journal: SqliteJournal, clock: Clock) -> None:
    assert standing_decision(journal, BOX) is None
    decide(journal, answer(BOX, DUE), "first", "1")
    clock.pass_by(days=1)
    decide(journal, answer(BOX, DUE), "second", "2")
    decide(journal, answer(LID, DUE), "the lid's", "3")
    assert [one.why for one in decisions(journal, BOX)] == ["second", "first"]
    newest = standing_decision(journal, BOX)
    assert newest is not None
    assert newest.why == "second"
    journal.void("2", "recorded by mistake")
    newest = standing_decision(journal, BOX)
    assert newest is not None
    assert newest.why == "first"
    taken_back = decisions(journal, BOX)[0]
    assert taken_back.words.endswith("second; WITHDRAWN: recorded by mistake")
    journal.void("1", "it was the lid")
    assert standing_decision(journal, BOX) is None


def test_what_was_decided_is_told_by_time_and_by_machine(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Of a machine, where one of its points shows in the joint: the newest first."""
    for number, joint in enumerate((LID, BOX, LID)):
        decide(journal, answer(joint, DUE), f"{number}", f"d{number}")
        clock.pass_by(days=1)
    told = decided_between(journal, (BOX, LID), 0, 3)
    assert [(one.id, each.why) for one, each in told] == [
        ("lid", "0"), ("joint", "1"), ("lid", "2"),
    ]  # fmt: skip
    assert [each.why for _, each in decided_between(journal, (BOX, LID), 1, 2)] == ["1"]
    projects = [Project("chest", "Chest", joints=(BOX, LID))]
    lid = "The lid (Chest) glued up on HOLD, Wed 3 Jun 2026: 2"
    box = "The joint (Chest) glued up on HOLD, Tue 2 Jun 2026: 1"
    assert decided_at(journal, projects, "jointer") == [lid, box]
    assert decided_at(journal, projects, "saw") == [lid]
    assert decided_at(journal, projects, "joint") == []


@pytest.mark.parametrize(
    ("body", "why", "held"),
    [
        ({"v": 1}, "no reason recorded", ()),
        ({"v": 1, "why": "", "held": "gap"}, "no reason recorded", ()),
        ({"v": 1, "why": "dry", "held": ["gap", 3]}, "dry", ("gap", "3")),
    ],
)
def test_a_decision_of_another_program_is_read_as_far_as_it_goes(
    journal: SqliteJournal, body: dict[str, object], why: str, held: tuple[str, ...]
) -> None:
    journal.append([NewEntry("other", "glue-up", "", "chest.joint", body)])
    (one,) = decisions(journal, BOX)
    assert (one.why, one.held) == (why, held)


def test_a_prep_day_is_under_way_until_it_is_ended_or_another_begins(
    journal: SqliteJournal, clock: Clock
) -> None:
    assert day_under_way(journal) is None
    end = clock.now + timedelta(hours=3)
    first = begin_day(journal, "chest", end, allow_open=True, uid="one")
    assert (first.project, first.allow_open, first.finish) == ("chest", True, end)
    assert day_under_way(journal) == first
    second = begin_day(journal, "", None)
    assert (second.project, second.allow_open, second.finish) == ("", False, None)
    assert day_under_way(journal) == second
    end_day(journal, second)
    assert day_under_way(journal) is None
    body = {"v": 1, "what": "begun", "project": "chest", "allow_open": True}
    told = [(kind, refers, body) for kind, _, _, refers, body in rows(journal)]
    assert told == [
        ("prep", "", {**body, "finish": end.isoformat()}),
        ("prep", "one", {"v": 1, "what": "ended"}),
        ("prep", "", {**body, "project": "", "allow_open": False, "finish": None}),
        ("prep", second.uid, {"v": 1, "what": "ended"}),
    ]


def test_an_entry_that_says_the_same_is_known_by_project_and_open_machines(
    journal: SqliteJournal,
) -> None:
    """So that a repeated key records nothing."""
    day = begin_day(journal, "chest", None, allow_open=True, uid="one")
    end_day(journal, day, "end")
    begun, ended = journal.get("one"), journal.get("end")
    assert begun is not None
    assert ended is not None
    for project in ("chest", "", None):
        for allow_open in (True, False):
            same = says_the_same(begun, project, allow_open=allow_open)
            assert same is (project == "chest" and allow_open)
            assert says_the_same(ended, project, allow_open=allow_open) is (project is None)
    whole = begin_day(journal, "", None, uid="two")
    entry = journal.get(whole.uid)
    assert entry is not None
    assert says_the_same(entry, "", allow_open=False)


def test_a_combination_machine_is_in_the_mode_it_was_last_worked_in(
    journal: SqliteJournal,
) -> None:
    """Whatever kind of work that was, from the first entry on; other machines have no modes."""
    bodies = {"saw": "combi", "shaper": "combi", "planer": "other"}
    modes = tuple(Machine(name, name, body=body) for name, body in bodies.items())
    shop = Shop("Loft", "inch", modes, DRAWER)
    assert modes_now(journal, shop) == {}
    told = (("check", "saw"), ("happening", "shaper"), ("task", "drill"), ("end", "saw"))
    expected = ("saw", "shaper", "shaper", "saw")
    for number, ((kind, machine), mode) in enumerate(zip(told, expected, strict=True)):
        journal.append([NewEntry(f"m{number}", kind, machine, f"p{number}", {"v": 1})])
        assert modes_now(journal, shop) == {"combi": mode}
    assert modes_now(journal, replace(shop, machines=())) == {}


_TRAY = Task(
    "bath",
    "Wash the guides",
    steps=(
        TaskStep("Take them out"),
        TaskStep("Into the tray", 20, off_machine=True),
        TaskStep("Wipe the rails"),
        TaskStep("Let them dry", 30),
    ),
)


def test_what_is_done_beside_a_combination_machine_tells_nothing_of_its_mode(
    journal: SqliteJournal,
) -> None:
    """Else no change is planned for what comes next in the mode of what lay in the tray."""
    saw = Machine(
        "saw",
        "Saw",
        body="combi",
        tasks=(_TRAY,),
        cutters=(Cutter("rip", "Rip", "on the machine", "sharp"),),
    )
    shop = Shop("Loft", "inch", (saw, Machine("shaper", "Shaper", body="combi")), DRAWER)

    def shaped() -> None:
        entry = NewEntry(new_uid(), "check", "shaper", "fence", {"v": 1})
        journal.append([entry])
        assert modes_now(journal, shop) == {"combi": "shaper"}

    sitting = TaskSitting(journal, "saw", _TRAY, None)
    expected = ("saw", "shaper", "shaper", "saw", "saw", "shaper")  # a wait is a step of its own
    for mode in expected:
        shaped()
        do_steps(sitting)
        assert modes_now(journal, shop) == {"combi": mode}
    assert sitting.done is not None
    acts = (("put on", "saw"), ("cleaned", "shaper"), ("dull", "shaper"), ("taken off", "saw"))
    for what, mode in acts:
        shaped()
        said = {"v": 1, "what": what, "where": "on the shelf"}
        journal.append([NewEntry(new_uid(), "cutter", "saw", "rip", said)])
        assert modes_now(journal, shop) == {"combi": mode}
    for act, mode in (("turn", "saw"), ("clean", "shaper"), ("put on", "saw")):
        shaped()
        way = {"v": 1, "what": "step", "act": act, "did": "answer", "open": True}
        journal.append([NewEntry(new_uid(), "cutter", "saw", "", way)])
        assert modes_now(journal, shop) == {"combi": mode}
    shaped()
    journal.append([NewEntry(new_uid(), "answer", "saw", "fence", {"v": 1, "text": "no light"})])
    assert modes_now(journal, shop) == {"combi": "saw"}


def test_before_what_was_done_beside_it_the_mode_is_that_of_the_last_work(
    journal: SqliteJournal,
) -> None:
    saw = Machine("saw", "Saw", body="combi", tasks=(_TRAY,))
    shop = Shop("Loft", "inch", (saw, Machine("shaper", "Shaper", body="combi")), DRAWER)
    do_steps(TaskSitting(journal, "saw", _TRAY, None), 2)
    assert modes_now(journal, shop) == {"combi": "saw"}
