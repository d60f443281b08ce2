"""Lines of a step stand in the order in which a person does what they say; nothing is left out.

Common practice, no source.
"""

from __future__ import annotations

import pytest

from shopboard.checks import registry
from shopboard.checks.asked import Reading
from shopboard.checks.contradiction import Recheck
from shopboard.checks.doubled import DoubledGap
from shopboard.checks.drawn.canvas import AtStep
from shopboard.checks.explained import explained
from shopboard.checks.leaf_by_leaf import LeafPlace, ask_leaves
from shopboard.checks.reckoning import ReckoningError
from shopboard.checks.steps import Number
from shopboard.checks.turning import ask_turned
from shopboard.metrology.adjuster import Correction
from shopboard.metrology.conformity import Tolerance
from tests.builders import FEELERS, SCREW, make_job, step_at
from tests.checks.machines import measured, walked
from tests.checks.readings import GOOD, Case, job_of

TOLD = {
    "carry mark": "Its end reaches|Turn the head|When ONE knife",
    "carry knives": "A knife that does not|Chalk their numbers",
    "coplanar lower": "The straightedge must rest|No knife may lift",
    "coplanar front_light": "Lay the straightedge along the front edge|It reaches over",
    "coplanar back_light": "Lay the straightedge along the back|It reaches over",
    "diagonals cut": "The larger the better|Mark the corner|The panel lies|Rule or tape",
    "edge-pair cut": "The same way for both|Mark both faces",
    "edge-pair flip": "Edge on edge|Hold BOTH|left to itself|Try the leaves",
    "five-cut cut": "A flat board|Start 2 in larger|The edge just cut",
    "flatness wipe": "It must reach|Seven lines",
    "flatness closing": "Hollow: |Rocking: ",
    "flip cut": "Mark its edge|Its width",
    "flip flip": "Leave one half|That is the half|Roll the other over",
    "frame cut": "4 sides, 8 mitres|Turn each piece|Straight stock",
    "frame lay": "The faces tight|In the last corner",
    "runout mount": "It touches|Wipe the face|A blade is touched",
    "snipe plane": "At least 3 ft|Straightedge on|All three",
    "square-flip edge": "No light under|Lay it flat",
    "square-flip line1": "Square, 6 in: stock|Along the edge|The hand that holds",
    "straightness lay": "Wipe both|if it does",
    "sweep mount": "Its base held|It touches|Push its tip",
    "sweep tooth": "Turn the blade|Another tooth",
    "sweep back": "The same tooth|The reading grows",
    "thickness plane": "Nearly as wide|Mark its left",
    "three-squares three": "A is the one|B and C need",
    "three-straightedges three": "A is the one|B and C need",
    "tram mount": "On an arm|Swing it|Push its tip",
}
"""Steps of more than one line."""


@pytest.mark.parametrize("name", sorted({key.partition(" ")[0] for key in TOLD}))
def test_each_line_stands_where_it_is_needed(name: str) -> None:
    job, method = job_of(Case(name, {}, "")), measured(name)
    values, words = method.perfect(job)
    assert method.refuse(values, {"flush": "flush", **words}) is None
    steps = {one.key: one for one in (*method.to_do(job), *method.asked(job))}
    for key, begins in TOLD.items():
        if key.startswith(f"{name} "):
            lines, told = steps[key.partition(" ")[2]].lines, begins.split("|")
            assert len(lines) == len(told), key
            assert all(map(str.startswith, lines, told)), (key, lines)


UNDRAWN = {
    "drift-angle": "cut", "drilled-angle": "drill", "edge-pair": "cut", "five-cut": "cut",
    "flip": "cut", "frame": "cut", "three-squares": "three", "three-straightedges": "three",
    "timed": "", "blade-tension": "", "carry": "", "centres": "", "coplanar": "", "diagonals": "",
    "flatness": "", "runout": "", "snipe": "", "square-flip": "", "straightness": "", "sweep": "",
    "taper": "", "thickness": "", "tram": "", "wind": "",
}  # fmt: skip
"""Where nothing is set up yet, or a watch alone is read."""


@pytest.mark.parametrize("name", UNDRAWN)
def test_every_reading_is_drawn(name: str) -> None:
    method, job = measured(name), job_of(Case(name, {}, ""))
    keys = [one.key for one in (*method.to_do(job), *method.asked(job))]
    assert [key for key in keys if not method.sketch(job, AtStep(key), 1)] == UNDRAWN[name].split()


