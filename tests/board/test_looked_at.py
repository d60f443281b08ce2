"""What was seen on pictures of the screens to be hard to read, and is held not to come back."""

from __future__ import annotations

import pytest

from shopboard.base.state_words import STATE_WORDS, state_word
from shopboard.board import keys
from shopboard.board.keys import PAGE, Key
from shopboard.board.paint import plain
from shopboard.board.results_list import results_lines
from shopboard.board.rounds_view import RoundPlace, places_lines
from shopboard.board.screens.topic import TopicScreen
from shopboard.board.state_head import state_head
from shopboard.board.tasks_view import TaskRow, tasks_lines
from shopboard.shop.machine import Task
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.safety_record import RoundStanding
from shopboard.upkeep.tasks import TaskStanding
from tests.board.conftest import Place
from tests.board.test_views import NOW
from tests.board.workshop import SHOP
from tests.builders import make_point
from tests.reports.pictures import result

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


def test_what_is_on_record_of_a_walk_stands_below_each_other_and_once() -> None:
    """Seen: the row of a tagged machine was moved to the right, and the first one stood twice."""
    answers = RoundStanding("u", 1, 1, NOW, 5, False, (), ())
    places = [RoundPlace("", "The shop", answers), RoundPlace("m", "Planer", answers, tagged=True)]
    rows = [plain(one) for one in places_lines(places, 0, NOW, (80, 21))]
    told = [row.index("started") for row in rows if "started" in row]
    assert len(told) == 2
    assert told[0] == told[1]


@pytest.mark.parametrize("state", STATE_WORDS)
def test_a_state_is_whole_in_its_bar(state: str) -> None:
    """Seen: BORDERLIN."""
    (line,) = state_head(state, (), (80, 24))
    assert state_word(state) in line[0][0].lower()
    assert line[0][0].endswith(" ")


def test_why_a_result_was_withdrawn_is_read_whole() -> None:
    """Seen: "WITHDRAWN: a chip la…", with half of the screen free."""
    why = "a chip lay between the square and the plate"
    records = [result(one, one, 1, void=why if one == 3 else None) for one in (1, 2, 3)]
    for cursor in range(3):
        lines = results_lines(records, cursor, make_point(), "", "inch", (80, 3))
        rows = [plain(line) for line in lines[:4]]
        assert any(row.startswith("►") for row in rows[:3])
        if cursor == 2:
            assert any(why in row for row in rows)


def test_what_a_screen_shows_whole_has_no_key_for_more() -> None:
    """Seen: "Enter + further" below help of which nothing was left to see."""
    screen = TopicScreen("glue-up")
    screen.body(80, 21)
    assert PAGE not in screen.keys_now()
    screen.body(80, 8)
    assert PAGE in screen.keys_now()


def test_the_name_of_a_task_gives_way_to_no_wait_of_another_one() -> None:
    """Seen: every name was cut because one row told how long to wait."""
    name = "Empty the dust box and brush off the trunnions, both of them"
    waits = TaskStanding(Task("wax", "Wax"), False, "", begun=Begun("u", NOW))
    other = TaskStanding(Task("dust", name), False, "when needed")
    rows = [TaskRow("saw", "Wax", waits), TaskRow("saw", name, other)]
    lines = tasks_lines(rows, 0, {("saw", "wax"): "Wax on, thin: 8 min left"}, (80, 21))
    assert any(name in plain(line) for line in lines)
    assert any("8 min left" in plain(line) for line in lines)
