"""The guard over a real socket: bytes as a stranger may send them (RFC 9112)."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from pathlib import Path
from urllib.parse import urlencode

import pytest
from aiohttp import ClientSession, CookieJar, WSMsgType, WSServerHandshakeError

from shopboard.web import answers, sockets
from shopboard.web.door import CONNECTIONS_OF_ONE, SOCKETS_OF_ONE, Door
from tests.web.served import ANSWERED, Served, serving

HTML = "Accept: text/html"


@pytest.fixture
async def here(tmp_path: Path) -> AsyncIterator[Served]:
    """On this computer alone: no secret."""
    async with serving(tmp_path, Door()) as served:
        yield served
        assert served.faults == []


@pytest.fixture
async def shop(tmp_path: Path) -> AsyncIterator[Served]:
    """In the shop's network: nobody without a secret."""
    async with serving(tmp_path, Door(on=True)) as served:
        yield served
        assert served.faults == []


def status_of(answer: bytes) -> int:
    return int(answer.split(b" ", 2)[1])


async def paired(served: Served, code: str, name: str = "phone", **more: str) -> bytes:
    body = urlencode({"code": code, "name": name, **more})
    headers = (
        f"Host: {served.host}",
        f"Origin: http://{served.host}",
        "Content-Type: application/x-www-form-urlencoded",
        f"Content-Length: {len(body)}",
    )
    return await served.raw(
        "\r\n".join(("POST /pair HTTP/1.1", *headers, "Connection: close", "", body)).encode()
    )


def cookie_of(answer: bytes) -> str:
    (line,) = [one for one in answer.split(b"\r\n") if one.lower().startswith(b"set-cookie:")]
    return line.split(b":", 1)[1].split(b";")[0].strip().decode()


async def test_on_this_computer_alone_no_secret_is_asked_for(here: Served) -> None:
    answer = await here.asked()
    assert status_of(answer) == 200
    assert answer.endswith(ANSWERED.encode())
    for header in (
        b"nosniff",
        b"frame-ancestors 'none'",
        b"Referrer-Policy: same-origin",
        b"no-store",
    ):
        assert header in answer
    assert b"access-control" not in answer.lower()


async def test_a_stranger_is_led_to_the_page_for_pairing(shop: Served) -> None:
    for path in ("/", "/glance"):
        answer = await shop.asked(path, HTML)
        assert status_of(answer) == 303
        assert b"Location: /pair" in answer
    assert status_of(await shop.asked("/status.json")) == 401
    assert status_of(await shop.asked("/", "Cookie: shopboard=guessed")) == 401
    page = await shop.asked("/pair", HTML)
    assert status_of(page) == 200
    assert b"<script" not in page


async def test_a_device_pairs_and_comes_in_until_it_is_withdrawn(shop: Served) -> None:
    answer = await paired(shop, shop.devices.new_code().digits)
    assert status_of(answer) == 303
    for part in (b"HttpOnly", b"SameSite=Strict", b"Max-Age=31536000", b"Path=/"):
        assert part in answer
    assert b"Secure" not in answer
    cookie = cookie_of(answer)
    assert (await shop.asked("/", f"Cookie: {cookie}")).endswith(b"phone")
    shop.devices.withdraw(shop.devices.welcome()[0].id)
    assert status_of(await shop.asked("/", f"Cookie: {cookie}")) == 401


async def test_behind_tls_the_cookie_goes_by_tls_alone(tmp_path: Path) -> None:
    async with serving(tmp_path, Door(behind_proxy=True)) as served:
        code = served.devices.new_code().digits
        body = urlencode({"code": code, "name": "phone"})
        lines = (
            *("POST /pair HTTP/1.1", f"Host: {served.host}", f"Origin: https://{served.host}"),
            *("X-Forwarded-For: 192.0.2.1", f"Content-Length: {len(body)}", "Connection: close"),
        )
        answer = await served.raw("\r\n".join((*lines, "", body)).encode())
        assert status_of(answer) == 303
        assert b"Secure" in answer


