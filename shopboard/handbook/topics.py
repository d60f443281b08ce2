"""The topics of the help, and their texts laid out for a width."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.painted import Line

TOPICS = (
    *("first-check", "states", "keys", "words", "checks", "work", "prep-day", "glue-up", "safety"),
    *("projects", "shop", "journal", "people", "benches", "paper", "browser", "gauges", "scripts"),
)
"""In the order in which they are listed."""


class HelpRow(NamedTuple):
    """A line of a table: what is explained, and how."""

    name: str
    words: str
    style: str = "key"
    """Of the name."""


Tables = Mapping[str, Sequence[HelpRow]]
"""What stands for ``{name}`` in a text."""


def text_of(topic: str) -> str:
    """Read the text of a topic; its first line is the title."""
    return (Path(__file__).parent / f"{topic}.txt").read_text(encoding="utf-8")


def title_of(topic: str) -> str:
    """Give the title of a topic."""
    return text_of(topic).partition("\n")[0]


def topic_lines(topic: str, tables: Tables, width: int) -> Iterator[Line]:
    """Lay a topic out, without its title.

    Args:
        topic: its name.
        tables: what stands for the names in braces.
        width: cells of the longest line.
    """
    blocks = re.split(r"\n{2,}", text_of(topic).strip())[1:]
    for number, block in enumerate(blocks):
        if number:
            yield ()
        table = re.fullmatch(r"\{(\w+)\}", block)
        if table:
            yield from _table(tables[table[1]], width)
        elif block.startswith("  "):
            yield from (one for line in block.split("\n") for one in _command(line[2:], width))
        else:
            yield from (one for line in block.split("\n") for one in _wrapped(line, width))


def _wrapped(line: str, width: int) -> Iterator[Line]:
    """Break a paragraph or an item; an item goes on below its first word."""
    mark = re.match(r"(- |\d+\. )?", line)
    hang = " " * len(mark[0]) if mark else ""
    for one in textwrap.wrap(line, width, subsequent_indent=hang, break_on_hyphens=False):
        yield ((one, ""),)


def _command(line: str, width: int) -> Iterator[Line]:
    """Leave a line as it is, spaces and all, where it fits."""
    for one in textwrap.wrap(line, width, subsequent_indent="      ", break_on_hyphens=False):
        yield ((one, "bold"),)


def _table(rows: Sequence[HelpRow], width: int) -> Iterator[Line]:
    wide = max(len(row.name) for row in rows)
    for row in rows:
        first, *rest = textwrap.wrap(row.words, width - wide - 2, break_on_hyphens=False) or [""]
        yield ((f"{row.name:<{wide}}", row.style), (f"  {first}", ""))
        yield from (((f"{'':<{wide}}  {one}", ""),) for one in rest)
