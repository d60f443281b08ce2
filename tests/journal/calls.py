"""The calls that a program makes of the system, and what befalls it at one of them.

`strace` counts them, kills the program at the n-th of a sort, or lets it fail.
"""

from __future__ import annotations

import os
import re
import subprocess
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

CHANGES = (
    *("pwrite64", "write", "ftruncate", "fsync", "fdatasync"),
    *("link", "rename", "unlink", "rmdir", "chmod", "mkdir"),
)
"""What changes a disk, or waits for it."""

LOOKS = ("openat", "pread64", "fcntl")
"""What opens, reads and locks."""

_CALL = re.compile(r"\d+ +(\w+)\(")


class Outcome(NamedTuple):
    """How a program ended."""

    code: int
    """Its exit code; less than zero where it was killed."""
    said: list[str]
    """The lines that it printed."""
    error: str
    """What it printed about what went wrong."""


class Call(NamedTuple):
    """One call of a program: the n-th of its sort."""

    name: str
    number: int


def calls_of(command: Sequence[str], folder: Path) -> list[Call]:
    """Run a program and give the calls by which it touched what lies in a folder."""
    trace = folder.with_name(f"{folder.name}.trace")
    names = ",".join((*CHANGES, *LOOKS))
    strace = ["strace", "-f", "--seccomp-bpf", "-y", "-s", "1000", "-o", str(trace)]
    done = _ended([*strace, "-e", f"trace={names}", *command], folder)
    assert done.code == 0, done.error
    made: Counter[str] = Counter()
    calls = []
    for line in trace.read_text(encoding="utf-8", errors="replace").splitlines():
        if found := _CALL.match(line):
            made[found[1]] += 1
            if f"{folder}/" in line or f"{folder}>" in line:
                calls.append(Call(found[1], made[found[1]]))
    return calls


def failed_at(command: Sequence[str], folder: Path, call: str, fault: str) -> Outcome:
    """Run a program, in which such calls fail: ``error=EIO:when=3+``."""
    return _ended(_injected(call, fault, "--seccomp-bpf", *command), folder)


def killed_at(command: Sequence[str], folder: Path, call: Call) -> Outcome:
    """Run a program, to be killed at a call if it makes as many."""
    return _ended(_injected(call.name, f"signal=KILL:when={call.number}", *command), folder)


def _injected(call: str, what: str, *command: str) -> list[str]:
    strace = ["strace", "-f", "-o", "/dev/null", "-e", f"trace={call}"]
    return [*strace, "-e", f"inject={call}:{what}", *command]


def _ended(command: Sequence[str], folder: Path) -> Outcome:
    """Run a program to its end; what it remembers of journals stays in the folder."""
    own = {"XDG_STATE_HOME": str(folder / "state"), "PYTHONHASHSEED": "0"}
    done = subprocess.run(
        command, capture_output=True, text=True, timeout=60, env={**os.environ, **own}
    )
    return Outcome(done.returncode, done.stdout.splitlines(), done.stderr)
