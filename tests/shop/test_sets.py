"""A set is done piece by piece, and what is done stays done: knives of a head, chisels by width."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from shopboard.checks.steps import Caution, Choice
from shopboard.journal import SqliteJournal, open_journal
from shopboard.shop.machine import Machine, Task
from shopboard.sittings.cutter_change import CutterSitting, begin, resume
from shopboard.sittings.task import TaskSitting
from shopboard.sittings.waiting import begun_tasks
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.upkeep.cutter_journal import standings_now
from tests.journal.helpers import Clock
from tests.shop.texts import SHOP, load, problems_of

SETS = """
[[machine.task]]
id = "hone"
name = "Hone the chisels"
leaves = "nothing"
each = ["1/4 in chisel", "1/2 in chisel"]
steps = ["Bevel on the stone", "Back flat, strop"]

[[machine.task]]
id = "gouges"
name = "Strop it"
leaves = "nothing"
each = "No. 5"

[[machine.cutter]]
id = "knives"
name = "Knives"
where = "on the machine"
state = "dull"
kind = "knives"
pieces = 3
edges = 2

[[machine.cutter]]
id = "new"
name = "Second set"
where = "on the shelf"
state = "sharp"
kind = "knives"
pieces = 3
spare_for = "knives"
"""
MADE = load(SHOP + SETS).shop
SAW = MADE.machines[0]


def test_the_steps_are_done_with_each_of_the_set() -> None:
    hone, gouges = SAW.tasks
    assert [one.words for one in hone.steps] == [
        "1/4 in chisel: Bevel on the stone",
        "1/4 in chisel: Back flat, strop",
        "1/2 in chisel: Bevel on the stone",
        "1/2 in chisel: Back flat, strop",
    ]
    assert [one.words for one in gouges.steps] == ["No. 5: Strop it"]


def test_which_edges_are_done_survives_a_kill(journal_path: Path, clock: Clock) -> None:
    """The program ends after the first chisel: it goes on with the second."""
    hone = SAW.tasks[0]
    with closing(open_journal(journal_path, clock)) as journal:
        sitting = TaskSitting(journal, "saw", hone, None)
        sitting.answer("done")
        sitting.answer("done")
    with closing(open_journal(journal_path, clock)) as journal:
        begun = begun_tasks(journal, MADE, gather(journal))["saw", "hone"]
        again = TaskSitting(journal, "saw", hone, begun)
        assert again.step is not None
        assert again.step.title == "1/2 in chisel: Bevel on the stone"


def started(journal: SqliteJournal, ident: str, act: str) -> CutterSitting:
    here = standings_now(MADE, "saw", journal)
    return begin(journal, MADE, next(one for one in here if one.id == ident), act)


@pytest.mark.parametrize(
    ("ident", "act", "does"),
    [
        ("knives", "turn", "turn it to edge 2, seat it, tighten it"),
        ("new", "put on", "seat it, tighten it"),
    ],
)
def test_knives_are_done_one_by_one_and_a_kill_loses_none(
    journal_path: Path, clock: Clock, ident: str, act: str, does: str
) -> None:
    """The journal is opened anew after each answer; all are gone round again at the end."""
    titles = []
    with closing(open_journal(journal_path, clock)) as journal:
        step = started(journal, ident, act).step
        change = started(journal, ident, act)
        assert step is not None
        change.answer("1")
    while step is not None:
        with closing(open_journal(journal_path, clock)) as journal:
            taken_up = resume(journal, MADE, "saw", clock())
            if taken_up is None:
                break
            step = taken_up.step
            assert step is not None
            titles.append(step.title)
            assert shop_standing(MADE, gather(journal), clock()).machines[0].changing is not None
            assert not gather(journal).happenings  # it has happened at the end of the set
            taken_up.answer("1" if isinstance(step, Choice | Caution) else "")
    knives = [f"Knife {number} of 3: {does}." for number in (1, 2, 3)]
    at = titles.index(knives[0])
    assert titles[at : at + 4] == [*knives, "Every screw of every knife tight?"]
    with closing(open_journal(journal_path, clock)) as journal:
        what = "knives turned" if act == "turn" else "knives changed"
        assert [one.what for one in gather(journal).happenings] == [what]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("pieces = 3\nedges = 2", "pieces = 0", "from 1 to 200"),
        ('kind = "knives"\npieces = 3\nedges = 2', "pieces = 3", "a set belongs to knives: kind"),
        ('"1/2 in chisel"]', '"1/4 in chisel"]', "1/4 in chisel stands there twice"),
        ('"1/2 in chisel"]', "]", ""),
        ('each = "No. 5"', "each = []", "an empty list"),
        ('each = "No. 5"', f"each = {[str(n) for n in range(101)]}", "101"),
    ],
)
def test_what_makes_no_set_is_refused(old: str, new: str, said: str) -> None:
    assert old in SETS
    text = SHOP + SETS.replace(old, new, 1)
    if not said:  # a set of one is one
        assert load(text).warnings == ()
        return
    found = problems_of(text)[0]
    assert said in f"{found.what}; {found.allowed}".replace('"', "")


def test_a_set_without_a_number_is_changed_in_one_go() -> None:
    plain = load(SHOP + SETS.replace("pieces = 3\n", "")).shop.machines[0]
    assert isinstance(plain, Machine)
    assert [one.pieces for one in plain.cutters] == [1, 1]
    assert Task("hone", "Hone").each == ()
