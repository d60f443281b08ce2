"""What is touched on a page counts once, at once and whole, or not at all."""

from __future__ import annotations

import json
import signal
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from tests.in_turn import few
from tests.web.pages import DESK, PHONE, READS, opened
from tests.web.serving import ServedShop
from tests.web.test_in_browser import TO_A_NUMBER, TO_THE_CHECK, TO_THE_LIGHT

if TYPE_CHECKING:
    from playwright.sync_api import Browser


TO_WORDS = (
    ("SAW", "Blade at 90 ? unproven"),
    ("else", "DO NOT USE"),
    ("DO NOT USE", "in my own words"),
    ("in my own words", "Enter"),
)


ENTERS = ("#keys button:has-text('Enter')", "#words button", "#pad button.first", "")
"""That of the board, the one beside the field, the pad's; none: the keyboard's."""


@pytest.mark.parametrize("enter", few(ENTERS, 2))
@pytest.mark.parametrize("size", few([PHONE, DESK], 2))
def test_words_in_the_field_are_taken_at_the_first_enter(
    browser: Browser, served: ServedShop, size: tuple[int, int], enter: str
) -> None:
    with opened(browser, served.url, size) as board:
        board.walk(*TO_WORDS)
        board.page.locator("#typed").fill("loose <b>tyre</b>")
        board.page.wait_for_timeout(READS)
        if enter.startswith("#pad"):
            board.page.locator("#more").tap()
        if enter:
            board.page.locator(enter).tap()
        else:
            board.page.keyboard.press("Enter")
        board.says("Sliding saw: DO NOT USE.")
    bodies = [json.loads(body) for body in _bodies(served)]
    assert [one["why"] for one in bodies if "why" in one] == ["loose <b>tyre</b>"]


def test_after_a_touch_a_keyboard_or_a_gauge_still_types(
    browser: Browser, served: ServedShop
) -> None:
    """A plug that types stands beside the screen that is touched: its reading goes to the field."""
    with opened(browser, served.url) as board:
        board.walk(*TO_A_NUMBER)
        board.page.wait_for_timeout(READS)
        board.page.keyboard.type("12")
        board.page.keyboard.press("Enter")
        board.says("the highest reading")


def test_a_number_is_taken_at_the_first_enter(browser: Browser, served: ServedShop) -> None:
    """By the button of the board as by the pad: all digits that were touched before it."""
    with opened(browser, served.url) as board:
        board.walk(*TO_A_NUMBER)
        board.pad("12")
        board.page.locator("#keys button:has-text('Enter')").tap()
        board.says("the highest reading")
    bodies = [json.loads(body) for body in _bodies(served)]
    assert [one.get("text") for one in bodies][-1] == "12 mm"


def _bodies(served: ServedShop) -> list[str]:
    """Give what is on the disk."""
    with closing(sqlite3.connect(served.journal)) as journal:
        return [body for (body,) in journal.execute("SELECT body FROM entries")]


def test_a_server_that_stands_still_is_told_and_no_touch_answers_later(
    browser: Browser, served: ServedShop
) -> None:
    """Its socket stays open: the page asks, and says within seconds that nobody answers."""
    with opened(browser, served.url) as board:
        board.walk(*TO_THE_CHECK, *TO_THE_LIGHT)
        board.page.wait_for_function("shopPage.timed()")
        served.tell(signal.SIGSTOP)
        try:
            button = board.page.locator("#answers button", has_text="no light")
            board.page.wait_for_timeout(READS)
            button.tap()
            board.page.locator("#lost", has_text="The connection is lost.").wait_for(timeout=12_000)
        finally:
            served.tell(signal.SIGCONT)
        board.page.locator("#lost").wait_for(state="hidden")
        board.says("Look for light between square and face.")
        assert "light" not in [json.loads(body).get("key") for body in _bodies(served)]
        board.touch("no light", "leaf at both ends")
