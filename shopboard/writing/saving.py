"""A new text takes the place of a shop file: it is there whole, or the old one is.

It is written beside the file, waited for until it is on the disk, and given the file's name. Every
file before is kept beside it, under its name with the day and time of the change behind.
"""

from __future__ import annotations

import errno
import os
import shutil
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from itertools import count
from pathlib import Path

from shopboard.base.locations import is_something_at
from shopboard.base.private import make_folders, new_file
from shopboard.base.synced import sync_folder
from shopboard.shop.files import LARGEST, UnreadableFileError, read_bytes


class NotSavedError(Exception):
    """It was not saved, or perhaps not; says why in one sentence, and how the file stands."""


_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "this account has used up its share of the disk",
    errno.EROFS: "its disk is read-only",
    errno.EACCES: "this account may not write in its folder",
    errno.EPERM: "this account may not write in its folder",
    errno.EIO: "the disk does not take it",
    errno.ENAMETOOLONG: "its name is too long to have another file beside it",
}


def why_not_written(error: OSError) -> str:
    """Say in a few words why the system did not write a file."""
    return _REASONS.get(error.errno or 0, error.strerror or "it cannot be written")


_TRIES, _PAUSE = 60, 0.05
"""How often another run is waited for, and how long, seconds."""


def save(path: Path, old: bytes, new: bytes, when: datetime) -> Path:
    """Let new bytes take the place of a file; give where the ones before are kept.

    Args:
        path: of the file; a link stays one, and what it leads to is changed.
        old: what was read of it: where something else stands there now, it is left alone.
        new: what is to stand there.
        when: the time, which the name of the kept one tells.

    Raises:
        NotSavedError: when that cannot be; the file stands as it was, but where it says otherwise.
    """
    real = path.resolve()
    if len(new) > LARGEST:
        raise NotSavedError(f"{path} would have {len(new):,} bytes; at most {LARGEST:,} are read")
    try:
        status = real.stat()
        if not status.st_mode & 0o222 or not os.access(real, os.W_OK):
            raise NotSavedError(f"{path} is read-only; nothing was changed")
        with _alone(real.parent):
            _compare(path, real, old)
            return _replace(path, real, status, old, new, when)
    except OSError as error:
        why = why_not_written(error)
        raise NotSavedError(f"{path} cannot be changed: {why}; it is as it was") from None


def create(path: Path, new: bytes) -> None:
    """Let a file stand where none is, with the folders above it.

    Args:
        path: where it is to be.
        new: what is to stand there.

    Raises:
        NotSavedError: when that cannot be, or something is there already; that is left as it is.
    """
    if len(new) > LARGEST:
        raise NotSavedError(f"{path} would have {len(new):,} bytes; at most {LARGEST:,} are read")
    part = path.with_name(f".{path.name}.new")
    try:
        make_folders(path.parent)
        with _alone(path.parent):
            _refuse_another(path)
            try:
                _write(part, new)
                _name_it(part, path)
            finally:
                with suppress(OSError):
                    part.unlink(missing_ok=True)
    except (OSError, ValueError) as error:
        why = why_not_written(error) if isinstance(error, OSError) else "it cannot be written"
        raise NotSavedError(f"{path} cannot be made: {why}") from None
    try:
        sync_folder(path.parent)
    except OSError as error:
        what = f"{path} was made, but the disk did not confirm it"
        raise NotSavedError(f"{what} ({error.strerror}): look at it") from None


def _name_it(part: Path, path: Path) -> None:
    """Give a file its name, unless another one took that meanwhile."""
    try:
        os.link(part, path)
    except OSError:
        _refuse_another(path)
        part.replace(path)  # where no file has two names


def _refuse_another(path: Path) -> None:
    if is_something_at(path):
        raise NotSavedError(f"{path} is there already; it is as it was")


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Let no other run of this program change a file of the folder meanwhile."""
    if os.name != "posix":
        yield
        return
    import fcntl

    handle = os.open(folder, os.O_RDONLY)
    try:
        for _ in range(_TRIES):
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                time.sleep(_PAUSE)
            except OSError:  # a disk without locks: what stands there is compared all the same
                break
            else:
                break
        else:
            raise NotSavedError(f"{folder} is being changed by another run; nothing was changed")
        yield
    finally:
        os.close(handle)


def _compare(path: Path, real: Path, old: bytes) -> None:
    try:
        now, _ = read_bytes(real)
    except UnreadableFileError as error:
        raise NotSavedError(f"{path}: {error.problem.what}; nothing was changed") from None
    if now != old:
        what = f"{path} was changed by somebody else meanwhile; it is as they left it"
        raise NotSavedError(f"{what}. Look at it, and make the change again")


def _replace(
    path: Path, real: Path, status: os.stat_result, old: bytes, new: bytes, when: datetime
) -> Path:
    """Write beside the file, keep the one before, and give the new one its name."""
    part, aside = (real.with_name(f".{real.name}.{one}") for one in ("new", "old"))
    kept = _free_name(real, when)
    try:
        _write(part, new)
        _as_it_was(real, part, status)
        _keep(real, kept, old, aside)
        _compare(path, real, old)  # waiting for the disk takes its time
        part.replace(real)
    except BaseException:
        for one in (part, aside, kept):
            with suppress(OSError):
                one.unlink(missing_ok=True)
        raise
    try:
        sync_folder(real.parent)
    except OSError as error:
        what = f"{path} was changed, but the disk did not confirm it"
        raise NotSavedError(f"{what} ({error.strerror}): look at it") from None
    return kept


def _free_name(real: Path, when: datetime) -> Path:
    """Give a dated name that no file has."""
    name = f"{real.name}.before-{when.astimezone():%Y-%m-%d-%H%M%S}"
    tries = (real.with_name(f"{name}{f'-{number}' if number else ''}") for number in count())
    return next(one for one in tries if not os.path.lexists(one))


def _write(path: Path, data: bytes) -> None:
    """Write a file anew, whatever a run that was killed left there, and wait for the disk."""
    path.unlink(missing_ok=True)
    with new_file(path) as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _as_it_was(real: Path, part: Path, status: os.stat_result) -> None:
    """Give the new file the owner, the rights and the marks of the old one."""
    if os.name == "posix":
        mine = part.stat()
        if (mine.st_uid, mine.st_gid) != (status.st_uid, status.st_gid):
            try:
                os.chown(part, status.st_uid, status.st_gid)
            except PermissionError:
                what = f"{real} belongs to another account, and would belong to this one"
                raise NotSavedError(f"{what}; nothing was changed") from None
    if hasattr(os, "listxattr"):
        with suppress(OSError):
            for name in os.listxattr(real):
                os.setxattr(part, name, os.getxattr(real, name))
    part.chmod(stat.S_IMODE(status.st_mode))


def _keep(real: Path, kept: Path, old: bytes, aside: Path) -> None:
    """Give the old file a second name; where no file has two, a copy."""
    try:
        os.link(real, kept)
    except OSError:
        _write(aside, old)
        shutil.copystat(real, aside)
        aside.replace(kept)
