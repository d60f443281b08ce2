"""Whatever the journal holds, every place says the same of a point, a task and a cutter.

Held together are: status in plain lines and as data, the points' list, the board's panes, the
machine's screen, the tasks, the cutters, the plan of a prep day and the inspection sheet.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from hypothesis import given, settings

from shopboard.base.state_words import state_word
from shopboard.board.board_view import panes
from shopboard.board.cutters_view import cutters_lines
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.machine_view import machine_lines
from shopboard.board.paint import plain
from shopboard.board.tasks_view import task_rows, tasks_lines
from shopboard.commands.cutters import cutter_json
from shopboard.commands.points import _columns
from shopboard.commands.status import shop_json
from shopboard.commands.status_lines import machine_lines as plain_lines
from shopboard.commands.tasks import state_words as task_state
from shopboard.commands.tasks import task_json
from shopboard.journal import SqliteJournal, open_journal
from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.prep.due_checks import comes_back
from shopboard.prep.known import known_points
from shopboard.reports.paper import PAPERS
from shopboard.reports.sheet import Sheet, gather_rows
from shopboard.reports.sheet_html import sheet_html
from shopboard.upkeep.cutter_words import sharp_words, state_words
from shopboard.upkeep.happenings import record_happening
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.shop_head import head
from tests.upkeep.life import LIVES, POINTS, Act, live

SIZE = (200, 120)
NARROW = (100, 120)
"""Where a list of tasks is written small."""


def _point(ident: str, more: str = "") -> str:
    return f"""
