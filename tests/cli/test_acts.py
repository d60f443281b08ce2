"""What is recorded by a command is recorded once, however often it is tried under its name."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, Store, open_journal
from tests.cli.program import BLADE_TRUE, FENCE_OUT, FENCE_TRUE, SHOP, Program
from tests.cli.test_cutters import CUTTERS
from tests.in_turn import few
from tests.journal.helpers import need, opened, uids

WAX = """
[[machine.task]]
id = "wax"
name = "Wax the table"
every = "10 hours"
"""
WITH_MORE = SHOP + WAX
"""The task is the jointer's, the last machine of the shop."""


def minutes(journal: Store, machine: str = "saw") -> float:
    """The running total of a machine as the newest count tells it."""
    found = journal.recent("happening", machine, "hours run", 1)
    total = found[0].body["total"] if found else 0.0
    assert isinstance(total, float)
    return total


@pytest.mark.parametrize("call", [*(f"fdatasync:error=EIO:when={n}+" for n in few(range(2, 9), 2))])
def test_after_a_fault_the_same_hours_count_once(program: Program, call: str) -> None:
    """From its n-th wait on the disk fails: the entry is in the file or is not, and nobody knows.

    The command that the error prints is then run as it stands, twice: half an hour each time was
    told, half an hour counts.
    """
    need("strace")
    assert program("happened", "saw", "hours run", "30min").code == 0
    count = len(uids(program.journal))
    words = ["--shop", str(program.shop), "--journal", str(program.journal)]
    command = [sys.executable, "-m", "shopboard", "happened", "saw", "hours run", "0.5h", *words]
    strace = ["strace", "-f", "--seccomp-bpf", "-o", "/dev/null", "-e", "trace=fdatasync"]
    done = subprocess.run(
        [*strace, "-e", f"inject={call}", *command],
        capture_output=True,
        text=True,
        timeout=60,
        cwd=Path(__file__).parents[2],
    )
    if done.returncode == 0:
        assert "1 h in all" in done.stderr
        return
    found = re.search(r"nothing recorded twice: shopboard (.*)", done.stderr)
    assert found is not None, done.stderr
    assert "Traceback" not in done.stderr
    again = shlex.split(found[1])
    assert again[-2] == "--uid"
    for _ in range(2):
        ran = program.bare(*again)
        assert ran.code == 0, ran.err
    assert len(uids(program.journal)) == count + 1
    with closing(opened(program.journal)) as journal:
        assert minutes(journal) == 60.0


@pytest.mark.parametrize(
    "words",
    [
        ("happened", "saw", "hours run", "0.5h"),
        ("happened", "saw", "blade changed"),
        ("happened", "shop", "project finished"),
        ("happened", "saw", "note", "the bearing hums"),
        ("done", "jointer.wax"),
        ("tag", "saw", "guard is off"),
        ("prep", "--begin"),
    ],
)
def test_an_act_with_a_name_is_recorded_once(program: Program, words: tuple[str, ...]) -> None:
    """The second run says so, ends well and adds nothing; without a name it is a second act."""
    program.write("shop.toml", WITH_MORE)
    assert program(*words, "--uid", "act1").code == 0
    before = uids(program.journal)
    again = program(*words, "--uid", "act1")
    assert again.code == 0, again.err
    assert "Nothing was recorded twice." in again.err
    assert uids(program.journal) == before
    if words[0] != "prep":  # a day under way is not begun once more, named or not
        assert program(*words).code == 0
        assert len(uids(program.journal)) > len(before)


def test_taking_back_by_a_name_takes_one_back(program: Program) -> None:
    """Tried again it does not go on to the one before."""
    for _ in range(3):
        assert program("happened", "saw", "hours run", "1h").code == 0
    for _ in range(2):
        ran = program("happened", "saw", "hours run", "--withdraw", "typed twice", "--uid", "b1")
        assert ran.code == 0, ran.err
    program.write("shop.toml", WITH_MORE)
    for _ in range(2):
        assert program("done", "jointer.wax").code == 0
    for _ in range(2):
        assert program("done", "jointer.wax", "--take-back", "was not", "--uid", "b2").code == 0
    with closing(opened(program.journal)) as journal:
        counts = journal.recent("happening", "saw", "hours run")
        assert [one.void for one in counts] == ["typed twice", None, None]
        marks = journal.recent("task", "jointer", "wax")
        assert [one.void for one in marks] == ["was not", None]


def test_clearing_a_tag_and_voiding_by_a_name(program: Program) -> None:
    """What cannot be done a second time is no error where it is the same act."""
    assert program("tag", "saw", "guard is off", "--uid", "t1").code == 0
    for _ in range(2):
        assert program("tag", "saw", "--clear", "guard is on", "--uid", "t2").code == 0
    assert program.check("saw.blade", BLADE_TRUE).code == 0
    uid = program.results("saw.blade")[0]["uid"]
    for _ in range(2):
        ran = program("void", "saw.blade", uid, "--reason", "misread", "--uid", "v1")
        assert ran.code == 0, ran.err
    assert [one["void"] for one in program.results("saw.blade")] == ["misread"]


def test_a_file_of_answers_by_a_name_is_one_check(program: Program) -> None:
    """The same results and the same uids are printed again."""
    first = program.check("jointer.fence", FENCE_TRUE, "--uid", "c1", "--json")
    assert first.code == 0, first.err
    before = uids(program.journal)
    again = program.check("jointer.fence", FENCE_TRUE, "--uid", "c1", "--json")
    assert again.code == 0, again.err
    assert uids(program.journal) == before
    assert again.json["findings"][0]["uid"] == first.json["findings"][0]["uid"]
    assert len(program.results("jointer.fence")) == 1


