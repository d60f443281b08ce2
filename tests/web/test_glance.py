"""The page on the wall and the JSON beside it, of several shops."""

from __future__ import annotations

import argparse
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from html.parser import HTMLParser
from pathlib import Path

import pytest
from aiohttp import ClientSession, web

from shopboard.base.locations import sample_path
from shopboard.commands.serve_shown import shown
from shopboard.journal import kinds, new_uid, open_journal
from shopboard.open_shop import utc_now
from shopboard.web import shown as looked
from shopboard.web.devices import Devices
from shopboard.web.door import Door
from shopboard.web.guard import Guard
from shopboard.web.listening import listening
from tests.cli.program import SHOP, Program
from tests.two_shops import COMBINATION, METRIC
from tests.web.served import Clock
from tests.whole_shop import WHOLE_SHOP


class AskedPage(HTMLParser):
    """A page as Python's own reader of HTML reads it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.metas: list[dict[str, str | None]] = []
        self.words = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        if tag == "meta":
            self.metas.append(dict(attrs))
        assert not [name for name, _ in attrs if name.startswith("on") or name in ("src", "style")]

    def handle_data(self, data: str) -> None:
        self.words += data if self.lasttag != "style" else ""


@pytest.fixture
def program(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Program:
    monkeypatch.setattr(looked, "EVERY", 0.0)
    one = Program(tmp_path, capsys, monkeypatch)
    one.shop.write_text(SHOP, encoding="utf-8")
    return one


@asynccontextmanager
async def served(program: Program) -> AsyncIterator[tuple[ClientSession, str]]:
    """Serve what the program would show."""
    options = argparse.Namespace(shop=str(program.shop), journal=str(program.journal))
    application = web.Application()
    shown(options).routes(application)
    faults = list[BaseException]()
    devices = Devices(program.folder / "devices.sqlite3", Clock())
    guard = Guard(Door(port=0), devices, faults.append)
    guard.stand_before(application)
    async with listening(application, Door(port=0)) as port, ClientSession() as session:
        guard.door = Door(port=port)
        yield session, f"http://127.0.0.1:{port}"
    assert faults == []


async def page_of(program: Program, status: int = 200) -> AskedPage:
    async with served(program) as (session, url), session.get(f"{url}/glance") as answer:
        assert answer.status == status
        assert answer.content_type == "text/html"
        assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
        return AskedPage(await answer.text())


@pytest.mark.parametrize(
    "text",
    [SHOP, METRIC, COMBINATION, WHOLE_SHOP.read_text("utf-8"), sample_path().read_text("utf-8")],
    ids=["saw", "metric", "combination", "whole", "sample"],
)
async def test_the_json_is_that_of_the_command(program: Program, text: str) -> None:
    program.shop.write_text(text, encoding="utf-8")
    program("tag", "saw", "guard is off")
    told = program("status", "--json").json
    async with served(program) as (session, url), session.get(f"{url}/status.json") as answer:
        assert answer.content_type == "application/json"
        assert json.loads(await answer.text()) == told
    page = await page_of(program)
    assert [one["name"] for one in told["machines"] if one["name"] not in page.words] == []
    assert {"script", "img", "link", "iframe"}.isdisjoint(page.tags)


async def test_the_page_says_what_matters_first(program: Program) -> None:
    program("tag", "saw", "guard is off")
    page = await page_of(program)
    order = [
        "as of ",
        "DO NOT USE: Table saw",
        "guard is off",
        "To do",
        "fix Table saw",
        "Machines",
    ]
    places = [page.words.index(one) for one in order]
    assert places == sorted(places)
    assert {"http-equiv": "refresh", "content": "60"} in page.metas
    assert "unproven" in page.words
    assert page.words.count("never checked") == 2  # of each machine once
    assert "DEMO" not in page.words


async def test_what_is_recorded_meanwhile_is_shown(program: Program) -> None:
    async with served(program) as (session, url):
        async with session.get(f"{url}/glance") as answer:
            assert "DO NOT USE" not in await answer.text()
        program("tag", "saw", "guard is off")
        async with session.get(f"{url}/glance") as answer:
            assert "DO NOT USE: Table saw" in AskedPage(await answer.text()).words
        program.shop.write_text(SHOP.replace('"Table saw"', '"Big saw"'), encoding="utf-8")
        async with session.get(f"{url}/glance") as answer:
            assert "DO NOT USE: Big saw" in AskedPage(await answer.text()).words
        program.shop.write_text("nonsense", encoding="utf-8")
        async with session.get(f"{url}/glance") as answer:
            words = AskedPage(await answer.text()).words
            assert "the last good one is shown" in words
            assert "Big saw" in words


async def test_names_are_words_and_nothing_else(program: Program) -> None:
    name = "<script>alert(1)</script><b onclick=x> &amp; \\\" '"
    program.shop.write_text(SHOP.replace('"Table saw"', f'"{name[:40]}"'), encoding="utf-8")
    program("tag", "saw", "</p><img src=x onerror=alert(1)>")
    page = await page_of(program)
    assert {"script", "img"}.isdisjoint(page.tags)
    assert "<script>alert(1)</script>" in page.words
    assert "<img src=x onerror=alert(1)>" in page.words


async def test_made_up_records_are_called_so(program: Program) -> None:
    program.journal.unlink()
    with closing(open_journal(program.journal, utc_now)) as journal:
        journal.append([kinds.MADE_UP.new(new_uid(), kinds.MadeUp(1, "", ""))])
    assert "DEMO: these records are made up." in (await page_of(program)).words


async def test_a_journal_that_cannot_be_read_is_a_plain_page(program: Program) -> None:
    program.journal.write_bytes(b"no journal" * 500)
    page = await page_of(program, 503)
    assert "How all stands cannot be told." in page.words
    assert "Traceback" not in page.words
    assert {"http-equiv": "refresh", "content": "60"} in page.metas
    async with served(program) as (session, url), session.get(f"{url}/status.json") as answer:
        assert answer.status == 503
        assert "error" in json.loads(await answer.text())


async def test_no_shop_file_is_a_plain_page_until_there_is_one(program: Program) -> None:
    program.shop.unlink()
    async with served(program) as (session, url):
        async with session.get(f"{url}/glance") as answer:
            assert answer.status == 503
            assert "The shop file cannot be used" in await answer.text()
        program.shop.write_text(SHOP, encoding="utf-8")
        async with session.get(f"{url}/glance") as answer:
            assert answer.status == 200
