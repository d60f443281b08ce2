"""What is said of each misfit beside its size: how the errors of its cuts come together.

Each sentence follows from how the work lies at the saw and is closed; the geometry itself is held
against coordinates in `test_effects`.
"""

from __future__ import annotations

from typing import Any

import pytest

from shopboard.prep.effects import effects_of
from shopboard.shop.project import FitName, JointKind, ShowsIn
from tests.prep.test_effects import effect, joint

STRAP = "Pulled together all round by a strap (common practice, no source): each {} takes its own 2"
LAST = "{} errors add up in the last {}, the others closed first; pulled together all round each"
HALVES = "Two halves, their ends sanded to fit (common practice, no source): the errors go into"
SAME = "Same face down for both ends, on one side of the blade: its lean opens each {}."
OVER = "Turned over for the second end: the lean of the blade cancels."
FENCES = "The lean of the blade opens each {} if both fences stand on one side of it."
TWO_EDGES = "Two edges that are not straight add up."
STOP = "One stop for all pieces: they differ by as much as its face is out, no more."


@pytest.mark.parametrize(
    ("made", "fit", "begins", "ends"),
    [
        (("panel", {}), "gap", "Held flat, each joint opens by the error of two", TWO_EDGES),
        (("panel", {"turned": True}), "gap", "Faces alternated: the edges' angles", TWO_EDGES),
        (
            ("panel", {"closed": "sprung"}),
            "gap",
            "Held flat, each joint",
            "alternated they cancel.",
        ),
        (
            ("panel", {"closed": "sprung"}),
            "spring",
            "Sprung: each edge is planed hollow",
            "hollow.",
        ),
        (
            ("panel", {"pieces": 7}),
            "cup",
            "Clamped shut, the panel bends by two errors at each of its joints, 6 in all",
            "with faces alternated they cancel.",
        ),
        (("panel", {"turned": True}), "cup", "Faces alternated", "the panel stays flat."),
        (("frame", {"closed": None}), "gap", STRAP.format("mitre"), SAME.format("mitre")),
        (("frame", {"pieces": 6}), "gap", LAST.format(12, "mitre"), SAME.format("mitre")),
        (("frame", {"closed": "half rings", "turned": True}), "gap", HALVES, OVER),
        (
            ("frame", {"closed": None}),
            "square",
            "Pulled together all round, mitres that are all off alike pull it square",
            "while the strap is on.",
        ),
        (("frame", {}), "square", "Closed one corner after the other", "errors of a corner."),
        (("stave ring", {"pieces": 10}), "gap", LAST.format(20, "joint"), "each takes 2."),
        (("stave ring", {"closed": None}), "gap", STRAP.format("joint"), "its own 2 errors."),
        (("segment ring", {"turned": True}), "gap", LAST.format(24, "joint"), OVER),
        (("segment ring", {"closed": None}), "gap", STRAP.format("joint"), SAME.format("joint")),
        (
            ("carcase", {}),
            "gap",
            "Held square, each end opens over its width and through its thickness.",
            "it would close through the thickness, and the box rack.",
        ),
        (("carcase", {"turned": True}), "gap", "Held square, each end opens over", "and close."),
        (("drawer", {}), "square", "Same face down for both ends: pulled", "its parallel ends."),
        (("drawer", {"turned": True}), "square", "Other face down for", "racks with the ends."),
        (("carcase", {}), "length", STOP, STOP),
        (("tenon", {}), "gap", "Over the width of the rail.", "(common practice, no source)."),
        (("veneer", {}), "thickness", "The taper of the saw cut and that of the planed", "add up."),
    ],
)
def test_how_the_errors_come_together(
    made: tuple[JointKind, dict[str, Any]], fit: FitName, begins: str, ends: str
) -> None:
    kind, more = made
    note = effect(joint(kind, **more), fit).note
    assert note.startswith(begins)
    assert note.endswith(ends)


def test_a_leaf_that_is_only_sawn_is_as_uneven_as_the_saw() -> None:
    leaf = joint("veneer")
    leaf = leaf._replace(sizes={"height": 200.0})
    (found,) = effects_of(leaf, {})
    assert found.note == "A leaf is as uneven as the blade is off over the height of the cut."


