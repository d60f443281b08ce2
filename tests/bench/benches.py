"""A journal on a server against one in a file, with 20 benches that record, and how it grows.

Run with ``python -m tests.bench.benches [--entries 100000] [--benches 20] [--grow 1000000 ...]``.
First, with 50 machines: an append, the first frame and the keys of the board, alone and while that
many benches record an answer each second. Then, with 500 machines, what each question costs as the
journal grows (`--grow`; none by default: it takes gigabytes in the folder for temporary files):
pages of the server's that it looks at, which no other program changes, and the least of some times.
"""

from __future__ import annotations

import argparse
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.journal import KeptJournal, NewEntry, new_uid, open_journal
from shopboard.journal.on_server.connection import ServerDb
from shopboard.open_shop import OpenShop
from tests.bench.filling import fill_journal, write_shop
from tests.bench.filling_server import Filling
from tests.bench.measure import SIZES, Case, run_case, start_once
from tests.server import Server, owned
from tests.terminal import BOARD

_MACHINES, _LARGE = 50, 500
_APPENDS, _TIMES = 100, 5

_RECORD = """
import sys, time
from tests.bench.benches import opened, one
from shopboard.base.locations import journal_path
benches = [opened(journal_path(sys.argv[1])) for _ in range(int(sys.argv[2]))]
print("ready", flush=True)
while True:
    for bench in benches:
        begun = time.monotonic()
        bench.change_mark()
        bench.append([one()])
        time.sleep(max(0.0, begun + 1 / len(benches) - time.monotonic()))
"""
"""Benches that record in turn, each a connection of its own, each once a second."""


def one() -> NewEntry:
    """Give an answer, as each step of a check records one."""
    return NewEntry(new_uid(), "answer", "m1", "table", {"v": 1, "text": "0.003 in"}, "visit-1")


def opened(place: JournalPlace) -> KeptJournal:
    """Open a journal by the computer's clock, with all the time that it wants."""
    return open_journal(place, lambda: datetime.now(UTC), read_seconds=600.0)


@contextmanager
def recording(place: str, benches: int) -> Iterator[None]:
    """Let so many benches record meanwhile."""
    if not benches:
        yield
        return
    words = (sys.executable, "-c", _RECORD, place, str(benches))
    with subprocess.Popen(words, stdout=subprocess.PIPE, env=dict(os.environ)) as program:
        assert program.stdout is not None
        program.stdout.readline()
        try:
            yield
        finally:
            program.kill()


def append_times(place: JournalPlace) -> list[float]:
    """Give the ms of some appends, one after the other."""
    times = []
    with closing(opened(place)) as journal:
        for _ in range(_APPENDS):
            begun = time.perf_counter()
            journal.append([one()])
            times.append((time.perf_counter() - begun) * 1000)
    return times


def side_by_side(folder: Path, server: Server, entries: int, benches: int) -> None:
    """Measure both stores, alone and with benches that record; print the table."""
    shop, file = folder / "shop.toml", folder / "journal"
    write_shop(shop, _MACHINES)
    fill_journal(file, _MACHINES, entries)
    name = server.new_database()
    Filling(server.url(name), _MACHINES, entries).fill_to(entries)
    places: dict[str, JournalPlace] = {"file": file, "server": server.place(name)}
    rows: dict[str, dict[str, list[float]]] = {}
    for what, place in places.items():
        said = place.url if isinstance(place, ServerPlace) else str(place)
        for beside in (0, benches):
            case = Case(what, (*BOARD, "--shop", str(shop), "--journal", said), SIZES[0], _MACHINES)
            start_once(case, folder)
            with recording(said, beside):
                rows[f"{what}, {beside} record"] = {"append": append_times(place), **case.keys}
                for _ in range(_TIMES):
                    run_case(case, folder, 0)
                run_case(case, folder, 5)
            rows[f"{what}, {beside} record"] |= {"first frame": case.frames, **case.keys}
    sys.stdout.write(f"{entries:,} entries, {_MACHINES} machines; ms, median and 90 % within\n")
    sys.stdout.write(f"{'':18}" + "".join(f"{row:>22}" for row in rows) + "\n")
    for what in dict.fromkeys(what for row in rows.values() for what in row):
        told = "".join(_two(row.get(what, [])) for row in rows.values())
        sys.stdout.write(f"{what:18}{told}\n")
    sys.stdout.flush()


