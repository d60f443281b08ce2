"""What is wrong in a shop file that is proper TOML: each case with its place and key words.

The mark » stands right before the place that must be shown.
"""

from __future__ import annotations

import pytest

from tests.shop.texts import ANOTHER_POINT, SHOP, only_problem, problems_of, spoilt, unmark

LEVER, TOLERANCE, CHECK = "lever = 3\n", 'tolerance = "0.1 deg"', 'check = "square"'
LEAVES, GRADE, UNIT = '[".0015 in", 0.002, "3 thou"]', 'grade = "0"', 'unit = "inch"'
POINT = "[[machine.point]]\n"
BLADE = SHOP[SHOP.index(POINT) :]
SQUARE = SHOP[SHOP.index("[[drawer.square]]") : SHOP.index("[[drawer.feeler]]")]
SCREW = '[machine.point.adjuster]\nkind = "screw"\narm = 4\nclockwise = "away"\n'

ERRORS = [
    # keys
    ("unknown-near", LEVER, "»levr = 3\n", ['"levr" is not a key', 'mean "lever"']),
    (
        "unknown-far",
        "",
        '»colour = "grey"\n',
        ['"colour" is not a key', "allowed: id, name, check"],
    ),
    (
        "include",
        "[shop]\n",
        '»include = "other.toml"\n[shop]\n',
        ["not a key of the top", "[shop]"],
    ),
    ("wrong-table", UNIT, UNIT + "\n»lever = 3", ["not a key of [shop]", "[[machine.point]]"]),
    ("below-its-table", "", SCREW + 'thread = "M6"\n»lock = "x"\n', ["belongs in", "move it up"]),
    (
        "other-kind",
        "",
        '[machine.point.adjuster]\nkind = "slot"\narm = 1\n»pitch = "1 mm"',
        ["screw"],
    ),
    ("table-at-top", "", '[[»square]]\nid = "a"\n', ["write [[drawer.square]]"]),
    ("dotted-key", "", "»adjustor.kind = 'slot'\n", ["not a key", "mean [machine.point.adjuster]"]),
    ("quoted-key", "", '»"wide key" = 1\n', ['"wide key" is not a key']),
    ("in-braces", "", 'adjuster = { kind = "slot", arm = 2, »amr = 3 }\n', ['"amr" is not a key']),
    # what is missing
    (
        "no-unit",
        SHOP[: SHOP.index(UNIT)] + UNIT,
        '»[shop]\nname = "B"',
        ["unit is missing in [shop]"],
    ),
    (
        "no-tolerance",
        BLADE,
        "»" + BLADE.replace(TOLERANCE, ""),
        ["tolerance is missing in [[machine.point]]"],
    ),
    ("no-grade", SQUARE, "»" + SQUARE.replace(GRADE, ""), ["one of grade, within, certified"]),
    ("no-kind", "", "»[machine.point.adjuster]\narm = 3\n", ["kind is missing"]),
    ("no-pitch", "", "»" + SCREW, ["one of thread, pitch is needed"]),
    (
        "no-certified-to",
        SQUARE,
        "»" + SQUARE.replace(GRADE, 'certified = "1 thou/ft"'),
        ["certified_to is missing"],
    ),
    # brackets
    (
        "one-bracket",
        POINT,
        "[machine.»point]\n",
        ["one pair of brackets", "write [[machine.point]]"],
    ),
    ("two-brackets", "[shop]", "»[[shop]]", ["two brackets around shop", "write [shop]"]),
    (
        "no-machine-above",
        '[[machine]]\nid = "saw"\nname = "Table saw"\n\n[[machine.point]]',
        "[[»machine.point]]",
        ["no [[machine]] above"],
    ),
    (
        "number-for-tables",
        "",
        '[[machine]]\nid = "x"\nname = "X"\npoint = »3',
        ["a number", "[[mach"],
    ),
    ("number-for-table", "", "adjuster = »3\n", ["a number", "[machine.point.adjuster]"]),
    ("number-in-tables", POINT, "task = [»3]\n" + POINT, ["a number in task"]),
    # types
    ("number-for-text", 'name = "Table saw"', "name = »7", ["a number where text", 'write "7"']),
    ("list-for-text", 'name = "Table saw"', 'name = »["a"]', ["a list where text"]),
    ("alone-in-a-list", "", 'rests_on = »"fence"\n', ['there is no point "saw.fence"']),
    ("happening-alone", "", 'undone_by = »"blade change"\n', ['did you mean "blade changed"?']),
    (
        "text-for-flag",
        "",
        'cutter_near = »"yes"\n',
        ["true or false", "write true, without quotes"],
    ),
    ("flag-for-length", LEVER, "lever = »true\n", ["true where a length"]),
    ("flag-for-choice", "", "turn = »false\n", ['mean "no"']),
    ("number-in-quotes", LEAVES, LEAVES + '\nmost_leaves = »"2"', ["take the quotes off: 2"]),
    ("fraction-of-leaves", LEAVES, LEAVES + "\nmost_leaves = »1.5", ["a whole number from 1 to 3"]),
    ("date", LEVER, "lever = »2024-05-01\n", ["a date or time where a length"]),
    ("number-for-grade", GRADE, "grade = »0", ['write "0", with quotes']),
    # lengths
    ("lever-0", LEVER, "lever = »0\n", ["0 is not more than 0"]),
    ("lever-negative", LEVER, 'lever = »"-3 in"\n', ["not more than 0"]),
    ("lever-nan", LEVER, "lever = »nan\n", ["nan is not a measurement"]),
    ("lever-inf", LEVER, "lever = »-inf\n", ["not a measurement"]),
    ("lever-1e999", LEVER, "lever = »1e999\n", ["not a measurement"]),
    ("lever-huge", LEVER, "lever = »300\n", ["out of range", 'mean "300 mm"']),
    ("lever-long-number", LEVER, f"lever = »{'9' * 400}\n", ["larger than anything"]),
    ("lever-hex", LEVER, f"lever = »0x{'f' * 5000}\n", ["larger than anything"]),
    ("comma", LEVER, 'lever = »"3,5"\n', ["decimal comma", "3.5"]),
    ("unknown-unit", LEVER, 'lever = »"3 furlongs"\n', ["furlongs", "in, thou or mm"]),
    ("leaf-in-wrong-unit", LEAVES, "[0.002, »1.5]", ["out of range", 'mean "1.5 thou"']),
    ("leaf-thin", LEAVES, '[0.002, »"0.0015 mm"]', ["out of range", 'mean "0.0015 in"']),
    ("many-leaves", LEAVES, f"»[{'0.002, ' * 201}]", ["a list of 201", "at most 200"]),
    ("no-leaves", LEAVES, "»[]", ["an empty list"]),
    ("thread", "", SCREW + 'thread = »"fine"\n', ["does not start with a number"]),
    ("tpi", "", SCREW + "pitch = »20\n", ["threads per inch?", 'write thread = "20 tpi"']),
    ("tpi-text", "", SCREW + 'pitch = »"11.5"\n', ['write thread = "11.5 tpi"']),
    ("pitch-thread", "", SCREW + 'pitch = »"20 tpi"\n', ['write thread = "20 tpi"']),
    ("pitch-size", "", SCREW + 'pitch = »"M8x1.25"\n', ['write thread = "M8x1.25"']),
    ("thread-bare", "", SCREW + "thread = »20\n", ["20 of what?", 'mean "20 tpi"']),
    (
        "mount-pitch",
        "",
        "[machine.point.sizes]\nmount_pitch = »20\n",
        ["threads per inch?", '20 threads per inch are "1.27 mm"'],
    ),
    ("pitch-thou", "", SCREW + 'pitch = »"700 thou"\n', ["0.7 in, out of range"]),
    ("turns", "", SCREW + 'thread = "M6"\nbacklash = »"some"\n', ["part of a turn"]),
    ("turns-0", "", SCREW + 'thread = "M6"\nbacklash = »"1/0 turn"\n', ["part of a turn"]),
    ("both-threads", "", SCREW + 'thread = "M6"\n»pitch = "1 mm"\n', ["pitch beside thread"]),
    # tolerances
    (
        "tolerance-bare-text",
        TOLERANCE,
        'tolerance = »"0.1"',
        ["no unit of angle", 'mean "0.1 deg"'],
    ),
    ("tolerance-bare", TOLERANCE, "tolerance = »0.1", ["no unit of angle", 'mean "0.1 deg"']),
    ("tolerance-0", TOLERANCE, 'tolerance = »"0 deg"', ["must be more than 0"]),
    ("tolerance-negative", TOLERANCE, 'tolerance = »"-0.1 deg"', ["must be more than 0"]),
    ("tolerance-wide", TOLERANCE, 'tolerance = »"50 deg"', ["more than 5 degrees"]),
    ("tolerance-long", TOLERANCE, f'tolerance = »"1{" " * 200_000}x"', ["at most 400"]),
    (
        "tolerance-length",
        TOLERANCE,
        'tolerance = »"0.1 mm"',
        ["over what length"],
    ),
    ("range-upside-down", TOLERANCE, 'tolerance = »"3 to 0 thou/ft"', ["must be below the second"]),
    ("range-without-0", TOLERANCE, 'tolerance = »"1 to 3 thou/ft"', ["must hold 0"]),
    ("within-0", GRADE, 'within = »"0 deg"', ["not more than 0"]),
    ("within-wide", GRADE, 'within = »"2 deg"', ["more than 1 degree"]),
    ("grade-and-within", GRADE, GRADE + '\n»within = "1 thou over 6 in"', ["only one of"]),
    ("certified-to-alone", GRADE, GRADE + '\n»certified_to = "1 thou/ft"', ["without certified"]),
    # times
    ("every-bare", "", "every = »30\n", ['mean "30 days"']),
    ("every-0", "", 'every = »"0 days"\n', ["from 1 day to 10 years"]),
    ("every-long", "", 'every = »"11 years"\n', ["out of range"]),
    ("every-word", "", 'every = »"often"\n', ["is not a time"]),
    # words of a list
    ("unit-m", UNIT, 'unit = »"m"', ["no unit of a shop", 'mean "mm"']),
    ("grade-a", GRADE, 'grade = »"A"', ["not known here", '"00"']),
    ("check", CHECK, 'check = »"sqare"', ["not known here", 'mean "square"']),
    ("second-check", CHECK, 'check = ["square", »"cube"]', ["not known here", "allowed: square"]),
    ("happening", "", 'undone_by = ["knocked", »"blade chnged"]\n', ['mean "blade changed"']),
    (
        "clockwise",
        "",
        SCREW.replace('"away"', '»"left"') + 'thread = "M6"\n',
        ['"toward" or "away"'],
    ),
    ("kind", "", '[machine.point.adjuster]\nkind = »"glue"\nlenght = 3\n', ['"screw" or "slot"']),
    (
        "state",
        "",
        '[[machine.cutter]]\nid = "b"\nname = "B"\nwhere = »"lost"\nstate = "dull"\n',
        ["shelf"],
    ),
    ("light-flat", "", 'lies = "flat"\n»light_at_top = "x"\n', ["write light_at_tip"]),
    ("light-upright", "", '»light_at_heel = "x"\n', ["write light_at_bottom"]),
    ("proof", UNIT, UNIT + "\nproof = »95", ["from 50 % to 99.9 %", 'mean "95 %"']),
    ("proof-1", UNIT, UNIT + '\nproof = »"100 %"', ["out of range"]),
    ("risk", UNIT, UNIT + "\nrisk = »5", ["from 0.1 % to 50 %", 'mean "5 %"']),
    ("risk-95", UNIT, UNIT + '\nrisk = »"95 %"', ["out of range", 'mean "5 %"']),
    ("risk-0", UNIT, UNIT + '\nrisk = »"0 %"', ["from 0.1 % to 50 %"]),
    ("risk-words", UNIT, UNIT + '\nrisk = »"a little"', ["no share of risk", '"5 %"']),
    ("risk-true", UNIT, UNIT + "\nrisk = »true", ['"5 %"']),
    # text
    ("empty", 'name = "Table saw"', 'name = »""', ["nothing between the quotes"]),
    ("long-name", 'name = "Table saw"', f'name = »"{"x" * 61}"', ["61 characters", "at most 60"]),
    ("long-words", '"blade plate"', f'»"{"x" * 121}"', ["at most 120"]),
    ("id-space", 'id = "saw"', 'id = »"Table Saw"', ["cannot be an id", 'mean "table-saw"']),
    ("id-empty", 'id = "saw"', 'id = »""', ["nothing between"]),
    ("id-long", 'id = "saw"', f'id = »"{"s" * 300}"', ["cannot be an id"]),
    ("id-dash", 'id = "saw"', 'id = »"-saw"', ["cannot be an id"]),
    # links
    (
        "same-machine",
        "",
        '[[machine]]\nid = »"saw"\nname = "S"\n',
        ["id", "first written on line 17"],
    ),
    ("same-point", "", ANOTHER_POINT.replace('"fence"', '»"blade"'), ["first written on line 21"]),
    ("same-tool", 'id = "leaves"', 'id = »"square-6"', ["another tool", "on line 6"]),
    ("rests-on-nothing", "", 'rests_on = [»"saw.fense"]\n' + ANOTHER_POINT, ['mean "saw.fence"']),
    (
        "rests-on-machine",
        "",
        'rests_on = ["saw.fence", »"jointer.table"]\n' + ANOTHER_POINT,
        ['no point "jointer.table"', "saw.fence"],
    ),
    ("rests-on-itself", "", 'rests_on = [»"blade"]\n', ["depends on itself"]),
]


