"""How long the commands take in a large shop, and how much memory: by hand, no test.

Run with ``python -m tests.bench.large [--machines 500] [--entries 1000000] [--keep FOLDER]``. Each
command runs in a process of its own; told are seconds by the clock and of the processor, the
memory that it took at the most, and the time to its first line.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from contextlib import nullcontext
from pathlib import Path

from tests.bench.filling import fill_journal, write_shop

COMMANDS: tuple[tuple[tuple[str, ...], float | None], ...] = (
    (("verify",), 5.0),
    (("prep",), 2.0),
    (("prep", "--for", "45 min"), 3.0),
    (("prep", "--for", "2 days"), 3.0),
    (("export", "all", "--csv"), None),
    (("history", "m1.table"), None),
    (("changes", "365"), None),
    (("sheet", "m1"), None),
    (("status",), None),
)
"""Each command, and the seconds that it may take."""


def measure(command: list[str]) -> str:
    """Run a command; give its row of the table, without its name."""
    begin, first = time.perf_counter(), None
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as process:
        assert process.stdout is not None
        while os.read(process.stdout.fileno(), 1 << 16):
            first = first or time.perf_counter() - begin
        _, _, used = os.wait4(process.pid, 0)
        process.returncode = 0
    took = time.perf_counter() - begin
    told = f"{first:8.2f}" if first is not None else "       -"
    processor = used.ru_utime + used.ru_stime
    return f"{told} {took:8.2f} {processor:8.2f} {used.ru_maxrss / 1024:8.0f}"


def main() -> None:
    """Make the shop and the journal, run each command, print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--machines", type=int, default=500)
    parser.add_argument("--entries", type=int, default=1_000_000)
    parser.add_argument("--keep", type=Path, help="folder where both are made once and kept")
    given = parser.parse_args()
    with nullcontext(given.keep) if given.keep else tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / f"{given.machines}.toml"
        journal = Path(folder) / f"{given.machines}-{given.entries}.db"
        if not shop.exists():
            write_shop(shop, given.machines)
        if not journal.exists():
            sys.stderr.write(f"making a journal of {given.entries:,} entries\n")
            fill_journal(journal, given.machines, given.entries)
        files = ["--shop", str(shop), "--journal", str(journal)]
        sys.stdout.write(f"{'':20} {'first':>8} {'s':>8} {'of CPU':>8} {'MB':>8}\n")
        for words, target in COMMANDS:
            row = measure([sys.executable, "-m", "shopboard", *files, *words])
            told = f"   target {target:g} s" if target is not None else ""
            sys.stdout.write(f"{' '.join(words):20} {row}{told}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
