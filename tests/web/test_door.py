"""What a request must look like (hosts: RFC 9110, section 7.2; origins: RFC 6454, section 7)."""

from __future__ import annotations

from urllib.parse import urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.web.door import LARGEST_BODY, Allowance, Door, RequestHead

LOCAL = Door(port=8080)
SHOP = Door("192.168.1.5", 8080, on=True)
PROXIED = Door(port=8080, names=("board.example",), behind_proxy=True)


def head(
    *headers: tuple[str, str], target: str = "/", method: str = "GET", host: str = "localhost:8080"
) -> RequestHead:
    return RequestHead(method, target, (("Host", host), *headers), "127.0.0.1")


def status(door: Door, asked: RequestHead) -> int:
    refusal = door.refuses(asked)
    return 200 if refusal is None else refusal.status


@pytest.mark.parametrize("host", ["localhost:8080", "LOCALHOST:8080", "127.0.0.1:8080"])
def test_the_computer_itself_may_ask(host: str) -> None:
    assert status(LOCAL, head(host=host)) == 200
    assert status(LOCAL, head(host="[::1]:8080")) == 200


@pytest.mark.parametrize(
    "host",
    [
        *("", "shop.example", "shop.example:8080", "127.0.0.1", "127.0.0.1:80", "127.0.0.2:8080"),
        *("user@127.0.0.1:8080", "127.0.0.1:8080@shop.example", "127.0.0.1:8080 ", "localhost."),
        *("localhost:8080:8080", "127.0.0.1:x", "0x7f000001:8080", "[::1]8080", "[::2]:8080"),
        *("localhost:8080/", "localhost:8080,shop.example", "lócalhost:8080", "localhost:٨٠٨٠"),
        *("192.168.1.5:8080", "localhost.shop.example:8080", "evil-localhost:8080"),
    ],
)
def test_a_host_that_is_another_is_refused(host: str) -> None:
    assert status(LOCAL, head(host=host)) == 403


def test_one_host_is_named_and_no_more() -> None:
    assert status(LOCAL, head(("host", "localhost:8080"))) == 403
    assert status(LOCAL, RequestHead("GET", "/", ())) == 403


def test_where_every_address_is_listened_at_the_one_that_it_came_to_will_do() -> None:
    door = Door("0.0.0.0", 8080, on=True)
    asked = head(host="192.168.1.7:8080")
    assert status(door, asked) == 403
    assert status(door, asked._replace(here="192.168.1.7")) == 200
    door = Door("::", 8080, on=True)
    asked = head(host="[fe80::1]:8080")
    assert status(door, asked._replace(here="fe80::1%eth0")) == 200


def test_a_name_for_a_proxy_goes_with_any_port() -> None:
    for host in ("board.example", "Board.Example:8443"):
        assert status(PROXIED, head(host=host)) == 200
    assert status(PROXIED, head(host="other.example")) == 403


@pytest.mark.parametrize(
    "name", ["X-Forwarded-For", "x-forwarded-host", "Forwarded", "Via", "X-Real-IP"]
)
def test_what_a_proxy_adds_is_refused_where_none_was_told_of(name: str) -> None:
    """Else a proxy on this computer would make everybody a person who sits at it."""
    assert status(LOCAL, head((name, "192.0.2.1"))) == 400
    assert status(PROXIED, head((name, "192.0.2.1"), host="board.example")) == 200


@pytest.mark.parametrize(
    ("door", "secret"),
    [(LOCAL, False), (SHOP, True), (PROXIED, True), (Door(on=True), True)],
)
def test_only_on_this_computer_alone_no_secret_is_asked_for(door: Door, *, secret: bool) -> None:
    assert door.needs_secret is secret


@pytest.mark.parametrize(
    "origin",
    [
        *("https://shop.example", "null", "https://localhost:8080", "http://localhost", ""),
        *("http://localhost:8080/", "http://localhost:8081", "http://localhost:8080.shop.example"),
    ],
)
def test_a_page_of_another_server_is_refused(origin: str) -> None:
    assert status(LOCAL, head(("Origin", origin))) == 403
    assert status(LOCAL, head(("Origin", origin), method="POST")) == 403
    ours = ("Origin", "http://localhost:8080")
    assert status(LOCAL, head(ours, ("Origin", origin), method="POST")) == 403


