"""Points with more than one method, what the drawer can prove, and proofs, by command."""

from __future__ import annotations

import re
from contextlib import closing

import pytest

from shopboard.journal import open_journal
from shopboard.journal.kinds import END
from shopboard.open_shop import utc_now
from tests.cli.program import FENCE_TRUE, SHOP, Program

WITH_MORE = (
    SHOP.replace('name = "Fence at 90"\ncheck = "square"', 'name = "F"\ncheck = ["square", "flip"]')
    + """
[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "6 in"
within = "1 thou"

[[machine]]
id = "bench"
name = "Bench"

[[machine.point]]
id = "square-6"
name = "Square, 6 in"
check = ["square-flip", "three-squares"]
proves = "square-6"
tolerance = "12 thou/ft"

[[machine.point]]
id = "knife"
name = "Riving knife in line"
check = "go-no-go"

[[machine.point]]
id = "belt"
name = "Belt"
check = "note"

[[machine.point]]
id = "brake"
name = "Brake"
check = "timed"
tolerance = "0 to 10 s"
"""
)
FLIP = 'care = "understood"\nopen = "none"\nwidth = "12 in"\n[gap]\nrefused = "0.0015"\n'
LINES = 'at = "6 in"\nlies = "right"\ngap = "0.006 in"\n'


@pytest.fixture
def more(program: Program) -> Program:
    program.write("shop.toml", WITH_MORE)
    return program


def test_a_point_is_checked_by_the_method_that_is_named(more: Program) -> None:
    assert more.check("jointer.fence", FENCE_TRUE, "--json").json["method"] == "square"
    ran = more.check("jointer.fence", FLIP, "--json", "--method", "flip")
    assert (ran.code, ran.json["method"]) == (0, "flip")


def test_the_history_marks_the_method_of_each_result(more: Program) -> None:
    more.check("jointer.fence", FENCE_TRUE)
    more.check("jointer.fence", FLIP, "--method", "flip")
    lines = more("history", "jointer.fence").out.splitlines()
    assert [line.split()[4] for line in lines] == ["flip", "square"]
    found = more.results("jointer.fence")
    assert [one["method"] for one in found] == ["flip", "square"]


def test_a_method_that_the_point_has_not_is_refused(more: Program) -> None:
    ran = more.check("saw.blade", FLIP, "--method", "flip")
    assert ran.code == 2
    assert "checked by square, not flip" in ran.err


def test_an_unfinished_check_goes_on_by_its_own_method(more: Program) -> None:
    """And a check by another one closes it once that is agreed to."""
    more("check", "jointer.fence", "--method", "flip", typed="1\n")
    assert "Going on at step 2" in more("check", "jointer.fence", typed="").err
    other = ("check", "jointer.fence", "--method", "square")
    for typed in ("", "no\n"):
        ran = more(*other, typed=typed)
        assert ran.code == 2
        assert "nothing was closed" in ran.err
    assert "Going on at step 2" in more("check", "jointer.fence", typed="").err
    ran = more(*other, typed="yes\n")
    assert "The check by flip, begun just now, is not finished." in ran.err
    assert "Going on at" in more("check", "jointer.fence", typed="leave\n").err
    assert "Going on at" not in more("check", "jointer.fence", typed="").err  # nothing was measured


