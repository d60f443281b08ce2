"""A server is killed, restarted or robbed of a session while four benches record 2,000 each."""

from __future__ import annotations

import os
import signal
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from random import Random

from tests.campaigns.frame import Campaign, Try, chance
from tests.journal.benches import benches, hold, wait_for
from tests.server import Server, the_server

_BENCHES, _ENTRIES, _BLOWS = 4, 2_000, 6


def kill(server: Server, _: Random) -> None:
    """Kill all of it at once, as when its computer goes; start it again."""
    server.kill()
    server.start()


def restart(server: Server, draw: Random) -> None:
    """Have it restarted without waiting for anyone, or for what it was at (-m fast, immediate)."""
    server.stop(draw.choice((signal.SIGINT, signal.SIGQUIT)))
    time.sleep(draw.random())
    server.start()


def kill_session(server: Server, draw: Random) -> None:
    """Kill what serves one bench: the server throws all others out, too, and recovers."""
    serving = server.sql(
        "SELECT pid FROM pg_stat_activity WHERE application_name = 'shopboard'", "postgres"
    )
    if serving:
        with suppress(ProcessLookupError):
            os.kill(draw.choice(serving)[0], signal.SIGKILL)


BLOWS: tuple[Callable[[Server, Random], None], ...] = (kill, restart, kill_session)


@contextmanager
def blows(seed: int) -> Iterator[Try]:
    """Deal so many blows by chance at moments by chance; hold what is there in the end."""
    server = the_server()

    def attempt(index: int) -> None:
        draw = chance(seed, index)
        name = server.new_database()
        try:
            with (
                tempfile.TemporaryDirectory() as folder,
                benches(server.url(name), _BENCHES, _ENTRIES, Path(folder)) as programs,
            ):
                for moment in sorted(draw.sample(range(_BENCHES * _ENTRIES - 100), _BLOWS)):
                    wait_for(programs, moment)
                    time.sleep(draw.random() * 0.05)
                    draw.choice(BLOWS)(server, draw)
                hold(server.place(name), programs, 1_800)
        finally:
            server.start_if_stopped()
            server.drop(name)

    yield attempt


CAMPAIGN = Campaign(blows, count=20, in_ci=0)
