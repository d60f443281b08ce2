"""A board behind a page, without a browser: what it is told, what it says, how it ends."""

from __future__ import annotations

import asyncio
import json
import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing, suppress
from pathlib import Path
from typing import Any

import pytest

from shopboard.base.served import Served, bounded
from shopboard.web.page_board import ELSEWHERE, ENDED, PageBoard
from tests.two_shops import COMBINATION, METRIC

WAIT = 30.0

NO_ANSWER = 6.0
"""Seconds after which a touch has done nothing."""


class Listener:
    """A page's connection that keeps what it hears."""

    def __init__(self) -> None:
        self.drawn = b""
        self.told: dict[str, Any] = {}
        self.closed: int | None = None
        self._more = asyncio.Event()

    async def send_bytes(self, data: bytes) -> None:
        self.drawn += data
        self._more.set()

    async def send_str(self, data: str) -> None:
        self.told = json.loads(data)
        self._more.set()

    async def close(self, *, code: int = 1000) -> None:
        self.closed = code
        self._more.set()

    async def until(self, words: str, seconds: float = WAIT) -> dict[str, Any]:
        """Wait until it is told some words; give what it is told with them."""
        async with asyncio.timeout(seconds):
            while words not in json.dumps(self.told, ensure_ascii=False):
                await self._more.wait()
                self._more.clear()
        return self.told

    async def until_drawn(self, words: bytes) -> None:
        """Wait until the terminal is sent some words."""
        async with asyncio.timeout(WAIT):
            while words not in self.drawn:
                await self._more.wait()
                self._more.clear()

    async def until_closed(self) -> int:
        """Wait until it is let go; give why."""
        async with asyncio.timeout(WAIT):
            while self.closed is None:
                await self._more.wait()
                self._more.clear()
        return self.closed


@asynccontextmanager
async def shown(
    folder: Path, shop: str = METRIC, go_on: str = "", who: str = ""
) -> AsyncIterator[tuple[PageBoard, Listener]]:
    """A board that a page shows."""
    (folder / "shop.toml").write_text(shop, encoding="utf-8")
    files = ("--shop", str(folder / "shop.toml"), "--journal", str(folder / "j"), "--new-journal")
    board, page = PageBoard(files, who), Listener()
    await board.begin(Served(80, 24, go_on))
    try:
        await board.show(page, (80, 24))
        yield board, page
    finally:
        await board.end()


async def press(board: PageBoard, page: Listener, label: str, then: str) -> None:
    """Touch the button with such words, and wait for what comes.

    A touch on what is just about to change answers nothing: a person touches once more.
    """
    for _ in range(2):
        buttons = [*page.told["answers"], *page.told["keys"]]
        key = next((key for key, words in buttons if label in words), "")
        await asyncio.sleep(0.3)  # a person reads a question before it is answered
        if key:
            await board.tell({"type": "press", "turn": page.told["turn"], "key": key})
        with suppress(TimeoutError):
            await page.until(then, NO_ANSWER)
            return
    await page.until(then)


TO_A_NUMBER = (
    ("Arbor flange ?", "check it now"),
    ("check it now", "Unplug the machine."),
    ("the plug is out", "Take care."),
    ("understood", "Set up the indicator"),
    ("done, go on", "How does the indicator touch?"),
    ("plunger square", "the lowest reading"),
)


@pytest.mark.parametrize("shop", [METRIC, COMBINATION], ids=["metric", "combination"])
async def test_what_is_begun_is_gone_on_with_by_a_new_board(tmp_path: Path, shop: str) -> None:
    """Ended by force in mid-check; the next one opens at the same question, by its name alone."""
    async with shown(tmp_path, shop, who="phone") as (board, page):
        await page.until("SAW")
        await press(board, page, "SAW", "Blade at 90 ? unproven")
        await press(board, page, "Blade at 90 ? unproven", "check it now")
        await press(board, page, "check it now", "Unplug")
        await press(board, page, "the plug is out", "Take square")
        assert (page.told["at"], page.told["field"]) == ("check saw.blade", "")
    async with shown(tmp_path, shop, go_on="check saw.blade") as (_, page):
        await page.until("Take square")
    async with shown(tmp_path, shop, go_on="check saw.nothing") as (_, page):
        told = await page.until("SAW")
        assert told["at"] == ""
    with closing(sqlite3.connect(tmp_path / "j")) as journal:
        bodies = [json.loads(body) for (body,) in journal.execute("SELECT body FROM entries")]
    assert {one["by"] for one in bodies if one.get("did") in ("begin", "answer")} == {"phone"}


