"""The pictures of the board, line by line, without a board.

The pictures in ``golden/`` are compared character by character; they are
written anew with ``UPDATE_GOLDEN=1``.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from shopboard.base.state_words import state_word
from shopboard.board.board_view import LOWEST, called, grid, panes, shop_line
from shopboard.board.check_view import step_lines
from shopboard.board.field import FieldSort, echo, edited
from shopboard.board.frame import SMALLEST, footer, framed, too_small
from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES, big
from shopboard.board.keys import BACK, HELP, OPEN
from shopboard.board.machine_view import machine_lines
from shopboard.board.next_list import next_lines
from shopboard.board.paint import Line, fit, plain, width_of, wrap
from shopboard.board.pane_view import PaneLook, pane
from shopboard.board.point_view import point_lines
from shopboard.board.questions import about_result
from shopboard.board.screens.tasks import TasksScreen
from shopboard.checks.steps import AnswerError, Choice, Finding, Number, Option
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind
from shopboard.metrology.quantity import Unit
from shopboard.metrology.spread import Spread
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import Cutter, Machine, Task
from shopboard.standing.model import (
    WORST_FIRST,
    MachineStanding,
    PointStanding,
    ShopStanding,
    State,
)
from shopboard.up_next.items import next_items
from shopboard.upkeep.cutters import cutter_standings
from shopboard.upkeep.tasks import TaskStanding
from tests.builders import SCREW, Person, follow, found, make_job, make_point, step_at
from tests.in_turn import part

GOLDEN = Path(__file__).with_name("golden")
NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
WORDS = {
    "out": "it leans out",
    "unproven": "never checked",
    "near": "measured; too close to call",
    "due": "blade changed on Sun 31 May 2026",
    "waits": "true by itself; depends on Slot (Saw), which is borderline: checking this again"
    " cannot help",
    "true": "",
    "noted": "",
}


def result(machine: str, point: str, seq: int, verdict: str) -> CheckRecord:
    when = NOW - timedelta(days=seq)
    spread = Spread(0.0009, (), 1e-4)
    return CheckRecord(
        f"uid-{seq}", seq, when, machine, point, "as-found", "square", "angle", spread, 2e-4,
        "0.1 deg", verdict, "it leans out", {},
    )  # fmt: skip


def point_standing(machine: str, number: int, state: State, name: str = "") -> PointStanding:
    point = make_point(f"{machine}.p{number}")._replace(name=name or f"Point {number}")
    if state == "unproven":
        return PointStanding(point, state, WORDS[state])
    record = result(machine, point.id, number, "true" if state in ("due", "waits") else state)
    if state == "noted":
        return PointStanding(point, state, "", record)
    due_on = NOW + timedelta(days=30) if state == "true" else None
    return PointStanding(point, state, WORDS[state], record, 0.52, 0.97, due_on)


def machine_standing(number: int, state: State, name: str = "", points: int = 2) -> MachineStanding:
    ident = f"m{number}"
    others: list[State] = ["noted" if state == "noted" else "true"] * (points - 1)
    states = [state, *others] if points else []
    tasks = (Task("wax", "Clean and wax the table", 28),)
    cutters = (Cutter("rip", "Rip blade", "on the machine", "sharp"),)
    machine = Machine(ident, name or f"Machine {number}", tasks=tasks, cutters=cutters)
    stood = tuple(point_standing(ident, at, one, name) for at, one in enumerate(states, 1))
    done = tuple(TaskStanding(task, True, "never recorded") for task in tasks)
    stands = cutter_standings(machine, {}, {})
    return MachineStanding(machine, state, stood, done, cutters=stands)


HONE = Task("hone", "Hone the gouges", 28)
NEXT = NOW + timedelta(days=20)

EVERY_STATE = ShopStanding(
    (
        *(machine_standing(number, state) for number, state in enumerate(WORST_FIRST, 1)),
        machine_standing(8, "due", "Bench without points", 0),
        MachineStanding(
            Machine("m9", "Hand tools"), "kept", (), (TaskStanding(HONE, False, "done", NEXT),)
        ),
    )
)


def texts(lines: Sequence[Line]) -> list[str]:
    return [plain(line).rstrip() for line in lines]


def same_as_golden(name: str, lines: Sequence[Line]) -> None:
    """Hold lines against the picture of that name."""
    path = GOLDEN / f"{name}.txt"
    drawn = "\n".join(texts(lines)) + "\n"
    if os.environ.get("UPDATE_GOLDEN"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(drawn, encoding="utf-8")
    assert drawn == path.read_text(encoding="utf-8")


def board(standing: ShopStanding, cursor: str, width: int, height: int) -> list[Line]:
    """Draw the board as its screen does."""
    top = shop_line("The old boathouse", standing, NOW, width, fresh=False)
    body = panes(standing, cursor, NOW, width, height - 3)
    items = next_items(standing, ())
    room = height - 3 - len(body)
    body += next_lines(items, None, called(standing, cursor), {}, (width, room))
    return framed(top, body, (), (OPEN, HELP), (width, height))


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (160, 48)])
def test_the_board_looks_as_drawn(size: tuple[int, int]) -> None:
    same_as_golden(f"board-{size[0]}x{size[1]}", board(EVERY_STATE, "m3", *size))


@pytest.mark.parametrize("size", [(80, 24), (160, 48)])
def test_a_machine_looks_as_drawn(size: tuple[int, int]) -> None:
    standing = machine_standing(1, "out", points=3)
    lines = machine_lines(standing, 1, NOW, "inch", (size[0], size[1] - 3))
    same_as_golden(f"machine-{size[0]}x{size[1]}", lines)


@pytest.mark.parametrize("size", [(80, 24), (160, 48)])
def test_a_point_looks_as_drawn(size: tuple[int, int]) -> None:
    standing = point_standing("m1", 1, "out")
    history = [result("m1", "p1", seq, verdict) for seq, verdict in ((1, "out"), (9, "true"))]
    lines = point_lines(
        standing, [], ["check it now"], history, 0, NOW, "inch", (size[0], size[1] - 3)
    )
    same_as_golden(f"point-{size[0]}x{size[1]}", lines)


def test_points_out_of_sight_are_counted_and_none_is_cut_in_two() -> None:
    """Nine points on the smallest window, and one of them with what it takes to prove it."""
    standing = machine_standing(1, "unproven", points=9)
    takes = "it takes a finer square, or turning it over where the point allows it."
    cannot = {"m1.p1": f"Your tools cannot settle this (85.2 % at best): {takes}"}
    for cursor in range(9):
        lines = texts(machine_lines(standing, cursor, NOW, "inch", (80, 21), cannot))
        shown = [n for n in range(1, 10) if any(f"{n} Point {n} " in line for line in lines)]
        assert cursor + 1 in shown
        assert shown == list(range(shown[0], shown[-1] + 1))
        assert all("± 20.9 thou/ft" in line for i, line in enumerate(lines)
                   if " Point " in line and ("■" not in line or "►" in line))  # fmt: skip
        text = "\n".join(lines)
        assert (f"▲ {shown[0] - 1} more" in text) == (shown[0] > 1)
        assert (f"▼ {9 - shown[-1]} more" in text) == (shown[-1] < 9)
        if 1 in shown:
            assert takes in " ".join(text.split())
    all_of_it = texts(machine_lines(standing, 0, NOW, "inch", (80, 60), cannot))
    assert not any("▼" in line or "▲" in line for line in all_of_it)


def test_every_state_is_told_apart_without_colour() -> None:
    """By its word, its picture, its mark and its large letters."""
    for different in (
        {big(state_word(state)) for state in WORST_FIRST},
        {big(state_word(state), tall=True) for state in WORST_FIRST},
        {STATE_PICTURES[state] for state in WORST_FIRST},
        {STATE_MARKS[state] for state in WORST_FIRST},
    ):
        assert len(different) == len(WORST_FIRST)


NAMES = st.one_of(
    st.just("Machine"),
    st.text("木工機械用 abcé|", min_size=1, max_size=60),
    st.just("a name that is far longer than any pane is wide, and goes on and on"),
    st.just("[/][@click=app.quit]x"),
)
SIZES = st.tuples(st.integers(60, 220), st.integers(20, 70))


@settings(max_examples=part(60), deadline=None)
@given(
    SIZES,
    st.lists(st.tuples(st.sampled_from(WORST_FIRST), NAMES), min_size=1, max_size=60),
    st.data(),
)
def test_every_board_is_exactly_as_wide_and_high_as_the_window(
    size: tuple[int, int], machines: list[tuple[State, str]], data: st.DataObject
) -> None:
    standing = ShopStanding(
        tuple(machine_standing(n, state, name) for n, (state, name) in enumerate(machines, 1))
    )
    cursor = f"m{data.draw(st.integers(1, len(machines)))}"
    width, height = size
    body = panes(standing, cursor, NOW, width, height - 3)
    assert len(body) <= height - 3
    assert all(width_of(line) <= width for line in body)
    lines = [fit(line, width) for line in board(standing, cursor, width, height)]
    assert len(lines) == height
    assert {width_of(line) for line in lines} == {width}
    assert sum("►" in plain(line) for line in body) == 1


@settings(max_examples=part(60), deadline=None)
@given(SIZES, st.sampled_from(WORST_FIRST), NAMES, st.integers(1, 30), st.data())
def test_every_machine_and_point_fits_its_window(
    size: tuple[int, int], state: State, name: str, points: int, data: st.DataObject
) -> None:
    width, room = size[0], size[1] - 3
    standing = machine_standing(1, state, name, points)
    cursor = data.draw(st.integers(0, points - 1))
    lines = machine_lines(standing, cursor, NOW, "inch", (width, room))
    assert len(lines) <= room
    assert {width_of(line) for line in lines} == {width}
    assert any(f"►{cursor + 1} " in plain(line) for line in lines)
    history = [result("m1", "p1", seq, "out") for seq in range(1, points + 1)]
    for one in standing.points:
        drawn = point_lines(one, [], ["check"], history, cursor, NOW, "mm", (width, room))
        assert len(drawn) <= room
        assert {width_of(line) for line in drawn} == {width}


@settings(max_examples=part(60), deadline=None)
@given(st.integers(1, 60), SIZES)
def test_panes_never_overlap_and_every_machine_is_on_a_page(
    machines: int, size: tuple[int, int]
) -> None:
    width, room = size[0], size[1] - 3
    lay = grid(machines, width, room)
    assert lay.columns * lay.look.width <= width
    used = lay.rows * lay.look.height + (lay.pages > 1)
    assert used + lay.room_below <= max(room, LOWEST + 1)
    assert (lay.pages - 1) * lay.on_a_page < machines <= lay.pages * lay.on_a_page


@settings(max_examples=part(40), deadline=None)
@given(SIZES, st.text("0123456789./ in", max_size=20))
def test_every_step_fits_its_window(size: tuple[int, int], entry: str) -> None:
    job = make_job(cutter_near=True)
    answers: dict[str, str] = {}
    for _ in range(4):
        step = step_at(job, answers)
        lines = step_lines(step, (), job, entry, (size[0], size[1] - 3))
        assert len(lines) <= size[1] - 3
        assert {width_of(line) for line in lines} <= {size[0]}
        answers[step.key] = step.accept("1")


@given(st.integers(1, 200), st.integers(1, 100))
def test_below_the_smallest_window_one_sentence_asks_for_more(width: int, height: int) -> None:
    lines = too_small(width, height)
    assert len(lines) == height
    assert all(width_of(line) <= width for line in lines)


def test_the_help_key_is_never_cut_off_at_the_smallest_width() -> None:
    assert "keys" in plain(footer((OPEN, BACK, HELP), SMALLEST[0]))
    for width in (SMALLEST[0], 80):  # the way back, too, before a key of which the help tells
        told = plain(footer(TasksScreen.keys, width))
        assert " -  back " in told
        assert " ?  keys" in told


@given(NAMES, st.integers(1, 80))
def test_wrapped_text_fits_and_loses_no_word(text: str, cells: int) -> None:
    lines = wrap(text, cells)
    assert all(cell_len(line) <= cells for line in lines)
    if not any("…" in line for line in lines):
        assert "".join(lines).replace(" ", "") == "".join(text.split())


@given(NAMES, st.integers(0, 80))
def test_a_fitted_line_is_exactly_as_wide_as_asked(text: str, cells: int) -> None:
    assert width_of(fit(((text, "bold"),), cells)) == cells


def test_working_in_wide_letters_is_broken_where_the_screen_ends() -> None:
    from shopboard.board.paint import wrap_kept

    wide = " ".join(["幅木の"] * 10)
    assert all(cell_len(line) <= 50 for line in wrap_kept(wide, 50))
    assert wrap_kept("a   b", 50) == ["a   b"]


@pytest.mark.parametrize(
    ("text", "key", "char", "sort", "after"),
    [
        ("1", "5", "5", "number", "15"),
        ("15", "backspace", None, "number", "1"),
        ("", "backspace", None, "words", ""),
        ("15", "ctrl+u", None, "number", ""),
        ("", "minus", "-", "words", None),  # it goes back
        ("", "minus", "-", "number", "-"),  # it may be the sign of one
        ("-", "minus", "-", "number", None),  # twice, it goes back
        ("1", "minus", "-", "number", "1-"),
        ("", "u2212", "\N{MINUS SIGN}", "number", "-"),
        ("", "en_dash", "\N{EN DASH}", "number", "-"),
        ("1", "fullwidth_digit_two", "\N{FULLWIDTH DIGIT TWO}", "number", "12"),
        ("1", "fullwidth_full_stop", "\N{FULLWIDTH FULL STOP}", "number", "1."),
        ("1", "question_mark", "?", "number", None),  # it asks for help
        ("", "question_mark", "?", "words", None),
        ("why", "question_mark", "?", "words", "why?"),
        ("1", "percent_sign", "%", "number", "1%"),  # refused with the whole, never dropped
        ("1", "arabic", "\N{ARABIC-INDIC DIGIT TWO}", "number", "1\N{ARABIC-INDIC DIGIT TWO}"),
        ("1.", "full_stop", ".", "number", "1."),  # a slip of the finger
        ("15", "delete", None, "number", "1"),  # the pad's point while NumLock is off
        ("", "plus", "+", "number", "+"),
        ("12", "plus", "+", "number", "13"),
        ("-.05", "minus", "-", "number", "-.06"),
        ("0,05", "plus", "+", "decimal", "0,06"),
        ("12 thou", "plus", "+", "number", "13 thou"),
        ("12", "minus", "-", "decimal", "11"),
        ("3/16", "plus", "+", "number", "4/16"),
        ("3-1/4", "minus", "-", "number", "3-0/4"),
        ("12-", "minus", "-", "number", "11"),  # no fraction came behind it
        ("3", "slash", "/", "number", "3/"),
        ("3/", "divide", "/", "number", ""),
        ("Hinges in and/", "slash", "/", "words", ""),
        ("http:/", "slash", "/", "words", "http://"),  # an address
        ("file://", "slash", "/", "words", "file:///"),
        ("2026", "subtract", "-", "day", "2026-"),
        ("2026-06-03", "subtract", "-", "day", "2026-06-02"),
        ("2", "add", "+", "day", "3"),
        ("saw", "multiply", "*", "words", None),  # the list, in every field
        ("1", "enter", "\r", "number", None),
        ("1", "f1", None, "words", None),
    ],
)
def test_what_a_key_does_to_a_field(
    text: str, key: str, char: str | None, sort: FieldSort, after: str | None
) -> None:
    assert edited(text, key, char, sort) == after


def test_a_yes_or_no_uses_nothing_of_a_tolerance() -> None:
    """Knives that are seated, or a guard that is on, have no tolerance to use up."""
    yes = Tolerance(-0.5, 0.5, "yes", "yes or no")
    stood = point_standing("m1", 1, "due", "Knives seated")
    stood = stood._replace(point=stood.point._replace(tolerance=yes))
    standing = machine_standing(1, "due")._replace(points=(stood,))
    drawn = "\n".join(texts(pane(standing, ("1", "SAW"), False, NOW, PaneLook(40, 14))))
    assert "Knives seated" in drawn
    assert "%" not in drawn


@pytest.mark.parametrize(
    ("typed", "unit", "understood"),
    [
        ("1.2", "mm", "1.20 mm"),
        ("1/4 in", "mm", "6.35 mm"),
        ("1/4", "inch", "0.250 in"),
        ("6 mm", "inch", "0.23622 in"),
    ],
)
def test_a_shop_is_told_its_own_unit_alone_while_it_types(
    typed: str, unit: Unit, understood: str
) -> None:
    """What was typed stands before it. 25.4 mm: yard and pound agreement, 1959."""
    assert echo(typed, unit) == understood


def test_what_was_answered_before_reads_as_said_across_the_bench() -> None:
    """A caution by what was said to it; a thing done, a leaf and a turn as sentences with units."""
    job = make_job(cutter_near=True)
    plug = step_at(job, {})
    leaf = Choice(key="a", title="Try 0.015 in at the top.", options=(Option("no", "won't go"),))
    turned = Number(key="b", title="How far did you turn it?", unit="inch", is_turns=True)
    timed = Number(key="c", title="How long did it run down?", unit="inch", plain="s")
    step = step_at(job, {"unplugged": "plug out"})
    for one, answer, cue in (
        (plug, "plug out", "before: the plug is out, where I can see it"),
        (leaf, "no", "before: Try 0.015 in at the top. Won't go"),
        (turned, "3", "before: How far did you turn it? 3 turns (1080°)"),
        (turned, "135 deg", "before: How far did you turn it? 3/8 turn (135°)"),
        (timed, "8.5", "before: How long did it run down? 8.5 s"),
        (timed, "8.5 s", "before: How long did it run down? 8.5 s"),
    ):
        drawn = [
            plain(line).strip() for line in step_lines(step, [(one, answer)], job, "", (80, 40))
        ]
        assert cue in drawn


@pytest.mark.parametrize(
    ("typed", "refused"),
    [("20", "20 in: that is too large; did you mean 20 thou?"), ("600 mm", "600 mm: that is too")],
)
def test_a_number_that_is_refused_is_told_with_its_unit(typed: str, refused: str) -> None:
    step = Number(key="a", title="How wide?", unit="inch", at_most=10)
    with pytest.raises(AnswerError, match=f"^{re.escape(refused)}"):
        step.accept(typed)


LARGE, SMALL = (160, 45), (80, 21)


def test_a_result_fills_a_large_window() -> None:
    """It is read from two metres: verdict and number five rows high, then what to turn first."""
    job = make_job(adjuster=SCREW)
    outcome = found(follow(job, Person(0.004)))
    step = Finding(key="found", title="As found.", run="as-found", outcome=outcome)
    tall, low = (texts(step_lines(step, [], job, "", size)) for size in (LARGE, SMALL))
    assert outcome.verdict == "out"
    for row in big("out", tall=True):
        assert any(row.rstrip() in line for line in tall)
    assert any(big("TURN")[0] in line for line in tall)
    assert any("╱ OUT" in line for line in low)
    assert not any(big("TURN")[0] in line for line in low)


def test_what_was_read_before_a_move_is_told_with_its_age_alone() -> None:
    """The reason says since when it is unproven; "before that" stood above it, without a before."""
    record = result("m1", "p1", 379, "out")
    one = PointStanding(make_point("m1.p1"), "unproven", "moved on 3 Mar, not measured since")
    one = one._replace(record=record, used=0.5, probability=0.9)
    lines = texts(point_lines(one, [], ["check"], [], 0, NOW, "mm", (80, 21)))
    assert any(line.rstrip().endswith("last read 379 days ago") for line in lines)


def test_numbers_of_points_stand_below_each_other_in_one_unit_with_their_tolerances() -> None:
    """However long they are; what a point has not leaves its place free."""
    record = result("m1", "p1", 7, "out")
    points = [
        PointStanding(make_point("m1.p1"), "out", "")._replace(record=record, used=50.0),
        PointStanding(make_point("m1.p2"), "unproven", "never checked"),
    ]
    standing = machine_standing(1, "out")._replace(points=tuple(points))
    lines = texts(machine_lines(standing, 0, NOW, "inch", (80, 21)))
    title, first = lines[1:3]
    second = next(line for line in lines if line.startswith(" 2 "))
    at = title.index("tolerance")
    assert first[at:].startswith("± 20.9 thou/ft  ")
    assert second[at:] == "± 20.9 thou/ft"
    assert first[:at].endswith(" +10.8 thou/ft  ")
    assert first[title.index("checked") :] == record.age(NOW)


def test_the_line_that_is_chosen_is_one_unbroken_bar() -> None:
    """Whatever it says, but a word of danger; a pane that is chosen, beside others, is not."""
    chosen: Line = (("►1 Saw  ", "bar"), ("■ true", "true"), ("  ╳ tagged ", "danger"))
    typed: Line = ((" ►2 ", "key"), (" name", "bold"))
    pane_line: Line = (("►3 Saw ", "bar@3"), ("──", "dim@3"), ("4 Planer", "bold@4"))
    body = [chosen, typed, pane_line, (("  text", ""),)]
    drawn = framed((), body, (), (BACK, HELP), (80, 24))[1:5]
    assert [style for _, style in drawn[0]] == ["bar", "bar", "danger", "bar"]
    assert {style for _, style in drawn[1]} == {"bar"}
    assert [width_of(line) for line in drawn[:2]] == [80, 80]
    assert drawn[2:] == [pane_line, body[3]]


@pytest.mark.parametrize(
    ("kind", "size", "way"),
    [("angle", False, True), ("length", False, True), ("length", True, False)]
    + [(kind, False, False) for kind in ("time", "stress", "speed", "yes or no")],
)
def test_a_sign_stands_where_an_error_goes_one_way_or_the_other(
    kind: Kind, size: bool, way: bool
) -> None:
    """A run-out, a time and a tension are so much, and a + before them would say nothing."""
    record = result("m1", "p1", 1, "out")
    error = 0.01 if kind == "angle" else 0.5
    record = record._replace(kind=kind, spread=record.spread._replace(centre=error, size=size))
    assert record.has_way == way
    standing = machine_standing(1, "out")
    (first, *_) = standing.points
    limits = first.point.tolerance._replace(kind=kind)
    point = first.point._replace(tolerance=limits)
    here = first._replace(point=point, record=record, used=2.0)
    lines = texts(machine_lines(standing._replace(points=(here,)), 0, NOW, "inch", (80, 21)))
    row = next(line for line in lines if line.startswith("►1"))
    assert ("+" in row) == way
    if kind != "yes or no":
        noted = " ".join(about_result(record, "inch").lines)
        assert ("+" in noted) == way


def test_a_long_name_of_a_point_is_read_to_its_end_beside_its_numbers() -> None:
    """At 80 columns; where it is narrower, the age makes room, which the point tells."""
    name = "Auxiliary tool rest smooth and straight"
    record = result("m1", "p1", 7, "out")
    point = make_point("m1.p1")._replace(name=name)
    one = PointStanding(point, "out", "a nick")._replace(record=record, used=50.0)
    standing = machine_standing(1, "out")._replace(points=(one,))
    for width in (80, 60):
        lines = texts(machine_lines(standing, 0, NOW, "inch", (width, 21)))
        at = next(number for number, line in enumerate(lines) if line.startswith("►1 "))
        column = lines[at].index("╱") - 1
        assert " ".join(line[3:column].strip() for line in lines[at : at + 3]).startswith(name)
        assert "+10.8 thou/ft" in lines[at]
        assert "…" not in "".join(lines[at : at + 3])
