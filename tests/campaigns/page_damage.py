"""Pages zeroed, swapped, repeated, cut off; false free pages; files left beside the journal.

Held to the same as flipped bits: each command is right, or names the damage, in time.
"""

from __future__ import annotations

import contextlib
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path
from random import Random

from tests.campaigns.byte_damage import Judge, judged
from tests.campaigns.frame import Campaign, Try, chance

PAGE = 4096


def _pages(drawn: Random, raw: bytes) -> tuple[str, bytes]:
    """Damage whole pages, as a disk, a stick or a copy that broke off does; say how."""
    many = len(raw) // PAGE
    one, other = drawn.sample(range(many), 2)
    at = one * PAGE
    pages = [raw[n * PAGE : (n + 1) * PAGE] for n in range(many)]
    how = drawn.choice(["zeroed", "swapped", "repeated", "cut", "half", "noise", "blank end"])
    if how == "zeroed":
        pages[one] = bytes(PAGE)
    elif how == "swapped":
        pages[one], pages[other] = pages[other], pages[one]
    elif how == "repeated":
        pages[one] = pages[other]
    elif how == "noise":
        pages[one] = drawn.randbytes(PAGE)
    elif how == "half":
        cut = drawn.randrange(1, 8) * 512
        pages[one] = pages[one][:cut] + bytes(PAGE - cut)
    elif how == "cut":
        return f"{how} at page {one + 1}", raw[:at]
    else:
        return f"{how} from page {one + 1}", raw[:at] + bytes(len(raw) - at)
    return f"{how} page {one + 1}, {other + 1}", b"".join(pages)


def _header(drawn: Random, raw: bytes) -> tuple[str, bytes]:
    """Write a wrong number into the file's head: size, free pages, versions, counters."""
    at = drawn.choice([16, 18, 19, 20, 24, 28, 32, 36, 40, 44, 48, 52, 56, 60, 64, 68, 92, 96])
    number = drawn.choice([0, 1, 2, 3, 5, 9, 255, 65536, 2**31 - 1, 2**32 - 1])
    changed = raw[:at] + number.to_bytes(4, "big") + raw[at + 4 :]
    return f"number {number} at {at} of the head", changed


def _earlier(raw: bytes, folder: Path) -> bytes:
    """Give the rollback file of a further recording that was never finished."""
    path = folder / "later.sqlite3"
    path.write_bytes(raw)
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode=PERSIST")
        db.execute("PRAGMA cache_spill=1")
        db.execute("BEGIN")
        db.execute("PRAGMA user_version = 1")
        db.execute("CREATE TABLE further (x)")
        return path.with_name(f"{path.name}-journal").read_bytes()


def _beside(drawn: Random, raw: bytes, left: bytes) -> dict[str, bytes]:
    """Leave a file beside the journal: of another one, of an earlier state, or of no sense."""
    ending = drawn.choice(["journal", "wal", "shm"])
    other = bytearray(left)
    if other:
        other[drawn.randrange(len(other))] ^= 1 << drawn.randrange(8)
    held = drawn.choice([left, bytes(other), drawn.randbytes(5000), b"", raw[:9000], bytes(6000)])
    return {ending: held}


@contextlib.contextmanager
def pages(seed: int, weeks: int = 4) -> Iterator[Try]:
    """Damage pages, the head, or what lies beside a journal of so many weeks."""
    with judged(weeks) as (raw, judge), tempfile.TemporaryDirectory() as folder:
        left = _earlier(raw, Path(folder))

        def attempt(index: int) -> str:
            return _try(chance(seed, index), raw, left, judge)

        yield attempt


def _try(drawn: Random, raw: bytes, left: bytes, judge: Judge) -> str:
    which = drawn.randrange(4)
    beside: dict[str, bytes] = {}
    if which == 0:
        how, damaged = _header(drawn, raw)
    elif which == 1:
        beside = _beside(drawn, raw, left)
        how, damaged = f"beside it {[*beside]}", raw
    else:
        how, damaged = _pages(drawn, raw)
    free = which == 0 and damaged[32:40] != raw[32:40]
    what = judge(damaged, to_be_told=free or (which > 1 and damaged != raw), **beside)
    return f"{how}: {what}" if what else ""


CAMPAIGN = Campaign(pages, count=2_000, in_ci=15)
