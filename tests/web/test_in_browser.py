"""The board in a browser, as a person with a phone uses it: by touch alone, cut off, beside others.

Sizes of what is touched: WCAG 2.2, 2.5.5 asks for 44 by 44 CSS pixels; large is 48, common
practice, no source.
"""

from __future__ import annotations

import json
import signal
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from tests.board.test_terminal import says
from tests.in_turn import few
from tests.terminal import BOARD, Terminal
from tests.web.pages import DESK, PHONE, BoardPage, Scheme, opened
from tests.web.serving import ServedShop

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.mark.parametrize("size", few([PHONE, DESK], 2))
def test_it_opens_and_asks_nobody_else(
    browser: Browser, only_asked: ServedShop, size: tuple[int, int]
) -> None:
    """Every request, the socket too, goes to the server: no font, no script from elsewhere."""
    with opened(browser, only_asked.url, size) as board:
        board.says("The lime kiln")
        board.says("1 SAW")
        hosts = {urlsplit(one).netloc for one in board.asked}
        assert hosts == {f"127.0.0.1:{only_asked.port}"}
        assert any(one.startswith("ws:") for one in board.asked)


TO_THE_CHECK = (
    ("SAW", "Blade at 90 ? unproven"),
    ("Blade at 90 ?", "check it now"),
    ("check it now: Square", "Unplug the machine."),
)
TO_THE_LIGHT = (
    ("the plug is out", "Take square and leaves."),
    ("go on", "Set its stock on"),
    ("done, go on", "Look for light between square and face."),
)
"""The sample's own words of a square check: `checks/methods/square.py`."""


TO_A_NUMBER = (
    ("SAW", "Blade at 90 ? unproven"),
    ("Arbor flange ?", "check it now"),
    ("check it now", "Unplug the machine."),
    ("the plug is out", "Take care."),
    ("understood", "Set up the indicator"),
    ("done, go on", "How does the indicator touch?"),
    ("plunger square", "the lowest reading"),
)


@pytest.mark.parametrize("scheme", few(["dark", "light"], 2))
def test_a_whole_square_check_by_touch_alone(
    browser: Browser, served: ServedShop, scheme: Scheme
) -> None:
    """The thinnest leaf goes at neither end: nothing is off that these leaves can show."""
    with opened(browser, served.url, PHONE, scheme) as board:
        board.walk(*TO_THE_CHECK, *TO_THE_LIGHT)
        board.touch("no light", "leaf at both ends")
        board.touch("goes at neither end", "■ TRUE")
        board.touch("save the result", "Recorded")
    told = json.loads(served.run("history", "saw.blade", "--json").stdout)
    assert [one["verdict"] for one in told["results"]] == ["true"]


@pytest.mark.parametrize(("size", "least"), [(PHONE, (60, 20)), (DESK, (80, 24))])
def test_type_is_large_and_buttons_are_for_a_finger(
    browser: Browser, served: ServedShop, size: tuple[int, int], least: tuple[int, int]
) -> None:
    with opened(browser, served.url, size) as board:
        board.walk(*TO_THE_CHECK)
        small = board.page.evaluate(
            """() => [...document.querySelectorAll('main button, main p, main h1')]
                .filter((one) => one.offsetParent && parseFloat(getComputedStyle(one).fontSize) < 20
                    || one.tagName === 'BUTTON' && one.offsetParent && one.offsetHeight < 48)
                .map((one) => one.textContent)"""
        )
        assert small == []
        own = "shopPage.terminal.terminal"
        columns, rows = board.page.evaluate(f"[{own}.cols, {own}.rows]")
        assert (columns, rows) >= least
        assert rows >= least[1]
        wide, high = board.page.evaluate("[document.body.scrollWidth, document.body.scrollHeight]")
        assert (wide, high) == size, "nothing is beside or below the window"


