"""What is odd but can be used: a warning at its place, and the shop is read.

The mark » stands right before the place that must be shown.
"""

from __future__ import annotations

import pytest

from tests.shop.texts import ANOTHER_POINT, SHOP, load, spoilt, unmark

LEVER, TOLERANCE, CHECK = "lever = 3\n", 'tolerance = "0.1 deg"', 'check = "square"'
LEAVES = '[".0015 in", 0.002, "3 thou"]'
SAW = SHOP[SHOP.index("[[machine]]") :]
SQUARE = SHOP[SHOP.index("[[drawer.square]]") : SHOP.index("[[drawer.feeler]]")]

SCREW = '[machine.point.adjuster]\nkind = "screw"\narm = 4\nclockwise = "away"\n'

WARNINGS = [
    ("trimmed", 'name = "Table saw"', 'name = »" Table saw "', "they are left out"),
    ("leaf-twice", LEAVES, '[0.002, »"2 thou"]', "first written on line 14"),
    ("leaves-unsorted", LEAVES, "[0.003, »0.002]", "thinner than the one before"),
    ("lever-long", LEVER, "lever = »7\n", "longer than the blade of every square"),
    ("tolerance-fine", TOLERANCE, 'tolerance = »"0.0001 deg"', "finer than"),
    ("lost-letter", 'name = "Table saw"', 'name = »"Table s\ufffdw"', "U+FFFD"),
    (
        "bare-machine",
        "",
        '»[[machine]]\nid = "b"\nname = "Bandsaw"\n',
        "nothing on this machine yet",
    ),
    ("no-points", SAW, '»[[machine]]\nid = "b"\nname = "B"\n', "no points"),
    ("rests-on-twice", "", 'rests_on = ["fence", »"saw.fence"]\n' + ANOTHER_POINT, "there twice"),
    ("pitch-coarse", "", SCREW + 'pitch = »"8 mm"\n', "3.17 threads per inch is unusual"),
    (
        "pitch-fine",
        "",
        SCREW + 'pitch = »"0.1 mm"\n',
        "have 5 to 127 per inch",
    ),
    ("thread-coarse", "", SCREW + 'thread = »"4 tpi"\n', "4 threads per inch is unusual"),
    ("id-all", 'id = "saw"', 'id = »"all"', "stands for the whole shop in `shopboard export`"),
    ("id-shop", 'id = "saw"', 'id = »"shop"', "stands for the shop itself"),
    (
        "wait-without-unit",
        "",
        '[[machine.task]]\nid = "wax"\nname = "Wax"\nsteps = [»"Wax on, wait 10"]\n',
        'a wait of 10 without a unit; it is taken as minutes; did you mean "wait 10 min"?',
    ),
    *(
        (
            f"no-wait-{number}",
            "",
            f'[[machine.task]]\nid = "wax"\nname = "Wax"\nsteps = [»"Wax on, {words}"]\n',
            'a clock runs for a wait that ends the step, as "Soak, wait 10 min"',
        )
        for number, words in enumerate(
            ("wait for 10 min", "wait\u221210 min", "wait about an hour", "wait ten minutes")
        )
    ),
    ("no-square", SQUARE, "", "no square among your tools"),
]


@pytest.mark.parametrize(
    ("old", "new", "words"), [case[1:] for case in WARNINGS], ids=[case[0] for case in WARNINGS]
)
def test_warning_at_its_place(old: str, new: str, words: str) -> None:
    """What is odd but can be used is a warning at its place, and the shop is read."""
    marked = spoilt(old, new)
    text, line, column = unmark(
        marked if "»" in marked else marked.replace('"square"', '»"square"')
    )
    (warning,) = load(text).warnings
    assert (warning.line, warning.column, warning.severity) == (line, column, "warning")
    assert words in warning.sentence