def _two(times: Sequence[float]) -> str:
    if not times:
        return f"{'-':>22}"
    slow = sorted(times)[round(0.9 * (len(times) - 1))]
    return f"{statistics.median(times):12.1f} {slow:9.1f}"


def questions(journal: KeptJournal) -> dict[str, Callable[[], object]]:
    """Give what is asked of a journal, each by a name."""
    last, then = journal.last_seq(), datetime.now(UTC) - timedelta(days=100)
    past = journal.as_of(last // 2)
    return {
        "latest check": lambda: journal.latest("check"),
        "latest task": lambda: journal.latest("task"),
        "open checks": journal.open_checks,
        "recent of a point": lambda: journal.recent("check", "m1", "table"),
        "newest of a machine": lambda: journal.machine_entries("answer", "m1", 1),
        "newest when": journal.newest_when,
        "a day's number": lambda: journal.seq_at(then),
        "latest by then": lambda: past.latest("check"),
        "open by then": past.open_checks,
        "verify 2,000": lambda: journal.verify(2000),
        "append": lambda: journal.append([one()]),
    }


def pages_of(ask: Callable[[], object]) -> int:
    """Give how many pages the server looks at for a question."""
    seen: list[int] = []
    real = ServerDb.do

    def do(self: ServerDb, statement: str, values: Any = None) -> Any:
        if statement.strip()[:4] in ("SELE", "WITH"):
            plan = real(self, f"EXPLAIN (ANALYZE, BUFFERS) {statement}", values).fetchall()
            first = next((line for (line,) in plan if "Buffers:" in line), "")
            seen.append(sum(map(int, re.findall(r"(?:hit|read)=(\d+)", first))))
        return real(self, statement, values)

    ServerDb.do = do  # type: ignore[method-assign]
    try:
        ask()
    finally:
        ServerDb.do = real  # type: ignore[method-assign]
    return sum(seen)


def asked(place: ServerPlace, shop: Path) -> dict[str, str]:
    """Measure each question, and all that a board works out when it opens."""
    found = {}
    with closing(opened(place)) as journal:
        for what, ask in questions(journal).items():
            took = [_ms(ask) for _ in range(_TIMES)]
            pages = f"{pages_of(ask):,}" if what != "append" else ""
            found[what] = f"{min(took):10.1f} {pages:>11}"
    with closing(OpenShop(shop, place)) as board:
        found["all of the status"] = f"{min(_ms(board.refresh) for _ in range(_TIMES)):10.1f}"
    return found


def _ms(ask: Callable[[], object]) -> float:
    begun = time.perf_counter()
    ask()
    return (time.perf_counter() - begun) * 1000


def growing(folder: Path, server: Server, sizes: Sequence[int]) -> None:
    """Measure as the journal grows; print the table."""
    shop, name = folder / "large.toml", server.new_database()
    write_shop(shop, _LARGE)
    filling = Filling(server.url(name), _LARGE, max(sizes))
    columns: list[dict[str, str]] = []
    for size in sizes:
        sys.stderr.write(f"filling to {size:,}\n")
        filling.fill_to(size)
        columns.append(asked(server.place(name), shop))
    sys.stdout.write(f"\n{_LARGE} machines; least ms, and pages looked at\n")
    sys.stdout.write(f"{'':20}" + "".join(f"{size:>22,}" for size in sizes) + "\n")
    for what in columns[0]:
        told = "".join(f"{column[what]:22}" for column in columns)
        sys.stdout.write(f"{what:20}{told}\n")


def main() -> None:
    """Read the options, measure, print. The exit code is 0: this is no test."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.benches", description=__doc__)
    parser.add_argument("--entries", type=int, default=100_000)
    parser.add_argument("--benches", type=int, default=20)
    parser.add_argument("--grow", type=int, nargs="+", default=(), metavar="ENTRIES")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o711)  # the server's user comes to what is his
        os.environ["HOME"] = name
        server = Server(owned(folder / "server"))
        server.stop()
        server.start("max_wal_size=4GB", "shared_buffers=512MB")
        try:
            if options.entries:
                side_by_side(folder, server, options.entries, options.benches)
            if options.grow:
                growing(folder, server, options.grow)
        finally:
            server.stop()


if __name__ == "__main__":
    main()
