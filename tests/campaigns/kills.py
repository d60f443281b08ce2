"""Kill -9: one to four writers at any moment, and every act of the journal at any of its calls."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from tests.campaigns.frame import Campaign, Try, chance
from tests.journal.calls import CHANGES, killed_at
from tests.journal.helpers import filled, need, uids
from tests.journal.strikes import strikes
from tests.journal.writers import wait_for, writers


def kill_writers(path: Path, draw: Random) -> None:
    """Let programs record into one journal, kill them one after the other, and that twice over.

    The second time they find what the first left half done, and are killed over that.
    """
    if draw.random() < 0.5:
        filled(path, 20)
    said: set[str] = set()
    killed = 0
    for first in (0, 10_000_000):
        number = draw.choice((1, 2, 4, 4))
        with writers(path, number, first) as programs:
            lines = draw.randint(0, 20)
            wait_for(programs, lines)
            time.sleep(0.0 if lines else draw.random() * 0.3)
            for one in draw.sample(programs, number):
                time.sleep(draw.random() * 0.01)
                one.kill()
                said |= one.said()
        killed += number
        there = [uid for uid in uids(path) if uid.startswith("u")]
        assert len(there) == len(set(there)), "an entry is there twice"
        assert said <= set(there), f"said and not there: {said - set(there)}"
        # At most the one entry that was on its way is there without having been said.
        assert len(there) - len(said) <= killed, f"never said: {set(there) - said}"
    filled(path, 1)


@contextmanager
def kills(seed: int) -> Iterator[Try]:
    """Kill writers at a moment by chance in every other try, else an act at a call."""
    need("strace")
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        at = [one for one in strikes(place) if one.call.name in CHANGES]

        def attempt(index: int) -> None:
            draw = chance(seed, index)
            with tempfile.TemporaryDirectory(dir=place) as own:
                folder = Path(own) / "shop"
                if index % 2:
                    folder.mkdir()
                    kill_writers(folder / "journal", draw)
                    return
                strike = draw.choice(at)
                strike.set_up(folder)
                outcome = killed_at(strike.command(folder), folder, strike.call)
                assert outcome.code < 0, f"{strike}: {outcome}"
                strike.hold(folder, outcome, "killed")

        yield attempt


CAMPAIGN = Campaign(kills, count=2_000, in_ci=8)
