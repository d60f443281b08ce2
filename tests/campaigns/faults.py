"""Each call of each act of the journal fails, once or for good: nothing lost or said wrongly."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.campaigns.frame import Campaign, Try
from tests.journal.calls import failed_at
from tests.journal.helpers import need
from tests.journal.strikes import strikes

ERRORS = {
    **dict.fromkeys(("pwrite64", "write", "ftruncate", "mkdir"), ("EIO", "ENOSPC")),
    **dict.fromkeys(("fsync", "fdatasync"), ("EIO", "ENOSPC")),
    **dict.fromkeys(("rename", "unlink", "chmod"), ("EIO", "EACCES")),
    "link": ("EIO", "EPERM"),  # a stick's file system knows no links
    "openat": ("EIO", "EMFILE", "EACCES"),
    "pread64": ("EIO",),
    "fcntl": ("EIO", "ENOLCK"),
}
"""How calls fail (errno(3))."""

FOR_GOOD = ("pwrite64", "write", "ftruncate", "fsync", "fdatasync", "link", "rename")
"""Those that fail from then on, too: a disk that is full, or has died, to all that is written."""

TRIED_AGAIN = ("record", "begin")
"""What is tried once more after a failure, and must go well then."""


@contextmanager
def faults(seed: int) -> Iterator[Try]:
    """Let a call fail at each try; the seed shuffles all of them, for once and for good."""
    need("strace")
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        order = [
            (strike, f"error={error}:when={strike.call.number}{for_good}")
            for strike in strikes(place)
            for error in ERRORS.get(strike.call.name, ())
            for for_good in (("", "+") if strike.call.name in FOR_GOOD else ("",))
        ]
        random.Random(seed).shuffle(order)

        def attempt(index: int) -> None:
            strike, fault = order[index % len(order)]
            with tempfile.TemporaryDirectory(dir=place) as own:
                folder = Path(own) / "shop"
                strike.set_up(folder)
                outcome = failed_at(strike.command(folder), folder, strike.call.name, fault)
                done = strike.hold(folder, outcome, fault)
                if strike.name in TRIED_AGAIN and not fault.endswith("+"):
                    assert done, f"{strike}, {fault}: not recorded when tried again: {outcome}"

        yield attempt


CAMPAIGN = Campaign(faults, count=6_000, in_ci=20)
