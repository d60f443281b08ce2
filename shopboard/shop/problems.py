"""One problem of the shop file, with its place, and how it is shown.

The place is line and column in code points, as editors count; the caret is
placed in terminal cells, where some characters are two wide. All text of a
problem is harmless to show, whatever the file holds.
"""

from bisect import bisect_right
from collections.abc import Mapping
from pathlib import Path
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import harmless

Severity = Literal["error", "warning"]

_SHOWN = 100
"""Code points of a long line that are shown around the caret."""


class Problem(NamedTuple):
    """What is wrong at one place of the shop file."""

    line: int
    """From 1."""
    column: int
    """From 1, in code points."""
    what: str
    """What is wrong, in plain words."""
    allowed: str = ""
    """What is allowed there."""
    hint: str = ""
    """What was probably meant: ``did you mean "lever"?``."""
    source_line: str = ""
    """The offending line, harmless, a long one cut around the caret; empty when there is none."""
    span: int = 0
    """Width of the caret line's mark, cells."""
    caret_offset: int = 0
    """Where the mark begins in `source_line`, cells."""
    severity: Severity = "error"
    file: str = ""
    """Name of the file beside the shop file that it is in; empty: the shop file itself."""
    missing: bool = False
    """The file itself is not there."""
    unread: bool = False
    """What comes after it was not read."""

    @property
    def sentence(self) -> str:
        """What is wrong, what is allowed and the hint, in one line."""
        said = ""
        for part in (self.what, self.allowed, self.hint):
            join = " " if said.endswith("?") else "; "
            said += f"{join}{part}" if said and part else part
        return said


class ShopFileError(Exception):
    """The shop file cannot be used; carries every problem, sorted by place."""

    def __init__(
        self,
        path: str,
        problems: tuple[Problem, ...],
        beside: Mapping[Path, tuple[int, int] | None] | None = None,
    ) -> None:
        super().__init__(path, problems)
        self.path = path
        """The file as it was named."""
        self.problems = problems
        """Errors, and the warnings beside them."""
        self.beside = beside
        """Stamps of the files that the shop file names; None: it could not be told which."""

    def __str__(self) -> str:
        return "\n".join(render(self.path, problem) for problem in self.problems)


def render(path: str, problem: Problem) -> str:
    """Write a problem as ``file:line:column: ...``, its line and a caret under the place.

    Args:
        path: of the shop file; a problem of a file beside it is shown under that one's name.
        problem: to be written.
    """
    warning = "warning: " if problem.severity == "warning" else ""
    if problem.file:
        path = str(Path(path).parent / problem.file)
    head = f"{harmless(path)}:{problem.line}:{problem.column}: {warning}{problem.sentence}"
    if not problem.source_line:
        return head
    number = f"{problem.line:>5}"
    mark = " " * problem.caret_offset + "^" * max(1, problem.span)
    return f"{head}\n{number} | {problem.source_line}\n{' ' * len(number)} | {mark}"


class SourceText:
    """The text of a shop file, able to make problems out of offsets."""

    def __init__(self, text: str) -> None:
        self.text = text
        self._starts = [0]
        at = text.find("\n")
        while at >= 0:
            self._starts.append(at + 1)
            at = text.find("\n", at + 1)

    def line_of(self, offset: int) -> int:
        """Line of an offset, from 1."""
        return bisect_right(self._starts, offset)

    def start_of(self, line: int) -> int:
        """Offset at which a line (from 1; past the last one gives the end) begins."""
        return self._starts[line - 1] if line <= len(self._starts) else len(self.text)

    def line_text(self, line: int) -> str:
        """Give a line without its end."""
        start = self.start_of(line)
        end = self.text.find("\n", start)
        return self.text[start:] if end < 0 else self.text[start:end]

    def problem(
        self,
        start: int,
        end: int,
        what: str,
        allowed: str = "",
        hint: str = "",
        severity: Severity = "error",
    ) -> Problem:
        """Make a problem that points at a stretch of the text (to the end of its first line)."""
        line = self.line_of(start)
        text = self.line_text(line)
        first = start - self.start_of(line)
        last = min(max(end - self.start_of(line), first), len(text))
        left = max(0, first - _SHOWN // 2) if len(text) > _SHOWN else 0
        right = left + _SHOWN
        before = ("…" if left else "") + _shown(text[left:first])
        marked = _shown(text[first : min(last, right)])
        after = _shown(text[min(last, right) : right]) + ("…" if len(text) > right else "")
        return Problem(
            line=line,
            column=first + 1,
            what=harmless(what),
            allowed=harmless(allowed),
            hint=harmless(hint),
            source_line=(before + marked + after).rstrip(),
            span=max(1, cells(marked)),
            caret_offset=cells(before),
            severity=severity,
        )


def _shown(text: str) -> str:
    return harmless(text.replace("\t", " "))


def cells(text: str) -> int:
    """Width of harmless text in terminal cells: wide characters take two, combining ones none."""
    if text.isascii():
        return len(text)
    import unicodedata

    width = 0
    for char in text:
        if unicodedata.category(char) not in ("Mn", "Me"):
            width += 2 if unicodedata.east_asian_width(char) in "WF" else 1
    return width


def shorten(value: object, most: int = 40) -> str:
    """Quote a value from the file for a sentence, cut when it is long."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) >= 10**most:
        return "a very long number"  # str() refuses more than 4300 digits
    text = str(value)
    cut = text if len(text) <= most else text[: most - 1] + "…"
    return f'"{cut}"' if isinstance(value, str) else cut