async def test_the_same_pairing_sent_again_is_refused(shop: Served) -> None:
    code = shop.devices.new_code().digits
    assert status_of(await paired(shop, code)) == 303
    again = await paired(shop, code, "another")
    assert status_of(again) == 403
    assert b"no code is good now" in again
    assert b"set-cookie" not in again.lower()


async def test_five_wrong_codes_end_it(shop: Served) -> None:
    code = shop.devices.new_code().digits
    other = f"{(int(code) + 1) % 10**8:08}"
    for left in (b"4 more", b"3 more", b"2 more", b"1 more", b"wrong 5 times"):
        answer = await paired(shop, other)
        assert status_of(answer) == 403
        assert left in answer
    assert status_of(await paired(shop, code)) == 403
    assert shop.devices.welcome() == ()


@pytest.mark.parametrize("name", ["<script>alert(1)</script>\"'", "\x1b[2J", "\u202etxt", "x" * 41])
async def test_a_name_is_never_more_than_words(shop: Served, name: str) -> None:
    answer = await paired(shop, shop.devices.new_code().digits, name)
    if status_of(answer) == 303:  # signs are a name; what it stands in escapes them
        assert shop.devices.welcome()[0].name == name
    else:
        assert b"the name of a device" in answer
    shown = await paired(shop, "1", name)
    assert b"<script" not in shown
    assert b"\x1b" not in shown
    assert "\u202e".encode() not in shown


async def test_a_device_that_only_looks_gets_no_more(shop: Served) -> None:
    cookie = cookie_of(await paired(shop, shop.devices.new_code().digits, looks="1"))
    for path in ("/glance", "/status.json"):
        assert status_of(await shop.asked(path, f"Cookie: {cookie}")) == 200
    answer = await shop.asked("/", HTML, f"Cookie: {cookie}")
    assert b"Location: /glance" in answer
    assert status_of(await shop.asked("/", f"Cookie: {cookie}")) == 403
    opens = (f"Origin: http://{shop.host}", "Upgrade: websocket", "Connection: Upgrade")
    assert status_of(await shop.asked("/socket", *opens, f"Cookie: {cookie}")) == 403


async def test_home_automation_comes_by_its_secret(shop: Served) -> None:
    secret = shop.devices.add("wall", looks_only=True)
    assert status_of(await shop.asked("/status.json", f"Authorization: Bearer {secret}")) == 200
    for wrong in ("", secret[:-1], secret.swapcase(), f"{secret} x", "é" * 40):
        answer = await shop.asked("/status.json", f"Authorization: Bearer {wrong}")
        assert status_of(answer) == 401
        assert b"WWW-Authenticate: Bearer" in answer
    assert status_of(await shop.asked("/status.json", f"Authorization: Basic {secret}")) == 401


@pytest.mark.parametrize(
    ("target", "headers", "method", "status"),
    [
        ("/", ("Host: shop.example",), "GET", 403),
        ("/", ("Host: localhost", "Host: localhost"), "GET", 400),
        ("/", ("Origin: http://shop.example",), "GET", 403),
        ("/", ("X-Forwarded-For: 192.0.2.1",), "GET", 400),
        ("/../etc/passwd", (), "GET", 400),
        ("/%2e%2e/etc/passwd", (), "GET", 400),
        ("/a%00b", (), "GET", 400),
        ("http://shop.example/", (), "GET", 400),
        ("/nothing", (), "GET", 404),
        ("/", (), "DELETE", 403),
        ("/", (), "TRACE", 403),
        ("/", ("X: " + "y" * 10_000,), "GET", 400),
        ("/" + "a" * 1_100, (), "GET", 414),
        ("/" + "a" * 9_000, (), "GET", 400),
        ("/", (*(f"X-{number}: y" for number in range(300)),), "GET", 400),
        ("/", ("Content-Length: 99999999",), "GET", 413),
        ("/", ("Content-Length: 5", "Content-Length: 6"), "GET", 400),
        ("/", ("Content-Length: 5", "Transfer-Encoding: chunked"), "GET", 400),
        ("/", ("Host : localhost",), "GET", 400),
    ],
)
async def test_what_is_odd_gets_a_plain_answer(
    here: Served, target: str, headers: tuple[str, ...], method: str, status: int
) -> None:
    answer = await here.asked(target, *headers, method=method)
    assert status_of(answer) == status
    assert b"Traceback" not in answer
    assert b"<html" not in answer
    assert len(answer) < 2_000


