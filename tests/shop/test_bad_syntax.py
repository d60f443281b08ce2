"""What is no TOML: each usual slip with its place and a hint for someone who never heard of TOML.

The mark » stands right before the place that must be shown.
"""

from __future__ import annotations

import contextlib

import pytest

from shopboard.shop.problems import ShopFileError
from shopboard.shop.reader import read_shop_text
from tests.shop.texts import SHOP, only_problem, unmark

SLIPS = [
    # numbers
    ("bare-point", "lever = ».0015\n", "needs a 0 before the point"),
    ("bare-point-in-list", "leaves = [\n  0.002,\n  ».0015,\n]\n", "needs a 0 before the point"),
    ("comma", "lever = »0,05\n", "a point, not a comma"),
    ("fraction", "lever = »1/64\n", "write a fraction with its unit in quotes"),
    ("mixed-fraction", "lever = »3 1/4\n", "write a fraction with its unit in quotes"),
    ("long-minus", "lever = »−0.5\n", "type the plain -"),
    ("unit", "lever = »0.05 mm\n", "a number with a unit needs quotes"),
    ("inch-mark", 'lever = »6"\n', "a number with a unit needs quotes"),
    ("unit-in-list", "leaves = [»0.0015 in, 1]\n", "a number with a unit needs quotes"),
    ("percent", "proof = »95 %\n", "needs quotes"),
    ("leading-0", "lever = »007\n", "does not begin with 0"),
    ("point-last", "lever = »5.\n", "a digit after the point"),
    ("long-number", f"lever = »{'5' * 5000}\n", "write a shorter one"),
    ("date", "when = »2024-13-01\n", "no such date"),
    ("time", "when = »25:00:00\n", "no such date or time"),
    # words
    ("curly-quotes", "name = »“Saw”\n", "type straight ones"),
    ("yes", "cutter_near = »yes\n", "write true"),
    ("no", "cutter_near = »no # not yet\n", "write false"),
    ("True", "cutter_near = »True\n", "write true, in small letters"),
    ("bare-text", "name = »Jointer\n", "text needs quotes"),
    ("missing-value", "name =»\n", "a value is missing"),
    ("remark-for-value", "name = »# later\n", "a value is missing"),
    ("two-equals", "lever =»= 3\n", "one = is enough"),
    ("backslash", 'name = "C:»\\shop"\n', "single quotes"),
    ("bad-escape", 'name = "»\\u00zz"\n', "single quotes"),
    ("surrogate", 'name = "»\\ud800"\n', "backslash"),
    ("control", 'name = "a»\x01b"\n', "U+0001 may not stand here"),
    ("control-in-remark", "# a»\x07b\n", "U+0007 may not stand here"),
    ("inch-mark-in-text", 'length = "3-1/4"»"\n', "between single quotes"),
    ("apostrophe-in-text", "name = 'the saw'»s fence'\n", "between double quotes"),
    # lines
    ("colon", "»name: 'Saw'\n", "write = and not :"),
    ("space-in-name", "»light at top = 'x'\n", "no spaces"),
    ("no-name", "»= 3\n", "a name is missing"),
    ("umlaut", "»größe = 3\n", "a to z"),
    ("words-alone", "»just words\n", "a remark begins with #"),
    ("slashes", "»// a remark\n", "a remark begins with #"),
    ("comma-last", "lever = 3»,\n", "no comma at the end"),
    ("two-settings", "lever = 3 »turn = 'no'\n", "one setting on each line"),
    ("semicolon", "lever = 3»; turn = 'no'\n", "one setting on each line"),
    ("bracket-left-over", "adjuster = {arm = 1}»}\n", "one closing bracket too many"),
    # what is never closed
    ("quote", 'name = »"Saw\nlever = 3\n', 'end it with "'),
    ("single-quote", "name = »'Saw\nlever = 3\n", "end it with '"),
    ("quote-at-end", 'name = »"Saw', "never closed"),
    ("three-quotes", 'name = »"""Saw\nlever = 3\n', 'end it with """'),
    ("three-single", "name = »'''Saw\nlever = 3\n", "end it with '''"),
    ("list", "rests_on = »['a', 'b'\nlever = 3\n", "end it with ]"),
    ("list-before-table", "rests_on = »['a',\n\n[[machine]]\nid = 'x'\n", "end it with ]"),
    ("list-at-end", "rests_on = »[\n'a',\n", "end it with ]"),
    ("inner-list", "rests_on = ['a', »['b'\nlever = 3\n", "end it with ]"),
    ("braces", "adjuster = »{arm = 1", "end it with }"),
    ("braces-on-lines", "adjuster = »{\n arm = 1,\n kind = 'slot'\n", "end it with }"),
    ("no-comma-in-braces", "adjuster = { arm = 1\n »kind = 'slot' }\n", "a comma is missing"),
    ("no-comma", "rests_on = ['a' »'b']\n", "a comma is missing"),
    ("no-comma-on-lines", "rests_on = [\n 'a'\n »'b']\n", "a comma is missing"),
    # headers
    ("no-bracket", "»[machine\n", "closing bracket is missing"),
    ("one-bracket-closes", "»[[machine]\nid = 'x'\n", "two brackets: ]]"),
    ("one-bracket-opens", "»[machine]]\nid = 'x'\n", "two brackets: [["),
    ("header-and-more", "»[[machine]] id = 'x'\n", "nothing may follow"),
    ("empty-header", "»[]\n", "holds a name"),
    # written twice
    ("key-twice", "lever = 3\nturn = 'no'\n»lever = 4\n", "first written on line"),
    ("key-twice-in-braces", "adjuster = {arm = 1, »arm = 2}\n", "adjuster.arm is written a second"),
    ("table-twice", "[machine.x]\n»[machine.x]\n", "[machine.x] is written a second time"),
    ("scalar-as-table", "lever = 3\n»[machine.point.lever]\n", "machine.point.lever"),
    # deep
    ("deep", f"x = {'[' * 32}»{'[' * 8}{']' * 40}\n", "at most 32 levels"),
    ("very-deep", f"x = {'[' * 32}»{'[' * 5000}\n", "nested too deeply"),
    ("deep-braces", f"x = {'{a=' * 32}»{'{a=' * 2000}\n", "nested too deeply"),
    ("dots", f"»{'a.' * 400_000}a = 1\n", "a name of very many parts"),
]

