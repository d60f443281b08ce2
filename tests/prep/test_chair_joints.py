"""Chairs put together in coordinates: legs in a seat, stretchers between them, round tenons.

Nothing here uses the program's formulas but the effects under test: legs are turned about their
holes by scipy, tenons pushed through holes point by point.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from shopboard.prep.cuts import CutKind
from shopboard.prep.effects import Effect, effects_of
from shopboard.prep.needs import joint_needs
from shopboard.shop.project import FitName, Joint, JointKind, ShowsIn
from tests.prep.parts import all_measured, joint_of, name_of

Array = np.ndarray
MOST = math.radians(3)
errors = st.floats(0.0, MOST)
ways = st.floats(0.0, math.tau)


def effect(
    kind: JointKind, fit: FitName, kinds: Mapping[ShowsIn, CutKind] | None = None, **sizes: float
) -> Effect:
    made = Joint("chair", "j", "a joint", kind, sizes=sizes)
    shown = {cut: (one,) for cut, one in (kinds or {}).items()}
    (found,) = (one for one in effects_of(made, shown) if one.fit == fit)
    return found


def total(found: Effect, **errors: float) -> float:
    return sum(term.work(errors[term.shows_in.replace(" ", "_")]) for term in found.terms)


def leg_of(rake: float, splay: float, off: float = 0.0, way: float = 0.0) -> Array:
    """The direction of a leg down from its seat, off by an angle about a line across it.

    x forward, y to the left, z up; splay outward is to the left, rake to the back.
    """
    line = np.array([-math.tan(rake), math.tan(splay), -1.0])
    line /= np.linalg.norm(line)
    across = np.cross(line, [0.0, 0.0, 1.0] if abs(line[2]) < 1 else [1.0, 0.0, 0.0])
    across /= np.linalg.norm(across)
    about = Rotation.from_rotvec(way * line).apply(across)
    out: Array = Rotation.from_rotvec(off * about).apply(line)
    return out


@given(errors, ways, st.floats(0.05, 0.4), st.floats(0.05, 0.4), st.floats(200, 700))
def test_a_foot_stands_no_further_off_than_is_said(
    off: float, way: float, rake: float, splay: float, length: float
) -> None:
    """A leg turned about its hole, any way: its end, before the feet are cut to the floor."""
    moved = length * np.linalg.norm(leg_of(rake, splay, off, way) - leg_of(rake, splay))
    said = total(effect("leg", "aim", depth=40, length=length), leg_angle=off)
    assert moved <= said + 1e-9
    assert moved == pytest.approx(said, rel=2e-3, abs=1e-9)


@given(errors, ways, ways, st.floats(0.02, 0.35), st.floats(0.02, 0.35), st.floats(100, 350))
def test_two_legs_leave_a_stretcher_no_other_room_than_is_said(
    off: float, way: float, other_way: float, rake: float, splay: float, down: float
) -> None:
    """Both legs of one side of a seat, each off its own way; where the stretcher goes in."""
    front, back = np.array([200.0, 0.0, 0.0]), np.array([-200.0, 0.0, 0.0])

    def room(off: float) -> float:
        """Between two points, each so far down its leg; the front leg rakes forward."""
        at_front = front + down * (leg_of(-rake, splay, off, way))
        at_back = back + down * (leg_of(rake, splay, off, other_way))
        return float(np.linalg.norm(at_front - at_back))

    said = total(effect("stretcher", "length", height=down, depth=25, length=400), leg_angle=off)
    assert abs(room(off) - room(0.0)) <= said + 1e-9


def test_the_worst_that_two_legs_can_do_is_not_far_from_what_is_said() -> None:
    """Upright legs that lean apart: the whole of it; of raked ones nearly all of it."""
    front, back = np.array([200.0, 0.0, 0.0]), np.array([-200.0, 0.0, 0.0])
    for rake, least in ((0.001, 0.998), (0.2, 0.96)):
        round_about = np.linspace(0, math.tau, 73)
        fronts, backs = (
            np.array([at + 200 * leg_of(lean, 0.001, MOST, way) for way in round_about])
            for at, lean in ((front, -rake), (back, rake))
        )
        rooms = np.linalg.norm(fronts[:, None] - backs[None], axis=2)
        upright = front + 200 * leg_of(-rake, 0.001) - back - 200 * leg_of(rake, 0.001)
        worst = float(np.max(np.abs(rooms - np.linalg.norm(upright))))
        found = effect("stretcher", "length", height=200, depth=25, length=400)
        said = total(found, leg_angle=MOST)
        assert least * said <= worst <= said


@given(errors, ways, st.floats(100, 600))
def test_a_far_end_misses_its_hole_by_no_more_than_is_said(
    off: float, way: float, length: float
) -> None:
    """A straight rod in a hole that is turned about its mouth; across its own direction."""
    about = np.array([0.0, math.cos(way), math.sin(way)])
    end = Rotation.from_rotvec(off * about).apply([length, 0.0, 0.0])
    aside = math.hypot(end[1], end[2])
    said = total(effect("round tenon", "aim", depth=25, length=length), hole_angle=off)
    assert aside <= said + 1e-9
    assert aside == pytest.approx(said, rel=3e-3, abs=1e-9)
    assert said == total(
        effect("stretcher", "aim", height=1, depth=25, length=length), hole_angle=off
    )


def bored(radius: float, run_out: float) -> float:
    """The radius of the hole of a bit whose axis stands beside the axis that it turns about.

    Its edges are turned round; run-out as an indicator reads it on the shank, highest less lowest.
    """
    turns, edges = np.linspace(0, math.tau, 361), np.linspace(0, math.tau, 361)
    centre = run_out / 2 * np.exp(1j * turns)
    # The bit turns with its own centre: an edge is always at the same place against it.
    swept = [abs(centre * 1 + radius * np.exp(1j * (turns + edge))).max() for edge in edges]
    return float(max(swept))


@given(st.floats(0.0, 0.4), errors, st.floats(10, 60), st.floats(6, 20))
def test_a_tenon_is_no_looser_in_its_hole_than_is_said(
    run_out: float, taper: float, depth: float, radius: float
) -> None:
    """A tenon that just enters at its thick end, pushed against one side of what the bit left."""
    hole = bored(radius, run_out)
    along = np.linspace(0, depth, 50)
    thick = radius - along * math.tan(taper)
    open_at = 2 * hole - 2 * thick  # all at the other side
    found = effect(
        "leg", "gap", {"hole size": "length", "tenon taper": "angle"}, depth=depth, length=400
    )
    said = total(found, hole_size=run_out, tenon_taper=taper)
    assert float(open_at.max()) == pytest.approx(said, rel=1e-9, abs=1e-9)


def test_what_no_point_tells_is_fitted_by_hand_and_what_one_does_counts() -> None:
    """How tightly a tenon sits holds no glue-up where nothing of the shop shows in it."""
    made = joint_of("leg")
    known = all_measured(made)
    without = made._replace(points={"leg angle": made.points["leg angle"]})
    found = joint_needs(without, known, 0.95)
    assert (found.missing, found.unknown) == ((), ())
    (gap,) = (one for one in found.fits if one.effect.fit == "gap")
    assert (gap.fits, gap.shares) == (True, ())
    assert "test hole" in gap.waived
    (gap,) = (one for one in joint_needs(made, known, 0.95).fits if one.effect.fit == "gap")
    assert {one.point for one in gap.shares} == {name_of("hole size"), name_of("tenon taper")}
    # No point for the lean of the leg: that holds it.
    lost = made._replace(points={})
    assert joint_needs(lost, known, 0.95).missing == ("leg angle",)


def test_a_stretcher_measured_between_its_legs_asks_nothing_of_their_angle() -> None:
    made = joint_of("stretcher")._replace(lengths_by_hand=True)
    made = made._replace(points={cut: made.points[cut] for cut in ("hole angle",)})
    found = joint_needs(made, all_measured(joint_of("stretcher")), 0.95)
    assert found.missing == ()
    assert [one.effect.fit for one in found.fits if one.shares] == ["aim"]
    (room,) = (one for one in found.fits if one.effect.fit == "length")
    assert "measured by hand" in room.waived
