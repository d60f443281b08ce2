"""Phones and tablets: a code that is shown, who paired, and who is withdrawn."""

from __future__ import annotations

import re

import pytest

from shopboard.board.devices_view import devices_lines
from shopboard.board.paint import plain, width_of
from shopboard.web.devices import Devices, NotPairedError, devices_file
from tests.board.conftest import Place
from tests.board.test_views import NOW


def listed(place: Place) -> Devices:
    return Devices(devices_file(), place.clock)


def code_of(text: str) -> str:
    found = re.search(r"Type ([0-9]{4} [0-9]{4}) on the page", text)
    assert found is not None, text
    return found[1]


async def test_a_code_is_shown_and_a_device_pairs_by_it(place: Place) -> None:
    devices = listed(place)
    async with place.open() as board:
        assert "No phone or tablet is paired with this computer." in await board.press("b")
        text = await board.press("enter")
        assert board.says("good once, for 5 minutes, 5 tries")
        code = code_of(text)
        with pytest.raises(NotPairedError):
            devices.pair("00000000" if code != "0000 0000" else "11111111", "thief")
        board.app.screen.repaint()  # type: ignore[attr-defined]
        await board.settle()
        assert board.says("5 minutes, 4 tries")
        devices.pair(code, "phone at the bandsaw")
        board.app.screen.repaint()  # type: ignore[attr-defined]
        text = await board.settle()
        assert "phone at the bandsaw: since" in text
        assert code not in text


async def test_the_code_goes_when_its_time_is_over(place: Place) -> None:
    async with place.open() as board:
        code = code_of(await board.press("b", "n"))
        place.clock.pass_by(seconds=301)
        board.app.screen.repaint()  # type: ignore[attr-defined]
        assert code not in await board.settle()


async def test_a_device_is_withdrawn_by_its_key_twice(place: Place) -> None:
    devices = listed(place)
    devices.add("phone", looks_only=False)
    secret = devices.add("tablet", looks_only=True)
    async with place.open() as board:
        await board.press("b", "2")
        assert "Withdraw tablet?" in await board.press("/")
        assert devices.known_by(secret) is not None
        text = await board.press("/")
        assert "Withdrawn: tablet comes in no more." in text
        assert "tablet: only looks" not in text
    assert devices.known_by(secret) is None
    assert [one.name for one in devices.welcome()] == ["phone"]


async def test_another_key_between_the_two_withdraws_nothing(place: Place) -> None:
    devices = listed(place)
    for name in ("phone", "tablet"):
        devices.add(name, looks_only=False)
    async with place.open() as board:
        await board.press("b", "/", "2", "/")
    assert len(devices.welcome()) == 2


async def test_a_list_that_cannot_be_read_is_said(place: Place) -> None:
    devices_file().parent.mkdir(parents=True, exist_ok=True)
    devices_file().write_bytes(b"no database" * 200)
    async with place.open() as board:
        assert "the list of devices cannot be used" in await board.press("b")
        assert "the list of devices cannot be used" in await board.press("enter")


@pytest.mark.parametrize("size", [(60, 17), (80, 21), (160, 45)])
def test_every_line_has_room(size: tuple[int, int], place: Place) -> None:
    devices = listed(place)
    code = devices.new_code()
    for number in range(30):
        devices.add(f"W{number:02}" * 10, looks_only=bool(number % 2))
    for at in (0, 29):
        lines = devices_lines(devices.welcome(), code, at, NOW, size)
        assert len(lines) <= size[1]
        assert max(map(width_of, lines)) <= size[0]
        assert f"W{at:02}" in "\n".join(map(plain, lines))
