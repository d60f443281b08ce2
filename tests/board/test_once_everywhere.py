"""Whatever the board records: where a try fails and the key is pressed again, it stands there once.

Each way by keys is walked without a fault first. Then recordings fail, before their entries are in
the file or after, and whoever is at the keys presses the same key again until it is said no more
that nothing was recorded. What is on record in the end must be the same. Each recording fails once
in one walk, before and after by turns; where all is tried, in a second walk the other way round,
and each in a walk of its own, in which all else goes well.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from contextlib import closing

import pytest

from shopboard.journal import Entry, JournalCannotWrite, NewEntry, open_journal
from tests.board.conftest import Board, Place
from tests.board.test_path import TO_CHECK, TRUE_READING
from tests.board.test_prep import worked_out
from tests.in_turn import ALL

CHECK = (*TO_CHECK, *TRUE_READING, "2", "enter")
WAYS: dict[str, tuple[str, ...]] = {
    "a check": CHECK,
    "a check gone back in": (*TO_CHECK, "1", "minus", "1", "enter", "minus", "enter", "enter", "3"),
    "a check that is left": (*TO_CHECK, "1", "enter", "enter", "3", "escape"),
    "a result taken back": (*CHECK, "v", "1", "1"),
    "a note about a result": (*CHECK, "n", *"hums", "enter"),
    "a safety round with a tag": ("s", "2", "1", "4", "3", "1", "1", "escape"),
    "a tag": ("1", "d", "1", "minus"),
    "a change of blade": (
        "1",
        "c",
        "2",
        "1",
        "2",
        "1",
        "enter",
        "enter",
        "1",
        "1",
        "enter",
        "enter",
    ),
    "a change given up": ("1", "c", "2", "1", "2", "1", "period", "period"),
    "a cutter sent out": ("1", "c", "2", "2", "2", "v", "v"),
    "what happened, and back": ("h", "1", "1", "h", "v", "v"),
    "hours, counted twice": ("h", "8", *"25", "enter", "h", "8", *"25", "enter"),
    "a task step by step": ("1", "t", "1", "1", "enter", "enter", "enter", "minus", "enter"),
    "a prep day, begun and ended": ("n", "enter", "3", "enter", "minus", "x", "x"),
}

DISK = JournalCannotWrite("The disk failed.", "It is not certain that it was recorded.")


class Failing:
    """Stands before the journal's way to record: counts, and fails at those of some numbers."""

    def __init__(self, board: Board, at: Mapping[int, bool]) -> None:
        self.failed = 0
        self.names: set[tuple[str, ...]] = set()
        journal = board.app.open_shop.journal
        append = journal.append

        def failing(entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:
            names = tuple(one.uid for one in entries)
            if names in self.names:  # once more
                return append(entries, after)
            self.names.add(names)
            in_file = at.get(len(self.names))
            if in_file is None:
                return append(entries, after)
            self.failed += 1
            if in_file:
                append(entries, after)
            raise DISK

        journal.append = failing  # type: ignore[method-assign]


async def walk(place: Place, keys: Sequence[str], at: Mapping[int, bool]) -> int:
    """Press keys, each again while it is said that it was not recorded; give the recordings.

    Args:
        place: where the board is opened.
        keys: what is pressed.
        at: the numbers of the recordings that fail, and whether their entries are in the file.
    """
    async with place.open(100, 40) as board:
        failing = Failing(board, at)
        for key in keys:
            before = failed = failing.failed
            await board.press(key)
            text = await worked_out(board)  # a plan is put in order beside the screen
            while failing.failed > failed and "NOT RECORDED" in text:
                failed = failing.failed
                board.app.look_again()  # whatever it would take in: the same key means the same
                text = await board.press(key)
                if f"{key} once more" in text:  # it asks again, as it did at first
                    text = await board.press(key)
            assert failing.failed == before or "NOT RECORDED" not in text, (key, text)
        assert failing.failed == len(at)
        return len(failing.names)


def on_record(place: Place) -> list[str]:
    """What is on record, its names told by the order in which they come."""
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        assert journal.verify() is None
        kinds = [row[0] for row in _kinds(place)]
        entries = journal.newest(tuple(set(kinds)), 10_000, 10_000, 500)[::-1]
    names: dict[str, str] = {}

    def named(found: re.Match[str]) -> str:
        return names.setdefault(found[0], f"#{len(names)}")

    return [
        re.sub(
            r"\b[0-9a-f]{32}\b",
            named,
            json.dumps(
                [one.uid, one.kind, one.machine, one.point, one.refers, one.body, one.void],
                sort_keys=True,
            ),
        )
        for one in entries
    ]


def _kinds(place: Place) -> list[tuple[str]]:
    import sqlite3

    with closing(sqlite3.connect(place.journal_file)) as db:
        return db.execute("SELECT DISTINCT kind FROM entries").fetchall()


@pytest.mark.parametrize("way", WAYS)
async def test_a_key_pressed_again_after_an_error_records_nothing_twice(
    place: Place, way: str
) -> None:
    keys = WAYS[way]
    count = await walk(place, keys, {})
    whole = on_record(place)
    assert count, (way, whole)
    every = range(1, count + 1)
    failures = [{at: at % 2 == 0 for at in every}]
    if ALL:
        failures += [{at: at % 2 == 1 for at in every}]
        failures += [{at: in_file} for at in every for in_file in (False, True)]
    for at in failures:
        place.journal_file.unlink()
        await walk(place, keys, at)
        assert on_record(place) == whole, (way, at)
