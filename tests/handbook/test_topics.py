"""Every topic is whole, true to the program, and reached to its last line by the pad's digits."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from shopboard.board.help_tables import help_tables
from shopboard.board.nines import NINE
from shopboard.board.paint import PROSE
from shopboard.commands.arguments import COMMANDS, parse
from shopboard.handbook import topics
from shopboard.handbook.topics import TOPICS, text_of, title_of, topic_lines
from shopboard.shop.declared import sorts
from tests.board.conftest import Place
from tests.cli.program import Program
from tests.in_turn import few


def told(topic: str, width: int = 76) -> list[str]:
    lines = topic_lines(topic, help_tables(), width)
    return ["".join(text for text, _ in line).rstrip() for line in lines]


def test_every_text_is_a_topic_and_every_topic_a_text() -> None:
    assert {one.stem for one in Path(topics.__file__).parent.glob("*.txt")} == {*TOPICS}


@pytest.mark.parametrize("topic", TOPICS)
@pytest.mark.parametrize("width", [56, 76, 156])
def test_a_text_is_laid_out_to_any_width_and_nothing_is_lost(topic: str, width: int) -> None:
    lines = told(topic, width)
    assert max(map(len, lines)) <= width
    words = " ".join(" ".join(lines).split())
    for block in text_of(topic).split("\n")[1:]:
        is_table = block.startswith("{")
        assert (" ".join(block.split()) in words) != is_table


def commands_of(topic: str) -> list[str]:
    """Give the lines to be typed; what stands behind two spaces is a remark."""
    lines = [line.strip() for line in text_of(topic).split("\n") if line.startswith("    ")]
    return [re.split(r" {2,}", line)[0] for line in lines if line.startswith("shopboard ")]


@pytest.mark.parametrize("line", [line for topic in TOPICS for line in commands_of(topic)])
def test_every_command_of_the_help_is_understood(line: str) -> None:
    """The parser takes the words and options as they stand there."""
    assert parse(shlex.split(line)[1:]).command in COMMANDS


def test_tables_of_the_shop_file_that_it_names_are_there() -> None:
    named = {name for topic in TOPICS for name in re.findall(r"\[\[([a-z.]+)\]\]", text_of(topic))}
    assert named
    assert named <= {*sorts()}


def test_the_command_line_prints_a_topic_and_lists_them_all(program: Program) -> None:
    listed = program.bare("help").out
    assert all(f"  {one} " in listed and title_of(one) in listed for one in TOPICS)
    printed = program.bare("help", "journal").out
    assert "two programs may use it at once" in " ".join(printed.split())
    assert max(map(len, printed.split("\n"))) <= 80


def test_the_help_of_a_command_is_asked_for_by_its_name(program: Program) -> None:
    assert program.bare("help", "status").out == program.bare("status", "--help").out


def test_what_is_no_topic_is_said_with_what_was_probably_meant(program: Program) -> None:
    ran = program.bare("help", "jurnal")
    assert (ran.code, ran.out) == (2, "")
    assert "journal" in ran.err


@pytest.mark.parametrize("size", few([(60, 20), (160, 48), (80, 24)], 2))
async def test_the_board_shows_each_topic_to_its_last_line(
    place: Place, size: tuple[int, int]
) -> None:
    """From the keys of a screen by digits, page after page by Enter; then back to the board."""
    async with place.open(*size) as board:
        before = board.lines[0]
        for at, topic in enumerate(TOPICS):
            await board.press("question_mark")
            more = board.app.screen.keys[1].names[0]  # type: ignore[attr-defined]
            digit = str(at % NINE + 1)
            while at >= NINE and f"{digit} {title_of(topic)}" not in board.text:
                await board.press(more)
            shown = await board.press(digit)
            assert f"Help: {title_of(topic)}" in shown
            seen = []
            while (page := board.lines[1:-2])[0:1] and page not in seen:
                seen.append(page)
                await board.press("enter")
            read = {" ".join(line.split()) for page in seen for line in page}
            assert {" ".join(line.split()) for line in told(topic, min(size[0] - 4, PROSE))} <= read
            await board.press("minus", "minus")
            assert board.lines[0] == before


async def test_the_topics_are_told_of_and_shown_when_their_digits_change(place: Place) -> None:
    """At 80x24 the board has more keys than rows: what is below them is said on top."""
    async with place.open(80, 24) as board:
        await board.press("question_mark")
        assert "below: help by topic" in board.lines[0]
        more = board.app.screen.keys[1].names[0]  # type: ignore[attr-defined]
        shown = await board.press(more)  # none is skipped: the first nine are below the edge
        assert f"1 {title_of(TOPICS[0])}" in shown
        assert f"1 {title_of(TOPICS[NINE])}" in await board.press(more)
