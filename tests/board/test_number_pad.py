"""One key of the number pad means one thing on every screen, and the pad alone reaches all.

What the keys mean stands here once more, as it was decided; which names a terminal gives them, and
what the pad sends with NumLock off, is that of X11 keysyms and of xterm (KP_0 is Insert, KP_Decimal
Delete), from memory.
"""

from __future__ import annotations

import re
from typing import get_args

import pytest
from textual import events
from textual.keys import _character_to_key

from shopboard.board.canvas import Canvas
from shopboard.board.hits import Hit, hits_of
from shopboard.board.keys import CURSOR, NO_BACK, PAD, Key, Role
from shopboard.board.screens.keyed import KeyedScreen, on_the_pad
from tests.board.conftest import Board, Place
from tests.board.test_path import READY, TO_CHECK, body
from tests.board.test_pictures import screens
from tests.in_turn import ALL, few
from tests.pictures.hand import Hand, NotThereError
from tests.pictures.ways import WAYS
from tests.two_shops import SHOPS

MEANS: dict[str, str] = {
    **dict.fromkeys(("enter", "ctrl+j"), "on"),
    **dict.fromkeys(("minus", "subtract"), "back"),
    **dict.fromkeys(("plus", "add"), "more"),
    **dict.fromkeys(("slash", "divide"), "strike"),
    **dict.fromkeys(("asterisk", "multiply"), "also"),
    **dict.fromkeys(("full_stop", "decimal", "delete"), "tag"),
    **dict.fromkeys(("0", "insert"), "resume"),
}
"""Every key of the pad but the digits, which answer or choose."""

READS_ON = {("back", "on"), ("more", "on")}
"""Enter goes on from what is read to its end: it closes it, or shows the next page."""

ONE_EACH = {
    "back": {"back"},
    "also": {"also"},
    "tag": {"tag"},
    "resume": {"resume"},
    "more": {"more", "page", "next_span"},
    "strike": {
        *("give_up", "take_back", "void", "undone", "end_day", "leave_out"),
    },
}
"""What each does on a screen: what is struck out is what stands there."""


def every_screen() -> list[type[KeyedScreen]]:
    screens()  # imports them all
    found: list[type[KeyedScreen]] = [KeyedScreen]
    for one in found:
        found += one.__subclasses__()
    return found[1:]


def test_the_rule_is_the_one_that_was_decided() -> None:
    assert {name: role for role, key in PAD.items() for name in key.names} == MEANS
    assert {*PAD} == {*get_args(Role)} - {""}


@pytest.mark.parametrize("screen", every_screen(), ids=lambda one: one.__name__)
def test_a_key_of_the_pad_has_its_meaning_on_every_screen_and_no_other(
    screen: type[KeyedScreen],
) -> None:
    for key in screen.keys:
        for role in {MEANS[name] for name in key.names if name in MEANS}:
            assert role == key.role or (key.role, role) in READS_ON, key
        assert key.action in ONE_EACH.get(key.role, {key.action}), key
    roles = [key.role for key in screen.keys if key.role]
    assert len(roles) == len({*roles}), roles
    for action in ONE_EACH:
        mine = [key for key in screen.keys if key.action == action]
        assert all(key.role == action for key in mine), mine


@pytest.mark.parametrize("screen", every_screen(), ids=lambda one: one.__name__)
def test_what_a_letter_does_is_in_the_list_or_on_the_pad(screen: type[KeyedScreen]) -> None:
    assert any(key.action == "also" for key in screen.keys)
    listed = {key.action for key in KeyedScreen.also(screen)}  # type: ignore[arg-type]
    for key in screen.keys:
        assert key.action in listed or key.role or key.action in CURSOR, key


async def reach(board: Board, way: str) -> KeyedScreen:
    """Go to a screen."""
    try:
        await WAYS[way].go(Hand(board))
    except NotThereError as error:
        pytest.skip(str(error))
    top = board.app.screen
    assert isinstance(top, KeyedScreen)
    top.repaint()
    await board.settle()
    return top


def lines_of(screen: KeyedScreen) -> list[list[Hit]]:
    (canvas,) = screen.query(Canvas)
    return [list(hits_of(line)) for line in canvas._marked]


def place_of(way: str, turn: int) -> Place:
    return WAYS[way].place((*SHOPS, "whole")[turn % (len(SHOPS) + 1)])


_FIRST = {way.screen: name for name, way in reversed(WAYS.items())}
TURNS = [
    pytest.param(name, turn, id=name)
    for turn, (name, way) in enumerate(WAYS.items())
    if not name.startswith(("set-up-", "help-")) and (ALL or _FIRST[way.screen] == name)
]
"""The first way to each screen, and every way where all is tried."""


async def struck(board: Board, screen: KeyedScreen, strike: object) -> list[tuple[str, str | None]]:
    """Give what comes to a screen as keys when something is done."""
    came: list[tuple[str, str | None]] = []

    def pressed(event: events.Key) -> None:
        came.append((event.key, event.character))

    screen.pressed = pressed  # type: ignore[method-assign]
    await strike  # type: ignore[misc]
    await board.settle()
    del screen.pressed
    return came


async def clicks_are_keys(board: Board, screen: KeyedScreen, way: str) -> None:
    """Click every key of the footer, and every line or pane that has a digit."""
    drawn = [(y, hit) for y, hits in enumerate(lines_of(screen)) for hit in hits]
    foot = [(y, hit) for y, hit in drawn if y == 23]
    above = few([(y, hit) for y, hit in drawn if y < 23 and hit.key[0] not in "#="], 2)
    assert foot
    shown: list[Key] = [key for key in screen.keys_shown() if key.footer]
    for y, hit in (*foot, *above):
        board.seconds.at += 1
        click = board.pilot.click(Canvas, offset=(hit.end - 1, y))
        name = _character_to_key(hit.key) if len(hit.key) == 1 else hit.key
        assert [one for one, _ in await struck(board, screen, click)] == [name], hit
        if y == 23:
            assert any(name in key.names for key in shown) or hit.key == "ctrl+u"
        else:
            assert (
                hit.key in "123456789" or len(hit.key) > 1 or way in ("help", "prep", "end-day")
            ), hit


