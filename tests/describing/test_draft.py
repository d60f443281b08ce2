"""Each answer is on the disk before the next is asked, whatever befalls the program or the disk."""

from __future__ import annotations

import errno
import os
import sys
from contextlib import closing
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest

from shopboard.base.locations import answers_path
from shopboard.describing import draft
from shopboard.describing.draft import DraftError, Reply, ShopDraft
from tests.describing.disk import Disk, EndedError

DAY = date(2027, 3, 1)


@pytest.fixture
def shop_file(tmp_path: Path) -> Path:
    return tmp_path / "new" / "shop.toml"


def one(number: int) -> Reply:
    return Reply(f"question {number}", f"répondre {number}", DAY)


def kept(shop_file: Path) -> list[Reply]:
    with closing(ShopDraft(shop_file)) as found:
        return found.answers


def test_answers_are_there_at_the_next_start(shop_file: Path) -> None:
    with closing(ShopDraft(shop_file)) as begun:
        for number in range(4):
            begun.answer(one(number))
        begun.back()
        begun.answer(one(9))
    with closing(ShopDraft(shop_file)) as again:
        assert again.answers == [one(0), one(1), one(2), one(9)]
        assert again.name == begun.name
        assert again.uid_of("saw", "wax") == begun.uid_of("saw", "wax")
        assert again.uid_of("saw", "wax") != again.uid_of("saw", "dust")
    assert answers_path(shop_file).stat().st_mode & 0o077 == 0, "for its owner alone"


def test_a_last_line_that_was_cut_off_is_left_out(shop_file: Path) -> None:
    with closing(ShopDraft(shop_file)) as begun:
        begun.answer(one(0))
        begun.answer(one(1))
    path = answers_path(shop_file)
    whole = path.read_bytes()
    start = whole.rindex(b"\n", 0, -1) + 1
    for end in range(start, len(whole)):
        path.write_bytes(whole[:end])
        with closing(ShopDraft(shop_file)) as again:
            assert again.answers == [one(0)]
            again.answer(one(2))
        assert kept(shop_file) == [one(0), one(2)]
    assert not path.with_name(f"{path.name}-unread").exists()


@pytest.mark.parametrize(
    "bad", [b"nonsense\n", b'{"back": 1}\n' * 3, b'{"asked": "x"}\n', b"\xff\n"]
)
def test_what_cannot_be_read_is_kept_beside_it(shop_file: Path, bad: bytes) -> None:
    with closing(ShopDraft(shop_file)) as begun:
        begun.answer(one(0))
    path = answers_path(shop_file)
    later = b'{"asked": "a", "answer": "b", "day": "2027-03-01"}\n'
    path.write_bytes(path.read_bytes() + bad + later)
    found = kept(shop_file)
    assert found in ([one(0)], [])
    assert path.with_name(f"{path.name}-unread").read_bytes().endswith(later)


def test_a_second_program_is_told(shop_file: Path) -> None:
    with closing(ShopDraft(shop_file)) as begun:
        begun.answer(one(0))
        with pytest.raises(DraftError, match="another run of this program"):
            ShopDraft(shop_file)
        begun.answer(one(1))
    assert kept(shop_file) == [one(0), one(1)]


@pytest.mark.skipif(sys.platform == "win32", reason="that is what this stands in for")
def test_windows_locks_a_byte_that_nobody_reads(
    shop_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stand-in does what the documentation of `msvcrt.locking` says.

    Bytes from where the file stands are locked, beyond its end, too; what another holds raises an
    OSError.
    """
    held: set[tuple[int, int]] = set()

    def locking(handle: int, mode: int, count: int) -> None:
        place = (os.fstat(handle).st_ino, os.lseek(handle, 0, os.SEEK_CUR))
        assert (mode, count) == (2, 1)
        if place in held:
            raise PermissionError(errno.EACCES, "Permission denied")
        held.add(place)

    stand_in = SimpleNamespace(LK_NBLCK=2, locking=locking)
    monkeypatch.setitem(sys.modules, "msvcrt", stand_in)
    with closing(ShopDraft(shop_file)) as begun:
        begun.answer(one(0))
    monkeypatch.setattr(sys, "platform", "win32")
    with closing(ShopDraft(shop_file)) as begun:
        assert begun.answers == [one(0)], "read from its beginning"
        begun.answer(one(1))
        (place,) = held
        assert place[1] > draft.LARGEST_DRAFT
        with pytest.raises(DraftError, match="another run of this program"):
            ShopDraft(shop_file)
    held.clear()  # as the system does when the file is closed
    with closing(ShopDraft(shop_file)) as again:
        assert again.answers == [one(0), one(1)]


@pytest.mark.skipif(sys.platform == "win32", reason="no open file is taken away there")
def test_a_draft_that_is_taken_away_is_written_again(shop_file: Path) -> None:
    with closing(ShopDraft(shop_file)) as begun:
        begun.answer(one(0))
        answers_path(shop_file).unlink()
        shop_file.parent.rmdir()
        begun.answer(one(1))
        name = begun.name
    with closing(ShopDraft(shop_file)) as again:
        assert (again.name, again.answers) == (name, [one(0), one(1)])


def test_where_nothing_can_be_written_it_says_why(shop_file: Path) -> None:
    shop_file.parent.mkdir()
    answers_path(shop_file).mkdir()
    with pytest.raises(DraftError, match=r"shop\.toml\.answers: Is a directory"):
        ShopDraft(shop_file)
    answers_path(shop_file).rmdir()
    answers_path(shop_file).write_bytes(b"x" * (draft.LARGEST_DRAFT + 1))
    with pytest.raises(DraftError, match="too large"):
        ShopDraft(shop_file)


def test_on_a_full_disk_the_answer_is_refused_and_taken_once_there_is_room(
    shop_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    disk = Disk(monkeypatch)
    with closing(ShopDraft(shop_file)) as begun:
        begun.answer(one(0))
        for _ in range(2):
            with disk.struck(2, full=True), pytest.raises(DraftError, match="the disk is full"):
                begun.answer(one(1))
            assert begun.answers == [one(0)]
        with disk.struck(2, full=True), pytest.raises(DraftError, match="the disk is full"):
            begun.back()
        assert begun.answers == [one(0)]
        begun.answer(one(2))
    assert kept(shop_file) == [one(0), one(2)]


def test_ended_at_any_call_every_answer_said_to_be_kept_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At each call that changes the disk; half of what is written is there."""
    disk, tries = Disk(monkeypatch), 0
    while True:
        tries += 1
        shop_file = tmp_path / str(tries) / "shop.toml"
        said: list[Reply] = []
        begun = None
        try:
            with disk.struck(tries):
                begun = ShopDraft(shop_file)
                for number in range(3):
                    begun.answer(one(number))
                    said.append(one(number))
                begun.back()
                said.pop()
        except EndedError:
            ended = True
        else:
            ended = False
        if begun is not None:
            os.close(begun._handle)
        found = kept(shop_file)
        assert said == found[: len(said)] or found == said[:-1]
        assert len(found) <= len(said) + 1
        if not ended:
            assert found == said
            break
    assert tries > 12, tries