@pytest.mark.parametrize(
    ("old", "new", "words"), [case[1:] for case in ERRORS], ids=[case[0] for case in ERRORS]
)
def test_error_at_its_place(old: str, new: str, words: list[str]) -> None:
    """Each mistake is shown at its line and column, with what is allowed or was meant."""
    marked = spoilt(old, new)
    text, line, column = unmark(marked)
    errors = [problem for problem in problems_of(text) if problem.severity == "error"]
    here = [problem for problem in errors if (problem.line, problem.column) == (line, column)]
    assert here, [f"{p.line}:{p.column} {p.sentence}" for p in errors] + [f"not {line}:{column}"]
    for word in words:
        assert word in here[0].sentence


NO_FOLLOW_UP = [
    "unknown-near",
    "kind",
    "number-for-text",
    "no-machine-above",
    "id-space",
    "no-unit",
]


@pytest.mark.parametrize("name", NO_FOLLOW_UP)
def test_one_mistake_is_one_problem(name: str) -> None:
    """What follows from a mistake is not reported beside it."""
    old, new = next(case[1:3] for case in ERRORS if case[0] == name)
    only_problem(spoilt(old, new).replace("»", ""))


def test_every_problem_in_one_run() -> None:
    """Mistakes all over the file come out together, in the order of the file."""
    text = SHOP
    for old, new in (
        (UNIT, 'unit = "furlong"'),
        (GRADE, 'grade = "A"'),
        (LEAVES, '[".0015 in", 99, "3 thouu"]'),
        ('name = "Table saw"', 'nmae = "Table saw"'),
        (CHECK, "check = 3"),
        (LEVER, "lever = -1\n"),
        (TOLERANCE, 'tolerance = "9 deg"\nrests_on = ["nothing"]'),
    ):
        text = text.replace(old, new)
    problems = problems_of(text)
    places = [(problem.line, problem.column) for problem in problems]
    assert places == sorted(places)
    assert [place[0] for place in places] == [3, 9, 14, 18, 23, 26, 27, 28]


