"""What a page says of a line that is a key: a sentence that is wrapped is one sentence."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from shopboard.board.hits import hit
from shopboard.board.page_told import _buttons

PANE = 24


def pane(*rows: str) -> list[tuple[str, str]]:
    lines = [hit(((f"│ {row:<{PANE - 4}} │", ""),), "1") for row in rows]
    return _buttons(lines, 0)


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (("Fence: out", "at all", "TRUE"), "Fence: out. at all. TRUE"),
        (("Fence: more than two", "degrees off, 100 % of", "tolerance"),
         "Fence: more than two degrees off, 100 % of tolerance"),
        (("", "Wax the table", "", "next due Wed"), "Wax the table. next due Wed"),
    ],
)  # fmt: skip
def test_a_full_line_goes_on_in_the_next_and_a_short_one_ends(
    rows: Sequence[str], told: str
) -> None:
    assert pane(*rows) == [("1", told)]