def test_a_killed_server_is_found_again_at_the_same_question(
    browser: Browser, served: ServedShop
) -> None:
    with opened(browser, served.url) as board:
        board.walk(*TO_THE_CHECK, *TO_THE_LIGHT)
        served.stop(signal.SIGKILL)
        board.says("The connection is lost.")
        served.start()
        board.page.locator("#lost").wait_for(state="hidden")
        board.says("Look for light between square and face.")
        board.touch("no light", "leaf at both ends")
        board.page.reload()
        board.says("leaf at both ends")
        board.page.goto("about:blank")
        board.page.go_back()
        board.says("leaf at both ends")
        board.page.set_viewport_size({"width": 640, "height": 360})
        board.touch("goes at neither end", "■ TRUE")


def test_a_cut_socket_comes_back_to_the_same_board(browser: Browser, served: ServedShop) -> None:
    """What was typed and not yet taken stands there still: it is the same program."""
    with opened(browser, served.url) as board:
        board.walk(*TO_A_NUMBER)
        board.pad("12")
        board.says("12_")
        board.page.evaluate("shopPage.cut()")
        board.says("The connection is lost.")
        board.page.locator("#lost").wait_for(state="hidden")
        board.says("12_")


def test_two_devices_and_the_bench_at_one_check(browser: Browser, served: ServedShop) -> None:
    """The first answer counts; who comes later is told, and nothing is recorded twice."""
    environment = {**served.environment, "TZ": "UTC"}
    with (
        opened(browser, served.url) as one,
        opened(browser, served.url, DESK, "light") as other,
        Terminal((*BOARD, *served.files), (80, 24), environment) as bench,
    ):
        one.walk(*TO_THE_CHECK, *TO_THE_LIGHT)
        other.walk(TO_THE_CHECK[0], ("Blade at 90 ?", "go on with the check"))
        other.walk(("go on with the check", "Look for light"))
        assert says(bench, "begun")
        bench.send(b"0")
        assert says(bench, "Look for light")
        one.touch("no light", "leaf at both ends")
        other.touch("light at the top", "Another program has answered this check meanwhile.")
        bench.settle_and_read()
        bench.send(b"2")
        assert says(bench, "Another program has answered")
    with closing(sqlite3.connect(served.journal)) as journal:
        bodies = [json.loads(body) for (body,) in journal.execute("SELECT body FROM entries")]
    assert [one["text"] for one in bodies if one.get("key") == "light"] == ["none"]


def test_a_board_that_was_left_is_opened_again(browser: Browser, only_asked: ServedShop) -> None:
    """Only then: while it was lost the page tries by itself."""
    with opened(browser, only_asked.url) as board:
        board.touch("quit", "The board is closed.")
        board.touch("Open the board again", "1 SAW")
        board.touch("SAW", "Blade at 90 ? unproven")


def test_a_tab_that_was_doubled_takes_the_board(browser: Browser, served: ServedShop) -> None:
    """A doubled tab has the first one's name; the first says so, and takes it back by a touch."""
    with opened(browser, served.url) as board:
        board.walk(*TO_THE_CHECK)
        name = board.page.evaluate("sessionStorage.getItem('tab')")
        other = BoardPage(board.page.context.new_page())
        other.page.add_init_script(f"sessionStorage.setItem('tab', '{name}')")
        other.page.goto(served.url)
        other.says("Unplug the machine.")
        board.says("This board is open in another tab.")
        board.touch("Open the board again", "Unplug the machine.")
        other.says("This board is open in another tab.")


def test_words_of_a_shop_are_never_html(browser: Browser, served: ServedShop) -> None:
    text = served.shop.read_text(encoding="utf-8")
    served.shop.write_text(text.replace("Sliding saw", "<b onclick=x>saw</b>"), encoding="utf-8")
    with opened(browser, served.url) as board:
        board.touch("SAW", "<b onclick=x>saw</b>")
        assert board.page.locator("main b[onclick]").count() == 0