def test_nothing_but_a_remark() -> None:
    """A file with nothing in it gets one problem, with an example of what to write."""
    for text in ("", "\n", "# nothing yet\n"):
        problem = only_problem(text)
        assert "nothing in this file yet" in problem.what
        assert "[[machine]]" in problem.allowed


def test_no_machines() -> None:
    """A shop without machines is told how one is written."""
    for text in (
        '[shop]\nname = "B"\nunit = "mm"\n',
        'machine = []\nshop = {name="B",unit="mm"}\n',
    ):
        problem = only_problem(text)
        assert "no machine yet" in problem.what
        assert 'id = "jointer"' in problem.allowed


def test_misspelt_table() -> None:
    """A misspelt table is told what was meant, and not that it is missing."""
    for right, wrong in (("[shop]", "[shopp]"), ("[[machine", "[[machines")):
        problem = only_problem(SHOP.replace(right, wrong))
        assert f'"{wrong.strip("[]")}" is not a key' in problem.what
        assert f"did you mean {right.rstrip(']')}{']' * right.count('[')}?" in problem.hint


def test_unknown_unit_spoils_no_length() -> None:
    """While the unit is unknown, bare numbers are not judged."""
    text = SHOP.replace(UNIT, 'unit = "ell"').replace(LEVER, 'lever = "1/2"\n')
    assert only_problem(text).line == 3
