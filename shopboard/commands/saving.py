"""Gives out a finished file: to stdout, or to a name, whole or not at all, never over another.

The shop file and the journal are never written over, asked or not.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import shutil
import stat
import sys
from collections.abc import Iterable
from pathlib import Path

from shopboard.base import exit_codes
from shopboard.base.locations import file_named
from shopboard.base.private import new_file
from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.shared import paths


def arguments(parser: argparse.ArgumentParser, name: str) -> None:
    """Declare where to write."""
    parser.add_argument("--to", metavar=name, help=f"write {name} rather than print")
    parser.add_argument("--replace", action="store_true", help=f"write over {name} if it is there")


def give(options: argparse.Namespace, pieces: Iterable[str]) -> int:
    """Print the pieces, or write them to the file that ``--to`` names; give the exit code.

    The name ``-`` is standard output, as everywhere.
    Both are UTF-8, whatever the terminal speaks: what is printed goes into a file or a program.

    Raises:
        UsageError: when it is there already and may not be replaced, or must never be.
    """
    if options.to not in (None, "-"):
        return _save(options, pieces)
    sys.stdout.flush()
    raw = getattr(sys.stdout, "buffer", None)
    for number, piece in enumerate(pieces):
        if raw is None:
            sys.stdout.write(piece)
        else:
            raw.write(piece.encode())
        if not number:
            sys.stdout.flush()  # what is long begins at once
    sys.stdout.flush()
    return exit_codes.ALL_RIGHT


def _save(options: argparse.Namespace, pieces: Iterable[str]) -> int:
    """Write a file; give the exit code.

    Raises:
        UsageError: when it is there already and may not be replaced, or must never be.
    """
    target = file_named(options.to, "--to names a file")
    try:
        _refuse_kept(target, paths(options))
        _write(target, pieces, replace=options.replace)
    except FileExistsError:
        raise UsageError(f"{target} is there already; --replace writes over it") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        say(f"shopboard: cannot write {target}: {why}; nothing was changed.")
        return exit_codes.CANNOT_WRITE
    say(f"Written: {target}")
    return exit_codes.ALL_RIGHT


def _refuse_kept(target: Path, kept: Iterable[JournalPlace]) -> None:
    """Refuse the shop file, the journal, what lies beside it, and what is no plain file."""
    for one in kept:
        if isinstance(one, ServerPlace):
            continue
        beside = [one, *(one.with_name(f"{one.name}{end}") for end in ("-journal", "-wal", "-shm"))]
        if any(_same(target, path) for path in beside):
            raise UsageError(f"{target} is the shop file or the journal; choose another name")
    if target.exists() and not stat.S_ISREG(target.stat().st_mode):
        raise UsageError(f"{target} is not an ordinary file; choose another name")


def _same(one: Path, other: Path) -> bool:
    if one.exists() and other.exists():
        return one.samefile(other)
    return one.resolve() == other.resolve()


def _write(target: Path, pieces: Iterable[str], *, replace: bool) -> None:
    """Write beside the target first, so that a power cut leaves the old file or the new one."""
    target = target.resolve()
    if not replace and target.exists():
        raise FileExistsError
    part = target.with_name(f".{target.name[:200]}.{os.getpid()}.part")
    try:
        with new_file(part) as file:
            if target.exists():
                part.chmod(stat.S_IMODE(target.stat().st_mode))  # it keeps its rights
            for piece in pieces:
                file.write(piece.encode())
            file.flush()
            os.fsync(file.fileno())
        if replace:
            part.replace(target)
        else:
            _put(part, target)
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


def _put(part: Path, target: Path) -> None:
    """Give the new file its name without ever taking that of another one."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:  # a stick without links: it is there in one go or it is made by name alone
        with part.open("rb") as whole, new_file(target) as file:
            shutil.copyfileobj(whole, file)
            file.flush()
            os.fsync(file.fileno())
