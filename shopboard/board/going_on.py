"""What a board is at, named so that another board can go on with it: ``check saw.blade``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.board.screens.keyed import KeyedScreen
from shopboard.board.screens.sitting import SittingScreen
from shopboard.board.ways_in import begin_round, go_on_with
from shopboard.journal import JournalError
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.safety_round import RoundSitting
from shopboard.sittings.sitting import Sitting
from shopboard.sittings.task import TaskSitting
from shopboard.up_next.under_way import UnderWay, all_under_way

if TYPE_CHECKING:
    from shopboard.board.screens.base import ShopScreen

_WALK = "walk"


def place_of(screen: ShopScreen) -> str:
    """Name what a screen, or one that it was opened over, is at; empty: nothing is begun there."""
    for one in reversed(screen.app.screen_stack):
        if isinstance(one, SittingScreen):
            return _name(one.sitting)
        if isinstance(one, KeyedScreen) and one.in_progress:
            return ""
    return ""


def _name(sitting: Sitting) -> str:
    if isinstance(sitting, CheckSitting):
        return f"check {sitting.point.full_name}"
    if isinstance(sitting, TaskSitting):
        return f"task {sitting.machine} {sitting.task.id}"
    if isinstance(sitting, RoundSitting):
        return f"{_WALK} {sitting.machine}"
    return f"change {sitting.machine}"


def go_on_at(screen: ShopScreen, place: str) -> None:
    """Go on over a screen with what has that name, if it is still in progress."""
    sort, _, rest = place.partition(" ")
    open_shop = screen.open_shop
    try:
        if open_shop.journal_differs is not None:
            return
        if sort == _WALK:
            begin_round(screen, rest)
            return
        for one in all_under_way(open_shop):
            if _called(one) == place:
                go_on_with(screen, one)
                return
    except JournalError as error:
        screen.say_error(error)


def _called(one: UnderWay) -> str:
    if one.point:
        return f"check {one.point}"
    if one.task is not None:
        return f"task {one.machine} {one.task.task.id}"
    return f"change {one.machine}"
