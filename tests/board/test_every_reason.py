"""Reasons to hold beside the worst two: named where there is room, else counted. Pure."""

from __future__ import annotations

from shopboard.board.glue_view import answer_lines
from shopboard.board.paint import plain
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.joint_fit import JointNeeds
from shopboard.prep.reason import Reason
from tests.prep.parts import joint_of

REASONS = tuple(
    Reason("not proven", f"Saw: point {number} is unproven", f"check {number}", (f"saw.p{number}",))
    for number in range(1, 5)
)


def shown(width: int, room: int) -> str:
    found = GlueUpAnswer(JointNeeds(joint_of("tenon"), (), (), ()), 0.95, REASONS)
    return "\n".join(map(plain, answer_lines(found, "mm", (width, room))))


def test_every_reason_is_named_where_there_is_room() -> None:
    for words in (shown(160, 44), shown(80, 22)):
        assert all(f"point {number} is unproven" in words for number in range(1, 5))
        assert "more reason" not in words


def test_where_there_is_none_the_rest_is_counted() -> None:
    words = shown(80, 16)
    assert "point 2 is unproven" in words
    assert "point 3" not in words
    assert "and 2 more reasons, under n: needs" in words
