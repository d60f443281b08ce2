"""What a project is told, word for word: its joints, sizes, days and what to do about a reason."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.needs import joint_needs
from shopboard.prep.needs_words import (
    at_most_words,
    command_words,
    date_words,
    joint_words,
    minutes_words,
    sizes_words,
    to_do_words,
)
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import PlanLine
from shopboard.prep.plan_words import detail, steps_words
from shopboard.prep.reason import Reason
from tests.prep.parts import joint_of

PANEL = joint_of("panel", pieces=5)


def test_a_joint_is_told_with_what_is_out_of_the_ordinary() -> None:
    assert joint_words(PANEL) == "panel of 5 pieces"
    assert joint_words(PANEL._replace(number=2)) == "panel of 5 pieces, 2 alike"
    turned = PANEL._replace(alternate=True, number=3)
    assert joint_words(turned) == "panel of 5 pieces, faces alternated, 3 alike"
    sprung = PANEL._replace(closed="sprung")
    assert joint_words(sprung) == "panel of 5 pieces, closed sprung"
    frame = joint_of("frame")
    assert joint_words(frame) == "frame of 4 pieces, closed all round"
    told = joint_words(frame._replace(closed="last corner", two_fences=True))
    assert told == "frame of 4 pieces, closed last corner, mitred on two fences"
    assert joint_words(joint_of("tenon")) == "tenon"


def test_sizes_are_told_in_the_persons_unit() -> None:
    """25.4 mm are an inch, by its definition."""
    joint = PANEL._replace(sizes={"width": 76.2, "other_length": 508.0})
    assert sizes_words(joint, "inch") == "width 3 in, other length 20 in"
    assert sizes_words(joint, "mm") == "width 76.2 mm, other length 508 mm"


def test_a_day_of_the_calendar() -> None:
    assert date_words(date(2026, 12, 7)) == "Mon 7 Dec 2026"
    assert at_most_words(0.95) == "what is given as at most is not exceeded, 95 % certain"


@pytest.mark.parametrize(
    ("minutes", "words"), [(None, "check it"), (24.6, "check it: about 25 min")]
)
def test_what_to_do_is_told_with_how_long_it_takes(minutes: float | None, words: str) -> None:
    assert to_do_words(Reason("not proven", "It is due", "check it", minutes=minutes)) == words


def test_no_check_takes_less_than_a_minute() -> None:
    one = Reason("not proven", "It is due", "check it")
    told = [minutes_words(one._replace(minutes=each)) for each in (None, 0.2, 1.4, 1.6)]
    assert told == ["1 min", "1 min", "1 min", "2 min"]


def test_the_command_of_a_check_says_for_which_joint_and_by_which_way() -> None:
    """A base that does not show in the joint is checked for its own sake."""
    (name, *_) = PANEL.point_names
    reason = Reason("too much", "", "", points=(name, "saw.base"), methods={name: "flip"})
    told = command_words(name, reason, PANEL)
    assert told == f"shopboard check {name} --method flip --for chest.joint"
    assert command_words("saw.base", reason, PANEL) == "shopboard check saw.base"


def told(*reasons: Reason) -> list[str]:
    answer = GlueUpAnswer(joint_needs(PANEL, {}, 0.95), 0.95, reasons)
    return [one.words for one in answer.told]


def test_a_second_reason_is_told_where_more_is_to_be_done_about_it() -> None:
    """Not where the same act lifts both, nor where its checks are done on the way to the first."""
    tag = Reason("tag", "Saw: DO NOT USE", "see to the saw", about="saw")
    same = tag._replace(words="Saw, too", about="scorer")
    other = tag._replace(words="Planer: DO NOT USE", to_do="see to the planer", about="planer")
    assert told(tag, same, other) == ["Saw: DO NOT USE", "Planer: DO NOT USE"]
    fence = Reason("not proven", "Fence: due", "check it", ("saw.table", "saw.fence"))
    table = Reason("not proven", "Table: due", "check the table", ("saw.table",))
    blade = Reason("not proven", "Blade: due", "check the blade", ("saw.blade",))
    assert told(fence, table) == ["Fence: due"]
    assert told(table, fence) == ["Table: due", "Fence: due"]
    assert told(fence, table, blade) == ["Fence: due", "Blade: due"]
    wide = Reason("too much", "Gap: 1 mm", "check both", ("saw.table", "saw.fence"))
    assert told(fence, wide) == ["Fence: due"]
    assert told(table, wide) == ["Table: due", "Gap: 1 mm"]
    assert told() == []


DAY = datetime(2026, 6, 1, 8, tzinfo=UTC)


@pytest.mark.parametrize(
    ("steps", "of", "words"),
    [
        ((0, 0), 0, ""),
        ((1, 1), 1, "1 step"),
        ((1, 4), 4, "4 steps"),
        ((2, 2), 4, "step 2 of 4"),
        ((2, 3), 4, "steps 2 to 3 of 4"),
        ((5, 4), 4, "its end"),
    ],
)
def test_which_steps_of_a_task_a_piece_is(steps: tuple[int, int], of: int, words: str) -> None:
    piece = Piece("p", "task", "saw", "Wax", 5.0, steps=steps, of=of)
    assert steps_words(PlanLine(piece, DAY, DAY)) == words


def test_a_piece_is_told_with_what_comes_with_it() -> None:
    """Its time, what it is part of or why, how late it is, the change before, the wait after."""
    end = DAY + timedelta(minutes=5)
    wax = Piece("p", "task", "saw", "Wax", 5.0, why="due", steps=(1, 1), of=2, wait=10.0)
    line = PlanLine(wax, DAY, end, change=6.0, late=2.0)
    told = detail(line, DAY, {"saw": "Table saw"}).split("; ")
    assert told[:2] == ["Wax, step 1 of 2", "5 min"]
    assert told[2:4] == ["2 min longer so far", "first 6 min to change over to Table saw"]
    assert told[4].startswith("then a 10 min wait, until ")
    check = Piece("c", "check", "saw", "Fence", 6.0, why="due: knocked")
    assert detail(PlanLine(check, DAY, end, late=0.9), DAY, {}) == "6 min; due: knocked"
