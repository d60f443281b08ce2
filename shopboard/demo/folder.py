"""The folder of the demo: made beside, put in its place whole, and made anew when it is stale."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable
from contextlib import closing, suppress
from datetime import datetime, timedelta
from pathlib import Path

from shopboard import __version__
from shopboard.base.dates import told_time
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.locations import sample_path
from shopboard.base.private import make_folders
from shopboard.base.synced import sync_folder
from shopboard.base.text import counted
from shopboard.demo.made import HEAD, JOURNAL_FILE, SHOP_FILE, make
from shopboard.journal import JournalError, kinds, open_journal
from shopboard.journal.kinds import MadeUp

GOOD_FOR = timedelta(days=3)
"""After that most of what it shows would have become due, and its project begun."""

USUAL_SEED = 1
"""Of some, the one whose two years show most; chosen anew when the sample changes."""

_HALF_FOR = timedelta(hours=1)
"""What was being made so long ago was cut short: nobody works at it any more."""

_OURS = (SHOP_FILE, Path(SHOP_FILE).stem, Path(JOURNAL_FILE).stem)
"""How the names begin of what the program puts there: copies and files before a change, too."""


class FolderError(Exception):
    """The demo cannot be put there; says why in one sentence, and what to do."""


class DemoFiles(NamedTuple):
    """Where the demo is."""

    shop: Path
    journal: Path


def demo_in(
    folder: Path,
    now: datetime,
    said: Callable[[str], object],
    *,
    seed: int | None = None,
    fresh: bool = False,
) -> DemoFiles:
    """Give the demo of a folder; make it where there is none, or none that is good any more.

    Args:
        folder: where it is to be.
        now: the time.
        said: is told in a line what is made and why.
        seed: what its records follow from; None: any that are there, else the usual ones.
        fresh: make it anew, whatever is there.

    Raises:
        FolderError: when the folder holds something else.
        OSError: when it cannot be written.
        JournalError: when its journal cannot be.
    """
    files = DemoFiles(folder / SHOP_FILE, folder / JOURNAL_FILE)
    there = _made(files, now)
    _refuse_others(folder, files, there)
    why = _why_anew(there if files.shop.is_file() else None, now, seed, fresh=fresh)
    if why:
        said(f"{why} it takes a few seconds ...")
        _put_in_place(folder, USUAL_SEED if seed is None else seed, now)
    return files


def _made(files: DemoFiles, now: datetime) -> MadeUp | None:
    """Give what the demo that is there says of itself; None where there is none."""
    with suppress(JournalError):
        found = open_journal(files.journal, lambda: now, create=False, read_only=True)
        with closing(found) as journal:
            first = journal.recent(kinds.MADE_UP.name, "", "", 1)
            return kinds.MADE_UP.read(first[0]) if first else None
    return None


def _why_anew(there: MadeUp | None, now: datetime, seed: int | None, *, fresh: bool) -> str:
    """Say why it is made; empty where that which is there will do."""
    two_years = "The demo, two years of made-up records, is made"
    if there is None or fresh or seed not in (None, there.seed):
        return f"{two_years};"
    if there.program != __version__:
        return f"{two_years} anew, by this version of the program;"
    on = told_time(there.on)
    if on is None or not timedelta(0) <= now - on <= GOOD_FOR:
        days = counted((now - on).days, "day") if on is not None and on < now else ""
        age = f"was {days} old" if days else "was of another day"
        return f"The demo {age}, and is made again, up to today;"
    return ""


def _refuse_others(folder: Path, files: DemoFiles, there: MadeUp | None) -> None:
    """Refuse a folder that holds anything but a demo.

    Raises:
        FolderError: with what it holds.
    """
    if not os.path.lexists(folder):
        return
    if not folder.is_dir() or folder.is_symlink():
        raise FolderError(f"{folder} is not a folder of its own: name another one with --to")
    ours = there is not None or _is_ours(files.shop)
    names = sorted(one.name for one in folder.iterdir())
    other = [one for one in names if not (ours and one.startswith(_OURS))]
    if other:
        raise FolderError(
            f"{folder} holds {other[0]}, which is not of the demo: take it out of there,"
            " or name another folder with --to"
        )


def _is_ours(shop_file: Path) -> bool:
    """Tell whether a shop file says of itself that it is the demo's."""
    with suppress(OSError), shop_file.open(encoding="utf-8", errors="replace") as file:
        return file.readline().strip() == HEAD.strip()
    return False


def _put_in_place(folder: Path, seed: int, now: datetime) -> None:
    """Make it beside the folder; only what is finished takes its name."""
    make_folders(folder.parent)
    prefix = f".{folder.name}-being-made-"
    for half in folder.parent.glob(f"{prefix}*"):
        if now.timestamp() - half.stat().st_mtime > _HALF_FOR.total_seconds():
            shutil.rmtree(half, ignore_errors=True)
    beside = Path(tempfile.mkdtemp(prefix=prefix, dir=folder.parent))
    new, old = beside / "new", beside / "old"
    try:
        new.mkdir(mode=0o700)
        make(sample_path().read_text(encoding="utf-8"), new, seed, now)
        if folder.exists():
            folder.rename(old)
        try:
            new.rename(folder)
        except OSError:
            if old.exists():
                old.rename(folder)
            raise
        sync_folder(folder.parent)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
