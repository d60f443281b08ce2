"""The disks that a power cut could have left, built from the record of a real run.

`strace` writes down each write, truncation and waiting for the disk of the
writer. From that every state of the disk can be built that a cut could leave:
what was waited for is whole; of what was written later, each 512-byte sector is
there or not, as chance will have it.
"""

from __future__ import annotations

import random
import re
import subprocess
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.journal.helpers import writer_command

_SECTOR = 512
_LINE = re.compile(r"\d+\s+(\w+)\((.*)\)\s+= \d+")
_HANDLE = re.compile(r"\d+<((?:\\x..)+)>")
_TEXT = re.compile(r'"((?:\\x..)*)"')


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that the writer did to a file, or said."""

    kind: str
    """``write``, ``truncate``, ``remove``, ``wait`` or ``said``."""

    file: str
    """The path; empty for what was said."""

    at: int = 0
    """Where it was written, or the length to which it was cut."""

    data: bytes = b""
    """What was written or said."""


def recorded_steps(path: Path, entries: int, start: int = 0, *flags: str) -> list[Step]:
    """Let the writer record, and give what it did."""
    trace = path.parent.with_name(f"{path.parent.name}.trace")
    calls = "trace=pwrite64,write,ftruncate,fdatasync,fsync,unlink"
    strace = ["strace", "-f", "-y", "-xx", "-s", "70000", "-o", str(trace), "-e", calls]
    command = [*strace, *writer_command(path, start, entries, *flags)]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    return [step for line in trace.read_text().splitlines() for step in _steps(line, str(path))]


def _steps(line: str, path: str) -> Iterator[Step]:
    if not (found := _LINE.match(line)):
        return
    call, words = found.groups()
    handle = _HANDLE.match(words)
    file = _bytes(handle[1]).decode() if handle else ""
    text = _TEXT.search(words)
    data = _bytes(text[1]) if text else b""
    if call == "write" and words.startswith("1<"):
        yield Step("said", "", data=data)
    if call == "unlink" and data.decode().startswith(path):
        yield Step("remove", data.decode())
    if not file.startswith(path):
        return
    if call == "pwrite64":
        yield Step("write", file, int(words.rsplit(", ", 1)[1]), data)
    elif call == "ftruncate":
        yield Step("truncate", file, int(words.rsplit(", ", 1)[1]))
    elif call in ("fdatasync", "fsync"):
        yield Step("wait", file)


def made_at(steps: list[Step], file: str) -> int:
    """Give the number of steps up to the first waiting for a file: until then nothing is sure."""
    return next(n for n, step in enumerate(steps) if (step.kind, step.file) == ("wait", file))


def cut(
    steps: list[Step],
    chance: random.Random,
    length: int | None = None,
    before: dict[str, bytearray] | None = None,
) -> tuple[dict[str, bytearray], set[str]]:
    """Give the files of one disk that a cut could have left, and what had been said by then.

    Args:
        steps: of the program.
        chance: says what is there of what was not waited for.
        length: the cut comes after so many steps; None: anywhere.
        before: the files that were there at the start; none are.
    """
    length = length or chance.randrange(1, len(steps) + 1)
    disk = {file: bytearray(content) for file, content in (before or {}).items()}
    waiting: dict[str, list[Step]] = defaultdict(list)
    said: set[str] = set()
    for step in steps[:length]:
        if step.kind == "said":
            said.add(step.data.decode().strip())
        elif step.kind == "wait":
            for late in waiting.pop(step.file, []):
                _apply(disk, late, None)
        else:
            waiting[step.file].append(step)
    for late_ones in waiting.values():
        for late in late_ones:
            if late.kind == "remove" and chance.random() < 0.5:
                break  # what came after it was to a new file, whose name is not on the disk
            _apply(disk, late, chance)
    return disk, said


def _apply(disk: dict[str, bytearray], step: Step, chance: random.Random | None) -> None:
    if step.kind == "remove":
        disk.pop(step.file, None)
        return
    content = disk.setdefault(step.file, bytearray())
    if step.kind == "truncate":
        if chance is None or chance.random() < 0.5:
            del content[step.at :]
        return
    for start in range(0, len(step.data), _SECTOR):
        if chance is not None and chance.random() < 0.5:
            continue
        piece = step.data[start : start + _SECTOR]
        end = step.at + start + len(piece)
        content.extend(bytes(max(0, end - len(content))))
        content[step.at + start : end] = piece


def _bytes(text: str) -> bytes:
    return bytes.fromhex(text.replace("\\x", ""))
