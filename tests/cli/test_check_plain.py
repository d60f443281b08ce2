"""`shopboard check POINT`: a check as plain lines, typed line by line."""

from __future__ import annotations

import pytest

from tests.cli.program import Program, process


def lines(*typed: str) -> str:
    return "".join(f"{line}\n" for line in typed)


FENCE = ("", "", "top", "3", ".040", ".042", "", "2", "")
"""Tools, square placed, light, type the leaves, goes, refused, keep it, leave it so, cleared."""


def test_a_whole_check_line_by_line(program: Program) -> None:
    """The verdict is shown before it is kept; at the end it is on disk."""
    ran = program("check", "jointer.fence", typed=lines(*FENCE))
    assert ran.code == 0
    assert "out" in ran.out
    assert "Recorded, as-found." in ran.out
    assert "closed" in ran.out
    (kept,) = program.results("jointer.fence")
    assert kept["verdict"] == "out"


def test_it_goes_on_where_it_was_left(program: Program) -> None:
    """Leave and the end of input both keep the answers; the next run goes on with them."""
    program("check", "jointer.fence", typed=lines(*FENCE[:3], "leave"))
    second = program("check", "jointer.fence", typed=lines(*FENCE[3:5]))
    assert "Going on at step 4" in second.err
    assert "goes on with it" in second.err
    third = program("check", "jointer.fence", typed=lines(*FENCE[5:]))
    assert "Going on at step 6" in third.err
    assert len(program.results("jointer.fence")) == 1
    assert "Going on" not in program("check", "jointer.fence").err


def test_a_shop_file_changed_meanwhile_begins_it_anew(program: Program) -> None:
    """And says so."""
    program("check", "jointer.fence", typed=lines(*FENCE[:3], "leave"))
    text = program.shop.read_text().replace('tolerance = "0.2 deg"', 'tolerance = "0.3 deg"')
    program.write("shop.toml", text)
    ran = program("check", "jointer.fence")
    assert "shop file changed" in ran.err
    assert "1. " in ran.out


def test_back_takes_the_last_answer_back(program: Program) -> None:
    """Light at the top after all."""
    typed = lines(*FENCE[:2], "bottom", "back", *FENCE[2:])
    program("check", "jointer.fence", typed=typed)
    (kept,) = program.results("jointer.fence")
    assert kept["error"]["thou_per_ft"] > 0


def test_back_at_the_first_step_is_refused(program: Program) -> None:
    """In words, and the step stays."""
    assert "first step" in program("check", "jointer.fence", typed=lines("back")).err


def test_why_shows_the_formula_with_the_numbers(program: Program) -> None:
    """Before there is a result, it says that there is none."""
    early = program("check", "jointer.fence", typed=lines("why", "leave"))
    assert "Nothing is worked out yet" in early.err
    ran = program("check", "jointer.fence", typed=lines(*FENCE[:6], "why", *FENCE[6:]))
    assert "atan(gap / reach)" in ran.out
    assert "0.040 in (goes)" in ran.out
    assert "bracket between the leaves" in ran.out
    assert "U = k u" in ran.out


def test_a_refused_answer_is_told_and_asked_again(program: Program) -> None:
    """What is wrong, and what would do."""
    typed = lines(*FENCE[:2], "sideways", "tpo", *FENCE[2:5], ".030", *FENCE[5:])
    ran = program("check", "jointer.fence", typed=typed)
    assert ran.err.count("! ") == 3
    assert "did you mean top" in ran.err
    assert "must be thicker" in ran.err
    assert ran.code == 0
    assert len(program.results("jointer.fence")) == 1


def test_a_correction_is_led_through(program: Program) -> None:
    """Plug, tools, reading; the advice; moved, turned, locked; the reading again."""
    typed = lines(
        "1", "", "", "top", "typed", ".040", ".042", "no", "", "adjust", "plug out", "", "", "",
        "", "none", "neither", "no", "", "",
    )  # fmt: skip
    ran = program("check", "saw.blade", typed=typed)
    assert "clockwise" in ran.out
    assert "the tilt lock" in ran.out
    assert "Recorded, as-left." in ran.out
    runs = [one["run"] for one in program.results("saw.blade")]
    assert runs == ["as-left", "as-found"]


def test_hostile_lines_change_nothing_and_come_back_harmless(program: Program) -> None:
    """Escapes, bidi, a line of 100,000 characters, NUL."""
    hostile = ("\x1b[2J\x07", "\u202etop", "x" * 100_000, "\0", "[b]top[/b]", "9" * 6000)
    ran = program("check", "jointer.fence", typed=lines(*FENCE[:2], *hostile))
    assert ran.code == 0
    for char in ("\x1b", "\x07", "\u202e", "\0"):
        assert char not in ran.out + ran.err
    assert ran.err.count("! ") == len(hostile)
    assert all(len(line) < 400 for line in ran.err.splitlines())
    again = program("check", "jointer.fence", typed=lines(*FENCE[2:]))
    assert "Going on at step 3" in again.err


def test_a_method_that_the_point_does_not_name_is_refused(program: Program) -> None:
    """With those that it does."""
    ran = program("check", "saw.blade", "--method", "\x1b[1m")
    assert ran.code == 2
    assert "square" in ran.err
    assert "\x1b" not in ran.err


def test_without_a_square_it_cannot_be_done(program: Program) -> None:
    """Exit 2, with what is missing; nothing is begun."""
    text = program.shop.read_text()
    start, end = text.index("[[drawer.square]]"), text.index("[[drawer.feeler]]")
    program.write("shop.toml", text[:start] + text[end:])
    ran = program("check", "jointer.fence")
    assert ran.code == 2
    assert "needs a square" in ran.err


@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_bytes_that_are_no_text_are_refused_like_any_other_answer(
    program: Program, encoding: str
) -> None:
    """A process of its own: what comes through a pipe need not be UTF-8."""
    ran = process(
        "check", "jointer.fence", "--shop", str(program.shop), "--journal", str(program.journal),
        stdin=None, input=b"\n\n\xff\xfe\n", env={"PYTHONIOENCODING": f"{encoding}:strict"},
    )  # fmt: skip
    assert ran.returncode == 0
    assert b"! " in ran.stderr
    assert b"Traceback" not in ran.stderr


def test_what_is_none_of_the_answers_is_answered_with_the_numbers(program: Program) -> None:
    """Never with the words of a file of answers."""
    ran = program("check", "saw.blade", typed="\n7\n1\n\n\nleft\n")
    assert "! type 1: " in ran.err
    assert "! there is no answer 7 here: press 1" in ran.err
    assert "! type 1 to 3" in ran.err
    assert "it can be" not in ran.err
