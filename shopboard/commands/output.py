"""Data to stdout, words to stderr; everything made harmless on the way."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from typing import TextIO

from shopboard.text import first_unfit, harmless


def _write(stream: TextIO, lines: tuple[str, ...]) -> None:
    for text in lines:
        for line in text.split("\n"):
            stream.write(f"{harmless(line)}\n")


def out(*lines: str) -> None:
    """Write lines of data to stdout."""
    _write(sys.stdout, lines)


def say(*lines: str) -> None:
    """Write words for a person to stderr."""
    _write(sys.stderr, lines)


def prompt(mark: str) -> str:
    """Ask for a line; empty at the end of input, without its line end otherwise kept."""
    sys.stdout.write(mark)
    sys.stdout.flush()
    return sys.stdin.readline()


def is_utf8() -> bool:
    """Tell whether stdout can write any character."""
    return (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"


SCHEMA = 1
"""Number of the form of all JSON; it grows when a field goes or comes to mean something else."""


def out_json(data: Mapping[str, object]) -> None:
    """Write JSON to stdout, in ASCII where stdout can do no more or must not; never NaN.

    What its fields mean stands in `json_fields`.
    """
    data = {"schema": SCHEMA, **data}
    text = json.dumps(data, indent=2, ensure_ascii=not is_utf8(), allow_nan=False)
    if any(first_unfit(line) is not None for line in text.split("\n")):
        text = json.dumps(data, indent=2, allow_nan=False)
    sys.stdout.write(f"{text}\n")
