"""Who comes in, as a browser meets it: a foreign page, a code typed wrong, a withdrawal."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

import pytest

from shopboard.journal import open_journal
from shopboard.open_shop import utc_now
from tests.web.pages import DESK, PHONE, WAIT, opened
from tests.web.serving import ServedShop

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="module")
def paired(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedShop]:
    """A shop that is served to devices which have paired."""
    shop = ServedShop(tmp_path_factory.mktemp("paired"))
    shop.start("--on", "127.0.0.1")
    yield shop
    assert shop.stop() == 0


@contextmanager
def another_server(folder: Path) -> Iterator[str]:
    """Serve a folder from another port, which is another origin (RFC 6454, section 4)."""

    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=folder))
    thread = Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def code_of(shop: ServedShop) -> str:
    return shop.run("devices", "--code").stdout.replace(" ", "").strip()


def recorded_by(shop: ServedShop) -> set[str]:
    """Give whose the entries are."""
    with closing(open_journal(shop.journal, utc_now)) as journal:
        return {entry.by for entry in journal.recent("begin", "saw", "blade")}


def pair(page: Page, code: str, name: str) -> None:
    page.locator("[name=code]").fill(code)
    page.locator("[name=name]").fill(name)
    page.get_by_role("button", name="Pair").tap()


def test_a_phone_pairs_and_its_page_closes_when_it_is_withdrawn(
    browser: Browser, paired: ServedShop
) -> None:
    with opened(browser, paired.url, PHONE) as board:
        assert board.page.url == f"{paired.url}pair"
        pair(board.page, code_of(paired), "phone at the bandsaw")
        board.says("The lime kiln")
        assert "phone at the bandsaw: since" in paired.run("devices").stdout
        board.touch("SAW", "Sliding saw")
        board.touch("Blade at 90", "check it now")
        board.touch("check it now: Square", "Unplug the machine.")
        assert recorded_by(paired) == {"phone at the bandsaw"}
        assert board.page.evaluate("document.cookie") == "", "no script reads it (HttpOnly)"
        paired.run("devices", "--withdraw", "phone at the bandsaw")
        board.page.wait_for_url("**/pair", timeout=WAIT)


def test_a_wrong_code_five_times(browser: Browser, paired: ServedShop) -> None:
    code = code_of(paired)
    wrong = f"{(int(code) + 1) % 10**8:08}"
    with opened(browser, paired.url, PHONE) as board:
        for words in ("4 more", "3 more", "2 more", "1 more", "wrong 5 times"):
            pair(board.page, wrong, "phone")
            board.page.get_by_role("alert").filter(has_text=words).wait_for()
        pair(board.page, code, "phone")
        board.page.get_by_role("alert").filter(has_text="no code is good now").wait_for()
    assert paired.run("devices").stdout == ""


def test_a_tablet_that_only_looks_gets_the_page_of_how_all_stands(
    browser: Browser, paired: ServedShop
) -> None:
    with opened(browser, paired.url, DESK) as board:
        board.page.get_by_role("checkbox").check()
        pair(board.page, code_of(paired), "tablet by the door")
        board.page.get_by_role("heading", name="To do").wait_for()
        board.page.goto(paired.url)
        assert board.page.url == f"{paired.url}glance"
        assert board.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        board.page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
        assert board.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    paired.run("devices", "--withdraw", "tablet by the door")


def test_a_page_of_another_server_gets_nothing(
    browser: Browser, served: ServedShop, tmp_path: Path
) -> None:
    """On this computer alone no secret is asked for: the browser's own word must keep it out."""
    (tmp_path / "index.html").write_text(
        """<!doctype html><title>{}</title><script>
        const at = new URLSearchParams(location.search).get("at");
        const tried = {};
        const tell = (what, how) => { tried[what] = how; document.title = JSON.stringify(tried); };
        const socket = new WebSocket(at.replace("http", "ws")
          + "socket?width=80&height=24&tab=" + "a".repeat(32) + "&at=");
        socket.onopen = () => tell("socket", "open");
        socket.onerror = () => tell("socket", "refused");
        fetch(at + "status.json").then(() => tell("read", "open"), () => tell("read", "refused"));
        fetch(at + "pair", { method: "POST", mode: "no-cors", body: "code=1&name=x" })
          .then((answer) => tell("post", answer.type), () => tell("post", "refused"));
        </script>""",
        encoding="utf-8",
    )
    with another_server(tmp_path) as url, opened(browser, f"{url}?at={served.url}", DESK) as page:
        page.page.wait_for_function("Object.keys(JSON.parse(document.title)).length === 3")
        told = page.page.evaluate("JSON.parse(document.title)")
    assert told["socket"] == told["read"] == "refused"
    assert told["post"] in ("refused", "opaque"), "its answer cannot be read, either way"