async def test_a_button_of_another_question_answers_nothing(tmp_path: Path) -> None:
    async with shown(tmp_path) as (board, page):
        await page.until("SAW")
        before = page.told["turn"]
        await press(board, page, "SAW", "Blade at 90 ? unproven")
        assert page.told["turn"] != before
        for turn in (before, 0, page.told["turn"] + 1):
            await board.tell({"type": "press", "turn": turn, "key": "1"})
        await press(board, page, "back", "SAW")


async def test_of_two_touches_at_once_the_second_means_nothing_on_another_screen(
    tmp_path: Path,
) -> None:
    """The one opens a machine; the other, on a line of the board, comes before that is told."""
    async with shown(tmp_path) as (board, page):
        await page.until("check Blade at 90")
        await asyncio.sleep(0.3)
        told = page.told
        lines = [key for key, _ in told["answers"] if key.startswith("#")]
        for key in ("1", lines[-1]):
            await board.tell({"type": "press", "turn": told["turn"], "key": key})
        await page.until("Blade at 90 ? unproven")
        await press(board, page, "back", "SAW")


async def test_words_are_typed_and_recorded(tmp_path: Path) -> None:
    """In one packet with the marks of a paste, as the page sends them; escapes act on nothing."""
    async with shown(tmp_path) as (board, page):
        await page.until("SAW")
        await press(board, page, "SAW", "Blade at 90 ? unproven")
        await board.type(".")
        await page.until("in my own words")
        await press(board, page, "in my own words", '"field": "words"')
        assert page.told["answers"] == []
        await board.type("\x15\x1b[200~fence rail is bent\x1b[201~")
        await page.until("fence rail is bent")
        await board.type("\r")
        await page.until("Blade at 90")
        await board.type("\x1b[<0;9999999999;1M\x1b]0;no\x07\x00\ud800")
        assert b"fence rail is bent" in page.drawn


async def test_words_come_with_the_enter_that_gives_them(tmp_path: Path) -> None:
    """The first one records them, of the very question that they were typed to."""
    async with shown(tmp_path) as (board, page):
        await page.until("SAW")
        await press(board, page, "SAW", "Blade at 90 ? unproven")
        await board.type(".")
        await page.until("in my own words")
        await press(board, page, "in my own words", '"field": "words"')
        given = {"type": "press", "key": "enter", "words": "fence rail\x1b[2J is bent"}
        await board.tell({**given, "turn": page.told["turn"] - 1})
        await board.tell({**given, "turn": page.told["turn"]})
        await page.until("DO NOT USE.")
    with closing(sqlite3.connect(tmp_path / "j")) as journal:
        bodies = [json.loads(body) for (body,) in journal.execute("SELECT body FROM entries")]
    assert [one["why"] for one in bodies if "why" in one] == ["fence rail[2J is bent"]


async def test_a_press_comes_behind_what_was_typed_before_it(tmp_path: Path) -> None:
    """All of it arrives at once, as when a network was away for a moment."""
    async with shown(tmp_path) as (board, page):
        await page.until("SAW")
        await press(board, page, "SAW", "Blade at 90 ? unproven")
        for label, then in TO_A_NUMBER:
            await press(board, page, label, then)
        await asyncio.sleep(0.3)
        await board.type("1")
        await board.type("2")
        await board.tell({"type": "press", "turn": page.told["turn"], "key": "enter"})
        await page.until("the highest reading")
    with closing(sqlite3.connect(tmp_path / "j")) as journal:
        bodies = [json.loads(body) for (body,) in journal.execute("SELECT body FROM entries")]
    assert [one.get("text") for one in bodies][-1] == "12 mm"


async def test_a_board_that_is_left_says_so_and_another_page_takes_it_over(tmp_path: Path) -> None:
    async with shown(tmp_path) as (board, first):
        await first.until("SAW")
        second = Listener()
        await board.show(second, (60, 20))
        assert await first.until_closed() == ELSEWHERE
        told = await second.until("SAW")
        await second.until_drawn(b"SAW")  # all of it, for a page that knows nothing yet
        await board.tell({"type": "press", "turn": told["turn"], "key": "q"})
        assert await second.until_closed() == ENDED
        assert second.told["type"] == "ended"
        async with asyncio.timeout(WAIT):
            await board.over.wait()


async def test_what_keeps_a_board_from_opening_is_said(tmp_path: Path) -> None:
    (tmp_path / "j").mkdir()
    async with shown(tmp_path) as (_, page):
        await page.until('"type": "ended"')
        assert page.told["words"]
        assert "Traceback" not in page.told["words"]


def test_sizes_are_in_bounds() -> None:
    assert bounded(10**6, 10**6) == (1000, 400)
    assert bounded(0, 0) == (1, 1)
