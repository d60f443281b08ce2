"""Whatever is typed into a field: Enter takes it, or says in one sentence why not."""

from __future__ import annotations

import pytest

from shopboard.board.screens.typing import TypingScreen
from tests.in_turn import in_turn
from tests.pictures.camera import standing_at
from tests.pictures.hand import NotThereError
from tests.two_shops import SHOPS

FIELDS = (
    *("ask", "ask-amount", "ask-bench", "ask-day", "ask-time", "anyway", "look-back-day", "value"),
    *("describe", "set-up-leaf-gap", "set-up-straightness", "check-tools"),
)
HOSTILE = (
    *("", " ", "abc", "half a day", "-", "--", "0", "-1", "9" * 40, "1e300 h", "nan", "inf", "1/0"),
    *("7.00", "24:00", "99:99", "until", "until noon", "2 days 3 h", "0000-00-00", "2026-02-30"),
    *("[/]", "{0} %s", "\u0661\u0662", "\u00bd h", "\u221210", "1,2,3", "\ud800"),
)

MOST_BOARDS = 4
"""So many of them are taken; a note takes nearly any."""


@pytest.mark.parametrize(("way", "shop"), in_turn(FIELDS, [*SHOPS, "whole"]))
async def test_enter_takes_it_or_says_why_not(way: str, shop: str) -> None:
    for name in (shop, "whole", *SHOPS):
        try:
            await whatever_is_typed(way, name)
        except NotThereError:  # that shop has no such thing
            continue
        return
    pytest.skip(f"no shop of the tests comes to {way}")


async def whatever_is_typed(way: str, shop: str) -> None:
    left = list(HOSTILE)
    for _ in range(MOST_BOARDS):
        async with standing_at(way, shop, (80, 24)) as board:
            top = board.app.top
            assert isinstance(top, TypingScreen)
            while left and board.app.top == top and top.field is not None:
                top.clear_field()
                top._entry = text = left.pop(0)
                words = await board.press("enter")
                assert board.app.is_running, text
                assert sum(" ! " in line for line in words.splitlines()) <= 1, words
