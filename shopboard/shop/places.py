"""Where every key and value of a TOML text stands.

tomli decides what is valid but keeps no places; this scanner walks the same
text again and says where each thing is. It is run only when there is a problem
to point at, or something to change. It may be lenient, since tomli has been strict before it.

A path is the index path into what tomli gives: ``("machine", 0, "point", 2, "lever")``.
An edit of the file (`writing/`) goes by it, too.
"""

import re

import tomli

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.report import Path


class TextSpan(NamedTuple):
    """Offsets into the text, in code points."""

    key_start: int
    key_end: int
    start: int
    """Of the value; of the whole header for a table that has one."""
    end: int


class Repeat(NamedTuple):
    """Something written twice."""

    path: Path
    first: TextSpan
    again: TextSpan


class LostError(Exception):
    """The text goes on in a way that the scanner cannot follow (tomli refuses it too)."""

    def __init__(self, at: int) -> None:
        super().__init__(f"lost at {at}")
        self.at = at


_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_KEY = re.compile(r'"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|[A-Za-z0-9_-]+')
_LONG_BASIC = re.compile(r'"""(?:\\.|[^\\])*?"{3,5}(?!")', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''.*?'{3,5}(?!')", re.DOTALL)
_BASIC = re.compile(r'"(?:\\.|[^"\\\n])*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_BARE = re.compile(r"[^,\]}#\n]+")


class Scanner:
    """One walk over one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.spans: dict[Path, TextSpan] = {}
        """The place of everything seen so far."""
        self.repeats: list[Repeat] = []
        """What was written although it was there already."""
        self.open_at: list[int] = []
        """Where the lists, tables and texts that are open right now began."""
        self.headers: list[tuple[Path, TextSpan]] = []
        """What each line in brackets opens, in the order of the text."""
        self.pairs: dict[Path, int] = {}
        """Where each `key = value` begins, at the first part of its key."""
        self._counts: dict[Path, int] = {}  # arrays of tables: how many elements so far
        self._stated: set[Path] = set()  # tables with a header of their own

    def run(self) -> dict[Path, TextSpan]:
        """Walk the whole text.

        Raises:
            LostError: where the text cannot be followed.
        """
        base: Path = ()
        at = self._skip(_BLANK, 0)
        while at < len(self.text):
            if self.text[at] == "[":
                base, at = self._header(at)
            else:
                at = self._pair(at, base)
            at = self._skip(_BLANK, at)
        return self.spans

    def _skip(self, pattern: re.Pattern[str], at: int) -> int:
        match = pattern.match(self.text, at)
        return match.end() if match else at

    def _key(self, at: int) -> tuple[list[tuple[str, int, int]], int]:
        """Read ``a."b c".d``: its parts with their offsets, and where it ends."""
        parts: list[tuple[str, int, int]] = []
        while True:
            match = _KEY.match(self.text, self._skip(_SPACE, at))
            if not match:
                raise LostError(at)
            parts.append((_plain(match[0]), match.start(), match.end()))
            at = self._skip(_SPACE, match.end())
            if not self.text.startswith(".", at):
                return parts, at
            at += 1

    def _header(self, at: int) -> tuple[Path, int]:
        """Read ``[a.b]`` or ``[[a.b]]``: the path it opens, and where it ends."""
        brackets = 2 if self.text.startswith("[[", at) else 1
        parts, key_end = self._key(at + brackets)
        end = key_end + brackets
        if self.text[key_end:end] != "]" * brackets:
            raise LostError(key_end)
        base: Path = ()
        for depth, (name, key_start, name_end) in enumerate(parts, 1):
            base += (name,)
            span = TextSpan(key_start, name_end, at, end)
            last = depth == len(parts)
            self._note_header(base, span, last=last, many=brackets == 2)
            if last and brackets == 2:
                self._counts[base] = self._counts.get(base, 0) + 1
            if base in self._counts:
                base += (self._counts[base] - 1,)
                self.spans.setdefault(base, span)
        self.headers.append((base, span))
        return base, end

    def _note_header(self, path: Path, span: TextSpan, *, last: bool, many: bool) -> None:
        """Record one part of a header, and a repeat where it may not stand."""
        known = path in self.spans
        if not known:
            self.spans[path] = span
        elif path in self.pairs or (last and self._clashes(path, many=many)):
            self.repeats.append(Repeat(path, self.spans[path], span))
        elif last and not many:
            self.spans[path] = span  # its own header says more than a mention in another
        if last and not many:
            self._stated.add(path)

    def _clashes(self, path: Path, *, many: bool) -> bool:
        """Tell whether a table that is there already may not get this header too."""
        return path not in self._counts if many else path in self._stated or path in self._counts

    def _pair(self, at: int, base: Path) -> int:
        """Read ``key = value``; give where it ends."""
        begin = at
        parts, at = self._key(at)
        for name, start, end in parts:
            base += (name,)
            span = TextSpan(start, end, start, end)
            is_last = (name, start, end) == parts[-1]
            if base in self.pairs or (is_last and base in self.spans):
                self.repeats.append(Repeat(base, self.spans[base], span))
            self.spans.setdefault(base, span)
        if not self.text.startswith("=", at):
            raise LostError(at)
        value_start = self._skip(_SPACE, at + 1)
        value_end = self._value(value_start, base)
        self.spans[base] = TextSpan(parts[-1][1], parts[-1][2], value_start, value_end)
        self.pairs.setdefault(base, begin)
        return value_end

    def _value(self, at: int, path: Path) -> int:
        """Read one value; give where it ends."""
        opening = self.text[at : at + 1]
        if opening == "[":
            return self._list(at, path)
        if opening == "{":
            return self._inline_table(at, path)
        if opening in ('"', "'"):
            return self._string(at)
        match = _BARE.match(self.text, at)
        if not match or not match[0].strip():
            raise LostError(at)
        return at + len(match[0].rstrip())

    def _string(self, at: int) -> int:
        if self.text.startswith('"""', at):
            pattern = _LONG_BASIC
        elif self.text.startswith("'''", at):
            pattern = _LONG_LITERAL
        else:
            pattern = _BASIC if self.text[at] == '"' else _LITERAL
        match = pattern.match(self.text, at)
        if not match:
            self.open_at.append(at)
            raise LostError(at)
        return match.end()

    def _list(self, at: int, path: Path) -> int:
        self.open_at.append(at)
        index = 0
        at = self._skip(_BLANK, at + 1)
        while not self.text.startswith("]", at):
            end = self._value(at, (*path, index))
            self.spans[(*path, index)] = TextSpan(at, end, at, end)
            index += 1
            at = self._next(end, "]")
        self.open_at.pop()
        return at + 1

    def _inline_table(self, at: int, path: Path) -> int:
        self.open_at.append(at)
        at = self._skip(_BLANK, at + 1)
        while not self.text.startswith("}", at):
            at = self._next(self._pair(at, path), "}")
        self.open_at.pop()
        return at + 1

    def _next(self, at: int, closing: str) -> int:
        """Go past a comma to the next element, or to the closing bracket."""
        at = self._skip(_BLANK, at)
        if self.text.startswith(",", at):
            return self._skip(_BLANK, at + 1)
        if not self.text.startswith(closing, at):
            raise LostError(at)
        return at


def _plain(key: str) -> str:
    """Take quotes and escapes off one part of a key."""
    if key[0] == "'":
        return key[1:-1]
    if key[0] != '"':
        return key
    return str(tomli.loads(f"k={key}")["k"]) if "\\" in key else key[1:-1]


def find_places(text: str) -> dict[Path, TextSpan]:
    """Give the place of every key and value of a text that tomli accepts.

    Args:
        text: TOML, with line feeds alone at the line ends.
    """
    return Scanner(text).run()
