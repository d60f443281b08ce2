"""`tasks`, `done` and `happened`, and what `status` says of tasks and of the order to check in."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import Any

import pytest

from tests.board.workshop import SHOP as LOFT
from tests.builders import do_steps
from tests.cli.program import Program

FENCE_TRUE = 'light = "none"\nboth = "neither"\n'


@pytest.fixture
def loft(program: Program) -> Program:
    """The program at a small workshop."""
    program.write("shop.toml", LOFT)
    return program


def task(loft: Program, name: str) -> Any:
    return next(one for one in loft("tasks", "--json").json["tasks"] if one["id"] == name)


def test_tasks_lists_due_and_next(loft: Program) -> None:
    """The due ones first, then the others as they fall due, then those without a date."""
    lines = loft("tasks").out.splitlines()
    assert [line.split()[:2] for line in lines] == [
        ["saw.clean", "due"],
        ["saw.dust", "due"],
        ["edges.hone", "due"],
        ["saw.guard", "not"],
    ]
    assert lines[0].endswith("never recorded")
    for name in ("edges.hone", "saw.dust"):
        assert loft("done", name).code == 0
    assert [one["id"] for one in loft("tasks", "--json").json["tasks"]] == [
        "saw.clean",
        "saw.dust",
        "edges.hone",
        "saw.guard",
    ]
    assert [line.split()[0] for line in loft("tasks", "--due").out.splitlines()] == ["saw.clean"]


def test_a_task_as_json(loft: Program) -> None:
    """Times with their zone; nothing where there is nothing."""
    assert task(loft, "edges.hone") == {
        "id": "edges.hone",
        "name": "Hone the gouges",
        "due": True,
        "reason": "never recorded",
        "due_on": None,
        "last": None,
        "recorded": None,
        "by": None,
        "under_way": None,
    }
    loft("done", "edges.hone", "--note", "new stone")
    done = task(loft, "edges.hone")
    assert done["due"] is False
    days = datetime.fromisoformat(done["due_on"]) - datetime.fromisoformat(done["last"])
    assert 27 <= days.days <= 28
    assert datetime.fromisoformat(done["last"]).tzinfo is not None


def test_the_tasks_of_one_machine_are_listed(loft: Program) -> None:
    """A machine that is not there is refused, with what was probably meant."""
    every = loft("tasks").out.splitlines()
    assert loft("tasks", "edges").out.split()[0] == "edges.hone"
    assert 0 < len(loft("tasks", "saw").out.splitlines()) < len(every)
    ran = loft("tasks", "swa")
    assert (ran.code, "no machine 'swa'; did you mean saw?" in ran.err) == (2, True)


def test_what_was_done_says_what_makes_it_due_again(loft: Program) -> None:
    """In one sentence; with what happens to the machine, where that does."""
    assert "; done just now; due " in loft("done", "edges.hone").err


def test_what_was_withdrawn_is_not_said_to_be_what_stands(loft: Program) -> None:
    """The newest mark goes; the one before it stands, and is told apart."""
    loft("done", "edges.hone", "--on", "3")
    assert "Recorded: Hone the gouges" in loft("done", "edges.hone").err
    first, second = loft("done", "edges.hone", "--withdraw", "not done").err.splitlines()
    assert first.startswith("Withdrawn: what was said to be done ")
    assert "done 3 days ago" not in first
    assert second.startswith("So it stands now: Hone the gouges; done on ")


def test_hours_make_a_task_due_and_can_be_taken_back(loft: Program) -> None:
    """Typed as on the board; the newest of a sort, with a reason."""
    loft("done", "edges.hone")
    said = loft("happened", "edges", "hours run", "2h30").err
    assert said == "Recorded: hours run, 2.5 h, 2.5 h in all. Due now: nothing.\n"
    said = loft("happened", "edges", "hours run", "5.5h").err
    assert "5.5 h, 8 h in all. Due now: nothing. To do: Hone the gouges." in said
    assert task(loft, "edges.hone")["reason"] == "8 h run since, every 4 weeks or 8 hours"
    said = loft("happened", "edges", "hours run", "--take-back", "typed 5.5, was 0.5").err
    assert said == "Withdrawn. Due now: nothing.\n"
    assert task(loft, "edges.hone")["reason"].endswith("in 5.5 h of use")


def test_a_count_is_taken_back_alone_whatever_was_recorded_since(loft: Program) -> None:
    """The newest, or with its amount an older one; what the task still has to run is right."""
    loft("happened", "edges", "hours run", "2")
    loft("done", "edges.hone")
    loft("happened", "edges", "hours run", "1.5")
    ran = loft("happened", "edges", "hours run", "7", "--take-back", "wrong")
    assert ran.code == 2
    assert "there are no 7 h on record; there are: 1.5 h on " in ran.err
    assert loft("happened", "edges", "hours run", "120 min", "--take-back", "the saw's").code == 0
    assert task(loft, "edges.hone")["reason"].endswith("in 6.5 h of use")
    assert "1 h, 2.5 h in all" in loft("happened", "edges", "hours run", "1").err
    assert loft("happened", "edges", "hours run", "--take-back", "wrong").code == 0
    assert loft("happened", "edges", "hours run", "--take-back", "wrong").code == 0
    ran = loft("happened", "edges", "hours run", "--take-back", "wrong")
    assert (ran.code, "no 'hours run' on record" in ran.err) == (2, True)


def test_done_on_another_day_counts_from_that_day(loft: Program) -> None:
    """Four weeks from then; both times are there."""
    day = datetime.now().astimezone() - timedelta(days=3)
    ran = loft("done", "edges.hone", "--on", "3")
    assert ran.code == 0
    assert f"done on {day:%a} {day.day} {day:%b %Y}, recorded just now" in ran.err
    found = task(loft, "edges.hone")
    assert datetime.fromisoformat(found["last"]).astimezone().date() == day.date()
    assert datetime.fromisoformat(found["recorded"]).date() >= day.date()
    due = datetime.fromisoformat(found["due_on"]).astimezone().date()
    assert due == (day + timedelta(days=28)).date()
    ran = loft("done", "edges.hone", "--on", "9")
    assert (ran.code, "is already recorded as done later" in ran.err) == (2, True)
    for words in ("tomorrow", "2099-01-01", ""):
        assert loft("done", "edges.hone", "--on", words).code == 2
    assert loft("done", "edges.hone", "--on", "today").code == 0
    assert loft("done", "edges.hone", "--on", "3", "--take-back", "x").code == 2


def test_what_happened_on_another_day_counts_in_the_order_of_recording(loft: Program) -> None:
    """What was checked in between is undone with the rest, and that is said."""
    answers = loft.write("true.toml", FENCE_TRUE)
    for point in ("table", "fence", "stop"):
        assert loft("check", f"saw.{point}", "--answers", str(answers)).code == 0
    ran = loft("happened", "saw", "knocked", "--on", "yesterday")
    assert ran.code == 0
    day = datetime.now().astimezone() - timedelta(days=1)
    assert f"Recorded: knocked, of {day:%a} {day.day} {day:%b %Y}." in ran.err
    assert "Checked since, but this counts from now on, so check again: Fence, Stop." in ran.err
    reasons = {
        one["id"]: one["reason"]
        for machine in loft("status", "--json").json["machines"]
        for one in machine["points"]
    }
    assert reasons["saw.table"] == ""
    assert f"knocked on {day:%a} {day.day} {day:%b %Y}, recorded " in reasons["saw.fence"]
    ran = loft("happened", "saw", "hours run", "2", "--on", "2 days ago")
    assert (ran.code, "in all" in ran.err) == (0, True)
    assert loft("happened", "saw", "knocked", "--on", "2099-01-01").code == 2


def test_a_finished_project_is_told_of_the_shop_or_of_any_machine(loft: Program) -> None:
    """Of none in the shop file: it counts for all."""
    loft("done", "saw.dust")
    assert loft("happened", "shop", "project finished").code == 0
    assert task(loft, "saw.dust")["reason"].startswith("used in 1 project since")
    assert loft("happened", "edges", "project finished", "--withdraw", "not yet").code == 0
    assert task(loft, "saw.dust")["due"] is False


def test_a_note_takes_its_words_either_way(loft: Program) -> None:
    """And undoes nothing."""
    assert loft("happened", "saw", "note", "the bearing hums").code == 0
    said = loft("happened", "saw", "note", "--note", "louder now").err
    assert said == "Recorded: note. Due now: nothing. To do: Clean the blade, Empty the dust box.\n"
    assert loft("happened", "saw", "knocked", "--note", "with the trolley").code == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("happened", "saw", "hours run"), "How long did it run? Hours: 2, 2.5 or 2h30."),
        (("happened", "saw", "hours run", "lots"), "'lots': does not start with a number"),
        (("happened", "saw", "hours run", "90 m"), "unknown unit 'm'"),
        (("happened", "saw", "cuts made", "1.5"), "a whole number"),
        (("happened", "saw", "knocked", "3"), "knocked has no amount"),
        (("happened", "saw", "note"), "a note has 1 to 200 characters"),
        (("happened", "saw", "note", "x" * 201), "a note has 1 to 200 characters"),
        (("happened", "saw", "knocked", "--note", "\x1b[2J"), "plain words"),
        (("happened", "shop", "knocked"), "knocked happens to one machine: name it"),
        (("happened", "saw", "hours rum", "2"), "did you mean hours run"),
        (("done", "saw.clen"), "did you mean saw.clean"),
        (("done", "clean"), "no task 'clean'"),
        (("done", "saw.clean", "--take-back", "x"), "there is no mark that saw.clean was done"),
        (("done", "saw.clean", "--note", ""), "--note is empty"),
        (("done", "saw.clean", "--take-back", "\u202e"), "plain words"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    loft: Program, words: tuple[str, ...], says: str
) -> None:
    """And nothing is recorded."""
    ran = loft(*words)
    assert ran.code == 2
    assert says in ran.err
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1
    assert all(one["last"] is None for one in loft("tasks", "--json").json["tasks"])


def test_in_a_shop_without_tasks_there_is_none(program: Program) -> None:
    """Said plainly."""
    assert program("tasks").out == ""
    assert program("tasks", "--json").json["tasks"] == []
    ran = program("done", "saw.wax")
    assert (ran.code, ran.err) == (2, "shopboard: there is no task in the shop file\n")


def test_status_tells_a_bench_without_points_by_its_tasks(loft: Program) -> None:
    """Due, then kept; it is no point, and all can be true with it due."""
    lines = loft("status").out.splitlines()
    at = next(at for at, one in enumerate(lines) if one.endswith("(edges), never done"))
    assert lines[at].startswith("due  ")
    assert re.match(r"  to do: .* \(edges\.hone\)$", lines[at + 1])
    loft("done", "edges.hone")
    line = next(one for one in loft("status").out.splitlines() if "(edges), " in one)
    assert line.startswith("no checks  ")
    assert line.endswith("done just now")
    edges = loft("status", "--json").json["machines"][1]
    assert (edges["state"], edges["points"], edges["check_first"]) == ("kept", [], None)
    assert edges["tasks"][0]["id"] == "edges.hone"
    for point in ("table", "fence", "stop"):
        loft.check(f"saw.{point}", FENCE_TRUE)
    loft("happened", "edges", "hours run", "9")
    assert loft("status", "--json").json["all_true"] is True
    assert loft("status", "--exit-code").code == 0


def test_status_proposes_first_what_the_others_rest_on(loft: Program) -> None:
    """Plain and as JSON, with the order of all."""
    order = [one for one in loft("status").out.splitlines() if one.startswith("next: check ")]
    ends = ("(saw.table), 6 min", "(saw.fence), 6 min", "(saw.stop), 6 min")
    assert all(one.endswith(end) for one, end in zip(order, ends, strict=True))
    data = loft("status", "--json").json
    assert data["check_order"] == ["saw.table", "saw.fence", "saw.stop"]
    assert data["machines"][0]["check_first"] == "saw.table"
    for point in ("table", "fence", "stop"):
        loft.check(f"saw.{point}", FENCE_TRUE)
    assert loft("status", "--json").json["check_order"] == []
    said = loft("happened", "saw", "machine moved").err
    assert "Due now, in the order to check: Table, Fence, Stop." in said
    points = {one["id"]: one for one in loft("status", "--json").json["machines"][0]["points"]}
    reason = points["saw.stop"]["reason"]
    assert reason.startswith("machine moved on ")
    assert reason.endswith("; depends on Table")


def test_where_checks_are_due_already_a_project_does_not_say_that_none_is(loft: Program) -> None:
    """They were due before: it names none, and says that it made none due."""
    for point in ("table", "fence", "stop"):
        loft.check(f"saw.{point}", FENCE_TRUE)
    assert "Due now: nothing." in loft("happened", "shop", "project finished").err
    loft("happened", "saw", "machine moved")
    told = loft("happened", "shop", "project finished").err
    assert ". No further check falls due by this." in told
    assert "Due now" not in told


def test_status_and_tasks_tell_what_is_waited_for(loft: Program) -> None:
    """A task that the board has under way."""
    from contextlib import closing

    from shopboard.journal import open_journal
    from shopboard.open_shop import utc_now
    from shopboard.shop.reader import read_shop
    from shopboard.sittings.task import TaskSitting

    clean = read_shop(loft.shop).shop.machines[0].tasks[0]
    with closing(open_journal(loft.journal, utc_now)) as journal:
        run = TaskSitting(journal, "saw", clean, None)
        do_steps(run, 2)
    assert "Soak: 10 min left" in loft("status").out
    assert loft("tasks", "--due").out.splitlines()[0].split()[:2] == ["saw.clean", "Soak:"]
    under_way = task(loft, "saw.clean")["under_way"]
    assert (under_way["steps_done"], under_way["steps"]) == (2, 4)
    assert 590 < under_way["wait_seconds"] <= 600
    assert loft("done", "saw.clean").code == 0
    assert task(loft, "saw.clean")["under_way"] is None
