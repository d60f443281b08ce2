"""What a page says in large type: whatever guards people, and numbers with their units."""

from __future__ import annotations

import asyncio
from pathlib import Path

from tests.web.test_page_board import TO_A_NUMBER, press, shown

TO_THE_VERDICT = (
    ("Blade at 90 ? unproven", "check it now"),
    ("check it now", "Unplug the machine."),
    ("the plug is out", "Take square and leaves"),
    ("go on", "Set its stock on"),
    ("done, go on", "Look for light between square and face."),
    ("no light", "leaf at both ends"),
    ("goes at neither end", "■ TRUE"),
)


async def test_what_guards_people_is_told_in_large_type(tmp_path: Path) -> None:
    """That it is not to be used, all that a clearing takes off, and what is asked."""
    async with shown(tmp_path) as (board, page):
        await page.until("SAW")
        await press(board, page, "SAW", "Blade at 90 ? unproven")
        assert page.told["tag"] == ""
        await board.type(".")
        await page.until("Why is it out of use?")
        first = page.told["answers"][0][1]
        await press(board, page, first, "DO NOT USE.")
        assert page.told["tag"] == f"╳ DO NOT USE: {first}"
        await asyncio.sleep(0.3)
        await board.type(".")
        await page.until("What was fixed?")
        await press(board, page, "for another reason, too", "Why is it out of use?")
        await press(board, page, page.told["answers"][1][1], "DO NOT USE.")
        await asyncio.sleep(0.3)
        await board.type(".")
        told = await page.until("What was fixed?")
        assert told["lines"][0] == "Clearing takes off all of these; look at each:"
        assert [one[0] for one in told["lines"][1:3]] == ["╳", "╳"]
        label = told["answers"][0][1]
        await press(board, page, label, "press 1 once more to clear 2 tags")
        await press(board, page, label, "2 tags are cleared.")


async def test_a_number_is_told_as_it_is_understood(tmp_path: Path) -> None:
    async with shown(tmp_path) as (board, page):
        await page.until("SAW")
        await press(board, page, "SAW", "Blade at 90 ? unproven")
        for label, then in TO_A_NUMBER:
            await press(board, page, label, then)
        await asyncio.sleep(0.3)
        await board.type("0.1")
        told = await page.until('"entry": "0.1"')
        assert told["beside"] == "0.10 mm"


async def test_a_result_is_told_with_its_numbers(tmp_path: Path) -> None:
    async with shown(tmp_path) as (board, page):
        await page.until("SAW")
        await press(board, page, "SAW", "Blade at 90 ? unproven")
        for label, then in TO_THE_VERDICT:
            await press(board, page, label, then)
        lines = " ".join(page.told["lines"])
        assert "± " in lines
        assert "tolerance" in lines
