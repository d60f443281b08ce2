"""What the drawer cannot check or prove is said beforehand, at its place; nothing plans for it."""

from __future__ import annotations

import pytest

from shopboard.checks import table_lines
from tests.cli.program import Program

METRIC = """\
[shop]
name = "Over the creamery"
unit = "mm"

[[drawer.square]]
id = "sq"
name = "Square"
length = "150 mm"
grade = "2"

[[drawer.feeler]]
id = "leaves"
name = "Leaves"
leaves = [0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0]

[[drawer.straightedge]]
id = "edge"
name = "Straightedge, 500"
reach = "500 mm"
within = "0.02 mm"

[[machine]]
id = "saw"
name = "Table saw"

[[machine.point]]
id = "blade"
name = "Blade upright"
check = "square"
datum = "table"
face = "blade"
lever = "80 mm"
tolerance = "TOL"

[[machine.point]]
id = "slot"
name = "Blade along the slot"
check = "sweep"
tolerance = "0.3 mm/m"

[[machine.point]]
id = "sled"
name = "Sled"
check = ["five-cut", "flip"]
tolerance = "2 mm/m"

[[machine]]
id = "jointer"
name = "Jointer"

[[machine.point]]
id = "tables"
name = "Tables in one plane"
check = "coplanar"
tolerance = "0.5 mm/m"
[machine.point.sizes]
length = "LONG"
width = "250 mm"
"""

BENCH = """\
[shop]
name = "Net loft"
unit = "inch"

[[drawer.square]]
id = "try"
name = "Try square, 4 in"
length = "4 in"
grade = "1"

[[machine]]
id = "all"
name = "Bandsaw"

[[machine.point]]
id = "table"
name = "Table at 90"
check = "square"
datum = "table"
face = "band"
lever = "4 in"
tolerance = "6 thou/ft"

[[machine]]
id = "shop"
name = "Bench"

[[machine.point]]
id = "try"
name = "Try square proven"
check = "square-flip"
proves = "try"
tolerance = "20 thou/ft"
[machine.point.sizes]
length = "8 in"

[[machine.task]]
id = "oil"
name = "Oil the stones"
every = "4 weeks"
steps = ["Oil on, wait 10", "Wipe, wait 1/2 h", "Wait 5 min"]
"""


def warned(program: Program, text: str) -> list[str]:
    """The warnings of a shop file, each in one line, with its place."""
    ran = program.bare("proofread", program.write("shop.toml", text))
    assert (ran.code, ran.out) == (0, "")
    return [line.partition(":")[2] for line in ran.err.splitlines() if ": warning: " in line]


def place(text: str, words: str, after: str) -> str:
    """Line and column of words behind others."""
    at = text.index(words, text.index(after))
    return f"{text.count(chr(10), 0, at) + 1}:{at - text.rfind(chr(10), 0, at)}: warning: "


def metric(tolerance: str = "0.2 mm/m", long: str = "600 mm") -> str:
    return METRIC.replace("TOL", tolerance).replace("LONG", long)


def test_what_the_drawer_cannot_do_is_told_at_its_place(program: Program) -> None:
    """A tool that is missing, a table longer than the straightedge, a tolerance too close.

    From 150 mm of blade and 80 mm of lever, with leaves of 0.05 mm, 0.2 mm/m is 0.016 mm.
    """
    text = metric()
    blade, slot, sled, tables = warned(program, text)
    assert blade.startswith(place(text, '"0.2 mm/m"', "Blade upright"))
    assert "cannot prove saw.blade true" in blade
    assert "it takes" in blade
    assert slot.startswith(place(text, '"sweep"', "along the slot"))
    assert "saw.slot cannot be checked by sweep" in slot
    assert "indicator" in slot
    assert sled.startswith(place(text, '"five-cut"', "Sled"))  # the other way is open
    assert "calliper" in sled
    assert tables.startswith(place(text, '"coplanar"', "one plane"))
    assert "the straightedge reaches only 250 mm to either side" in tables


def test_what_it_can_do_is_not_told(program: Program) -> None:
    """A wider tolerance, stations within reach: two warnings fewer."""
    lines = warned(program, metric("4 mm/m", "240 mm"))
    assert [line.split()[2] for line in lines] == ["saw.slot", "saw.sled"]


def test_an_inch_shop_without_leaves_with_ids_that_are_words_of_commands(program: Program) -> None:
    """`all`, `shop`, a check without leaves, a line longer than the square, a wait of 10."""
    taken_all, table, taken_shop, try_8, wait = warned(program, BENCH)
    assert taken_all.startswith(place(BENCH, '"all"', "[[machine]]"))
    assert "`shopboard export`" in taken_all
    assert "no feeler leaves among your tools" in table  # said once
    assert "`shopboard happened`" in taken_shop
    assert "shop.try cannot be checked by square-flip" in try_8
    assert wait.startswith(place(BENCH, '"Oil on', "steps"))
    assert 'did you mean "wait 10 min"?' in wait


