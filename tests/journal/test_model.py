"""Held against a model that is too simple to be wrong: a list, read from its end."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.base.server_place import JournalPlace
from shopboard.journal import NewEntry, Store
from tests.in_turn import part
from tests.journal.helpers import opened
from tests.server import database, the_server

NAMES = st.sampled_from(["", "a", "b", "ä"])
STEPS = st.lists(
    st.tuples(st.sampled_from(["check", "begin", "end", "void"]), NAMES, NAMES, st.integers(0, 30)),
    max_size=40,
)


def _entries(steps: list[tuple[str, str, str, int]]) -> list[NewEntry]:
    """Turn the steps into entries that the rules allow."""
    made: list[NewEntry] = []
    for number, (kind, machine, point, to) in enumerate(steps):
        refers = f"u{to % len(made)}" if made and kind in ("void", "end") else ""
        taken = {entry.uid for entry in made if entry.kind == "void"}
        taken |= {entry.refers for entry in made if entry.kind == "void"}
        if kind == "void" and (not refers or refers in taken):
            kind, refers = "check", ""
        made.append(NewEntry(f"u{number}", kind, machine, point, {"v": 1, "reason": "x"}, refers))
    return made


@contextmanager
def _file() -> Iterator[JournalPlace]:
    with tempfile.TemporaryDirectory() as folder:
        yield Path(folder) / "shop.journal"


@contextmanager
def _server() -> Iterator[JournalPlace]:
    with database() as name:
        yield the_server().place(name)


@pytest.mark.parametrize("somewhere", [_file, _server])
@settings(max_examples=part(60), deadline=None)
@given(STEPS, st.integers(1, 40))
def test_the_answers_are_those_of_a_plain_list(
    somewhere: Callable[[], AbstractContextManager[JournalPlace]],
    steps: list[tuple[str, str, str, int]],
    first_part: int,
) -> None:
    """Whatever was recorded, in whatever parts: latest, history, visits and threads agree."""
    made = _entries(steps)
    voided = {entry.refers for entry in made if entry.kind == "void"}
    ended = {entry.refers for entry in made if entry.kind == "end"}
    standing = [entry for entry in made if entry.uid not in voided]
    with somewhere() as place, closing(opened(place)) as journal:
        journal.append(made[:first_part])
        journal.append(made)  # the first part a second time: it adds nothing
        latest = {(e.machine, e.point): e.uid for e in standing if e.kind == "check"}
        assert {place: e.uid for place, e in journal.latest("check").items()} == latest
        history = [e.uid for e in made if (e.kind, e.machine, e.point) == ("check", "a", "b")]
        assert _uids(journal, "check", "a", "b") == history[::-1]
        visits = [e.uid for e in standing if e.kind == "begin" and e.uid not in ended]
        assert [e.uid for e in journal.open_checks()] == visits[::-1]
        assert [e.uid for e in journal.thread("u0")] == [e.uid for e in made if e.refers == "u0"]
        assert journal.count() == len(made)
        assert journal.verify() is None


def _uids(journal: Store, kind: str, machine: str, point: str) -> list[str]:
    return [entry.uid for entry in journal.recent(kind, machine, point)]