[[machine.point]]
id = "{ident}"
name = "The {ident}"
check = "square"
datum = "table"
face = "plate"
lever = "6 in"
tolerance = "0.1 deg"
every = "30 days"
undone_by = ["knocked", "blade changed"]
{more}"""


def _shop() -> str:
    """The shop of these lives, as its owner would write it."""
    text = head("The corner shed")
    for machine in dict.fromkeys(name.partition(".")[0] for name in POINTS):
        text += f'\n[[machine]]\nid = "{machine}"\nname = "The {machine}"\n'
        for name in POINTS:
            owner, _, ident = name.partition(".")
            if owner == machine:
                text += _point(ident, 'rests_on = ["blade"]\n' if name == "saw.fence" else "")
        text += '\n[[machine.task]]\nid = "wax"\nname = "Wax"\nevery = "28 days"\n'
        text += (
            '\n[[machine.cutter]]\nid = "rip"\nname = "Rip blade"\n'
            'where = "on the machine"\nstate = "sharp"\nlasts = "1 hour"\n'
        )
    return text


@contextmanager
def lived(acts: Sequence[Act]) -> Iterator[OpenShop]:
    """A shop after a life."""
    with tempfile.TemporaryDirectory() as folder:
        shop, file, clock = Path(folder, "shop.toml"), Path(folder, "journal.sqlite3"), Clock()
        shop.write_text(_shop(), encoding="utf-8")
        with closing(open_journal(file, clock)) as journal:
            assert isinstance(journal, SqliteJournal)
            live(journal, clock, acts)
        with closing(OpenShop(shop, file, clock)) as open_shop:
            yield open_shop


@given(LIVES)
@settings(max_examples=part(40), deadline=None)
def test_every_place_says_the_same_of_every_point(acts: Sequence[Act]) -> None:
    """State, reason, and how many are to be checked."""
    with lived(acts) as open_shop:
        standing, now = open_shop.standing, open_shop.now()
        data = shop_json(open_shop)
        machines = {one["id"]: one for one in data["machines"]}  # type: ignore[attr-defined]
        assert data["all_true"] == all(
            point["state"] == "true" for one in machines.values() for point in one["points"]
        )
        for one in standing.machines:
            ident, told = one.machine.id, machines[one.machine.id]
            line, *rest = plain_lines(one, now)
            word = state_word(one.state)
            assert line.startswith(word) or one.tag
            assert f"({ident})" in line
            alone = standing._replace(machines=(one,))
            small, drawn = (
                [plain(row) for row in panes(alone, ident, now, 100, height)] for height in (9, 40)
            )
            stands = f"{STATE_MARKS[one.state]}  {word}"
            assert any(stands in row.replace(word.upper(), word) for row in small) or one.tag
            to_check = [name for name in data["check_order"] if name.startswith(f"{ident}.")]  # type: ignore[attr-defined]
            listed = [its for its in one.points if its.is_open]
            for its in listed:
                assert any(f"{STATE_MARKS[its.state]} {its.point.name}" in row for row in drawn)
            assert sum(its.to_check for its in listed) == len(to_check)
            screen = [plain(row) for row in machine_lines(one, 0, now, "inch", SIZE)]
            sheet = sheet_html(
                Sheet("s", ident, "inch", now, gather_rows(one, open_shop.journal), 0.95),
                PAPERS["letter"],
            )
            known = known_points(open_shop, [point.point.full_name for point in one.points])
            on_paper = re.findall(r"<b>(out|unproven|borderline|due|waits|true)</b>", sheet)
            for point, each in zip(one.points, told["points"], strict=True):
                assert (each["state"], each["reason"]) == (point.state, point.reason)
                mine = f"  {state_word(point.state):<10}  {point.point.name} ("
                assert any(row.startswith(mine) for row in rest) == (point.state != "true")
                said = state_word(point.state)
                assert _columns(point)[1] == said
                at = next(
                    n
                    for n, row in enumerate(screen)
                    if re.match(rf".\d+ +{point.point.name} ", row)
                )
                assert f"{STATE_MARKS[point.state]} {said}" in screen[at]
                assert point.reason in screen[at + 1]
                assert (point.point.full_name in to_check) == point.to_check
                assert said in on_paper
                at_glue_up = known[point.point.full_name]
                assert (at_glue_up.state, at_glue_up.stands) == (point.state, point.stands)
                undated = point.record is not None and not point.record.clock_ok
                assert not (undated and point.state == "true")
                assert ("age unknown" in screen[at]) == (undated and point.state != "unproven")


@given(LIVES)
@settings(max_examples=part(25), deadline=None)
def test_the_plan_holds_what_the_board_says_is_to_be_done(acts: Sequence[Act]) -> None:
    """The checks in the order of checking, the tasks that are due, and the cutters."""
    with lived(acts) as open_shop:
        standing = open_shop.standing
        plan = Planner(open_shop).plan()
        free = [one for one in standing.machines if not one.tag]
        pieces = [line.piece for line in plan.lines]
        changed = {one.machine for one in pieces if one.sort == "cutter"}
        assert not changed  # no spare lies on a shelf here
        checks = {one.target for one in pieces if one.sort == "check"}
        points = {one.point.full_name: one for machine in free for one in machine.points}
        wanted = {name for name in standing.order if name in points}
        wanted |= {
            name
            for name, one in points.items()
            if one.state == "waits" and not comes_back(one, standing)
        }
        assert checks == wanted
        for piece in pieces:
            if piece.sort == "check":
                at = points[piece.target]
                assert piece.why == ": ".join(filter(None, (state_word(at.state), at.reason)))
        tasks = {(one.machine, one.target) for one in pieces if one.sort == "task"}
        due = {(one.machine.id, task.task.id) for one in free for task in one.tasks if task.due}
        assert tasks == due
        for one in free:
            for task in one.tasks:
                shown = [plain(row) for row in tasks_lines(task_rows((one,)), 0, {}, NARROW)]
                words = task_state(open_shop, task)
                assert any(f"{task.task.name} " in row and words in row for row in shown)
                assert task_json(open_shop, one.machine.id, task)["due"] == (words == "due")
                assert (f".{task.task.id})" in "".join(plain_lines(one, open_shop.now()))) == (
                    words == "due"
                )
            for cutter in one.cutters:
                words = sharp_words(cutter)
                assert words in state_words(cutter)
                assert cutter_json(cutter)["past_life"] == ("?" in words)
                listed = [plain(row) for row in cutters_lines(one.cutters, (), None, 0, SIZE)]
                assert any(cutter.state in row for row in listed)
                left = f"{one.machine.name}, {cutter.cutter.name}: {words}; no sharp one"
                assert any(each.words.startswith(left) for each in plan.stays_open) == cutter.blunt
                assert (
                    f"Rip blade: {words}" in "".join(plain_lines(one, open_shop.now()))
                ) == cutter.blunt


def test_a_cutter_past_its_life_is_a_question_everywhere() -> None:
    """An hour and a half on an edge that lasts an hour: nobody looked yet whether it is dull."""
    with lived([]) as open_shop:
        record_happening(open_shop.journal, "saw", "hours run", 90.0, shop=open_shop.shop)
        open_shop.refresh()
        one = open_shop.standing.of_machine("saw")
        assert one is not None
        words = "still sharp? past its rated life"
        said = (
            "".join(plain_lines(one, open_shop.now())),
            state_words(one.cutters[0]),
            "".join(each.words for each in Planner(open_shop).plan().stays_open),
            "".join(plain(row) for row in machine_lines(one, 0, open_shop.now(), "inch", SIZE)),
        )
        assert all(words in each for each in said)
        listed = cutters_lines(one.cutters, (), None, 0, SIZE)
        assert any(words in plain(row) for row in listed)