POINT = "[[machine]]\n[[machine.point]]\n"


@pytest.mark.parametrize(("marked", "words"), [s[1:] for s in SLIPS], ids=[s[0] for s in SLIPS])
def test_slip_at_its_place(marked: str, words: str) -> None:
    """Each slip is shown where a person would point, with what to write."""
    text, line, column = unmark(POINT + marked)
    problem = only_problem(text)
    assert (problem.line, problem.column) == (line, column), problem.sentence
    assert words in problem.sentence


def test_two_tables_where_a_list_is_meant() -> None:
    """A second [machine] is told that several machines take two brackets each."""
    problem = only_problem("[machine]\nid = 'a'\n\n[machine]\nid = 'b'\n")
    assert (problem.line, problem.column) == (4, 1)
    assert "first written on line 1" in problem.allowed
    assert "[[machine]]" in problem.hint


def test_list_after_a_single_table() -> None:
    """[machine] and [[machine]] in one file are told apart."""
    problem = only_problem("[machine]\nid = 'a'\n[[machine]]\nid = 'b'\n")
    assert problem.line == 3
    assert "do not go together" in problem.what


def test_point_above_its_machine() -> None:
    """A machine that comes below its point is told where it belongs."""
    problem = only_problem("[[machine.point]]\nid = 'a'\n[[machine]]\nid = 'b'\n")
    assert problem.line == 3
    assert "write it above [[machine.point]]" in problem.hint


def test_the_rest_of_the_file_does_not_hide_a_slip() -> None:
    """A slip in a long file is found on its own line."""
    text = f"# {'x' * 70}\n" * 500 + SHOP.replace("lever = 3", "lever = 3 in")
    assert (only_problem(text).line, only_problem(text).column) == (526, 9)


@pytest.mark.parametrize("cut", range(0, len(SHOP), 7))
def test_a_file_cut_off_anywhere_is_told(cut: int) -> None:
    """A file that ends too early (a full disk, a bad copy) gives problems, never a crash."""
    with contextlib.suppress(ShopFileError):
        read_shop_text(SHOP[:cut])
