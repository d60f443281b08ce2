"""Small parts of a day's work: which spare goes on, how long a piece takes, what is said of it.

Numbers by hand; that a machine without its cutter makes no joint is common practice, no source.
"""

from __future__ import annotations

import math
from datetime import timedelta
from typing import Any

import pytest

from shopboard.journal import Entry, NewEntry, SqliteJournal, kinds
from shopboard.journal.kinds import CutterUse
from shopboard.prep.begun_day import PrepDay
from shopboard.prep.day_so_far import DaySoFar, acts, zero_of
from shopboard.prep.due_changes import due_changes, planned_changes
from shopboard.prep.glue_up import GlueUpAnswer, answer
from shopboard.prep.job_list import KnownNow
from shopboard.prep.last_project import last_project
from shopboard.prep.needs import joint_needs
from shopboard.prep.pause import Away
from shopboard.prep.reason import Reason
from shopboard.prep.stays_open import StaysOpen
from shopboard.prep.work import to_do
from shopboard.shop.machine import PROJECT_FINISHED, Life, Machine, Task, TaskStep
from shopboard.shop.model import Shop
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import MachineStanding, Past
from shopboard.upkeep.changing import Changing
from shopboard.upkeep.cutters import cutter_standings
from shopboard.upkeep.happenings import record_happening
from tests.builders import DRAWER, make_point, make_shop
from tests.checks.machines import DIALS
from tests.prep.parts import all_measured, joint_of, name_of
from tests.prep.test_work import NOW, SHARP_AND_DULL, jobs_of

RIP, SPARE = SHARP_AND_DULL


def saw_with(**spare: Any) -> MachineStanding:
    """A saw with a dull blade on, and its spare as is told."""
    standing = {"use": spare.pop("use", CutterUse()), "where": spare.get("where", SPARE.where)}
    standing["state"] = spare.get("state", SPARE.state)
    machine = Machine("saw", "Saw", cutters=(RIP, SPARE._replace(**spare)))
    dull, other = cutter_standings(machine, {}, {})
    return MachineStanding(machine, "true", (), cutters=(dull, other._replace(**standing)))


WORN = {"lasts": Life(60, "minutes", "1 h"), "use": CutterUse(minutes=90)}
"""Used for longer than its edge stays sharp: whether it is sharp is a question."""


@pytest.mark.parametrize(
    ("spare", "goes_on"),
    [
        ({}, True),
        ({"state": "dull"}, False),
        ({"state": "dirty"}, True),  # once it is clean
        ({"where": "at the sharpener"}, False),
        ({"kind": "knives"}, False),
        (WORN, False),
        ({"spare_for": ""}, False),
    ],
)
def test_only_a_sharp_spare_of_its_kind_on_the_shelf_goes_on(
    spare: dict[str, Any], *, goes_on: bool
) -> None:
    said: list[StaysOpen] = []
    one = saw_with(**spare)
    piece = next(iter(due_changes(one, ["saw"], said)), None)
    if goes_on:
        assert piece is not None
        assert (piece.words, piece.why) == ("Change to Spare blade", "Rip blade: dull")
        assert (piece.name, piece.minutes, said) == ("Spare blade on", 6, [])
    else:
        assert piece is None
        (opens,) = said
        assert opens.words.startswith(
            "Saw, Rip blade: dull; no sharp one in the shop. To settle it:"
        )
        assert opens.words.endswith(NAMED) == named(spare)


NAMED = " if Spare blade does its work, say so: e on the board, spare_for in the shop file."


def named(spare: dict[str, Any]) -> bool:
    """Whether it lies there sharp, and only is not meant for it."""
    return spare == {"spare_for": ""}


def test_what_happens_by_a_change_is_that_of_its_kind() -> None:
    """A turn of two-edged knives is no change of them; one half done is of the kind that is out."""
    (planned,) = planned_changes(saw_with(), ["saw"], [])
    assert (planned.happened, planned.elsewhere) == ("blade changed", ())
    knives = RIP._replace(kind="knives", edges=2, edge=1)
    (standing,) = cutter_standings(Machine("saw", "Saw", cutters=(knives,)), {}, {})
    one = saw_with()._replace(cutters=(standing,))
    (turned,) = planned_changes(one, ["saw"], [])
    assert (turned.happened, turned.piece.words) == ("knives turned", "Turn Rip blade")
    for kind, happened in (("knives", "knives changed"), (None, "")):
        way: Any = Changing("change", "saw", kind)
        half = planned_changes(saw_with()._replace(changing=way), ["saw"], [])[0]
        assert (half.happened, half.piece.act) == (happened, "")


