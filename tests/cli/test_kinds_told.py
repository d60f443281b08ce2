"""What is seen of each kind of entry: `status`, `export`, and the way to withdraw it.

A shop lives through every kind once. Then the same entries come into another journal one by one,
and what a person is told before each is held against what is told after it.
"""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.journal import Entry, JournalError, NewEntry, kinds, new_uid, open_journal
from shopboard.open_shop import OpenShop, utc_now
from shopboard.prep.begun_day import begin_day
from shopboard.prep.pause import record_pause
from shopboard.results.remarks import note_result
from shopboard.sittings import cutter_change
from shopboard.sittings.check import start
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.cutter_journal import standings_now
from tests.builders import Person
from tests.cli.program import Program
from tests.journal.helpers import Clock
from tests.metric_shop import SHOP

ROWS = {f"{one.name} {one.point}": one for one in (*kinds.ALL, *kinds.BESIDE)}

BY_COMMAND = (
    ("happened", "saw", "hours run", "2 h"),
    ("happened", "saw", "machine moved"),
    ("done", "bench.hone"),
    ("cutter", "saw.rip", "dull"),
    ("tag", "drill", "a guard is off"),
    ("glueup", "trestle", "top", "--anyway", "it closes"),
)
TAKEN_BACK = (
    ("void", "saw.blade", "{uid}", "--reason", "misread"),
    ("happened", "saw", "hours run", "--take-back", "the wrong machine"),
    ("done", "bench.hone", "--take-back", "not all"),
    ("cutter", "saw.rip", "take back", "--reason", "it cuts"),
    ("glueup", "trestle", "top", "--take-back", "it did not close"),
    ("prep", "--withdraw", "was at it"),
    ("prep", "--withdraw", "the wrong day"),
)
"""The way back of each kind that has one."""


def live(program: Program) -> None:
    """Do what there is to do in a shop, until no kind of entry is missing."""
    with closing(OpenShop(program.shop, program.journal)) as open_shop:
        shop, journal = open_shop.shop, open_shop.journal
        journal.append([kinds.MADE_UP.new(new_uid(), kinds.MadeUp(1, "", ""))])
        saw = shop.machines_by_id["saw"]
        sitting = start(journal, shop, saw.points[0])
        sitting.answer("plug out")
        sitting.answer("")
        sitting.back()
        person = Person(0.008, then=(0.0,))
        while sitting.step is not None:
            sitting.answer(person.answer(sitting.step, sitting.job))
        open_shop.refresh()
        record = open_shop.standing.machines[0].points[0].record
        assert record is not None
        note_result(journal, record, "a damp day")
        task = TaskSitting(journal, "saw", saw.tasks[0], None)
        task.answer("")
        task.discard("abandoned")
        change = cutter_change.begin(
            journal, shop, standings_now(shop, "saw", journal)[1], "put on"
        )
        change.answer("1")
        change.discard("given up")
        begin_day(journal, "trestle", None)
        record_pause(journal, open_shop.now(), away=True)
        lost = kinds.Lost(first=7, last=7, kind="tag", machine="bench", certain=True)
        journal.append([kinds.SALVAGED.new(new_uid(), kinds.CameBack("old", 9, (lost,), 1))])
    assert program("round", typed="1\n").code == 0
    for words in BY_COMMAND:
        assert program(*words).code in (0, 1), words
    with closing(open_journal(program.journal, lambda: utc_now() + timedelta(days=700))) as ahead:
        ahead.append([kinds.TASK.new(new_uid(), kinds.TaskDone(0.0, 0.0), "bench", "hone")])
    assert program("clock", "--right").code == 0


def entries(program: Program) -> list[Entry]:
    """Give all that is on record, oldest first."""
    with closing(open_journal(program.journal, utc_now)) as journal:
        return journal.newest([*kinds.NAMED], 9999, 9999, 9999)[::-1]


def row(entry: Entry) -> str:
    """Give the key of the row of an entry."""
    found = kinds.row_of(entry.kind, entry.point)
    assert found is not None
    return f"{found.name} {found.point}"


def told(program: Program) -> tuple[str, str]:
    """Give what `status` and `export` tell."""
    status, export = program("status", "--json"), program("export", "all", "--csv")
    assert (status.code, export.code) == (0, 0)
    return status.out, export.out


@pytest.fixture
def lived(program: Program) -> Program:
    """A shop in which every kind of entry was recorded."""
    program.write("shop.toml", SHOP)
    live(program)
    uid = program.results("saw.blade")[0]["uid"]
    for words in TAKEN_BACK:
        assert program(*(one.format(uid=uid) for one in words)).code in (0, 1), words
    return program


def test_status_and_export_tell_of_what_their_row_says(lived: Program, tmp_path: Path) -> None:
    """An entry that is not told of changes neither; of a kind that is told of, one at least."""
    (tmp_path / "again").mkdir()
    again = Program(tmp_path / "again", lived.capsys, lived.monkeypatch)
    again.write("shop.toml", SHOP)
    before = told(again)
    status: set[str] = set()
    export: set[str] = set()
    clock = Clock()
    for one in entries(lived):
        clock.now = one.when
        with closing(open_journal(again.journal, clock)) as journal:
            journal.append([NewEntry(*one[1:2], *one[3:6], one.body, one.refers)])
        after = told(again)
        status |= {row(one)} if after[0] != before[0] else set()
        export |= {row(one)} if after[1] != before[1] else set()
        before = after
    assert status == {key for key, one in ROWS.items() if one.status}
    assert export == {key for key, one in ROWS.items() if one.export}


def test_what_has_a_way_back_is_voidable_and_nothing_else(lived: Program) -> None:
    """By every command that withdraws; what none of them reaches the journal refuses."""
    found = entries(lived)
    assert {row(one) for one in found} == {*ROWS}
    back = {row(one) for one in found if one.void is not None}
    assert back == {key for key, one in ROWS.items() if one.voidable}
    with closing(open_journal(lived.journal, utc_now)) as journal:
        for one in found:
            if not ROWS[row(one)].voidable:
                with pytest.raises(JournalError, match="cannot be withdrawn"):
                    journal.void(one.uid, "a slip")
        assert journal.count() == len(found)