def without_minutes(text: str) -> str:
    """Give the body but for minutes of what is next: they are worked out meanwhile."""
    return re.sub(r" +\d+ min\b| +$", "", body(text), flags=re.M)


@pytest.mark.parametrize(("way", "turn"), TURNS)
async def test_every_screen_names_its_keys_whole_and_lists_the_others(way: str, turn: int) -> None:
    """And a click is the key that is drawn there."""
    async with place_of(way, turn).open(80, 24) as board:
        screen = await reach(board, way)
        await clicks_are_keys(board, screen, way)
        foot = board.lines[-1]
        shown = [key for key in screen.keys_shown() if key.footer]
        names = [f" {key.label}  {key.word} " for key in shown]
        assert "".join(f"{one} " for one in names if one in f"{foot} ").strip() == foot.strip()
        for key, name in zip(shown, names, strict=True):
            assert name in f"{foot} " or key.action not in ("back", "also", "help", "quit"), foot
        if way == "also":
            return
        before = without_minutes(board.text)
        listed = await board.press("multiply")
        can = {key.action for key in screen.keys_of_use()}
        for key in screen.also():
            assert (key.help in listed) == (key.action in can or not on_the_pad(key)), key
        assert NO_BACK.help not in listed
        await board.press("subtract")
        assert way == "prep-begun" or without_minutes(board.text) == before


async def test_answers_are_taken_with_numlock_off(place: Place) -> None:
    """Arrows move to the answer, and Enter takes it; no arrow answers by itself."""
    async with place.open() as board:
        light = body(await board.press(*TO_CHECK, *READY))
        await board.press("enter")
        assert body(board.text) == light  # on nothing yet, it takes nothing
        for key in ("kp_begin", "end", "pagedown", "home", "pageup"):
            await board.press(key)
            assert board.says("NumLock is off: press it once")
        await board.press("down", "right", "up")
        assert body(board.text) == light
        assert board.app.screen._digit == "1"  # type: ignore[attr-defined]
        await board.press("enter")
        assert body(board.text) != light
        await board.press("subtract")
        assert body(await board.press("1")) != light


async def test_a_gauge_types_its_reading_below_zero_as_it_is(place: Place) -> None:
    """Sign, digits, unit and Enter in one go, wherever they come: nothing is stepped."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3")
        board.seconds.step = 0.0
        board.seconds.at += 1
        for char in "+0.012-1":
            name = {"+": "plus", "-": "minus", ".": "full_stop"}.get(char, char)
            board.app.post_message(events.Key(name, char))
        assert "> +0.012-1_" in await board.settle()
        board.seconds.step = 1.0
        await board.press("ctrl+u", *".012", "plus")
        assert "> .013_" in board.text
        await board.press("subtract", "subtract")
        assert "> .011_" in board.text
        await board.press("slash", "slash")
        assert "> _" in board.text


async def test_a_check_is_given_up_by_the_slash_twice_and_the_star_tells_it(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY)
        listed = await board.press("asterisk")
        assert "Give the check up; its results stay; twice." in listed
        assert "Leave; the check waits here" in listed
        await board.press("minus", "slash")
        assert board.says("Give this check up? / or x once more.")
        assert not board.says("Its results stay")  # there are none yet
        await board.press("slash")
        assert board.says("Given up: that check is closed.")
        assert board.says("Take the tools off, guards back, then plug in.")
        assert not board.app.open_shop.waiting


async def test_the_point_tags_the_machine_under_the_cursor(place: Place) -> None:
    async with place.open() as board:
        await board.press("decimal")
        assert board.says("Why is it out of use?") or board.says("Why is it out of use?")
        await board.press("minus", "1", "1", "delete")
        assert "DO NOT USE" in board.lines[0]


async def test_what_a_gauge_sends_to_the_board_tags_nothing(place: Place) -> None:
    """Its point asks why a machine is tagged; the digits behind it are not the reason."""
    async with place.open() as board:
        board.seconds.step = 0.0
        board.seconds.at += 1
        for char in ".052":
            board.app.post_message(events.Key({".": "full_stop"}.get(char, char), char))
        await board.settle()
        assert board.says("came before this could be read")
        assert board.app.open_shop.journal.count() == 0


async def test_a_click_before_the_step_can_be_read_answers_nothing(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY)
        screen = board.app.screen
        assert isinstance(screen, KeyedScreen)
        drawn = enumerate(lines_of(screen))
        at = next((y, one) for y, hits in drawn for one in hits if one.key == "1")
        board.seconds.step = 0.0
        board.seconds.at += 1
        await board.press("minus")
        before = body(await board.press("enter"))
        await board.pilot.click(Canvas, offset=(at[1].start + 3, at[0]))
        assert body(await board.settle()) == before


async def test_the_wheel_moves_and_answers_nothing(place: Place) -> None:
    async with place.open() as board:
        await board.press("1")
        screen = board.app.screen
        before = screen._cursor  # type: ignore[attr-defined]
        screen.wheeled("down")  # type: ignore[attr-defined]
        assert screen._cursor == before + 1  # type: ignore[attr-defined]
        await board.press(*TO_CHECK[1:], *READY)
        asked = body(board.text)
        board.app.screen.wheeled("down")  # type: ignore[attr-defined]
        assert body(await board.settle()) == asked
