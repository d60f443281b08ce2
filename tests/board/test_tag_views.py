"""The pictures of a tagged machine: words, shape, and where the danger style stands.

The pictures in ``golden/`` are compared character by character, first the words (that is what a
screen without colour shows), then the same picture with a letter for each style: D is danger,
d the bar of danger. They are written anew with ``UPDATE_GOLDEN=1``.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from colorsys import rgb_to_hsv
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.board.board_view import panes
from shopboard.board.colours import THEMES, styles_of
from shopboard.board.glyphs import (
    STATE_MARKS,
    STATE_PICTURES,
    TAG_MARK,
    TAG_PICTURE,
    big,
    is_roomy,
    sign,
)
from shopboard.board.machine_view import machine_lines
from shopboard.board.paint import Line, fit, plain, width_of
from shopboard.board.round_view import question_lines
from shopboard.board.rounds_view import RoundPlace, places_lines
from shopboard.board.state_head import state_head, tag_head
from shopboard.board.tag_view import tag_bar
from shopboard.shop.default_safety import usual
from shopboard.standing.model import WORST_FIRST, ShopStanding
from shopboard.upkeep.safety_questions import next_step
from shopboard.upkeep.safety_record import DO_NOT_USE, Answered, RoundStanding
from tests.board.test_views import (
    GOLDEN,
    NAMES,
    NOW,
    SIZES,
    board,
    machine_standing,
    same_as_golden,
)
from tests.in_turn import part
from tests.palettes import XTERM

WHY = "the guard is off"
ANSWERED = RoundStanding(
    "r", 9, 7, NOW - timedelta(days=3), 2, finished=True, older=(),
    answers=(Answered("plug", "the plug is out", True), Answered("guard", "it is off", False)),
)  # fmt: skip
AS_WANTED = ANSWERED._replace(answers=(Answered("plug", "out", True),), of=1)
SAW = machine_standing(3, "true", "Table saw", points=3)._replace(tag=WHY, round=ANSWERED)
TAGGED = ShopStanding(
    (
        machine_standing(1, "out"),
        machine_standing(2, "unproven", "Jointer")._replace(round=ANSWERED),
        SAW,
        machine_standing(4, "due", "Bandsaw")._replace(round=AS_WANTED),
    )
)

LETTERS = {
    "danger": "D",
    "danger bar": "d",
    "true": "t",
    "out": "o",
    "due": "u",
    "bar": "B",
    "top": "T",
}
"""Of the styles that matter here; whatever else is drawn is a dot."""


def style_map(lines: Sequence[Line]) -> str:
    """Draw a picture with the letter of its style in place of each character."""
    rows = (
        "".join(LETTERS.get(s.partition("@")[0], ".") * width_of(((t, s),)) for t, s in one)
        for one in lines
    )
    return "\n".join(row.rstrip(".") for row in rows) + "\n"


def coloured_as_golden(name: str, lines: Sequence[Line]) -> None:
    """Hold words and styles against the pictures of that name."""
    same_as_golden(name, lines)
    path, drawn = GOLDEN / f"{name}.styles.txt", style_map(lines)
    if os.environ.get("UPDATE_GOLDEN"):
        path.write_text(drawn, encoding="utf-8")
    assert drawn == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", [(80, 24), (160, 48)])
def test_a_board_with_a_tagged_machine_looks_as_drawn(size: tuple[int, int]) -> None:
    coloured_as_golden(f"board-tagged-{size[0]}x{size[1]}", board(TAGGED, "m3", *size))


def test_a_tagged_machine_looks_as_drawn() -> None:
    coloured_as_golden("machine-tagged-80x24", machine_lines(SAW, 1, NOW, "inch", (80, 21)))


def test_the_bar_of_other_screens_looks_as_drawn() -> None:
    coloured_as_golden("bar-tagged-80", [tag_bar(WHY, 80)])


@pytest.mark.parametrize("size", [(80, 21), (160, 45)])
def test_the_tag_is_told_from_every_state_without_colour(size: tuple[int, int]) -> None:
    """By words that no state has, by a picture that no state has, and by a mark of its own."""
    head = [plain(row) for row in tag_head("", size)]
    assert {len(row) for row in head} == {size[0]}
    for state in STATE_PICTURES:
        assert not any(plain(state_head(state, (), size)[0]).rstrip() in row for row in head)
    assert TAG_PICTURE not in STATE_PICTURES.values()
    assert TAG_MARK not in STATE_MARKS.values()


@pytest.mark.parametrize("size", [(80, 21), (160, 45)])
def test_the_reason_of_a_tag_is_said_whole_before_anything_else_and_nothing_there_is_green(
    size: tuple[int, int],
) -> None:
    why = "the fence slips while it is used, and the stop behind it, which is cracked, lets go"
    lines = machine_lines(SAW._replace(tag=why), 0, NOW, "inch", size)
    red = [plain(line) for line in lines if line[0][1].startswith("danger")]
    assert [plain(line) for line in lines[: len(red)]] == red
    assert why in " ".join(" ".join(red).split())
    assert SAW.points[1].state == "true"
    assert not [text for line in lines for text, style in line if style == "true"]


@pytest.mark.parametrize("theme", THEMES)
def test_red_is_for_danger_alone(theme: str) -> None:
    """By the hue of ink and paper, within 20 degrees of pure red."""
    red = set()
    for name, style in styles_of(theme).items():
        for colour in filter(None, (style.color, style.bgcolor)):
            hue, full, _ = rgb_to_hsv(*(part / 255 for part in colour.get_truecolor(XTERM)))
            if full > 0.4 and not 20 <= 360 * hue <= 340:
                red.add(name)
    assert red == ({"danger", "danger bar"} if theme != "none" else set())


def test_only_the_tagged_machine_is_in_danger_style() -> None:
    lines = board(TAGGED, "m1", 80, 24)
    red = "".join(text for line in lines for text, style in line if style.startswith("danger"))
    assert f"{TAG_MARK}  DO NOT USE" in red
    assert WHY in red
    others = ShopStanding(tuple(one for one in TAGGED.machines if not one.tag))
    drawn = panes(others, "m1", NOW, 80, 21)
    assert not [style for line in drawn for _, style in line if style.startswith("danger")]


def test_what_was_answered_is_never_green() -> None:
    """As wanted or not: it is not the program that says what follows."""
    for standing in (ANSWERED, AS_WANTED):
        places = [RoundPlace("m1", "Saw", standing), RoundPlace("m2", "Planer", None)]
        drawn = places_lines(places, 1, NOW, (80, 21))
        drawn += panes(
            ShopStanding((machine_standing(1, "out", points=1)._replace(round=standing),)),
            "", NOW, 80, 21,
        )  # fmt: skip
        told = [one for line in drawn for one in line if "days ago" in one[0]]
        styles = {style.partition("@")[0] for _, style in told}
        assert styles
        assert styles <= {"dim", "out", ""}


WHYS = st.one_of(NAMES, st.text(min_size=1, max_size=200).filter(str.strip))


@settings(max_examples=part(60), deadline=None)
@given(SIZES, st.sampled_from(WORST_FIRST), WHYS, st.integers(0, 9))
def test_every_picture_of_a_tag_fits_its_window(
    size: tuple[int, int], state: str, why: str, points: int
) -> None:
    width, room = size[0], size[1] - 3
    standing = machine_standing(1, state, points=points)._replace(tag=why, round=ANSWERED)  # type: ignore[arg-type]
    lines = machine_lines(standing, 0, NOW, "inch", (width, room))
    drawn = panes(ShopStanding((standing,)), "m1", NOW, width, room)
    red = "".join(text for line in drawn for text, style in line if style.startswith("danger"))
    signs = [sign("DO NOT USE", TAG_PICTURE, tall)[1] for tall in (False, True)]
    assert any(words in red for words in ("DO NOT USE", *signs))
    lines += [fit(one, width) for one in drawn]
    lines.append(tag_bar(why, width))
    assert {width_of(line) for line in lines} == {width}
    large = (f"  {row}" for row in sign(DO_NOT_USE, TAG_PICTURE))
    shown = large if is_roomy((width, room)) else (f"{TAG_MARK} {DO_NOT_USE}: ",)
    assert all(row in "\n".join(map(plain, lines)) for row in shown)


@settings(max_examples=part(60), deadline=None)
@given(SIZES, st.lists(NAMES, min_size=1, max_size=60), st.data())
def test_every_list_of_rounds_fits_its_window_and_shows_the_cursor(
    size: tuple[int, int], names: list[str], data: st.DataObject
) -> None:
    width, room = size[0], size[1] - 3
    places = [RoundPlace(str(n), name, ANSWERED, n % 2 == 0) for n, name in enumerate(names)]
    cursor = data.draw(st.integers(0, len(names) - 1))
    lines = places_lines(places, cursor, NOW, (width, room))
    assert len(lines) <= room
    assert {width_of(line) for line in lines} == {width}
    assert sum("►" in plain(line) for line in lines) == 1
    number = f"►{cursor + 1:>{len(str(len(names)))}} "
    here_are = (number, f"► {big(str(cursor + 1))[1]}")  # in letters of either size
    assert any(one in plain(line) for one in here_are for line in lines)


@settings(max_examples=part(40), deadline=None)
@given(SIZES, st.sampled_from(usual("planer")), st.booleans())
def test_every_question_fits_its_window(
    size: tuple[int, int], question: object, wrong: bool
) -> None:
    asked = next(one for one in usual("planer") if one == question)
    step = next_step([asked], {asked.id: asked.others[0]} if wrong else {}, "")
    assert step is not None
    lines = question_lines(step, (3, 12), [(asked, "x" * 60)] * 3, (size[0], size[1] - 3))
    assert len(lines) <= size[1] - 3
    assert {width_of(line) for line in lines} <= {size[0]}
    shown = " ".join(" ".join(plain(line) for line in lines).split())
    assert all(one.label in shown for one in step.options)
