"""What was seen on pictures of the screens to be hard to read, and is held not to come back."""

from __future__ import annotations

import pytest

from shopboard.board import keys
from shopboard.board.keys import Key
from shopboard.board.paint import plain
from shopboard.board.rounds_view import RoundPlace, places_lines
from tests.board.conftest import Place
from tests.board.test_views import NOW
from tests.board.workshop import SHOP

KEYS = [one for one in vars(keys).values() if isinstance(one, Key)]


@pytest.mark.parametrize("key", KEYS, ids=lambda one: one.action)
def test_what_a_key_does_is_told_whole_in_the_list_at_the_smallest_window(key: Key) -> None:
    """14 columns of 80 are for cursor, digit and the key's name."""
    assert len(key.help) <= 80 - 14


async def test_the_bar_of_what_else_can_be_done_goes_across(bare: Place) -> None:
    """Seen: it ended with the words, and on no other list."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    async with bare.open() as board:
        await board.press("asterisk")
        strips = board.app.screen._compositor.render_strips()
        (row,) = [strip for strip in strips if "►" in strip.text]
        backs = {one.style.bgcolor for one in row if one.style is not None}
        assert len(backs) == 1


def test_of_a_tagged_machine_the_tag_alone_is_red_among_the_walks() -> None:
    """Seen: "done 42 days ago, 5 in order" stood in red, and the tag's words nowhere."""
    places = [RoundPlace("", "The shop itself", None), RoundPlace("m", "Planer", None, tagged=True)]
    (line,) = [one for one in places_lines(places, 0, NOW, (80, 21)) if "Planer" in plain(one)]
    assert [words for words, style in line if "danger" in style] == [" ╳ DO NOT USE "]
