"""The bell rings at a key that does nothing and when a wait is over, unless it is to be quiet."""

from __future__ import annotations

import pytest
from textual.app import App

from tests.board.conftest import Place
from tests.board.test_tasks import SOAKING, loft
from tests.two_shops import SHOPS

__all__ = ["loft"]


@pytest.fixture
def rung(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Counts what Textual is asked to ring."""
    bells: list[int] = []
    monkeypatch.setattr(App, "bell", lambda _: bells.append(1))
    return bells


def quiet(text: str) -> str:
    """The same shop, without the bell."""
    assert text.count("[shop]\n") == 1
    return text.replace("[shop]\n", "[shop]\nbell = false\n")


@pytest.mark.parametrize("shop", SHOPS)
async def test_a_key_that_does_nothing_rings_or_does_not(
    bare: Place, shop: str, rung: list[int]
) -> None:
    """Switched off while the board is open; what is wrong is said all the same."""
    bare.shop_file.write_text(SHOPS[shop], encoding="utf-8")
    async with bare.open() as board:
        await board.press("1", "1")
        assert "! " in await board.press("v")
        assert len(rung) == 1
        bare.shop_file.write_text(quiet(SHOPS[shop]), encoding="utf-8")
        bare.clock.pass_by(seconds=5)
        await board.look()
        assert "! " in await board.press("v")
        assert len(rung) == 1


async def test_a_wait_that_is_over_is_shown_and_no_bell_rings(loft: Place, rung: list[int]) -> None:
    loft.shop_file.write_text(quiet(loft.shop_file.read_text(encoding="utf-8")), encoding="utf-8")
    async with loft.open() as board:
        await board.press(*SOAKING)
        await board.press("escape")
        loft.clock.pass_by(minutes=11)
        await board.look()
        assert board.says("Soak: time is up (Saw: Clean the blade).")
        assert not rung