def test_a_second_reading_is_told_by_its_number_before_all_else() -> None:
    job = job_of(Case("leaf-gap", {}, ""))._replace(tolerance=Tolerance(0, 0.2, "x", "length"))
    given = {"place": "done", "goes": "0.10 mm", "refused": "0.12 mm"}
    first = walked("leaf-gap", job, {"place": "done"}).step
    assert first is not None
    assert not first.lines[0].startswith("Reading")
    second = walked("leaf-gap", job, {**given, "repeat1": "yes"}).step
    assert second is not None
    assert second.lines[0] == "Reading 2: start fresh."
    assert second.lines[1:] == first.lines
    read = {"tools": "square-6 with leaves", "place": "done", "light": "none", "both": "neither"}
    again = step_at(make_job(), {**read, "repeat1": "yes"})
    assert again.lines[0] == "Reading 2."
    assert len(again.lines) > 1


def test_the_leaf_that_went_is_told_where_the_next_is_asked_for() -> None:
    """Nothing went: nothing is told."""
    place = LeafPlace(FEELERS, "the gap", lambda known, tried: None, (), 5.0, "too wide")
    for goes, lines in (("0.10 mm", ("0.10 mm (0.00394 in) goes.",)), ("0", ())):
        step = ask_leaves(place, {"goes": goes}, "")
        assert isinstance(step, Number)
        assert step.lines[: len(lines)] == lines
        assert not (lines == () and any("goes." in one for one in step.lines))
    first = ask_leaves(place, {}, "")
    assert isinstance(first, Number)
    zero, wider = first.lines
    assert zero == "Type 0 when the thinnest leaf won't go."
    assert wider.startswith("Wider than all your leaves: type the least")


def test_a_turn_that_is_said_anew_in_a_file_was_said_wrongly_before() -> None:
    """The usual answer is that it was a slip, and so is the first one."""
    turn = Correction(turns=1.0, clockwise=True)
    step = ask_turned(make_job(adjuster=SCREW), turn, {"turned_by": "5"}, "left.")
    assert step is None or step.key == "left.turned_by"
    step = ask_turned(make_job(adjuster=SCREW), turn, {"turned_by": "5"}, "")
    assert step is not None
    assert step.implied_by == (("turned_by2", "again"),)
    assert isinstance(step, Recheck)
    assert [one.value for one in step.options] == ["again", "keep"]
    assert step.lines[1] == "A bare number is whole turns: type 3/8, or 135/360."


def test_wrong_values_are_told_in_the_order_of_their_names() -> None:
    with pytest.raises(ReckoningError) as told:
        registry.reckoner("knife-marks").reckon({"rpm": "x", "knives": "0", "feed": "y"})
    assert [one.partition("=")[0] for one in told.value.reasons] == ["rpm", "feed", "knives"]


SIGNED = [
    name
    for name, method in ((name, measured(name)) for name in GOOD)
    if not (method.signs or method.is_size or isinstance(method, DoubledGap))
]


@pytest.mark.parametrize("name", SIGNED)
def test_of_an_error_with_a_sign_both_sides_are_told(name: str) -> None:
    method = measured(name)
    assert list(explained(name).signs) == [f"plus: {method.plus}", f"minus: {method.minus}"]


def test_the_thicker_leaf_of_a_file_alone_leaves_the_thinner_one_to_be_asked_for() -> None:
    job = job_of(Case("leaf-gap", {}, ""))._replace(tolerance=Tolerance(0, 0.2, "x", "length"))
    for given, asked in (("goes", "refused"), ("refused", "goes")):
        step = walked("leaf-gap", job, {"place": "done", given: "0.11 mm"}).step
        assert step is not None
        assert step.key == asked


def test_nowhere_is_no_end_that_is_open() -> None:
    """Of a sum the gap is nought then, and no end is told."""
    for name, ends in (
        ("flip", ["fence", "away", "table", "top", "tip", "heel"]),
        ("edge-pair", ["fence", "away", "hollow"]),
    ):
        told = next(one.words for one in measured(name).fields if one.name == "open")
        assert sorted(told) == sorted(ends)


def test_a_gap_is_read_where_it_was_seen() -> None:
    """Each reading by leaves of a pair or a line is no gap where no light was seen there."""
    for name in ("flatness", "three-squares", "three-straightedges"):
        for one in measured(name).asked(job_of(Case(name, {}, ""))):
            if isinstance(one, Reading) and one.tool == "leaves":
                assert one.closed_if == (f"{one.key}_light", "none")
