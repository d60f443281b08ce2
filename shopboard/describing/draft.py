"""The answers so far, in a file beside the shop file to be: each on the disk before the next.

One line of JSON an answer; a step back is a line, too. A last line that was cut off is left out.
While a program describes a shop, no other one takes its draft.
"""

from __future__ import annotations

import json
import os
import re
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from hashlib import sha256
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.locations import answers_path
from shopboard.base.private import make_folders, new_file
from shopboard.base.synced import sync_folder
from shopboard.writing.saving import why_not_written

LARGEST_DRAFT = 1 << 20
"""Bytes: hundreds of times what a shop takes."""

_NAME = re.compile(r"[0-9a-f]{32}")


class Reply(NamedTuple):
    """One answer that was given."""

    key: str
    """Of the question."""
    answer: str
    day: date
    """On which it was given."""


class DraftError(Exception):
    """An answer is not on the disk, or there is no draft to go on with; why, in a sentence."""


def put_aside_path(shop_file: Path) -> Path:
    """Give where they are once the shop file is made of them."""
    return shop_file.with_name(f"{answers_path(shop_file).name}-done")


def is_answered(shop_file: Path) -> bool:
    """Tell whether the answers that wait for a shop file are all there, at a glance."""
    try:
        data = answers_path(shop_file).read_bytes()
    except OSError:
        return False
    return any(mark in data for mark in (b'"asked": "write"', b'"wrote"'))


class ShopDraft:
    """The draft of one shop, open and this program's alone."""

    def __init__(self, shop_file: Path) -> None:
        """Open the draft, or begin one.

        Raises:
            DraftError: when another program has it, or it cannot be read or written.
        """
        self.path = answers_path(shop_file)
        self.answers: list[Reply] = []
        self.taken_back: dict[str, list[Reply]] = {}
        """Answers that were taken back, by the key of their question, the next one to come first.
        """
        self.wrote = ""
        """Seal of the shop file that was made of them; empty: none was."""
        with _told(self.path):
            make_folders(self.path.parent)
            self._handle = _only_here(self.path)
            try:
                self._read()
            except BaseException:
                os.close(self._handle)
                raise

    def _read(self) -> None:
        with os.fdopen(os.dup(self._handle), "rb") as file:
            data = file.read(LARGEST_DRAFT + 1)
        if len(data) > LARGEST_DRAFT:
            raise DraftError(f"{self.path} is not a file of answers: it is too large")
        good = 0
        for line in data.splitlines(keepends=True):
            if not line.endswith(b"\n") or not self._takes(line):
                break
            good += len(line)
        rest = data[good:]
        if b"\n" in rest:  # not only cut off: what cannot be read is kept beside it
            _keep(self.path, rest)
        self._size = good
        if not good:
            self.name = os.urandom(16).hex()
            self._append({"name": self.name})
            sync_folder(self.path.parent)

    def _takes(self, line: bytes) -> bool:
        """Take a line in; tell whether it could be read."""
        try:
            said = json.loads(line)
            if not hasattr(self, "name"):
                self.name = str(said["name"])
                return _NAME.fullmatch(self.name) is not None
            if "back" in said:
                self._take_back(again=bool(said.get("again", True)))
            elif "wrote" in said:
                self.wrote = str(said["wrote"])
            else:
                day = date.fromisoformat(said["day"])
                self._take(Reply(str(said["asked"]), str(said["answer"]), day))
        except (ValueError, KeyError, TypeError, IndexError, RecursionError):
            return False
        return True

    def _take(self, told: Reply) -> None:
        self.answers.append(told)
        if self.taken_back.get(told.key):
            self.taken_back[told.key].pop(0)

    def _take_back(self, *, again: bool) -> None:
        last = self.answers.pop()
        if again:
            self.taken_back.setdefault(last.key, []).insert(0, last)

    def uid_of(self, *what: str) -> str:
        """Give the name of a record that is made once of this draft, however often it is tried."""
        return sha256("\n".join((self.name, *what)).encode()).hexdigest()[:32]

    def answer(self, told: Reply) -> None:
        """Bring an answer to the disk.

        Raises:
            DraftError: when it is not there.
        """
        with _told(self.path):
            self._append(_said(told))
        self._take(told)

    def back(self, *, again: bool = True) -> None:
        """Take the newest answer back; there must be one.

        Args:
            again: it is to be offered when its question comes up again.

        Raises:
            DraftError: when that is not on the disk.
        """
        with _told(self.path):
            self._append({"back": 1} if again else {"back": 1, "again": False})
        self._take_back(again=again)

    def has_written(self, seal: str) -> None:
        """Note that the shop file was made of the answers.

        Raises:
            DraftError: when that is not on the disk.
        """
        with _told(self.path):
            self._append({"wrote": seal})
        self.wrote = seal

    def _append(self, said: Mapping[str, object]) -> None:
        if os.fstat(self._handle).st_nlink == 0:
            self._write_again()
        line = json.dumps(said, ensure_ascii=False).encode() + b"\n"
        os.ftruncate(self._handle, self._size)  # of a try that failed, or a line cut off
        os.lseek(self._handle, self._size, os.SEEK_SET)
        left = memoryview(line)
        while left:
            left = left[os.write(self._handle, left) :]
        os.fsync(self._handle)
        self._size += len(line)

    def _write_again(self) -> None:
        """Write all of it anew: somebody took the file away."""
        make_folders(self.path.parent)
        handle = _only_here(self.path)
        self.close()
        self._handle, self._size = handle, 0
        self._append({"name": self.name})
        for one in self.answers:
            self._append(_said(one))
        sync_folder(self.path.parent)

    def put_aside(self, shop_file: Path) -> None:
        """Give the draft another name: the shop file is there, and what was told is on record.

        Raises:
            DraftError: when that cannot be.
        """
        if os.name == "nt":  # no open file is given another name there
            self.close()
        with _told(self.path):
            self.path.replace(put_aside_path(shop_file))
            sync_folder(self.path.parent)
        self.close()

    def close(self) -> None:
        """Leave the draft for another time."""
        if self._handle >= 0:
            os.close(self._handle)
            self._handle = -1


def _said(told: Reply) -> dict[str, object]:
    return {"asked": told.key, "answer": told.answer, "day": told.day.isoformat()}


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, ValueError) as error:
        why = why_not_written(error) if isinstance(error, OSError) else str(error)
        raise DraftError(f"{path}: {why}") from None


def _only_here(path: Path) -> int:
    """Open the file for this program alone.

    Raises:
        DraftError: when another program has it.
    """
    flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)
    for _ in range(3):
        handle = os.open(path, flags, 0o600)
        try:
            _lock(handle)
            if os.path.samestat(os.fstat(handle), path.stat()):
                return handle
        except FileNotFoundError:
            pass  # put aside by the other one, just now
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)
    raise DraftError(f"{path} is being changed by another program")


_BEYOND = 1 << 30
"""Byte that is locked on Windows: no draft is so long, so all of it can still be read."""


def _lock(handle: int) -> None:
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(handle, _BEYOND, os.SEEK_SET)
            try:
                msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            finally:
                os.lseek(handle, 0, os.SEEK_SET)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):  # as POSIX says it, and as Windows does
        what = "this shop is being described by another run of this program"
        raise DraftError(f"{what}: go on there, or end that first") from None
    except OSError:  # a disk without locks
        return


def _keep(path: Path, data: bytes) -> None:
    kept = path.with_name(f"{path.name}-unread")
    kept.unlink(missing_ok=True)
    with new_file(kept) as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