def test_a_file_of_other_answers_is_another_check(program: Program) -> None:
    """It is refused, not told as if it were on record."""
    assert program.check("jointer.fence", FENCE_TRUE, "--uid", "c1").code == 0
    before = uids(program.journal)
    ran = program.check("jointer.fence", FENCE_OUT, "--uid", "c1")
    assert ran.code == 2
    assert "--uid c1 names another record; nothing was recorded" in ran.err
    assert not ran.out
    assert uids(program.journal) == before


def test_a_check_cut_off_half_way_is_gone_on_with(program: Program) -> None:
    """Its beginning is on disk, the rest was refused: the same name completes it."""
    assert program.check("jointer.fence", FENCE_TRUE, "--uid", "c1").code == 0
    with closing(opened(program.journal)) as journal:
        whole = journal.thread("c1")
        begin = journal.get("c1")
    assert begin is not None
    half = program.folder / "half.sqlite3"
    with closing(open_journal(half, lambda: datetime.now(UTC))) as journal:
        for one in (begin, *whole[:1]):
            journal.append(
                [NewEntry(one.uid, one.kind, one.machine, one.point, one.body, one.refers)]
            )
    files = ("--shop", str(program.shop), "--journal", str(half))
    answers = str(program.folder / "answers.toml")
    ran = program.bare("check", "jointer.fence", "--answers", answers, "--uid", "c1", *files)
    assert ran.code == 0, ran.err
    results = program.bare("history", "jointer.fence", "--json", *files).json["results"]
    assert [one["uid"] for one in results] == [one.uid for one in whole if one.kind == "check"]


@pytest.mark.parametrize(
    "words",
    [
        ("happened", "saw", "hours run", "2h"),
        ("happened", "jointer", "hours run", "0.5h"),
        ("tag", "saw", "guard is off"),
    ],
)
def test_a_name_belongs_to_one_act(program: Program, words: tuple[str, ...]) -> None:
    """On another act it is refused rather than taken for done."""
    assert program("happened", "saw", "hours run", "0.5h", "--uid", "a1").code == 0
    ran = program(*words, "--uid", "a1")
    assert ran.code == 2
    assert "--uid a1 names another record; nothing was recorded" in ran.err
    assert "already" not in ran.err


@pytest.mark.parametrize("name", ["a-1", "a b", "x" * 33, "é"])
def test_a_name_is_of_letters_and_digits(program: Program, name: str) -> None:
    """Names of further entries are made of it."""
    ran = program("happened", "saw", "knocked", "--uid", name)
    assert ran.code == 2
    assert "letters and digits" in ran.err


def test_other_words_under_a_name_are_another_act(program: Program) -> None:
    """A tag or a note that says something else is not taken for done."""
    assert program("tag", "saw", "guard is off", "--uid", "t1").code == 0
    assert program("tag", "saw", "--clear", "guard is on", "--uid", "t1").code == 2
    assert program("tag", "saw", "it hums", "--uid", "t1").code == 2
    assert program("happened", "saw", "note", "it hums", "--uid", "n1").code == 0
    assert program("happened", "saw", "note", "it sings", "--uid", "n1").code == 2


def test_a_prep_day_is_ended_once_by_a_name_and_begun_for_one_thing(program: Program) -> None:
    """Ended again under the same name it is no error; begun by it, it is not ended."""
    assert program("prep", "--begin", "--uid", "p1").code == 0
    assert program("prep", "--end", "--uid", "p1").code == 2
    assert program("prep", "--end", "--uid", "p2").code == 0
    before = uids(program.journal)
    again = program("prep", "--end", "--uid", "p2")
    assert again.code == 0, again.err
    assert "Nothing was recorded twice." in again.err
    assert program("prep", "--end").code == 2
    assert program("prep", "--begin", "--allow-two-open", "--uid", "p1").code == 2
    assert uids(program.journal) == before


def test_a_name_of_one_cutter_or_result_is_no_name_of_another(program: Program) -> None:
    """Taken for done, the second would never be recorded."""
    head, jointer, tail = SHOP.rpartition('[[machine]]\nid = "jointer"')
    program.write("shop.toml", f"{head}{CUTTERS}{jointer}{tail}{WAX}")
    assert program("cutter", "saw.rip", "dull", "--uid", "k1").code == 0
    assert "Nothing was recorded twice" in program("cutter", "saw.rip", "dull", "--uid", "k1").err
    ran = program("cutter", "saw.cross", "dull", "--uid", "k1")
    assert "names another record" in ran.err
    assert program("cutter", "saw.rip", "take back", "--uid", "k1").code == 2
    assert program("cutter", "saw.cross", "send out").code == 0
    assert program("cutter", "saw.cross", "back", "--cost", "18.50", "--uid", "k2").code == 0
    assert program("cutter", "saw.cross", "back", "--cost", "18.50", "--uid", "k2").code == 0
    assert program("cutter", "saw.cross", "back", "--cost", "28.50", "--uid", "k2").code == 2
    for _ in range(2):
        assert program.check("saw.fence", FENCE_TRUE).code == 0
    one, other = (result["uid"] for result in program.results("saw.fence"))
    for _ in range(2):
        assert program("void", "saw.fence", one, "--reason", "misread", "--uid", "v1").code == 0
    ran = program("void", "saw.fence", other, "--reason", "misread", "--uid", "v1")
    assert (ran.code, "names another record" in ran.err) == (2, True)
    assert program("done", "jointer.wax", "--note", "hard wax", "--uid", "w1").code == 0
    assert program("done", "jointer.wax", "--note", "hard wax", "--uid", "w1").code == 0
    assert program("done", "jointer.wax", "--note", "soft wax", "--uid", "w1").code == 2
