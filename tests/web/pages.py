"""A page of the board as a person uses it: what stands there in large type, and its buttons."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

Scheme = Literal["dark", "light"]

PHONE, DESK = (360, 640), (1280, 800)
WAIT = 30_000
"""Milliseconds that a page is waited for at the most."""

NO_ANSWER = 6_000
"""Milliseconds after which a touch has done nothing."""

READS = 250
"""Milliseconds in which a person reads a question: what comes sooner answers none (`steady.py`)."""


class BoardPage:
    """One page."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.asked: list[str] = []
        """What was fetched."""
        self.wrong: list[str] = []
        """What the browser complained of."""
        page.on("request", lambda one: self.asked.append(one.url))
        page.on("websocket", lambda one: self.asked.append(one.url))
        page.on("pageerror", lambda one: self.wrong.append(str(one)))
        page.set_default_timeout(WAIT)

    def says(self, words: str) -> None:
        """Wait until some words stand there."""
        found = self.page.locator("main", has_text=words)
        with self._told():
            found.wait_for()

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Tell what stands there where something does not come to be."""
        try:
            yield
        except Exception as error:
            raise AssertionError(f"{error}; there stands: {self.words}") from error

    def touch(self, label: str, then: str) -> None:
        """Touch the first button with such words on it, and wait for what comes then.

        A touch on what is just about to change answers nothing: a person touches once more.
        """
        from playwright.sync_api import TimeoutError as NoAnswerError

        button = self.page.locator("main button:visible", has_text=label).first
        with self._told():
            button.wait_for()
            self._tap(button)
            try:
                self.page.locator("main", has_text=then).wait_for(timeout=NO_ANSWER)
            except NoAnswerError:
                if button.is_visible():
                    self._tap(button)
        self.says(then)

    def _tap(self, button: Locator) -> None:
        self.page.wait_for_timeout(READS)
        button.tap()

    def walk(self, *touches: tuple[str, str]) -> None:
        """Touch one button after the other, each once the one before did what it does."""
        for label, then in touches:
            self.touch(label, then)

    def pad(self, keys: str) -> None:
        """Touch keys of the pad on the page."""
        for key in keys:
            self.page.locator("#pad").get_by_text(key, exact=True).tap()

    @property
    def words(self) -> str:
        """All that stands beside the terminal."""
        return self.page.locator("main").inner_text()

    @property
    def question(self) -> str:
        """What is asked."""
        return self.page.locator("#ask").inner_text()


@contextmanager
def opened(
    browser: Browser,
    url: str,
    size: tuple[int, int] = PHONE,
    scheme: Scheme = "dark",
) -> Iterator[BoardPage]:
    """Open a page on a device of its own."""
    wide, high = size
    device = browser.new_context(
        viewport={"width": wide, "height": high}, color_scheme=scheme, has_touch=True
    )
    try:
        page = BoardPage(device.new_page())
        page.page.goto(url)
        yield page
        assert page.wrong == []
    finally:
        device.close()