def test_what_acts_names_its_page() -> None:
    ours, opens = ("Origin", "http://localhost:8080"), ("Upgrade", "WebSocket")
    assert status(LOCAL, head()) == 200
    assert status(LOCAL, head(method="POST")) == 403
    assert status(LOCAL, head(opens)) == 403
    assert status(LOCAL, head(ours, method="POST")) == 200
    assert status(LOCAL, head(ours, opens)) == 200


def test_by_tls_a_page_came_by_tls_too() -> None:
    tls = LOCAL._replace(tls=True)
    assert status(tls, head(("Origin", "http://localhost:8080"), method="POST")) == 403
    assert status(tls, head(("Origin", "https://localhost:8080"), method="POST")) == 200
    asked = head(("Origin", "https://board.example"), method="POST", host="board.example")
    assert status(PROXIED, asked) == 200


@pytest.mark.parametrize(
    "target",
    [
        *("", "*", "//", "//shop.example/", "http://localhost:8080/", "localhost:8080", "/../x"),
        *("/a/../b", "/a/./b", "/%2e%2e/b", "/a%00", "/a\x00", "/a\\b", "/a//b", "/.hidden"),
        *("/a/%2f", "/é", "/a b", "/a?<b>", "/a#b", "/a;b", "/..", "C:/", "/a\n"),
    ],
)
def test_a_path_with_a_trick_is_refused(target: str) -> None:
    assert status(LOCAL, head(target=target)) == 400


def test_a_path_without_one_is_not() -> None:
    for target in ("/", "/glance", "/page/board.js", "/a-b_c~d/e.f/", "/socket?width=60&height=40"):
        assert status(LOCAL, head(target=target)) == 200
    assert status(LOCAL, head(target="/" + "a" * 1_100)) == 414


@pytest.mark.parametrize("length", [str(LARGEST_BODY + 1), "9" * 5_000])
def test_a_body_that_is_too_large_is_refused_before_it_is_read(length: str) -> None:
    assert status(LOCAL, head(("Content-Length", length))) == 413


@given(st.text(max_size=80))
def test_no_path_leads_elsewhere(target: str) -> None:
    """Python's own reader of addresses is the judge of what gets through."""
    if LOCAL.refuses(head(target=f"/{target}")) is None:
        parts = urlsplit(f"/{target}")
        assert (parts.scheme, parts.netloc, parts.fragment) == ("", "", "")
        assert not {".", ".."} & {*parts.path.split("/")}
        assert parts.path.isascii()
        assert parts.path.isprintable()


@given(st.one_of(st.text(max_size=40), st.from_regex(r"[a-z0-9.@:\[\]]{0,30}", fullmatch=True)))
def test_no_host_leads_elsewhere(host: str) -> None:
    """Python's own reader of addresses is the judge of what gets through."""
    if LOCAL.refuses(head(host=host)) is None:
        parts = urlsplit(f"http://{host}/")
        assert parts.hostname in ("localhost", "127.0.0.1", "::1")
        assert (parts.port, parts.username) == (8080, None)


def test_requests_behind_a_proxy_count_by_whom_it_names_last() -> None:
    """What stands before that may have been written by anybody."""
    asked = head(("X-Forwarded-For", "192.0.2.1, 192.0.2.2"))
    assert PROXIED.address_of(asked, "127.0.0.1") == "192.0.2.2"
    assert LOCAL.address_of(asked, "127.0.0.1") == "127.0.0.1"
    for told in ("", "unknown", "192.0.2.1,", "a" * 3_000):
        assert PROXIED.address_of(head(("X-Forwarded-For", told)), "127.0.0.1") == "127.0.0.1"


def test_so_many_in_a_second_and_a_few_more_at_once() -> None:
    allowance = Allowance(2.0, 4)
    assert [allowance.take("a", 0.0) for _ in range(5)] == [True] * 4 + [False]
    assert allowance.take("b", 0.0), "each has its own"
    assert [allowance.take("a", 1.0) for _ in range(3)] == [True, True, False]
    assert [allowance.take("a", 1e6) for _ in range(5)] == [True] * 4 + [False]


def test_who_came_once_is_forgotten() -> None:
    allowance = Allowance(2.0, 4)
    for number in range(12_000):
        allowance.take(str(number), number * 0.001)
    assert len(allowance._left) <= 10_001
