"""Several benches, each a program of its own, that record on a server whatever befalls it."""

from __future__ import annotations

import subprocess
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from shopboard.base.server_place import JournalPlace
from tests.journal.helpers import opened, writer_command

_APART = 1_000_000
"""How far the numbers of one bench's entries are from the next one's."""


class Bench:
    """A program that records so many entries, each again until it is told as recorded."""

    def __init__(self, url: str, which: int, count: int, folder: Path) -> None:
        """Start it; what it says goes into a file of its own."""
        self.meant = [f"u{which * _APART + number}" for number in range(count)]
        self._said = folder / f"bench-{which}"
        command = writer_command(url, which * _APART, count, "--on", "--wait", "5")
        with self._said.open("wb") as said:
            self._program = subprocess.Popen(command, stdout=said, stderr=said)

    def lines(self) -> list[str]:
        """Give what it has said by now, line by line."""
        return self._said.read_text().splitlines()

    def ended(self, seconds: float) -> bool:
        """Wait until it is done; tell whether all went well."""
        return self._program.wait(seconds) == 0

    def close(self) -> None:
        """End it, if it still runs."""
        self._program.kill()
        self._program.wait()


@contextmanager
def benches(url: str, number: int, count: int, folder: Path) -> Iterator[list[Bench]]:
    """Let so many benches record so many entries each."""
    started: list[Bench] = []
    try:
        started.extend(Bench(url, which, count, folder) for which in range(number))
        yield started
    finally:
        for one in started:
            one.close()


def wait_for(programs: Sequence[Bench], recorded: int) -> None:
    """Wait until they have recorded so many together, by what they say."""
    end = time.monotonic() + 600.0
    while sum(line.startswith("u") for one in programs for line in one.lines()) < recorded:
        assert time.monotonic() < end, [one.lines()[-1:] for one in programs]
        time.sleep(0.02)


def hold(place: JournalPlace, programs: Sequence[Bench], seconds: float) -> set[str]:
    """Wait for all to be done: each entry is there once, in its bench's order, the chain whole.

    Returns:
        The names of the errors that they were told meanwhile.
    """
    told: set[str] = set()
    for one in programs:
        assert one.ended(seconds), one.lines()[-20:]
        lines = one.lines()
        assert [line for line in lines if not line.startswith("!")] == one.meant
        told |= {line.split()[1] for line in lines if line.startswith("!")}
    with closing(opened(place)) as journal:
        assert journal.verify() is None
        there = [one.uid for one in journal.thread("visit")]
        last = journal.last_seq()
    assert last == len(there) == len(set(there)), "an entry is there twice, or one too many"
    for one in programs:
        mine = set(one.meant)
        assert [uid for uid in there if uid in mine] == one.meant, "one is lost, or out of turn"
    return told