async def test_a_method_that_is_not_meant_is_refused(here: Served) -> None:
    answer = await here.asked("/", f"Origin: http://{here.host}", method="POST")
    assert status_of(answer) == 405
    assert b"Allow: GET,HEAD" in answer


async def test_what_is_no_request_is_answered_and_not_told(
    here: Served, capfd: pytest.CaptureFixture[str]
) -> None:
    for sent in (
        b"\x16\x03\x01\x02\x00\x01",
        b"\r\n\r\n" * 5 + b"x",
        b"GET\r\n\r\n",
        b"\x00" * 999,
    ):
        answer = await here.raw(sent + b"\r\n\r\n")
        assert not answer or status_of(answer) == 400
    assert status_of(await here.asked("/fails")) == 500
    assert [str(one) for one in here.faults] == ["of the program's own"]
    here.faults.clear()
    await asyncio.sleep(0.1)
    assert capfd.readouterr() == ("", "")


async def test_a_form_of_megabytes_is_not_read(shop: Served) -> None:
    lines = ("POST /pair HTTP/1.1", f"Host: {shop.host}", f"Origin: http://{shop.host}")
    chunks = b"8000\r\n" + b"a" * 0x8000 + b"\r\n"
    sent = "\r\n".join((*lines, "Transfer-Encoding: chunked", "", "")).encode() + chunks * 100
    reader, writer = await asyncio.open_connection("127.0.0.1", shop.port)
    writer.write(sent)
    assert status_of(await asyncio.wait_for(reader.readline(), 5)) == 413
    writer.close()


