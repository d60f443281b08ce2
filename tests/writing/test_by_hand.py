"""Edits of small texts, each held by eye against what a careful person would have written."""

from __future__ import annotations

import pytest

from shopboard.writing.edits import Add, Drop, Edit, NoSuchPlaceError, Put
from shopboard.writing.rewrite import InPlaceError, rewritten

CASES: dict[str, tuple[str, list[Edit], str]] = {
    "a text between single quotes keeps them": (
        "a = 'x' # why\n",
        [Put(("a",), "y z")],
        "a = 'y z' # why\n",
    ),
    "but not where it has one itself": ("a = 'x'\n", [Put(("a",), "it's")], 'a = "it\'s"\n'),
    "as it was typed": ("cost = 18.50\n", [Put(("cost",), 20.5, "20.50")], "cost = 20.50\n"),
    "one of a list": (
        'l = [\n    "a", # first\n    "b",\n]\n',
        [Put(("l",), ["a", "c"])],
        'l = [\n    "a", # first\n    "c",\n]\n',
    ),
    "one more of a list": ('l = ["a"]\n', [Put(("l",), ["a", "b"])], 'l = ["a", "b"]\n'),
    "one more on a line of its own": (
        'l = [\n  "a", # first\n]\n',
        [Put(("l",), ["a", "b"])],
        'l = [\n  "a", # first\n  "b",\n]\n',
    ),
    "one more behind one without a comma": (
        'l = [\n  "a" # first\n]\n',
        [Put(("l",), ["a", "b"])],
        'l = [\n  "a", # first\n  "b"\n]\n',
    ),
    "one for three, two of them with a remark": (
        'l = [\n  "a",   "b", # of b\n  "c" # of c\n]\n',
        [Put(("l",), ["x"])],
        'l = [\n  "x" # of b\n]\n',
    ),
    "one more in front": ('l = ["b"]\n', [Put(("l",), ["a", "b"])], 'l = ["a", "b"]\n'),
    "one less": ('l = ["a", "b", "c"]\n', [Drop(("l", 1))], 'l = ["a", "c"]\n'),
    "the last one less": ('l = ["a", "b"]\n', [Drop(("l", 1))], 'l = ["a"]\n'),
    "one less, with its line": (
        'l = [\n  "a",\n  "b", # this one\n]\n',
        [Drop(("l", 1))],
        'l = [\n  "a",\n]\n',
    ),
    "the only one of a list goes with its key": ('k = 1\nl = ["a"]\n', [Drop(("l", 0))], "k = 1\n"),
    "a setting of a point, where the sample has it": (
        '[[machine]]\nid = "a"\n[[machine.point]]\nid = "b"\nlock = "c"\n',
        [Put(("machine", 0, "point", 0, "tolerance"), "1 deg")],
        '[[machine]]\nid = "a"\n[[machine.point]]\nid = "b"\ntolerance = "1 deg"\nlock = "c"\n',
    ),
    "a setting in braces": (
        'sizes = { width = "1 in" }\n',
        [Put(("sizes", "radius"), "2 in")],
        'sizes = { width = "1 in", radius = "2 in" }\n',
    ),
    "the first in braces": ("s = {}\n", [Put(("s", "a"), 1)], "s = { a = 1 }\n"),
    "one less in braces": ("s = { a = 1, b = 2 }\n", [Drop(("s", "b"))], "s = { a = 1 }\n"),
    "a table by its keys": (
        "[p]\ns.a = 1\nlock = 2\n",
        [Put(("p", "s", "b"), 2)],
        "[p]\ns.a = 1\ns.b = 2\nlock = 2\n",
    ),
    "a table that was not there": (
        '[[machine]]\n[[machine.point]]\nid = "a" # x\n\n[[machine.point]]\nid = "b"\n',
        [Put(("machine", 0, "point", 0, "sizes", "width"), "1 in")],
        '[[machine]]\n[[machine.point]]\nid = "a" # x\n\n'
        "# Sizes that are the same every time, so that Enter takes them.\n"
        '[machine.point.sizes]\nwidth = "1 in"\n'
        '\n[[machine.point]]\nid = "b"\n',
    ),
    "the last of a table goes with its header": (
        "x = 1\n\n# why\n[s]\na = 1\n\n[t]\nb = 1\n",
        [Drop(("s", "a"))],
        "x = 1\n\n[t]\nb = 1\n",
    ),
    "a remark at the very top stays": (
        "# of the file\n[s]\na = 1\n\n[t]\nb = 1\n",
        [Drop(("s",))],
        "# of the file\n[t]\nb = 1\n",
    ),
    "what looks like a remark in a text is none": (
        "[s]\na = '''\n# of the text'''\n[t]\nb = 1\n",
        [Drop(("t",))],
        "[s]\na = '''\n# of the text'''\n",
    ),
    "a file without a line end at its end": (
        '[shop]\nname = "a"',
        [Put(("shop", "unit"), "mm")],
        '[shop]\nname = "a"\nunit = "mm"',
    ),
    "Windows' line ends and mark of byte order": (
        '\ufeff[shop]\r\nname = "a"\r\n',
        [Put(("shop", "unit"), "mm"), Add(("machine",), {"name": "b", "id": "c"})],
        '\ufeff[shop]\r\nname = "a"\r\nunit = "mm"\r\n\r\n'
        '[[machine]]\r\nid = "c"\r\nname = "b"\r\n',
    ),
    "a machine in two places": (
        '[[machine]]\nid = "a"\n\n[shop]\nname = "s"\n\n[[machine.point]]\nid = "p"\n',
        [Drop(("machine", 0))],
        '[shop]\nname = "s"\n',
    ),
    "a new point comes behind the points, before the tasks": (
        '[[machine]]\nid = "a"\n[[machine.point]]\nid = "p"\n# of the task\n'
        '[[machine.task]]\nid = "t"\n',
        [Add(("machine", 0, "point"), {"id": "q"})],
        '[[machine]]\nid = "a"\n[[machine.point]]\nid = "p"\n\n[[machine.point]]\nid = "q"\n'
        '# of the task\n[[machine.task]]\nid = "t"\n',
    ),
    "a first machine behind the shop": (
        "[shop]\n",
        [Add(("machine",), {"id": "a"})],
        '[shop]\n\n[[machine]]\nid = "a"\n',
    ),
    "a header for what only others named": (
        "[a.b]\nc = 1\n",
        [Put(("a", "d"), 2)],
        "[a]\nd = 2\n\n[a.b]\nc = 1\n",
    ),
    "of a long list several short ones have a line": (
        "[drawer]\n",
        [Add(("drawer", "shims"), {"thicknesses": [f"{n}.25 thou" for n in range(10)]})],
        "[drawer]\n\n[[drawer.shims]]\nthicknesses = [\n    "
        + " ".join(f'"{n}.25 thou",' for n in range(7))
        + '\n    "7.25 thou", "8.25 thou", "9.25 thou",\n]\n',
    ),
    "of a long list words have a line each": (
        "[machine]\n",
        [Add(("machine", "task"), {"steps": [f"Turn it round, time {n}" for n in range(5)]})],
        "[machine]\n\n[[machine.task]]\nsteps = [\n"
        + "".join(f'    "Turn it round, time {n}",\n' for n in range(5))
        + "]\n",
    ),
}


@pytest.mark.parametrize(("old", "edits", "new"), CASES.values(), ids=CASES)
def test_by_hand(old: str, edits: list[Edit], new: str) -> None:
    assert rewritten(old, edits).text == new


@pytest.mark.parametrize(
    "edit",
    [
        Put(("machine", 3, "name"), "x"),
        Put(("shop", "name", "first"), "x"),
        Drop(("shop", "motto")),
        Drop(("drawer",)),
        Put(("machine", 0, "point", 1), "x"),
    ],
)
def test_a_path_that_leads_nowhere_is_refused(edit: Edit) -> None:
    text = '[shop]\nname = "a"\n[[machine]]\nid = "b"\n'
    with pytest.raises(NoSuchPlaceError, match=r"(there is nothing at|is not a table)"):
        rewritten(text, [edit])


def test_what_cannot_be_written_in_place_is_refused_and_never_done_by_halves() -> None:
    with pytest.raises(InPlaceError, match="by hand"):
        rewritten('[[machine]]\nid = "a"\n', [Put(("machine",), "none")])


def test_two_edits_of_one_place_are_refused() -> None:
    with pytest.raises(InPlaceError):
        rewritten("a = 1\n", [Put(("a",), 2), Put(("a",), 3)])
