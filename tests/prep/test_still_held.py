"""Which joints stay on HOLD after a plan, and what each of them lacks. By hand."""

from __future__ import annotations

from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.pieces import Piece
from shopboard.prep.stays_open import StaysOpen
from shopboard.prep.still_held import still_held
from shopboard.shop.project import Project
from tests.builders import make_point, make_shop
from tests.prep.parts import joint_of

LEFT = [
    LeftPiece(Piece(f"check {name}", "check", name[:3], name, minutes, target=name), "")
    for name, minutes in (("saw.blade", 6.0), ("saw.fence", 25.0), ("jtr.knives", 15.0))
]
DOOR = joint_of("panel")._replace(name="Door", points={"edge line": ("jtr.knives",)})
CASE = joint_of("panel")._replace(
    id="case", name="Case", points={"end angle": ("saw.blade", "saw.fence")}
)


def test_each_joint_is_named_with_what_it_lacks_where_that_differs() -> None:
    shop = make_shop(*(make_point(one.piece.target) for one in LEFT))
    held = still_held(shop, Project("p", "P", joints=(DOOR, CASE)), LEFT)
    assert held == ("HOLD for Door (15 min); Case (31 min): 46 min of checks more.",)
    both = Project("p", "P", joints=(CASE, CASE._replace(id="lid", name="Lid")))
    assert still_held(shop, both, LEFT) == ("HOLD for Case; Lid: 31 min of checks more.",)
    assert still_held(shop, both, LEFT[2:]) == ()


def test_minutes_are_said_only_of_a_joint_that_goes_with_them() -> None:
    """A joint of which nothing proves the length stays on HOLD, be its checks made or not."""
    shop = make_shop(*(make_point(one.piece.target) for one in LEFT))
    both = Project("p", "P", joints=(DOOR, CASE))
    note = StaysOpen("joint", "", CASE.full_name, "P", "Case", "Nothing proves the length", "")
    alone = "HOLD for Case: checks alone bring no GO."
    door = "HOLD for Door: 15 min of checks more."
    assert still_held(shop, both, LEFT, (note,)) == (door, alone)
    assert still_held(shop, both, (), (note,)) == (alone,)
    near = StaysOpen("point", "saw", "saw.blade", "Saw", "Blade at 90", "found so twice today", "")
    fence = near._replace(target="saw.fence", name="Fence")
    stays = "HOLD for Case: Blade at 90 stays open."
    assert still_held(shop, both, LEFT[1:], (near,)) == (door, stays)
    assert still_held(shop, both, LEFT, (near, fence))[1].endswith("Blade at 90, Fence stay open.")
    assert still_held(shop, both, (), (near,)) == ()
    tag = StaysOpen("machine", "saw", "saw", "Saw", "", "do not use", "")
    assert still_held(shop, both, LEFT, (tag,)) == (door, alone)
    assert still_held(shop, both, (), (tag,)) == ()
