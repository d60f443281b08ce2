"""No sentence stands twice on a screen: what is said once is looked for no second time."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from tests.in_turn import in_turn
from tests.pictures.camera import standing_at
from tests.pictures.hand import NotThereError
from tests.two_shops import SHOPS

SCREENS = (
    *("machine", "machine-tagged", "machine-hand-tools"),
    *("point", "point-near", "point-due", "point-unproven", "point-noted"),
    *("cutter", "tasks", "prep", "prep-begun", "glue-up-go", "glue-up-hold"),
)
SIZES = ((80, 24), (160, 48))
_ON_RECORD = re.compile(r"\d{1,2} [A-Z][a-z]{2} 20\d\d")
"""A row of what is on record: the same may have been found, or done, twice."""
_LEAST = 4
"""Words of a sentence."""


def said_twice(lines: list[str]) -> list[str]:
    """Give what stands twice: whole lines, and what is set off within them."""
    told = [line for line in lines if not _ON_RECORD.search(line)]
    pieces = [one.strip(" ►·") for line in told for one in re.split(r"\s{2,}| · ", line)]
    counts = Counter(one for one in pieces if len(re.findall(r"\w\S*", one)) >= _LEAST)
    return [one for one, count in counts.items() if count > 1]


def test_what_stands_twice_is_found() -> None:
    lines = ["  the blade leans left  out", " 1 Blade  the blade leans left", "  true  true"]
    assert said_twice(lines) == ["the blade leans left"]
    assert said_twice(["26 Nov 2026  no error was found", "2 Oct 2026  no error was found"]) == []


@pytest.mark.parametrize(("name", "shop"), in_turn(SCREENS, [*SHOPS]))
async def test_nothing_is_said_twice(name: str, shop: str) -> None:
    try:
        async with standing_at(name, shop, SIZES[0]) as board:
            for size in SIZES:
                await board.resize(*size)
                assert said_twice(board.lines) == [], f"{size}\n{board.text}"
    except NotThereError as none:
        pytest.skip(str(none))
