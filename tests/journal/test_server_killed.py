"""A server killed, restarted or full while benches record: nothing is lost, nothing is doubled.

What a signal to it means is PostgreSQL's documentation, 19.5: SIGQUIT is `pg_ctl -m immediate`.
"""

from __future__ import annotations

import signal
from pathlib import Path

from tests.journal.benches import benches, hold, wait_for
from tests.server import Server


def test_benches_go_on_by_themselves_after_a_kill_and_a_restart(
    server: Server, name: str, tmp_path: Path
) -> None:
    """The full number of entries, at moments by chance, is a campaign: `server_kills`."""
    with benches(server.url(name), 4, 60, tmp_path) as programs:
        wait_for(programs, 60)
        server.kill()
        server.start()
        wait_for(programs, 150)
        server.stop(signal.SIGQUIT)
        server.start()
        told = hold(server.place(name), programs, 60)
    assert told <= {"JournalCannotRead", "JournalCannotWrite"}, told
    assert told
