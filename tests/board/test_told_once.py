"""Lists and large letters: a task once, no half of a machine's name, minutes that speak."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from shopboard.board.prep_list import _short_line
from shopboard.board.prep_view import _large
from shopboard.board.tasks_view import summary
from shopboard.prep.pieces import Piece


def test_a_task_that_is_under_way_is_not_counted_as_due_too() -> None:
    rows = [
        SimpleNamespace(standing=SimpleNamespace(due=due, begun=begun))
        for due, begun in ((True, object()), (True, None), (False, None))
    ]
    assert summary(cast("Any", rows))[0][0] == "  1 due, 1 in progress"


def a_line(**more: object) -> Any:
    piece = Piece("p", "task", "thick", "", 7.0, "Soak the blade", wait=5.0)
    line = SimpleNamespace(
        piece=piece, start=0, change=0.0, idle=0.0, changing_over=lambda _: False
    )
    return SimpleNamespace(**{**vars(line), **more})


def test_large_letters_never_show_half_the_name_of_a_mode() -> None:
    """Two modes of one body begin alike: the half would be that of either."""
    name = "Combination machine, thicknessing"
    shown = SimpleNamespace(plan=SimpleNamespace(now=0), machines={"thick": name})
    rows = _large(a_line(), 80, 20, 2, cast("Any", shown))
    assert any(name in text for row in rows for text, _ in row)


def test_minutes_of_work_and_of_leaving_it_alone_are_told_apart() -> None:
    assert _short_line(a_line(), 45).endswith("7 min, then a 5 min wait")
    assert _short_line(a_line(), 30).endswith("7 min, a 5 min wait")


def test_the_minutes_of_a_line_are_those_till_the_next_with_the_change_of_mode() -> None:
    """Three to change over, seven of work; where four of waiting lie between, those as well."""
    changed = a_line(change=3.0)
    assert _short_line(changed, 70).endswith("  3 min to change over, 7 min, then a 5 min wait")
    assert _short_line(changed, 45).endswith("Soak the blade  10 min, then a 5 min wait")
    assert _short_line(changed, 30).endswith("  10 min, a 5 min wait")
    waits = a_line(change=3.0, idle=4.0)
    assert "  3 min to change over, 4 min to wait, 7 min, then" in _short_line(waits, 80)
    assert _short_line(waits, 45).endswith("  14 min, then a 5 min wait")
    assert _short_line(a_line(idle=4.0), 45).endswith("  7 min, then a 5 min wait")
