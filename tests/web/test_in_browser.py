"""The board in a browser, as a person with a phone uses it: by touch alone, cut off, beside others.

Sizes of what is touched: WCAG 2.2, 2.5.5 asks for 44 by 44 CSS pixels; large is 48, common
practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from tests.web.pages import DESK, PHONE, opened
from tests.web.serving import ServedShop

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_it_opens_and_asks_nobody_else(
    browser: Browser, served: ServedShop, size: tuple[int, int]
) -> None:
    """Every request, the socket too, goes to the server: no font, no script from elsewhere."""
    with opened(browser, served.url, size) as board:
        board.says("The lime kiln")
        board.says("1 SAW")
        hosts = {urlsplit(one).netloc for one in board.asked}
        assert hosts == {f"127.0.0.1:{served.port}"}
        assert any(one.startswith("ws:") for one in board.asked)