@pytest.mark.parametrize(
    ("steps", "minutes", "told"),
    [
        ((), 12.0, [("Oil", 12.0, (0, 0))]),
        ((TaskStep("Oil on"),), 12.0, [("Oil on", 12.0, (1, 1))]),
        ((TaskStep("Oil on"),), 0.5, [("Oil on", 1.0, (1, 1))]),
        (
            (TaskStep("Wipe"), TaskStep("Oil on", 10), TaskStep("Look"), TaskStep("Dry", 20)),
            12.0,
            [("Wipe", 6.0, (1, 2)), ("Look", 6.0, (3, 4)), ("Oil", 1.0, (5, 4))],
        ),
    ],
)
def test_a_piece_is_called_by_its_first_step_and_takes_its_share(
    steps: tuple[TaskStep, ...], minutes: float, told: list[tuple[str, float, tuple[int, int]]]
) -> None:
    """Of what the task takes, a minute at the least; that a last wait is over takes one."""
    task = Task("oil", "Oil", every_days=14, minutes=minutes, steps=steps)
    shop = Shop("Loft", "inch", (Machine("a", "A", tasks=(task,)),), DRAWER)
    todo = to_do(KnownNow(shop, shop_standing(shop, Past(), NOW), NOW, lambda _: 5.0))
    pieces = [*todo.pieces.values()]
    assert [(one.words, one.minutes, one.steps) for one in pieces] == told
    assert [one.of for one in pieces] == [len(steps)] * len(told)
    assert [one.wait for one in pieces] == [10, 20, 0][-len(told) :] if len(told) > 1 else [0]


def test_between_pieces_lies_no_wait_but_that_of_a_step() -> None:
    """Of tasks that spoil each other, checks on bases, with the cutter off, and of a tool."""
    dirt = Task("dust", "Dust", every_days=9, leaves="dirt", undoes=("hone",))
    hone = Task("hone", "Hone", every_days=9)
    wax = Task("wax", "Wax", every_days=9, leaves="wax", steps=(TaskStep("On", 5), TaskStep("Off")))
    off = make_point().geometry._replace(face="flange, blade off")
    bare = make_point("a.flange", geometry=off, cutter_near=True, cutter_off=True)
    blade = make_point("a.blade", undone_by=("blade changed",))
    proof = make_point("b.square", proves=DRAWER.squares[0].id, checks=("square-flip",))
    machine = Machine(
        *("a", "A"), points=(bare, blade), tasks=(wax, hone, dirt), cutters=(RIP, SPARE)
    )
    shop = Shop("Loft", "inch", (machine, *make_shop(proof).machines), DIALS)
    todo = to_do(KnownNow(shop, shop_standing(shop, Past(), NOW), NOW, lambda _: 5.0))
    lags = {(job.id, name): lag for job in todo.jobs for name, lag in job.after}
    assert ("check a.blade", "check a.flange") in lags
    assert ("check a.blade", "check b.square") in lags
    assert ("task a.hone 0", "task a.dust 0") in lags
    assert {key for key, lag in lags.items() if lag} == {("task a.wax 2", "task a.wax 1")}
    assert jobs_of(wax)[1].after == (("task a.wax 1", 5.0),)
    assert jobs_of(wax)[0].patience == math.inf


@pytest.mark.parametrize("half_done", [True, False])
def test_after_a_change_no_wait_is_told_either(*, half_done: bool) -> None:
    """Nor between what it brings about, here and in another mode that the cutter serves."""
    tyres = Task("tyres", "Brush the tyres", after=("blade changed",))
    dust = Task("dust", "Dust", every_days=9, leaves="dirt")
    serving = tuple(one._replace(serves=("b",)) for one in (RIP, SPARE))
    machines = (
        Machine("a", "A", tasks=(tyres, dust), cutters=serving, body="combi"),
        Machine("b", "B", tasks=(tyres,), body="combi"),
    )
    body = {"open": True, "kind": "blade"}
    way = Entry(1, "u", NOW, "cutter", "a", "", "", body, None, clock_ok=True)
    past = Past(cutters={("a", ""): way} if half_done else {})
    shop = Shop("Loft", "inch", machines, DRAWER)
    todo = to_do(KnownNow(shop, shop_standing(shop, past, NOW), NOW, lambda _: 5.0))
    lags = {(job.id, name): lag for job in todo.jobs for name, lag in job.after}
    change = "cutter a" if half_done else "cutter a.spare"
    dusted = ("task a.dust 0", change) if half_done else (change, "task a.dust 0")
    assert {("task a.tyres 0", change), ("task b.tyres 0", change), dusted} <= {*lags}
    assert {*lags.values()} == {0.0}


