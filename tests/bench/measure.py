"""Measures the board in a pseudo-terminal and prints what it took against its targets.

First frame: from the start of the process to the last byte of the first whole
picture. Key: from the key's byte to the last byte of the picture that it
changes. The board takes turns with an application that has nothing on it, so
that both meet the same load of the machine; what counts are the ratios.
"""

from __future__ import annotations

import argparse
import os
import random
import statistics
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tests.bench.filling import fill_journal, write_shop
from tests.terminal import BOARD, Terminal

SIZES = ((80, 24), (160, 48))
MACHINES = (5, 50)
FRAME_RATIO = {5: 1.1, 50: 1.1}
"""The most, by machines, against an empty application."""
FRAME_RATIO_LARGE = 1.25
KEY_MS = 50.0
KEY_MS_LARGE = 100.0
"""With more than 50 machines."""
FULL_RATIO = 1.1
_EMPTY = (sys.executable, "-m", "tests.bench.empty")
_QUIET = 0.12
"""Seconds without a byte after which a picture counts as finished."""

_READ = 0.2
"""Seconds in which a step is read: a key that comes within 0.15 of it answers nothing."""

_PAUSE = 0.01
"""Seconds without a byte that part a picture from the next one."""

_WORKS = 0.4
"""Seconds without a byte after which nothing is worked out any more."""

STEPWISE = {"prep day": "its plan"}
"""Keys after which a picture says that something is worked out, and what that is."""

KEYS: tuple[tuple[bytes, dict[str, bytes]], ...] = (
    (b"", {"cursor on": b"\x1b[C", "cursor back": b"\x1b[D"}),
    (b"", {"open a machine": b"1", "leave it": b"-"}),
    (b"", {"prep day": b"n", "leave prep": b"-"}),
    (b"", {"tasks": b"t", "leave tasks": b"-"}),
    (b"1", {"open a point": b"1", "leave the point": b"-"}),
    (b"1", {"begin a check": b"1", "leave the check": b"-"}),
    (b"1", {"answer": b"1", "back": b"-"}),
)
"""What is measured: the keys that lead on from the one before, and keys pressed in turn.

An answer is on the disk before the next question is asked.
"""


@dataclass
class Case:
    """One program in one size, and what was measured of it."""

    name: str
    command: tuple[str, ...]
    size: tuple[int, int]
    machines: int = 0
    frames: list[float] = field(default_factory=list)
    """ms to the first frame, a run each."""
    keys: dict[str, list[float]] = field(default_factory=dict)
    """ms from key to repaint, by what the keys do."""


def first_frame(case: Case, terminal: Terminal) -> float:
    """Wait for the first whole picture; give its ms from the start."""
    last_row = b"\x1b[%d;1H" % case.size[1]

    def whole(output: bytes) -> bool:
        # The cursor goes home when the last row is drawn.
        return b"\x1b[1;1H" in output.partition(last_row)[2]

    return (terminal.until(whole) - terminal.started) * 1000


def key_time(terminal: Terminal, key: bytes) -> float | None:
    """Press a key; give the ms to the last byte that follows, or None when nothing does."""
    return _since(terminal.send(key), terminal.settle(_QUIET))


def _since(sent: float, last: float) -> float | None:
    return (last - sent) * 1000 if last > sent else None


def stepwise_time(terminal: Terminal, key: bytes) -> tuple[float | None, float | None]:
    """Press a key whose picture is worked out; give the ms to the first and to the whole of it."""
    sent = terminal.send(key)
    terminal.read(_QUIET)
    first = terminal.settle(_PAUSE)
    return _since(sent, first), _since(sent, terminal.settle(_WORKS))


def start_once(case: Case, home: Path) -> None:
    """Start the program from a cold disk, and leave it as a person does."""
    with Terminal(case.command, case.size, {"HOME": str(home)}) as terminal:
        first_frame(case, terminal)
        if case.command != _EMPTY:
            terminal.settle(2.5, 4.0)
            terminal.send(b"q")
            terminal.wait()


def run_case(case: Case, home: Path, presses: int) -> None:
    """Start the program once: its first frame, then so many presses of each kind."""
    with Terminal(case.command, case.size, {"HOME": str(home)}) as terminal:
        case.frames.append(first_frame(case, terminal))
        if not presses or case.command == _EMPTY:
            return
        terminal.settle(0.4)
        for way, keys in KEYS:
            for byte in way:
                key_time(terminal, bytes([byte]))
                terminal.settle(0.4)  # a key that comes before a step can be read answers nothing
            for what, key in [*keys.items()] * presses:
                terminal.settle(_READ)
                if what in STEPWISE:
                    first, whole = stepwise_time(terminal, key)
                    _note(case, what, first)
                    _note(case, STEPWISE[what], whole)
                else:
                    _note(case, what, key_time(terminal, key))


def _note(case: Case, what: str, taken: float | None) -> None:
    if taken is not None:
        case.keys.setdefault(what, []).append(taken)


