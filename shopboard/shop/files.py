"""Getting the text of a shop file off the disk, or one clear reason why not."""

from __future__ import annotations

import errno
import os
import re
import stat
from pathlib import Path

from shopboard.shop.problems import Problem, SourceText

LARGEST = 1_000_000
"""Bytes; a shop file of a thousand machines is smaller."""

Stamp = tuple[int, int]
"""Time of the last change (ns) and size (bytes)."""

_REASONS = {
    errno.ENOENT: "no such file",
    errno.ENOTDIR: "part of this path is a file, not a folder",
    errno.EISDIR: "this is a folder, not a file",
    errno.EACCES: "this account may not read it",
    errno.EPERM: "this account may not read it",
    errno.ELOOP: "this link leads round in a circle",
    errno.ENAMETOOLONG: "this name is too long for a file",
}


class UnreadableFileError(Exception):
    """The file gives no text; carries the one problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.what)
        self.problem = problem


def _refuse(what: str, allowed: str = "", hint: str = "") -> UnreadableFileError:
    return UnreadableFileError(Problem(1, 1, what, allowed, hint))


def stamp_of(path: Path) -> Stamp | None:
    """Give time and size of a file; None when it is not there or may not be looked at."""
    try:
        status = path.stat()
    except (OSError, ValueError):  # ValueError: a NUL in the name
        return None
    return status.st_mtime_ns, status.st_size


def read_bytes(path: Path, most: int = LARGEST) -> tuple[bytes, Stamp]:
    """Read a shop file, or another of at most so many bytes, whole, once.

    Raises:
        UnreadableError: when it is missing, no plain file, not to be read, or too large.
    """
    try:
        kind = path.stat().st_mode
        if not stat.S_ISREG(kind) and not stat.S_ISDIR(kind):
            raise _refuse("this is a device or a pipe, not a file")
        with path.open("rb") as file:
            status = os.fstat(file.fileno())
            if status.st_size > most:
                raise _refuse(
                    f"the file has {status.st_size:,} bytes",
                    f"at most {most:,} bytes are allowed",
                    "is it the right file?",
                )
            data = file.read(most + 1)
    except OSError as error:
        reason = _REASONS.get(error.errno or 0, error.strerror or "it cannot be read")
        refused = _refuse(reason)
        missing = error.errno == errno.ENOENT
        raise UnreadableFileError(refused.problem._replace(missing=missing)) from None
    except ValueError:  # a NUL in the name
        raise _refuse("this cannot be the name of a file") from None
    if len(data) > most:  # it grew, or lies about its size
        raise _refuse("the file is too large", f"at most {most:,} bytes are allowed")
    return data, (status.st_mtime_ns, status.st_size)


def decode(data: bytes) -> str:
    """Give the text of a shop file, with line feeds alone at the line ends.

    Raises:
        UnreadableError: when it is no UTF-8 text, at the line and column of the first bad byte.
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _refuse("the file is saved as UTF-16", "save it as UTF-8")
    data = data.removeprefix(b"\xef\xbb\xbf")
    if b"\0" in data or data.startswith((b"\x7fELF", b"\x89PNG", b"PK\x03\x04", b"%PDF")):
        raise _not_text(data)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _bad_byte(data, error.start) from None
    text = text.replace("\r\n", "\n")
    lone = text.find("\r")
    if lone >= 0:
        what = "a carriage return alone (U+000D)"
        allowed = "end lines with a line feed, as Linux and Windows editors do"
        raise UnreadableFileError(SourceText(text).problem(lone, lone + 1, what, allowed))
    return text


def _not_text(data: bytes) -> UnreadableFileError:
    """Refuse a file of bytes; one NUL in what is otherwise text gets its place."""
    nul = data.find(b"\0")
    what, allowed = "this is no text but a file of bytes", "a shop file is UTF-8 text"
    if nul < 0 or data.count(b"\0") > 8 or re.search(rb"[\x01-\x08\x0e-\x1f]", data[:nul]):
        return _refuse(what, allowed)
    before = data[:nul].decode("utf-8", "replace")
    text = before + data[nul:].decode("utf-8", "replace")
    return UnreadableFileError(
        SourceText(text.replace("\r\n", "\n")).problem(
            len(before.replace("\r\n", "\n")),
            len(before.replace("\r\n", "\n")) + 1,
            "a NUL character (U+0000)",
            "delete it",
        )
    )


def _bad_byte(data: bytes, at: int) -> UnreadableFileError:
    """Refuse a byte that is not UTF-8, at its line and column."""
    before = data[:at].decode("utf-8").replace("\r\n", "\n")
    text = before + data[at:].decode("utf-8", "replace").replace("\r\n", "\n")
    what = f"the byte 0x{data[at]:02X} is not UTF-8"
    latin = data[at : at + 1].decode("latin-1")
    hint = f'was it "{latin}" in an older encoding?' if latin.isalpha() else ""
    return UnreadableFileError(
        SourceText(text).problem(len(before), len(before) + 1, what, "save the file as UTF-8", hint)
    )