def test_the_machines_of_the_last_project_are_those_used_since_the_one_before(
    journal: SqliteJournal,
) -> None:
    """From the very first entry on; what was withdrawn counts for nothing."""
    shop = make_shop(*(make_point(f"{one}.fence") for one in ("saw", "planer", "lathe")))
    assert last_project(journal, shop).machines == set()

    def used(machine: str) -> str:
        record_happening(journal, machine, "hours run", 30.0, shop=shop)
        return journal.recent(kinds.HAPPENING.name, machine, "hours run", 1)[0].uid

    used("saw")
    assert last_project(journal, shop).machines == set()
    record_happening(journal, "", PROJECT_FINISHED, shop=shop)
    assert last_project(journal, shop).machines == {"saw"}
    used("planer")
    by_mistake = used("lathe")
    assert last_project(journal, shop).machines == {"saw"}
    record_happening(journal, "", PROJECT_FINISHED, shop=shop)
    assert last_project(journal, shop).machines == {"planer", "lathe"}
    journal.void(by_mistake, "the wrong machine")
    assert last_project(journal, shop).machines == {"planer"}
    (newest, *_) = journal.recent(kinds.HAPPENING.name, "", PROJECT_FINISHED, 1)
    journal.void(newest.uid, "it is not done yet")
    assert last_project(journal, shop).machines == {"saw"}


def test_a_day_that_is_not_begun_counts_from_the_full_minute(journal: SqliteJournal) -> None:
    """One that is begun from its beginning, then from what was done in it, but never from later."""
    at = NOW + timedelta(minutes=7, seconds=31, microseconds=5)
    assert zero_of(DaySoFar(), at) == NOW + timedelta(minutes=7)
    day = PrepDay("d", 1, NOW)
    assert zero_of(DaySoFar(day), at) == NOW
    journal.append([NewEntry("before", "task", "saw", "wax", {"v": 1})])
    assert not acts(journal, day)
    journal.append([NewEntry("done", "task", "saw", "dust", {"v": 1})])
    journal.append([NewEntry("other", "happening", "saw", "knocked", {"v": 1})])
    (newest,) = acts(journal, day)
    assert newest.uid == "done"
    later = newest._replace(when=NOW + timedelta(minutes=3))
    assert zero_of(DaySoFar(day, later), at) == NOW + timedelta(minutes=3)
    assert zero_of(DaySoFar(day, later._replace(when=at + timedelta(days=1))), at) == at
    answered = NOW + timedelta(minutes=4)
    assert zero_of(DaySoFar(day, later, answered=answered), at) == answered
    back = Away(NOW + timedelta(minutes=6), 3.0)
    assert zero_of(DaySoFar(day, later, answered=answered, away=back), at) == back.when


def test_no_more_than_two_reasons_are_told() -> None:
    asked = [Reason("not proven", f"{n}", "check it", (f"saw.{n}",)) for n in range(4)]
    needs = joint_needs(joint_of("tenon"), {}, 0.95)
    found = GlueUpAnswer(needs, 0.95, tuple(asked))
    assert [one.words for one in found.told] == ["0", "1"]
    assert (found.word, found.go) == ("HOLD", False)


def test_what_stops_a_machine_is_told_with_what_to_do_about_it() -> None:
    """Each machine once, the tags first; a machine of one body by its own name."""
    joint = joint_of("tenon")
    known = all_measured(joint)
    angle, tilt, length = (name_of(cut) for cut in ("end angle", "end tilt", "length"))
    known[angle] = known[angle]._replace(under_way="blade change is in progress")
    known[tilt] = known[tilt]._replace(tag="the guard is off", stopped="saw", stopped_name="Saw")
    known[length] = known[length]._replace(tag="no guard", stopped="saw", stopped_name="Saw")
    found = answer(joint, known, 0.95, lambda *_: 5.0, "mm")
    assert [(one.sort, one.about, one.to_do) for one in found.reasons] == [
        ("tag", "saw", "fix Saw, then clear its tag"),
        (
            "change",
            "m-end-angle",
            "finish it at Machine of end angle, then ask again",
        ),
    ]
    assert found.reasons[0].words.startswith("Saw (one body with Machine of length): DO NOT USE")


@pytest.mark.parametrize(
    ("cut", "said", "to_do"),
    [
        (
            "end tilt",
            (),
            'write shows_in = "end tilt" at a point of the shop file that measures it',
        ),
        (
            "end tilt",
            ("saw.yes", "saw.no"),
            'the shop file must have a point that measures it, with shows_in = "end tilt"',
        ),
        (
            "length",
            (),
            'write shows_in = "length" at a point of the shop file that measures it, or in the'
            ' joint\'s made_on length = "by hand", if no stop is used',
        ),
    ],
)
def test_a_cut_that_nothing_shows_in_says_what_to_write(
    cut: Any, said: tuple[str, ...], to_do: str
) -> None:
    joint = joint_of("tenon")
    known = {name: one for name, one in all_measured(joint).items() if name != name_of(cut)}
    points = {**joint.points, cut: said} if said else {**joint.points}
    if not said:
        del points[cut]
    found = answer(joint._replace(points=points), known, 0.95, lambda *_: 5.0, "mm")
    assert [(one.sort, one.to_do) for one in found.reasons] == [("nothing shows", to_do)]
    assert found.reasons[0].about == "".join(said[:1])