async def test_a_form_that_never_ends_is_waited_for_no_longer(
    shop: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(answers, "FORM_WITHIN", 0.2)
    lines = ("POST /pair HTTP/1.1", f"Host: {shop.host}", f"Origin: http://{shop.host}")
    sent = "\r\n".join((*lines, "Content-Length: 50", "", "code=1")).encode()
    assert status_of(await shop.raw(sent)) == 408


async def test_one_address_asks_so_often_and_no_more(here: Served) -> None:
    """The sockets of this test come from one address."""
    reader, writer = await asyncio.open_connection("127.0.0.1", here.port)
    asked = f"GET /nothing HTTP/1.1\r\nHost: {here.host}\r\n\r\n".encode()
    writer.write(asked * 200)
    answer = await asyncio.wait_for(reader.read(), 5)
    writer.close()
    assert b" 429 " in answer
    assert b"Retry-After" in answer


async def test_two_hundred_connections_at_once(here: Served) -> None:
    """Whoever holds them, a few are held and the others told; the held ones still answer."""
    held = [await asyncio.open_connection("127.0.0.1", here.port) for _ in range(200)]
    told = await asyncio.gather(
        *(asyncio.wait_for(reader.read(), 5) for reader, _ in held[CONNECTIONS_OF_ONE:])
    )
    assert {status_of(one) for one in told} == {503}
    reader, writer = held[0]
    writer.write(f"GET / HTTP/1.1\r\nHost: {here.host}\r\nConnection: close\r\n\r\n".encode())
    assert status_of(await asyncio.wait_for(reader.read(), 5)) == 200
    for _, one in held:
        one.close()
    async with asyncio.timeout(5):
        while status_of(await here.asked()) != 200:
            await asyncio.sleep(0.05)


async def test_a_socket_opens_for_a_page_of_ours_alone(here: Served) -> None:
    async with ClientSession() as session:
        url = f"http://{here.host}/socket"
        for headers in ({}, {"Origin": "http://shop.example"}, {"Origin": "null"}):
            with pytest.raises(WSServerHandshakeError, match="403"):
                await session.ws_connect(url, headers=headers)
        async with session.ws_connect(url, origin=f"http://{here.host}") as socket:
            await socket.send_str("light")
            assert (await socket.receive()).data == "light"


async def test_a_socket_that_sends_megabytes_is_closed(here: Served) -> None:
    async with (
        ClientSession() as session,
        session.ws_connect(f"http://{here.host}/socket", origin=f"http://{here.host}") as socket,
    ):
        await socket.send_bytes(bytes(2_000_000))
        told = await socket.receive(5)
        assert told.type is WSMsgType.CLOSE
        assert told.data == 1009  # RFC 6455, section 7.4.1: too big


async def test_one_device_has_so_many_sockets(here: Served) -> None:
    async with ClientSession() as session:
        url, origin = f"http://{here.host}/socket", f"http://{here.host}"
        opened = [await session.ws_connect(url, origin=origin) for _ in range(SOCKETS_OF_ONE)]
        with pytest.raises(WSServerHandshakeError, match="503"):
            await session.ws_connect(url, origin=origin)
        await opened[0].close()
        async with session.ws_connect(url, origin=origin) as socket:
            await socket.send_str("goes again")
            assert (await socket.receive()).data == "goes again"


async def test_a_device_that_is_withdrawn_loses_its_socket(shop: Served) -> None:
    jar = CookieJar(unsafe=True)  # for an address that is no name
    async with ClientSession(cookie_jar=jar) as session:
        form = {"code": shop.devices.new_code().digits, "name": "phone"}
        origin = f"http://{shop.host}"
        async with session.post(f"{origin}/pair", data=form, headers={"Origin": origin}) as told:
            assert await told.text() == "phone"
        async with session.ws_connect(f"{origin}/socket", origin=origin) as socket:
            shop.devices.withdraw(shop.devices.welcome()[0].id)
            told_of = await socket.receive(3)
            assert told_of.type in (WSMsgType.CLOSED, WSMsgType.ERROR)
        with pytest.raises(WSServerHandshakeError, match="401"):
            await session.ws_connect(f"{origin}/socket", origin=origin)


async def test_who_reads_nothing_is_cut_off(here: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sockets, "TAKES_WITHIN", 0.1)
    async with ClientSession() as session:
        socket = await session.ws_connect(
            f"http://{here.host}/socket", origin=f"http://{here.host}"
        )
        await socket.send_str("flood")
        async with asyncio.timeout(6):  # nothing is read meanwhile
            while len(here.guard.sockets):
                await asyncio.sleep(0.05)
        await session.close()


async def test_a_request_that_never_ends_is_waited_for_no_longer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shopboard.web.listening._WITHIN", 0.3)
    async with serving(tmp_path, Door()) as served:
        assert await served.raw(b"GET / HTTP/1.1\r\nHost: localh", within=5) == b""
        assert await served.raw(b"", within=5) == b""


async def test_a_device_that_was_withdrawn_is_told_so(shop: Served) -> None:
    """Where it is led to, by its secret alone; one that never paired is not."""
    secret = shop.devices.add("phone", looks_only=False)
    shop.devices.withdraw(shop.devices.welcome()[0].id)
    told = b"it was withdrawn. What it had begun waits"
    assert told in await shop.asked("/pair", f"Cookie: shopboard={secret}")
    assert told not in await shop.asked("/pair")


async def test_a_device_whose_socket_is_open_is_seen(shop: Served) -> None:
    """Nothing else is asked while a page is looked at."""
    secret = shop.devices.add("phone", looks_only=False)
    headers = {"Cookie": f"shopboard={secret}", "Origin": f"http://{shop.host}"}
    where = f"ws://{shop.host}/socket"
    async with ClientSession() as session, session.ws_connect(where, headers=headers):
        shop.clock.on(minutes=7)
        shop.guard.sockets.look()
        assert shop.devices.welcome()[0].seen == shop.clock.at
