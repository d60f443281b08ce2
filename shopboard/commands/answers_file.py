"""A file of answers: TOML, each answer by its step's name, the runs after a correction in tables.

In the check itself the answers of those runs begin with ``left.``, ``left2.``. In a file their
tables are ``[as_left]``, ``[as_left2]``: a reading may itself be called ``left``, and one file
cannot hold both ``left = ...`` and ``[left]``. Where it can, ``[left]`` is still read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath

import tomli

from shopboard.commands.errors import UsageError
from shopboard.shop.files import UnreadableFileError, decode, read_bytes
from shopboard.shop.places import TextSpan, find_places
from shopboard.shop.problems import Problem, SourceText
from shopboard.shop.report import Path
from shopboard.shop.syntax import syntax_problem
from shopboard.shop.words import too_many_dots

LARGEST = 64_000
"""Bytes; a file of answers is a few lines."""

_LEFT_TABLE = re.compile(r"as_left(\d*)")
_LEFT_KEY = re.compile(r"left(\d*)\.")


def in_file(key: str, *, corrected: bool = True) -> str:
    """Write the name of a step's answer as a file of answers has it: ``as_left.light``.

    Args:
        key: name of the answer in the check.
        corrected: whether a correction came before it; else ``left.`` is a reading of that name.
    """
    return _LEFT_KEY.sub(r"as_left\1.", key, count=1) if corrected and _LEFT_KEY.match(key) else key


class AnswersFile:
    """What one file of answers says, and where in it."""

    def __init__(self, path: str) -> None:
        """Read it whole.

        Raises:
            UsageError: when it is no such file, or an answer in it is none.
        """
        self.path = path
        self._text = self._read()
        self._places: dict[Path, TextSpan] = {}
        self._paths: dict[str, Path] = {}
        """Where each answer stands, by the name of its step."""
        self.answers: dict[str, str] = {}
        """By the name of its step."""
        data = self._parsed()
        self._places = find_places(self._text)
        for where, value in _leaves(data):
            self._take(where, value)

    def at(self, key: str, words: str) -> str:
        """Write what is wrong with an answer of the file, with its place."""
        where = self._paths[key]
        return self._said(self._at(where, f"{_dotted(where)}: {words}"))

    def _take(self, where: Path, value: object) -> None:
        """Keep one answer by the name of its step.

        Raises:
            UsageError: when it is neither text nor a number, empty, or there twice.
        """
        key = _key(where)
        if isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
            table = _dotted(where)
            raise self._wrong(where, f"write [{table}], with one bracket at either end")
        if not isinstance(value, str | int | float) or isinstance(value, bool):
            raise self._wrong(where, "an answer is text or a number")
        if not str(value).strip():
            raise self._wrong(where, "it is empty; write the answer, or take the line out")
        if key in self.answers:
            first = _dotted(self._paths[key])
            raise self._wrong(where, f"it is answered already, by {first}")
        self.answers[key] = str(value)
        self._paths[key] = where

    def _wrong(self, where: Path, words: str) -> UsageError:
        return UsageError(self._said(self._at(where, f"{_dotted(where)}: {words}")))

    def _at(self, where: Path, words: str) -> Problem:
        span = self._places.get(where, TextSpan(0, 0, 0, 0))
        return SourceText(self._text).problem(span.start, span.end, words)

    def _said(self, problem: Problem) -> str:
        return f"{self.path}:{problem.line}:{problem.column}: {problem.sentence}"

    def _read(self) -> str:
        try:
            data, _ = read_bytes(FilePath(self.path), LARGEST)
            return decode(data)
        except UnreadableFileError as error:
            if error.problem.source_line:
                raise UsageError(self._said(error.problem)) from None
            raise UsageError(f"{self.path}: {error.problem.sentence}") from None

    def _parsed(self) -> dict[str, object]:
        if too_many_dots(self._text) is not None:
            raise UsageError(self._said(syntax_problem(self._text, None)))
        try:
            return tomli.loads(self._text)
        except (ValueError, RecursionError) as error:
            problem = syntax_problem(self._text, error)
            if "[left" in problem.what:  # a reading of that name stands above it
                hint = "the answers after a setting go in [as_left]"
                problem = problem._replace(hint=hint)
            raise UsageError(self._said(problem)) from None


def _leaves(table: Mapping[str, object], where: Path = ()) -> Iterator[tuple[Path, object]]:
    for name, value in table.items():
        if isinstance(value, dict):
            yield from _leaves(value, (*where, name))
        else:
            yield (*where, name), value


def _key(where: Path) -> str:
    """Give the name of a step from where its answer stands: ``as_left.light`` is ``left.light``."""
    first, *more = (str(part) for part in where)
    table = _LEFT_TABLE.fullmatch(first) if more else None
    return ".".join([f"left{table[1]}" if table else first, *more])


def _dotted(where: Path) -> str:
    return ".".join(str(part) for part in where)
