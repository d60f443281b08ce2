"""Nobody is held where the journal cannot be read, or a machine has gone from the shop file."""

from __future__ import annotations

import pytest

from shopboard.board.screens.check import CheckScreen
from shopboard.board.screens.point import PointScreen
from shopboard.journal import JournalError
from tests.board.conftest import Place
from tests.board.test_one_visit import PLANT
from tests.board.test_path import TO_CHECK, TRUE_READING


def broken(*_: object, **__: object) -> None:
    raise JournalError("The journal cannot be read.", "Look at the disk.")


async def test_a_point_is_drawn_while_its_history_cannot_be_read(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, "escape")
        with monkeypatch.context() as patch:
            patch.setattr(board.app.open_shop, "history", broken)
            screen = board.app.screen
            assert isinstance(screen, PointScreen)
            screen._read = (None, 0, [])  # as after anything is recorded
            assert "The journal cannot be read." in await board.press("down")
        assert "The journal cannot be read." not in await board.press("up")


async def test_a_check_is_left_while_the_journal_cannot_be_read(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *TRUE_READING)
        screen = board.app.screen
        assert isinstance(screen, CheckScreen)
        monkeypatch.setattr(screen.sitting._journal, "get", broken)
        await board.press("escape")
        assert not isinstance(board.app.screen, CheckScreen)


async def test_a_check_comes_to_its_end_though_its_machine_has_gone(bare: Place) -> None:
    machine = PLANT.partition("[[machine]]")[2]
    bare.shop_file.write_text(PLANT, encoding="utf-8")
    async with bare.open() as board:
        await board.press("1", "1", "1", "enter", "enter", "3")
        other = PLANT.replace(machine, machine.replace('"combi"', '"fence-room"'))
        bare.shop_file.write_text(other, encoding="utf-8")
        board.app.look_again()
        await board.press("1", "enter", "enter", "enter")
        assert not isinstance(board.app.screen, CheckScreen)


async def test_a_cutter_is_drawn_while_its_record_cannot_be_read(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with place.open() as board:
        await board.press("1", "c")
        monkeypatch.setattr("shopboard.board.screens.cutter.history", broken)
        assert "The journal cannot be read." in await board.press("1")
