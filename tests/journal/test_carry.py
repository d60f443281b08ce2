"""A whole journal carried over, either way: the same entries, the same seals, none twice.

The seals are held against JSON (RFC 8259) and SHA-256 (FIPS 180-4) of Python's own library.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from pathlib import Path
from typing import Any

import pytest

from shopboard.base.server_place import JournalPlace
from shopboard.journal import (
    JournalDamaged,
    JournalError,
    JournalMovedOn,
    KeptJournal,
    NewEntry,
    carry,
    commit,
    new_uid,
)
from tests.journal.helpers import check, opened, plainly, voided
from tests.server import database, the_server

Places = Callable[[str], JournalPlace]


@pytest.fixture(autouse=True)
def small_batches(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let few entries be several batches, and each of them several statements."""
    monkeypatch.setattr(carry, "_BATCH", 100)
    monkeypatch.setattr(commit, "_AT_ONCE", 30)


@pytest.fixture
def places(tmp_path: Path) -> Iterator[Places]:
    """Gives places where no journal is: in a file, or on a server."""
    with ExitStack() as stack:

        def new(sort: str) -> JournalPlace:
            if sort == "file":
                return tmp_path / f"{new_uid()}.sqlite3"
            return the_server().place(stack.enter_context(database("template0")))

        yield new


WAYS = [("file", "server"), ("server", "file"), ("file", "file"), ("server", "server")]


def lived(place: JournalPlace, entries: int = 245) -> None:
    """Record more than goes over at once, of all sorts of letters, a void among it."""
    words = 'Zinken "am Eck" \\ \u00e9\u0301 \U0001f6e0 \u2028 \x7f \t'
    with closing(opened(place)) as journal:
        journal.append([check(words=words, number=one) for one in range(entries - 2)])
        journal.append([NewEntry("to-be-void", "check", words[:16], "fence", {"v": 1, "x": 0.1})])
        voided(journal, "to-be-void", "a slip")


def rows(place: JournalPlace) -> list[tuple[Any, ...]]:
    with closing(opened(place, create=False, read_only=True)) as journal:
        return journal.sealed(0, journal.last_seq())


def carried(source: JournalPlace, target: JournalPlace) -> carry.Carried:
    """Carry as the command does."""
    with closing(opened(source, create=False, read_only=True)) as old:
        carry.whole(old, quiet)
        with closing(opened(target)) as new:
            return carry.carry(old, new, carry.begun_with(old, new, quiet), quiet)


def quiet(_done: int, _of: int) -> None:
    pass


@pytest.mark.parametrize(("one", "other"), WAYS)
def test_every_entry_keeps_its_fields_and_its_seal(places: Places, one: str, other: str) -> None:
    source, target = places(one), places(other)
    lived(source)
    done = carried(source, target)
    assert (done.entries, done.before) == (245, 0)
    there = rows(target)
    assert there == rows(source)
    prev = bytes(32)
    for row in there:
        text = json.dumps(row[:10], separators=(",", ":"), ensure_ascii=False)
        prev = hashlib.sha256(prev + text.encode()).digest()
        assert row[11] == prev
    assert done.seal == prev.hex()
    with closing(opened(target)) as journal:
        assert journal.verify() is None
        assert journal.get("to-be-void").void == "a slip"  # type: ignore[union-attr]
        assert journal.append([check()])[0].seq == 246


@pytest.mark.parametrize(("one", "other"), WAYS[:2])
def test_one_that_was_cut_short_is_gone_on_with(
    places: Places, one: str, other: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    source, target = places(one), places(other)
    lived(source)
    with closing(opened(target)) as new:
        kind = type(new)
    take_over = kind.take_over

    def cut(self: KeptJournal, some: Any, _more: Any) -> None:
        if some[0][0] > 100:
            raise KeyboardInterrupt
        take_over(self, some)

    with monkeypatch.context() as at_first:
        at_first.setattr(kind, "take_over", cut)
        with pytest.raises(KeyboardInterrupt):
            carried(source, target)
    assert rows(target) == rows(source)[:100]
    done = carried(source, target)
    assert (done.entries, done.before) == (245, 100)
    assert rows(target) == rows(source)
    assert carried(source, target).before == 245


def test_there_and_back_again_with_what_was_recorded_meanwhile(places: Places) -> None:
    """The file that a journal came from holds its beginning."""
    file, server = places("file"), places("server")
    lived(file, 5)
    carried(file, server)
    with closing(opened(server)) as journal:
        journal.append([check(), check()])
    assert carried(server, file) == carry.Carried(7, 5, rows(server)[-1][11].hex())
    assert rows(file) == rows(server)


@pytest.mark.parametrize(("one", "other"), WAYS[:2])
def test_nothing_is_mixed_with_another_journal(places: Places, one: str, other: str) -> None:
    source, target = places(one), places(other)
    lived(source, 5)
    lived(target, 3)
    before = rows(target)
    with pytest.raises(JournalError, match=r"holds entries that .* does not have") as error:
        carried(source, target)
    assert "Nothing was moved" in error.value.advice
    assert rows(target) == before


def test_one_that_went_on_is_left_as_it_is(places: Places) -> None:
    source, target = places("file"), places("server")
    lived(source, 5)
    carried(source, target)
    with closing(opened(target)) as journal:
        journal.append([check()])
    with pytest.raises(JournalError, match=r"holds all 5 entries .* and 1 more"):
        carried(source, target)
    with closing(opened(source)) as journal:
        journal.append([check()])  # both went on, each by itself
    with pytest.raises(JournalError, match="does not have"):
        carried(source, target)


def test_a_damaged_one_is_not_moved_and_says_where(places: Places) -> None:
    source, target = places("file"), places("server")
    lived(source, 9)
    assert isinstance(source, Path)
    with closing(plainly(source)) as db:
        db.execute("DROP TRIGGER entries_no_update")
        db.execute("UPDATE entries SET body = '{}' WHERE seq = 4")
    with pytest.raises(JournalDamaged, match="entry 4 is not what was recorded") as error:
        carried(source, target)
    assert "salvage" in error.value.advice
    with pytest.raises(JournalError, match="no journal"):
        rows(target)


@pytest.mark.parametrize("sort", ["file", "server"])
def test_who_records_there_meanwhile_is_noticed(places: Places, sort: str) -> None:
    source, target = places("file"), places(sort)
    lived(source, 5)
    moved = rows(source)
    with closing(opened(target)) as journal:
        journal.append([check()])
        with pytest.raises(JournalMovedOn, match="Somebody recorded"):
            journal.take_over(moved)
        journal.append([check()])
        assert journal.count() == 2
        assert journal.verify() is None


@pytest.mark.parametrize("sort", ["file", "server"])
def test_of_a_batch_all_is_there_or_nothing(places: Places, sort: str) -> None:
    source, target = places("file"), places(sort)
    lived(source, 250)
    moved = rows(source)
    moved[220] = (*moved[220][:1], moved[3][1], *moved[220][2:])  # a uid that is there already
    with closing(opened(target)) as journal:
        with pytest.raises(JournalError):
            journal.take_over(moved)
        assert journal.count() == 0
        journal.take_over(rows(source))
        assert journal.count() == 250
