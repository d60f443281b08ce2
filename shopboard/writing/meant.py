"""What a person means by the words that they type for a setting, and the new file that says so.

A word can be read as text or as a bare number, in the place of a list as the only one of it, too:
the shop's own reader tells which of them a setting takes.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence

import tomli

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.job import Facts
from shopboard.shop.kept import Loaded
from shopboard.shop.problems import Problem, ShopFileError, SourceText
from shopboard.shop.reader import read_shop_text
from shopboard.shop.report import Path
from shopboard.usual.called import CALLED, id_of
from shopboard.writing.edits import Add, Data, Edit, Put, at_path, stands
from shopboard.writing.layout import Layout
from shopboard.writing.order import names_of
from shopboard.writing.rewrite import MARK, Rewritten, rewritten
from shopboard.writing.same_unit import in_same_unit

_TOLD = 5
"""Problems that are told at the most."""


class NotTakenError(ValueError):
    """The shop's reader does not take the new text; one sentence a line says why."""

    def __init__(self, problems: Sequence[Problem], new: Rewritten) -> None:
        lines = [_placed(one, new) for one in problems if one.severity == "error"]
        more = [f"and {len(lines) - _TOLD} more"] if lines[_TOLD:] else []
        super().__init__("\n".join([*lines[:_TOLD], *more]))


def _placed(problem: Problem, new: Rewritten) -> str:
    """Say what is wrong, with its line where that stands in the file and is not to be changed.

    A file beside it is as it was, so what becomes wrong in it is what it names.
    """
    if problem.file:
        where = f"{problem.file}, line {problem.line}"
        return f"{where}, would be wrong then: {problem.what}; change it there first, by hand"
    line = problem.line
    for one in new.lines:
        if problem.line >= one.new_line + len(one.new):
            line += len(one.old) - len(one.new)
        elif problem.line >= one.new_line:
            return problem.sentence
    return f"line {line}: {problem.sentence}"


class ReadAs(NamedTuple):
    """One way to read what was typed."""

    value: object
    typed: str = ""
    """How it was spelled, where that is the same value: ``16.50``."""


Build = Callable[[Mapping[str, ReadAs]], Sequence[Edit]]
"""Gives the edits by how each setting is read."""


class Proofread(NamedTuple):
    """A new text that the shop's own reader has read."""

    new: Rewritten
    warnings: tuple[Problem, ...]
    """What is odd in it and was not before."""


class Rules(NamedTuple):
    """What a text is read by."""

    name: str
    """Of the file, with its folder: others may lie beside it."""
    checks: Collection[str]
    facts: Mapping[str, Facts]

    def read(self, text: str) -> Loaded:
        """Read a text.

        Raises:
            ShopFileError: with every problem of it.
        """
        return read_shop_text(text, self.name, self.checks, self.facts)


def readings(words: Sequence[str], old: object = None) -> list[ReadAs]:
    """Give every way to read words, the likeliest first.

    A number in the place of a measure takes the unit of that: 0.03 where 0.02 mm stood.

    Args:
        words: one, or those of a list.
        old: the value that stands there; None where none does.
    """
    if len(words) != 1:
        return [ReadAs([readings([word])[0].value for word in words]), ReadAs([*words])]
    word = words[0]
    text, alone, bare = ReadAs(word), ReadAs([word]), _bare(word)
    if isinstance(old, str):
        return [*map(ReadAs, in_same_unit(word, old)), text, *bare]
    if isinstance(old, list):
        return [*(one for one in bare if isinstance(one.value, list)), alone, *bare, text]
    return [*bare, text]


def _bare(word: str) -> list[ReadAs]:
    """Read a word as a value that stands without quotes; nothing where it is none."""
    try:
        data = tomli.loads(f"k = {word}") if "\n" not in word else {}
    except (ValueError, RecursionError):
        return []
    value = data.get("k")
    if len(data) != 1 or isinstance(value, str | dict):
        return []
    return [ReadAs(value, "" if isinstance(value, list) else word.strip())]


