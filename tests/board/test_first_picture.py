"""A key draws what it brings up, once; what that does not show is looked for after it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

import pytest

from shopboard.board.screens.check import CheckScreen
from shopboard.board.screens.machine import MachineScreen
from shopboard.board.screens.point import PointScreen
from shopboard.sittings import point_job
from tests.board.conftest import Place
from tests.board.test_path import TO_CHECK, TRUE_READING


@pytest.fixture
def noted(monkeypatch: pytest.MonkeyPatch) -> Callable[..., list[str]]:
    """Note each call of some methods, by class and name."""
    found: list[str] = []

    def note(owner: Any, *names: str) -> list[str]:
        for name in names:
            usual = getattr(owner, name)

            @wraps(usual)
            def call(*given: Any, _of: Any = usual, **named: Any) -> Any:
                found.append(f"{owner.__name__}.{_of.__name__}")
                return _of(*given, **named)

            monkeypatch.setattr(owner, name, call)
        return found

    return note


async def test_a_screen_that_another_covers_is_not_drawn(
    place: Place, noted: Callable[..., list[str]]
) -> None:
    """Under a screen that is only being put up Textual calls the one before it current, too."""
    async with place.open() as board:
        await board.press(*TO_CHECK[:-1])
        assert isinstance(board.app.screen, PointScreen)
        drawn = noted(PointScreen, "body")
        await board.press("1")
        assert isinstance(board.app.screen, CheckScreen)
        assert drawn == []


async def test_a_screen_that_comes_back_is_drawn_once(
    place: Place, noted: Callable[..., list[str]]
) -> None:
    """Whatever is taken in and said on the way back; a point once more when its rest is known."""
    async with place.open() as board:
        await board.press(*TO_CHECK)
        drawn = noted(PointScreen, "body", "_work_out")
        await board.press("escape")
        assert board.says("Nothing was measured: no check is left open.")
        assert drawn == ["PointScreen.body", "PointScreen._work_out", "PointScreen.body"]
        noted(MachineScreen, "body")
        drawn.clear()
        await board.press("escape")
        assert drawn.count("MachineScreen.body") <= 2
        assert "PointScreen.body" not in drawn


async def test_what_comes_after_a_check_is_looked_for_once_its_first_step_stands(
    place: Place, noted: Callable[..., list[str]]
) -> None:
    done = noted(CheckScreen, "body")
    noted(PointScreen, "onward")
    async with place.open() as board:
        await board.press(*TO_CHECK)
        assert done == ["CheckScreen.body", "PointScreen.onward"]


async def test_where_the_machine_is_to_be_cleared_it_is_known_before(
    place: Place, noted: Callable[..., list[str]]
) -> None:
    """A check that was left at its last step asks at once whether to go on to the next point."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *TRUE_READING)
        assert "Next here: Blade parallel to the slot." in board.text
        await board.press("escape")
        done = noted(PointScreen, "onward")
        noted(CheckScreen, "body")
        assert "Next here: Blade parallel to the slot." in await board.press("1")
        assert done == ["PointScreen.onward", "CheckScreen.body"]


async def test_what_a_screw_did_is_read_only_where_there_is_one(
    place: Place, noted: Callable[..., list[str]]
) -> None:
    async with place.open() as board:
        shop = board.app.open_shop
        point = next(one for one in shop.shop.points.values() if one.adjuster is not None)
        read = noted(point_job, "learnt_advance")
        point_job.job_for(shop.shop, point._replace(adjuster=None), shop.journal)
        assert read == []
        point_job.job_for(shop.shop, point, shop.journal)
        assert len(read) == 1