@pytest.mark.parametrize("turned", [True, False])
def test_between_two_fences_the_lean_is_said_to_open_it_whichever_face_is_down(
    *, turned: bool
) -> None:
    """The shop file does not tell on which side of the blade they stand."""
    frame = joint("frame", turned=turned, closed="all round")._replace(two_fences=True)
    gap = next(one for one in effects_of(frame, {"mitre": ("pair",)}) if one.fit == "gap")
    assert gap.note.endswith(FENCES.format("mitre"))
    assert [one.cancels for one in gap.terms if one.shows_in == "end tilt"] == [False]


@pytest.mark.parametrize("kind", ["frame", "carcase", "tenon"])
def test_what_is_measured_by_hand_adds_nothing_and_is_said(kind: JointKind) -> None:
    by_hand = joint(kind)._replace(lengths_by_hand=True)
    found = {one.fit: one for one in effects_of(by_hand, {})}
    assert found["length"].terms == ()
    assert found["length"].note.startswith("Measured by hand: what they differ by may open")
    assert not [one for one in found["gap"].terms if one.shows_in == "length"]


WHERE: dict[tuple[JointKind, FitName], str] = {
    ("frame", "gap"): "gap in the last mitre",
    ("stave ring", "gap"): "gap in the last joint of the staves",
    ("segment ring", "gap"): "gap in the last joint of the ring",
    ("frame", "square"): "difference of the diagonals",
    ("frame", "length"): "difference in length of opposite members",
    ("drawer", "length"): "difference in length of opposite boards",
    ("tenon", "gap"): "gap at the shoulder",
    ("tenon", "length"): "difference from shoulder to shoulder",
    ("drawer", "gap"): "gap at the end of a board",
    ("panel", "cup"): "cup across the panel",
}


@pytest.mark.parametrize(("kind", "fit"), WHERE)
def test_each_misfit_says_where_it_is(kind: JointKind, fit: FitName) -> None:
    assert effect(joint(kind), fit).words == WHERE[kind, fit]


def test_only_a_frame_of_four_has_diagonals() -> None:
    three, four = joint("frame", pieces=3), joint("frame", pieces=4)
    assert [one.fit for one in effects_of(three, {})] == ["gap", "length"]
    assert [one.fit for one in effects_of(four, {})] == ["gap", "square", "length"]
    unsaid = four._replace(pieces=0)
    assert [one.fit for one in effects_of(unsaid, {})] == ["gap", "square", "length"]


ORDER: dict[tuple[JointKind, FitName], list[ShowsIn]] = {
    ("panel", "gap"): ["edge angle", "edge line"],
    ("frame", "gap"): ["mitre", "end tilt", "length"],
    ("segment ring", "gap"): ["mitre", "end tilt"],
    ("carcase", "gap"): ["end angle", "end tilt"],
    ("tenon", "gap"): ["end angle", "end tilt", "length"],
    ("veneer", "thickness"): ["resaw", "thickness"],
}


@pytest.mark.parametrize(("kind", "fit"), ORDER)
def test_its_cuts_are_told_in_one_order(kind: JointKind, fit: FitName) -> None:
    """As a joint of that kind is asked for its points in the shop file, across before along."""
    assert [one.shows_in for one in effect(joint(kind), fit).terms] == ORDER[kind, fit]


WHY: dict[tuple[JointKind, FitName, ShowsIn], str] = {
    ("frame", "gap", "end tilt"): "the faces are alternated",
    ("panel", "gap", "edge angle"): "the faces are alternated",
    ("drawer", "gap", "end tilt"): "the faces are alternated",
}


@pytest.mark.parametrize(("kind", "fit", "shows_in"), WHY)
def test_what_cancels_says_why(kind: JointKind, fit: FitName, shows_in: ShowsIn) -> None:
    terms = effect(joint(kind, turned=True), fit).terms
    assert {one.why for one in terms if one.shows_in == shows_in} == {WHY[kind, fit, shows_in]}


@pytest.mark.parametrize(
    ("closed", "fit", "why"),
    [
        ("half rings", "gap", "the halves are sanded to fit"),
        ("all round", "square", "all mitres are alike, and it is pulled together all round"),
    ],
)
def test_how_a_ring_is_closed_cancels_its_mitres(closed: Any, fit: FitName, why: str) -> None:
    terms = effect(joint("frame", closed=closed), fit).terms
    assert [(one.cancels, one.why) for one in terms if one.shows_in == "mitre"] == [(True, why)]