def test_whose_check_it_is_is_said_before_it_is_closed(
    more: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ten readings by the same method are begun in its place, and that is what is recorded."""
    more("--who", "bench 2", "check", "saw.blade", typed="1\n\n\n1\n")
    ran = more("hand", "saw.blade", typed="")
    assert ran.code == 2
    assert "The check by square, begun just now by bench 2, is not finished." in ran.err
    assert "Going on at step 5 of the check begun earlier by bench 2." in (
        more("check", "saw.blade", typed="").err
    )
    assert more("hand", "saw.blade", typed="yes\n").code == 0
    with closing(open_journal(more.journal, utc_now)) as journal:
        (end,) = journal.recent("end", "saw", "blade")
    assert END.read(end).text == "ten readings were begun in its place"


def test_a_result_that_waits_to_be_saved_is_closed_for_nothing(more: Program) -> None:
    to_result = "1\n\n\n\n3\n12 in\n.0015 in\n\n"
    assert "Enter saves" in more("check", "jointer.fence", "--method", "flip", typed=to_result).out
    ran = more("check", "jointer.fence", "--method", "square", typed="yes\n")
    assert ran.code == 2
    assert "its result waits to be saved" in ran.err


def test_what_cannot_be_begun_closes_nothing(more: Program) -> None:
    more("check", "jointer.fence", "--method", "flip", typed="1\n")
    ran = more("hand", "jointer.fence", "--method", "flip", typed="yes\n")
    assert ran.code == 2
    assert "says nothing about how well your hand repeats" in ran.err
    assert "Going on at step 2" in more("check", "jointer.fence", typed="").err


def test_points_say_what_each_method_can_prove(more: Program) -> None:
    rows = {row["id"]: row for row in more("points", "--best", "--json").json["points"]}
    best = rows["jointer.fence"]["best"]
    assert sorted(one["method"] for one in best) == ["flip", "square"]
    assert all(one["proves"] and one["expanded"]["deg"] > 0 for one in best)
    assert rows["bench.knife"]["best"][0]["proves"]
    text = more("points", "--best").out
    assert re.search(r"by looking$", text, re.MULTILINE)
    assert "best" not in more("points", "--json").json["points"][0]


def test_a_tolerance_beyond_the_drawer_says_what_it_takes(more: Program) -> None:
    more.write("shop.toml", WITH_MORE.replace('"12 thou/ft"', '"0.1 thou/ft"'))
    text = more("points", "--best").out
    assert "which cannot prove it true" in text
    assert "Your tools cannot settle this (" in text


def test_a_proof_narrows_what_the_square_leaves_open(more: Program) -> None:
    """Voiding it brings the grade back."""

    def budget() -> list[str]:
        rows = more.check("jointer.fence", FENCE_TRUE, "--json", "--no-record").json
        return [one["source"] for one in rows["uncertainty"]["budget"]]

    graded = budget()
    uid = more.check("bench.square-6", LINES, "--json").json["uid"]
    assert "square, as certified or proven" in budget()
    more("void", "bench.square-6", uid, "--reason", "thick lines")
    assert budget() == graded


def test_a_note_and_a_no_are_kept_in_words(more: Program) -> None:
    assert more.check("bench.belt", 'text = "two cracks"\n').code == 0
    assert more.check("bench.knife", 'answer = "no"\nwrong = "bent"\n').code == 0
    assert "noted" in more("history", "bench.belt").out
    assert "two cracks" in more("history", "bench.belt").out
    states = {row["id"]: row["state"] for row in more("points", "--json").json["points"]}
    assert (states["bench.belt"], states["bench.knife"]) == ("noted", "out")


def test_a_note_is_typed_as_plain_lines(more: Program) -> None:
    ran = more("check", "bench.belt", typed="\nbelt: why not?\n\n\n")
    assert "write a few words" in ran.err
    assert "belt: why not?" in more("history", "bench.belt").out


def test_a_missing_note_is_named(more: Program) -> None:
    ran = more.check("bench.belt", "")
    assert "text is missing: Belt: what do you want to note?; a few plain words" in ran.err


def test_a_tolerance_of_the_wrong_kind_is_reported_at_its_place(more: Program) -> None:
    more.write("shop.toml", WITH_MORE.replace('"0 to 10 s"', '"3 thou"'))
    line = WITH_MORE.splitlines().index('tolerance = "0 to 10 s"') + 1
    for command in (("proofread", str(more.shop)), ("status",)):
        ran = more.bare(*command) if command[0] == "proofread" else more(*command)
        assert ran.code == 3
        assert f":{line}:13" in ran.err
        assert "a length where the check timed measures a time" in ran.err
