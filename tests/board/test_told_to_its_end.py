"""What has no room in its line goes on in the next one: nothing is cut while rows are free."""

from __future__ import annotations

from datetime import timedelta

from shopboard.board.happened_view import happened_lines
from shopboard.board.paint import Line, plain
from shopboard.board.point_view import point_lines
from shopboard.board.rounds_view import RoundPlace, places_lines
from shopboard.board.tag_view import choice_lines, past_lines
from shopboard.journal import Entry
from tests.board.conftest import Place
from tests.board.test_views import NOW, point_standing
from tests.builders import make_point, make_shop

LONG = "guard is back on, knife is straight again, and everything around it was looked at once"


def words(lines: list[Line]) -> str:
    """Give all that is said, in one line."""
    return " ".join(" ".join(map(plain, lines)).split())


def test_what_a_point_depends_on_is_said_to_its_end() -> None:
    base = point_standing("m1", 2, "out", "Blade parallel to the sliding table")
    point = point_standing("m1", 1, "due")
    said = words(point_lines(point, [base], ["check it now"], [], 0, NOW, "mm", (80, 21)))
    assert "Depends on Blade parallel to the sliding table, which is out:" in said
    assert "first." in said
    assert "…" not in said


def test_a_reason_of_a_tag_is_said_to_its_end() -> None:
    said = words(choice_lines("Why?", [LONG], 0, "in your own words", (80, 21)))
    assert f"1 {LONG} 2 in your own words" in said
    assert LONG in words(past_lines([(NOW - timedelta(days=1), False, LONG)], NOW, 80))


def test_what_happened_is_said_to_its_end() -> None:
    body = {"v": 1, "what": "knocked", "note": LONG}
    entry = Entry(1, "u", NOW - timedelta(days=1), "happening", "m", "", "", body, None, True)
    shop = make_shop(make_point("m.p"))
    lines = happened_lines(shop, shop.machines[0], ["knocked"], 0, [entry], NOW, (80, 21))
    assert LONG in words(lines)


def test_a_name_takes_what_the_record_of_its_walk_leaves_free() -> None:
    name = "Five in one: horizontal borer and shaper"
    assert name in words(places_lines([RoundPlace("m", name, None)] * 10, 3, NOW, (80, 21)))


async def test_enter_on_a_point_is_called_by_what_it_does(place: Place) -> None:
    """It begins the check, whatever the cursor is on: the pad alone begins one by a single key."""
    async with place.open() as board:
        await board.press("1", "1")
        assert "Enter check " in " ".join(board.lines[-1].split())
        assert "Check it now, or go on with the check that waits." in await board.press("?")
        await board.press("minus")
        assert "Unplug the machine" in await board.press("enter")
