"""What a page says of what is a key: whole words, the state with its mark, the worst first."""

from __future__ import annotations

from typing import Any

import pytest

from shopboard.board.hits import hit
from shopboard.board.page_told import _buttons, told_of
from shopboard.board.screens.board import BoardScreen
from shopboard.board.screens.why import WhyScreen
from shopboard.board.whole_panes import MOST_WORDS, joined
from tests.board.conftest import Board
from tests.in_turn import few
from tests.pictures.camera import standing_at

SMALL = (60, 20)
"""The terminal of a page on a phone."""

CUT = (
    *("also", "prep", "devices", "board-danger", "machine", "point-due", "tasks", "cutters"),
    *("rounds", "joints", "happened", "needs", "glue-up-hold", "edit-point", "retired", "spares"),
)
"""Screens whose lines a small terminal has no room for."""


def told(board: Board) -> dict[str, Any]:
    """Give what a page is told."""
    top = board.app.top
    assert top is not None
    return told_of(top).said


def answers(board: Board) -> dict[str, str]:
    return dict(told(board)["answers"])


def test_words_of_several_lines_are_sentences() -> None:
    lines = [hit(((one, ""),), "1") for one in ("│ Fence: out │", "│ │", "│ Wax the table │")]
    assert _buttons(lines) == [("1", "Fence: out. Wax the table")]


def test_what_could_act_on_a_page_is_written_out() -> None:
    ((_, words),) = _buttons([hit((("saw\u202e\x1b[2J", ""),), "1")])
    assert words.isprintable()


@pytest.mark.parametrize(
    ("drawn", "words"),
    [
        ("►1 SAW  ╱  OUT   ▌", "SAW ╱ OUT"),
        ("►1 SAW  ╳  DO NOT USE", "SAW ╳ DO NOT USE"),
        ("▌1 Fence ▀ waits ▐", "Fence ▀ waits"),
        ("─1 Rack ─ no checks ───", "Rack ─ no checks"),
        ("│1 ▀▀▀▀ ▄█ Fence ──", "Fence"),
    ],
)
def test_the_mark_of_a_state_stays_and_what_is_only_drawn_goes(drawn: str, words: str) -> None:
    ((_, said),) = _buttons([hit(((drawn, ""),), "1")])
    assert said.removeprefix("1 ") == words


@pytest.mark.parametrize("name", few(CUT, 2))
async def test_a_button_has_all_its_words(name: str) -> None:
    """Whatever room the terminal beside it has; and what is seen there stays as it was."""
    async with standing_at(name, "sample", SMALL) as board:
        before, drawn = vars(board.app.screen).copy(), board.text
        found = answers(board)
        assert found
        assert not [words for words in found.values() if "…" in words]
        assert {**before, **vars(board.app.screen)} == before
        assert board.text == drawn


async def test_a_point_is_told_whole_its_tolerance_by_name() -> None:
    """Right behind the error a ± would read as its uncertainty."""
    async with standing_at("machine", "sample", SMALL) as board:
        found = answers(board)
        assert found["1"].startswith("Blade at 90 ╱ out · +40.8 thou/ft · tolerance ± 20.9 thou/ft")
        assert found["2"].startswith("Blade parallel to the slot ○ due · ")


async def test_a_row_of_choices_goes_on_in_the_next_where_it_has_no_room() -> None:
    async with standing_at("prep", "sample", SMALL) as board:
        assert "one machine apart at a time" in board.text
        assert answers(board)["o"] == "one machine apart at a time"


async def test_a_machine_is_told_the_worst_first() -> None:
    """What is in progress there comes behind what is out."""
    async with standing_at("under-way", "sample", SMALL) as board:
        while not isinstance(board.app.screen, BoardScreen):
            board.app.pop_screen()
            await board.settle()
        words = answers(board)["1"]
        assert words.startswith("SAW ╱ OUT. ╱ Blade at 90: ")
        assert "»" not in words
    async with standing_at("board-danger", "sample", SMALL) as board:
        found = answers(board)
        assert found["1"].startswith("SAW ╳ DO NOT USE. a guard is off or damaged. ╱ Blade at 90")
        assert found["4"].startswith("BANDSAW ╳ DO NOT USE. waiting for a part")


def test_what_has_no_room_is_counted_and_no_sentence_is_cut() -> None:
    long = "x" * MOST_WORDS
    assert joined(("SAW ╱ OUT", long, "a", "b"), ("all 3 true",)) == f"SAW ╱ OUT. {long}. 2 more"
    assert joined(("SAW ■ true",), ("all 3 true", long)) == "SAW ■ true. all 3 true"


async def test_the_working_is_told_and_its_keys_are_apart() -> None:
    async with standing_at("why", "sample", SMALL) as board:
        lines = " ".join(told(board)["lines"])
        assert "bracket between the leaves" in lines
        assert "tolerance at the time" in lines


READ = {
    "point": ("╱ out · 1.9 times", "Error +40.8 ± 3.5 thou/ft", "tolerance ± 20.9 thou/ft"),
    "glue-up-go": ("■ GO", "gap in the glue line: likely"),
    "glue-up-hold": ("‖ HOLD", "not proven; allowed"),
    "away": ("Were you away?",),
    "end-day": ("LEFT UNDONE: ",),
    "differs": ("This journal is not the one",),
    "broken-file": ("did you mean", "Fix and save it"),
    "cost": ("of upkeep and checks",),
    "help-words": (
        "± how well the error is known",
        "one thing on a machine that must be true",
    ),
}
"""What is to be read on a screen, and is no key."""


@pytest.mark.parametrize("name", READ)
async def test_what_is_read_is_told_in_large_type(name: str) -> None:
    async with standing_at(name, "sample", SMALL) as board:
        lines = "\n".join(told(board)["lines"])
        assert [one for one in READ[name] if one not in lines] == []


async def test_a_long_working_says_how_much_is_out_of_sight_its_keys_apart() -> None:
    async with standing_at("board", "sample", SMALL) as board:
        board.app.push_screen(WhyScreen("it", tuple(f"step {at}" for at in range(21))))
        await board.settle()
        assert answers(board) == {"2": "6 more lines"}
        await board.press("2")
        assert answers(board) == {"8": "6 lines above"}