def cases(
    folder: Path, sizes: Sequence[tuple[int, int]], all_machines: Sequence[int], entries: int
) -> list[Case]:
    """Write the shops and journals; give every case, the empty application first."""
    made = [Case("empty application", _EMPTY, size) for size in sizes]
    for machines in all_machines:
        shop = folder / f"shop-{machines}.toml"
        write_shop(shop, machines)
        for count in (0, entries):
            journal = folder / f"journal-{machines}-{count}"
            fill_journal(journal, machines, count)
            name = f"{machines} machines, {count:,} entries"
            command = (*BOARD, "--shop", str(shop), "--journal", str(journal))
            made += [Case(name, command, size, machines) for size in sizes]
    return made


def measure(all_cases: Sequence[Case], home: Path, rounds: int, presses: int) -> None:
    """Run every case in every round, in an order drawn anew each time."""
    order = list(all_cases)
    for case in order:
        start_once(case, home)
    for number in range(rounds):
        random.shuffle(order)
        for case in order:
            run_case(case, home, presses if number in (0, rounds - 1) else 0)
        sys.stderr.write(f"\rround {number + 1} of {rounds} ")
        sys.stderr.flush()
    sys.stderr.write("\n")


def report(all_cases: Sequence[Case], entries: int, write: Callable[[str], object]) -> None:
    """Print a table per size."""
    for size in dict.fromkeys(case.size for case in all_cases):
        here = [case for case in all_cases if case.size == size]
        write(f"\n{size[0]}x{size[1]}: first frame, ms ({len(here[0].frames)} runs each)\n")
        empty = here[0]
        for case in here:
            write(_frame_row(case, empty))
        write(f"\n{size[0]}x{size[1]}: key to repaint, ms\n")
        for case in here[1:]:
            for what, times in case.keys.items():
                write(_key_row(case, what, times))
        write(f"\n{size[0]}x{size[1]}: {entries:,} entries against none\n")
        for bare, full in zip(here[1::2], here[2::2], strict=True):
            write(_full_rows(bare, full))


def _frame_row(case: Case, empty: Case) -> str:
    low, middle = min(case.frames), statistics.median(case.frames)
    row = f"  {case.name:<34} least {low:6.1f}  median {middle:6.1f}"
    if case is empty:
        return f"{row}\n"
    ratio = middle / statistics.median(empty.frames)
    least = low / min(empty.frames)
    most = FRAME_RATIO.get(case.machines, FRAME_RATIO_LARGE)
    return f"{row}  ratio {least:.2f} {ratio:.2f}{_judged(ratio, most)}\n"


def _key_row(case: Case, what: str, times: Sequence[float]) -> str:
    middle = statistics.median(times)
    slow = sorted(times)[round(0.9 * (len(times) - 1))]
    row = f"  {case.name:<34} {what:<17} median {middle:5.1f}  90 % within {slow:5.1f}"
    if what in STEPWISE.values():
        return f"{row}  (keys are answered meanwhile)\n"
    return f"{row}{_judged(slow, KEY_MS if case.machines <= 50 else KEY_MS_LARGE)}\n"


def _full_rows(bare: Case, full: Case) -> str:
    pairs = {"first frame": (bare.frames, full.frames)}
    both = [what for what in bare.keys if what in full.keys and what not in STEPWISE.values()]
    pairs |= {what: (bare.keys[what], full.keys[what]) for what in both}
    pairs["all keys"] = (_middles(bare), _middles(full))
    rows = ""
    for what, (without, with_all) in pairs.items():
        ratio = statistics.median(with_all) / statistics.median(without)
        rows += f"  {full.name:<34} {what:<17} ratio {ratio:.2f}{_judged(ratio, FULL_RATIO)}\n"
    return rows


def _middles(case: Case) -> list[float]:
    """Give the sum of the keys' medians, as the one value of a list."""
    return [sum(statistics.median(times) for times in case.keys.values())]


def _judged(value: float, target: float) -> str:
    return f"  (target {target:g}: {'met' if value <= target else 'MISSED'})"


def main() -> None:
    """Read the options, measure, print. The exit code is 0: this is no test."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument(
        "--quick", action="store_true", help="80x24 alone, few runs, 20,000 entries"
    )
    parser.add_argument("--rounds", type=int, help="starts of each case (15; quick: 5)")
    parser.add_argument("--entries", type=int, help="entries of the full journal")
    parser.add_argument("--machines", type=int, nargs="+", default=MACHINES, help="(5 50)")
    options = parser.parse_args()
    rounds = options.rounds or (5 if options.quick else 15)
    entries = options.entries or (20_000 if options.quick else 100_000)
    sizes = SIZES[:1] if options.quick else SIZES
    if not hasattr(os, "fork"):
        sys.stdout.write("This system has no pseudo-terminals; nothing was measured.\n")
        return
    with tempfile.TemporaryDirectory() as folder:
        sys.stderr.write(f"writing journals of {entries:,} entries\n")
        all_cases = cases(Path(folder), sizes, options.machines, entries)
        measure(all_cases, Path(folder), rounds, presses=3 if options.quick else 10)
        report(all_cases, entries, sys.stdout.write)