@pytest.mark.parametrize(("text", "cannot"), [(metric(), 2), (BENCH, 2)])
def test_a_prep_day_plans_no_check_that_cannot_be_run_and_says_so(
    program: Program, text: str, cannot: int
) -> None:
    """Neither in lines nor as data, each with what is missing."""
    program.write("shop.toml", text)
    ran = program("prep")
    said = [line for line in ran.out.splitlines() if ": cannot be checked: " in line]
    assert len(said) == cannot
    data = program("prep", "--json").json
    planned = {one["target"] for one in data["plan"] if one["sort"] == "check"}
    if text != BENCH:
        assert planned == {"saw.blade", "saw.sled"}
        assert "Table saw  Blade along the slot: " in said[0]
    else:
        assert planned == set()


@pytest.mark.parametrize(
    ("method", "tolerance", "lacks"),
    [
        ("five-cut", "2 mm/m", "a calliper"),
        ("thickness", "2 mm/m", "a calliper"),
        ("snipe", "0.1 mm", "a calliper"),
        ("tram", "1 mm/m", "an indicator"),
        ("sweep", "1 mm/m", "an indicator"),
        ("runout", "0.1 mm", "an indicator"),
        ("frame", "2 mm/m", "a set of feeler leaves"),
        ("flip", "2 mm/m", "a set of feeler leaves"),
        ("edge-pair", "2 mm/m", "a set of feeler leaves"),
        ("flatness", "0.2 mm", "a set of feeler leaves"),
        ("coplanar", "1 mm/m", "a set of feeler leaves"),
    ],
)
def test_nothing_is_cut_for_a_check_whose_tool_is_not_there(
    program: Program, method: str, tolerance: str, lacks: str
) -> None:
    """It is said before the first step, not where the first reading is typed; nothing is begun."""
    program.write(
        "shop.toml",
        f"""
[shop]
name = "Bare"
unit = "mm"

[[machine]]
id = "one"
name = "The one"

[[machine.point]]
id = "point"
name = "The point"
check = "{method}"
tolerance = "{tolerance}"
""",
    )
    ran = program("check", "one.point", typed="understood\n")
    assert (ran.code, ran.out) == (2, "")
    assert f"needs {lacks} among your tools" in ran.err
    assert "not finished" not in program("status").out


SURFACES = f"""{METRIC[: METRIC.index("[[machine]]")]}
[[machine]]
id = "combi"
name = "Combination machine"

[[machine.point]]
id = "bed"
name = "Bed flat"
check = "flatness"
tolerance = "0.4 mm"
[machine.point.sizes]
length = "LONG"
width = "300 mm"

[[machine.point]]
id = "fence"
name = "Fence straight"
check = "straightness"
tolerance = "0.4 mm"
[machine.point.sizes]
length = "450 mm"
width = "90 mm"
"""


def test_a_table_longer_than_the_straightedge_is_told_and_not_begun(program: Program) -> None:
    """400 by 300 mm is 500 mm from corner to corner; 450 mm by 300 mm is 541 mm."""
    text = SURFACES.replace("LONG", "450 mm")
    bed, fence = warned(program, text)
    assert "combi.bed cannot be checked by flatness: the table from corner to corner" in bed
    assert "is 541 mm, but the straightedge reaches only 500 mm: it takes a longer one" in bed
    assert fence.startswith(place(text, 'width = "90', "Fence straight"))
    assert "the size width is not used here: straightness takes length" in fence
    ran = program("check", "combi.bed", typed="\n")
    assert (ran.code, ran.out) == (2, "")
    assert "it takes a longer one" in ran.err
    assert "Bed flat: cannot be checked: the table from corner to corner" in program("prep").out


def test_a_table_that_it_spans_is_checked_by_the_straightedge_that_does(program: Program) -> None:
    """A finer one that is too short is not what tells."""
    fits = SURFACES.replace("LONG", "400 mm")
    (fence,) = warned(program, fits)
    assert "not used here" in fence
    short = '\n[[drawer.straightedge]]\nid = "short"\nname = "Short one"\nreach = "300 mm"\n'
    fits = fits.replace("\n[[machine]]", f'{short}within = "0.002 mm"\n\n[[machine]]', 1)
    program.write("shop.toml", fits)
    lines = "".join(f'{key}_light = "none"\n' for key in _LINE_KEYS)
    data = program.check("combi.bed", lines, "--json").json
    assert "edge" in data["readings"]["tool_ids"]
    assert "short" not in data["readings"]["tool_ids"]


_LINE_KEYS = [line.key for line in table_lines.LINES]