def settings_put(data: Data, table: Path, chosen: Mapping[str, ReadAs]) -> list[Edit]:
    """Give the edits that set what was typed, by the names of the settings: ``sizes.width``.

    Another name makes no other id: one that was made of the name is written down.
    """
    edits: list[Edit] = []
    there = at_path(data, table)
    bears_one = f"[[{names_of(table)}]]" in CALLED
    if bears_one and "name" in chosen and "id" not in {**chosen, **there} and id_of(there):
        edits.append(Put((*table, "id"), id_of(there)))
    anew: dict[Path, dict[str, object]] = {}
    for name, (value, typed) in chosen.items():
        path: Path = (*table, *name.split("."))
        if stands(data, path[:-1]):
            edits.append(Put(path, value, typed))
        else:
            anew.setdefault(path[:-1], {})[str(path[-1])] = value
    return [*edits, *(Add(path, one, many=False) for path, one in anew.items())]


def proofread(
    text: str, rules: Rules, build: Build, typed: Mapping[str, Sequence[ReadAs]]
) -> Proofread:
    """Make edits in a text, and let the shop's own reader look at what comes out.

    Args:
        text: of the file as it is.
        rules: what it is read by.
        build: gives the edits.
        typed: every way to read each setting, the likeliest first.

    Raises:
        NoSuchPlaceError: when a path leads nowhere.
        InPlaceError: when it cannot be made in the way that the text is written.
        NotTakenError: when the reader does not take it, in whatever way it is read.
        ShopFileError: when it did not take the text before, either.
    """
    chosen = {name: ways[0] for name, ways in typed.items()}
    best = _tried(text, rules, build(chosen))
    for name, ways in typed.items():
        for way in ways[1:]:
            if not best.at_value:
                break
            other = _tried(text, rules, build({**chosen, name: way}))
            if (other.at_value, len(other.problems)) < (best.at_value, len(best.problems)):
                best, chosen = other, {**chosen, name: way}
    if best.problems:
        rules.read(text)
        raise NotTakenError(best.problems, best.new)
    return Proofread(best.new, _newly(text, best.warnings, rules))


class _Tried(NamedTuple):
    new: Rewritten
    warnings: tuple[Problem, ...]
    problems: tuple[Problem, ...] = ()
    at_value: int = 0
    """How many of them say of a value that was set that it is of a wrong kind, or wrong."""


def _tried(text: str, rules: Rules, edits: Sequence[Edit]) -> _Tried:
    """Try edits, and see what the reader says."""
    new = rewritten(text, edits)
    try:
        return _Tried(new, rules.read(new.text).warnings)
    except ShopFileError as error:
        plain = new.text.removeprefix(MARK).replace("\r\n", "\n")
        source, layout = SourceText(plain), Layout(plain)
        starts = {
            layout.spans[path].start
            for path in _set_by(tomli.loads(text.removeprefix(MARK)), edits)
            if path in layout.spans
        }
        wrong = [one for one in error.problems if one.severity == "error" and not one.file]
        places = [source.start_of(one.line) + one.column - 1 for one in wrong]
        return _Tried(new, (), error.problems, sum(at in starts for at in places))


def _set_by(data: Data, edits: Sequence[Edit]) -> Iterator[Path]:
    """Give the paths of all values that edits set, as the new data has them."""
    for edit in edits:
        if isinstance(edit, Put):
            yield from _below(edit.value, edit.path)
        elif isinstance(edit, Add):
            there = at_path(data, edit.path) if stands(data, edit.path) else []
            home: Path = (*edit.path, len(there)) if edit.many else edit.path
            yield from _below(edit.table, home)


def _below(value: object, path: Path) -> Iterator[Path]:
    """Give the paths of what is no table: of a list, and of what stands in it."""
    if isinstance(value, Mapping):
        for key, one in value.items():
            yield from _below(one, (*path, key))
        return
    yield path
    for index, one in enumerate(value if isinstance(value, list) else ()):
        yield from _below(one, (*path, index))


def _newly(text: str, warnings: tuple[Problem, ...], rules: Rules) -> tuple[Problem, ...]:
    """Give the warnings that the text before had not."""
    if not warnings:
        return ()
    try:
        before = {one.sentence for one in rules.read(text).warnings}
    except ShopFileError as error:
        before = {one.sentence for one in error.problems}
    return tuple(one for one in warnings if one.sentence not in before)
