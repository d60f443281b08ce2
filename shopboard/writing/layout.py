"""How a text is laid out: which lines belong to which table, and where something new may stand.

The text is a file's own, line ends and all, without a mark of its byte order.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cached_property
from typing import Any, Literal

import tomli

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.places import Scanner
from shopboard.shop.report import Path

WrittenAs = Literal["", "value", "header", "list of headers", "above headers", "dotted"]
"""How something is written: not at all; behind `=`, or within what is; with a header of its own;
as the list of those; only as the first names in a header; only as the first names of a key."""


class Section(NamedTuple):
    """A header with the settings below it, to the next header."""

    path: Path
    start: int
    """Of the header."""
    last: int
    """Where the last line that says something ends, before its line end."""


class Layout:
    """One text, and where everything in it is."""

    def __init__(self, text: str) -> None:
        """Look through a text that tomli accepts."""
        self.text = text
        self.data: dict[str, Any] = tomli.loads(text)
        self._scanner = Scanner(text)
        self.spans = self._scanner.run()
        self.pairs = self._scanner.pairs
        self.newline = "\r\n" if "\r\n" in text else "\n"

    @cached_property
    def sections(self) -> list[Section]:
        """What stands above the first header, under no path, then each header's section."""
        begun: list[tuple[Path, int, int]] = [((), 0, 0)]
        begun += [(path, span.start, span.end) for path, span in self._scanner.headers]
        ends = sorted((self.spans[path].end, path) for path in self.pairs)
        found, at = [], 0
        for index, (path, start, end) in enumerate(begun):
            after = begun[index + 1][1] if index + 1 < len(begun) else len(self.text) + 1
            last = end
            while at < len(ends) and ends[at][0] <= after:
                last = max(last, ends[at][0])
                at += 1
            found.append(Section(path, start, self.line_end(last) if index or last else 0))
        return found

    @cached_property
    def _headed(self) -> set[Path]:
        return {section.path for section in self.sections}

    def form(self, path: Path) -> WrittenAs:
        """Tell how something is written."""
        if path in self._headed:
            return "header"
        if path not in self.spans:
            return ""
        if path in self.pairs or (isinstance(path[-1], int) and self.form(path[:-1]) == "value"):
            return "value"
        if (*path, 0) in self._headed:
            return "list of headers"
        return "above headers" if self.text[self.spans[path].start] == "[" else "dotted"

    def sections_of(self, path: Path) -> Iterator[Section]:
        """Give the sections of what stands at a path, and of all below it."""
        return (one for one in self.sections if one.path[: len(path)] == path)

    def children(self, path: Path, within: Section | None = None) -> list[tuple[str, Path]]:
        """Give the settings of a table by their key there, in the order of the text.

        Args:
            path: of the table.
            within: only what stands in this section.
        """
        low, high = (within.start, within.last) if within else (0, len(self.text))
        depth = len(path)
        found = [
            (begin, one)
            for one, begin in self.pairs.items()
            if one[:depth] == path and len(one) > depth and low <= begin <= high
        ]
        outer = [(b, one) for b, one in found if not self._in_value(one, depth)]
        return [(str(one[depth]), one) for _, one in sorted(outer)]

    def _in_value(self, path: Path, depth: int) -> bool:
        """Tell whether a setting stands within the value of another one below that depth."""
        return any(path[:end] in self.pairs for end in range(depth + 1, len(path)))

    def line_start(self, at: int) -> int:
        """Give where the line of a place begins."""
        return self.text.rfind("\n", 0, at) + 1

    def line_end(self, at: int) -> int:
        """Give where the line of a place ends, before its line end."""
        end = self.text.find("\n", at)
        end = len(self.text) if end < 0 else end
        return end - 1 if end and self.text[end - 1] == "\r" else end

    def after_line(self, at: int) -> int:
        """Give where the line after that of a place begins; the end of the text where none does."""
        end = self.text.find("\n", at)
        return len(self.text) if end < 0 else end + 1

    def indent(self, at: int) -> str:
        """Give the blanks at the beginning of a line."""
        found = re.compile(r"[ \t]*").match(self.text, self.line_start(at))
        return found[0] if found else ""

    def alone(self, start: int, end: int) -> bool:
        """Tell whether a stretch has its lines for itself, but for a remark behind it."""
        before = self.text[self.line_start(start) : start]
        return not before.strip() and self.ends_line(end)

    def ends_line(self, at: int) -> bool:
        """Tell whether nothing but a remark stands behind a place on its line."""
        rest = self.text[at : self.line_end(at)].strip()
        return not rest or rest.startswith("#")
