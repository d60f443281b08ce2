"""Go or hold: worse is never go, nothing unproven is ever go, the worst reason is named."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.metrology.spread import Spread
from shopboard.prep.glue_up import GlueUpAnswer, answer
from shopboard.prep.known import KnownPoint
from shopboard.prep.mend import MendOption
from shopboard.prep.minutes import method_minutes
from shopboard.prep.needs import joint_needs
from shopboard.prep.present import present
from shopboard.shop.joint_forms import FORMS
from shopboard.shop.machine import Point
from shopboard.shop.project import FitName, Joint, ShowsIn
from shopboard.upkeep.safety_record import DO_NOT_USE
from tests.builders import make_point
from tests.in_turn import part
from tests.prep.parts import (
    JOINTS,
    KINDS,
    LENGTHS,
    all_measured,
    joint_of,
    known_as,
    measured,
    name_of,
    wander_of,
)


def asked(
    joint: Joint, known: Mapping[str, KnownPoint], minutes: Mapping[str, float] | None = None
) -> GlueUpAnswer:
    took = minutes or {}
    return answer(joint, known, 0.95, lambda name: took.get(name, 10.0), "inch")


def just_fitting(joint: Joint, known: Mapping[str, KnownPoint], share: float) -> Joint:
    """The joint, each of its misfits wanted a share above what it can come to."""
    found = {one.effect.fit: one.at_most or 0.0 for one in joint_needs(joint, known, 0.95).fits}
    wanted: dict[FitName, float] = {name: max(mm * share, 1e-9) for name, mm in found.items()}
    again = joint_of(joint.kind, wanted, alternate=joint.alternate)
    assert again.points == joint.points
    return again


class Told:
    """A point as a test tells it, in units of its sort."""

    def __init__(self, cut: ShowsIn, numbers: tuple[float, float, float, float, float]) -> None:
        self.cut = cut
        self.unit = 0.02 if cut in LENGTHS else 2e-4
        self.error, self.half, self.sigma, self.rate, self.time = numbers

    def known(
        self, error: float = 1, half: float = 0, sigma: float = 0, time: float = 0
    ) -> KnownPoint:
        """The point; its error so many times as large, the others so many units more."""
        spread = Spread(
            self.error * error * self.unit,
            ((self.half + half) * self.unit,),
            (self.sigma + sigma) * self.unit,
        )
        rate = self.rate * self.unit
        wander = wander_of([(0.7, rate, 0.0, 0.0), (0.3, -rate, rate * rate, rate * rate)])
        then = present(spread, wander, self.time + time)
        return known_as(self.cut, then, present(spread._replace(centre=0.0)))


NUMBERS = st.tuples(
    *(st.floats(-2.0, 2.0), st.floats(0.0, 1.0), st.floats(0.05, 1.0)),
    *(st.floats(-0.5, 0.5), st.floats(0.0, 4.0)),
)

WORSE = ("larger", "less even", "less sure", "older", "unproven", "due", "tagged", "in change")


def worsened(told: Told, how: str, by: float) -> KnownPoint:
    point = told.known()
    if how == "unproven":
        return point._replace(now=None, state="unproven", why="never checked")
    if how == "due":
        return point._replace(now=None, state="due", why="too old")
    if how == "tagged":
        return point._replace(tag="guard off")
    if how == "in change":
        return point._replace(under_way="change of blade")
    if how == "larger":
        return told.known(error=1 + by)
    if how == "older":
        return told.known(time=by)
    return told.known(half=by) if how == "less even" else told.known(sigma=by)


@settings(deadline=None, max_examples=part(250))
@given(st.data(), JOINTS, st.sampled_from(WORSE), st.floats(0.01, 3.0), st.floats(0.8, 1.2))
def test_making_any_point_worse_never_turns_hold_into_go(
    data: st.DataObject, joint: Joint, how: str, by: float, share: float
) -> None:
    """Limits are set close to what the joint comes to, so that either answer is common."""
    told = {name: Told(cut, data.draw(NUMBERS)) for cut, (name,) in joint.points.items()}
    known = {name: one.known() for name, one in told.items()}
    joint = just_fitting(joint, known, share)
    before = asked(joint, known)
    name = data.draw(st.sampled_from(sorted(known)))
    worse = {**known, name: worsened(told[name], how, by)}
    after = asked(joint, worse)
    if not before.go:
        assert not after.go
    for one, other in zip(before.needs.fits, after.needs.fits, strict=True):
        if one.at_most is not None and other.at_most is not None:
            assert other.at_most >= one.at_most * (1 - 1e-4)


@settings(deadline=None, max_examples=part(80))
@given(st.data(), JOINTS, st.sampled_from(["unproven", "due", "tagged", "in change"]))
def test_never_go_on_a_point_that_cannot_be_gone_by(
    data: st.DataObject, joint: Joint, how: str
) -> None:
    """All others perfect, all limits wide, its own error one that cancels: hold all the same."""
    known = all_measured(joint)
    assert asked(joint, known).go
    cut, (name,) = data.draw(st.sampled_from(sorted(joint.points.items())))
    known[name] = worsened(Told(cut, (0.0, 0.0, 0.1, 0.0, 0.0)), how, 1.0)
    found = asked(joint, known)
    assert not found.go
    reason = found.reasons[0]
    assert reason.about in (name, name.partition(".")[0])
    assert (reason.points == (name,)) == (how in ("unproven", "due"))


@pytest.mark.parametrize("kind", KINDS)
def test_never_go_where_a_point_of_the_joint_is_missing(kind: str) -> None:
    """No point shows in the cut that one must show in, or the shop no longer has it."""
    joint = joint_of(kind)  # type: ignore[arg-type]
    known = all_measured(joint)
    for cut, (name,) in joint.points.items():
        without = {other: one for other, one in known.items() if other != name}
        found = asked(joint, without)
        assert [one.sort for one in found.reasons] == ["nothing shows"]
        assert f"Nothing proves the {cut}" in found.reasons[0].words
        gone = joint._replace(points={k: v for k, v in joint.points.items() if k != cut})
        assert asked(gone, known).go == (cut in FORMS[joint.kind].if_shown)  # else a hand fits it


def test_an_unproven_point_whose_error_cancels_is_told_so() -> None:
    joint = joint_of("panel", alternate=True)
    known = all_measured(joint)
    known[name_of("edge angle")] = known_as("edge angle", None, why="never checked")
    found = asked(joint, known)
    assert not found.go
    assert "cancels only while it is the same in every cut" in found.reasons[0].words


@settings(deadline=None, max_examples=part(60))
@given(st.data())
def test_the_worst_is_named(data: st.DataObject) -> None:
    """Of two misfits the one furthest beyond, of its points the one that makes most of it."""
    joint = joint_of("carcase", {"gap": 0.05, "square": 0.05, "length": 0.05})
    errors = data.draw(st.tuples(*[st.floats(0.0, 2.0)] * 3))
    known = {
        name: measured(cut, error * (0.1 if cut in LENGTHS else 1e-3), 1e-6)
        for (cut, (name,)), error in zip(joint.points.items(), errors, strict=True)
    }
    found = asked(joint, known)
    over = [fit for fit in found.needs.fits if not fit.fits]
    if {"gap", "square"} <= {fit.effect.fit for fit in over}:  # one of them is enough
        over = [fit for fit in over if fit.effect.fit != "square"]
    assert len(found.reasons) == len(over)
    if over:
        worst = max(over, key=lambda fit: (fit.at_most or 0.0) / 0.05)
        share = max(worst.shares, key=lambda one: one.at_most or 0.0)
        assert found.reasons[0].about == share.point
        assert found.reasons[0].words.startswith(worst.effect.words[0].upper())


def test_danger_comes_before_proof_and_proof_before_fit() -> None:
    """Tag, change, what was never checked, what is due, what is too much."""
    joint = joint_of("carcase", {"square": 0.001})
    known = all_measured(joint, 1e-3)
    assert asked(joint, known).reasons[0].sort == "too much"
    known[name_of("length")] = known_as("length", None, why="too old", state="due")
    known[name_of("end tilt")] = known_as("end tilt", None, why="never checked")
    found = asked(joint, known)
    assert [one.about for one in found.told] == [name_of("end tilt"), name_of("length")]
    sorts = [one.sort for one in found.reasons]
    assert sorts[:3] == ["not proven", "not proven", "too much"]
    assert set(sorts[3:]) <= {"too much"}
    known[name_of("length")] = known[name_of("length")]._replace(tag="guard is off")
    found = asked(joint, known)
    assert found.told[0].sort == "tag"
    assert found.told[0].words.endswith(f"{DO_NOT_USE}. guard is off")
    assert (found.told[0].minutes, found.told[0].points) == (None, ())
    assert len(found.told) == 2


def test_a_second_reason_asks_for_more_than_the_first() -> None:
    """What is checked on the way to the first point needs no second reason."""
    joint = joint_of("carcase")
    known = all_measured(joint)
    base, top, other = (name_of(cut) for cut in ("end tilt", "end angle", "length"))
    for cut in ("end angle", "end tilt", "length"):
        known[name_of(cut)] = known_as(cut, None, why="never checked")
    known[top] = known[top]._replace(checks=(known[base].point, known[top].point))
    known[base] = known[base]._replace(checks=(known[base].point,))
    found = asked(joint, known)
    assert [one.about for one in found.reasons[:3]] == [top, base, other]
    assert [one.about for one in found.told] == [top, other]
    known[other] = measured("length", 0.0, 1e-5)
    assert [one.about for one in asked(joint, known).told] == [top]


def test_what_it_rests_on_is_checked_first() -> None:
    """Then it itself, where that alone does not make it good again; all of it takes its time."""
    joint = joint_of("stave ring")
    base, itself = make_point("saw.table"), make_point(name_of("bevel"))
    took = {"saw.table": 4.0, name_of("bevel"): 7.0}

    def to_do(*checks: Point) -> tuple[str, float | None, str]:
        due = known_as("bevel", None, why="depends on Table", state="due")
        due = due._replace(checks=checks, first_machine="Saw" if base in checks else due.machine)
        reason = asked(joint, {name_of("bevel"): due}, took).reasons[0]
        assert reason.points == tuple(point.full_name for point in checks)
        return reason.to_do, reason.minutes, reason.short

    assert to_do(base) == ("check first Saw: Table", 4.0, "Table")
    assert to_do(base, itself) == ("check first Saw: Table, then it", 11.0, "Table")
    assert to_do(base, itself, itself)[0] == "check first Saw: Table, then 2 more"
    assert to_do(itself) == ("check Machine of bevel: Point", 7.0, "Point")


def test_the_shortest_check_that_does_is_offered() -> None:
    """Not the one that accounts for most of it, where another does and takes less; else both."""
    joint = joint_of("veneer", {"thickness": 1.0})
    known = all_measured(joint)
    saw, bed = name_of("resaw"), name_of("thickness")
    known[saw] = measured("resaw", 3.3e-3, 1e-6)
    known[bed] = measured("thickness", 4.4e-3, 1e-6)
    took = {saw: 30.0, bed: 5.0}
    found = asked(joint, known, took)
    assert found.reasons[0].about == saw
    assert (found.reasons[0].points, found.reasons[0].minutes) == ((bed,), 5.0)
    assert asked(joint, known, {saw: 3.0, bed: 5.0}).reasons[0].points == (saw,)
    tight = joint._replace(
        fits={**joint.fits, "thickness": joint.fits["thickness"]._replace(mm=0.01)}
    )
    both = asked(tight, known, took).reasons[0]
    assert (both.points, both.minutes) == ((saw, bed), 35.0)
    assert both.to_do.endswith("and set them right")


def test_a_box_is_held_square_or_drawn_closed_and_one_of_the_two_is_enough() -> None:
    """Depth 300, 100 by 200 mm: an end 1 mrad off opens 0.3 mm held square, or leans the box.

    Drawn closed its diagonals differ by about 2 x 100 x 200 x 1e-3 / hypot(100, 200), here of the
    longest board by its own ends: the numbers are those of the effects, tested against coordinates.
    """
    known = all_measured(joint_of("carcase"))
    known[name_of("end angle")] = measured("end angle", 1e-3, 1e-9)
    for gap, square, go in ((9.0, 0.01, True), (0.2, 9.0, True), (0.2, 0.01, False)):
        joint = joint_of("carcase", {"gap": gap, "square": square, "length": 9.0})
        found = asked(joint, known)
        assert found.go is go
        waived = {fit.effect.fit for fit in found.needs.fits if fit.waived}
        assert waived == ({"square"} if gap > 1 else {"gap"} if go else set())


def test_drawn_closed_what_leans_through_the_thickness_still_opens() -> None:
    known = all_measured(joint_of("carcase"))
    known[name_of("end tilt")] = measured("end tilt", 0.02, 1e-9)
    joint = joint_of("carcase", {"gap": 0.2, "square": 9.0, "length": 9.0})
    assert not asked(joint, known).go  # 22 mm x 0.02 is 0.44 mm


def test_an_error_over_45_degrees_is_another_cut_and_is_refused() -> None:
    joint = joint_of("tenon", {"gap": 500.0, "length": 500.0})
    known = all_measured(joint)
    known[name_of("end angle")] = measured("end angle", math.radians(46), 1e-6)
    found = asked(joint, known)
    assert not found.go
    assert "it can be out by more than 45 deg: that is another cut" in found.reasons[0].words
    assert found.reasons[0].points == (name_of("end angle"),)


def test_no_check_is_asked_for_that_leaves_too_much_open() -> None:
    """Set right to nought and measured as coarsely it would not do either."""
    joint = joint_of("stave ring", {"gap": 0.1})
    found = asked(joint, {name_of("bevel"): measured("bevel", 0.0, 0.01)})
    (reason,) = found.reasons
    assert (reason.sort, reason.points, reason.minutes) == ("cannot", (), None)
    assert "your tools cannot prove that it fits" in reason.to_do
    assert "accept" in reason.to_do


@pytest.mark.parametrize("known_so_far", [True, False])
def test_a_tool_to_prove_first_goes_by_its_name(known_so_far: bool) -> None:
    """Nobody says ``bench.try`` across the bench."""
    joint, name = joint_of("stave ring", {"gap": 0.1}), name_of("bevel")
    found = measured("bevel", 0.05, 1e-5) if known_so_far else known_as("bevel", None)
    coarse, fine = (present(Spread(0.0, (), sigma)) for sigma in (0.01, 1e-5))
    proof = MendOption(
        *(fine, "proof", "square", "with Try square", True, ("bench.try",)),
        first_name="Bench: Try square",
    )
    ways = (MendOption(coarse, "tools", "square"), proof)
    told = answer(joint, {name: found}, 0.95, lambda *_: 10.0, "mm", options=lambda _: ways)
    (reason,) = told.reasons
    assert reason.points == ("bench.try", name)
    assert "Bench: Try square, then" in reason.to_do
    assert "bench.try" not in reason.to_do
    assert reason.short == "Try square"


def test_the_minutes_are_those_of_the_method_that_is_asked_for() -> None:
    """A flip test cut was told as long as the usual check by a square."""
    joint, name = joint_of("stave ring", {"gap": 0.1}), name_of("bevel")
    coarse, fine = (present(Spread(0.0, (), sigma)) for sigma in (0.01, 1e-5))
    ways = (MendOption(coarse), MendOption(fine, "method", "flip", "by flip test"))

    def minutes(point: str, method: str = "") -> float:
        return method_minutes(method or "square")

    for found in (measured("bevel", 0.05, 1e-5), known_as("bevel", None)):
        told = answer(joint, {name: found}, 0.95, minutes, "mm", options=lambda _: ways)
        assert told.reasons[0].minutes == method_minutes("flip") == 12


def test_go_says_how_sure_and_names_no_reason() -> None:
    joint = joint_of("tenon")
    found = asked(joint, all_measured(joint))
    assert (found.word, found.told, found.level) == ("GO", (), 0.95)


def test_a_hair_beyond_what_is_wanted_asks_for_a_check_and_never_for_none() -> None:
    """The last bit of a sum decides between go and hold; what is asked for then is a check."""
    joint = joint_of("stave ring")
    known = {name_of("bevel"): measured("bevel", 2e-4, 1e-5)}
    for share in (1 - 1e-16, 1 - 2e-16, 1 - 1e-12, 1 - 1e-9, 1 - 1e-6):
        found = asked(just_fitting(joint, known, share), known)
        if not found.go:
            assert found.reasons[0].points == (name_of("bevel"),)
