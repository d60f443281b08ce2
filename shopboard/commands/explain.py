"""Explain the settings of the shop file and the ways of checking."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterable, Iterator

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.drawn.canvas import as_ascii
from shopboard.checks.explained import explained
from shopboard.checks.registry import names
from shopboard.commands.errors import UsageError
from shopboard.commands.explain_json import FIELDS as FIELDS
from shopboard.commands.explain_json import method_json, table_json
from shopboard.commands.output import is_utf8, out, out_json
from shopboard.commands.shared import no_such
from shopboard.handbook.explaining import key_lines, method_lines, table_lines
from shopboard.shop.declared import sorts
from shopboard.shop.sorts import Sort
from shopboard.shop.what_for import PAGES

_HOW = """
How the file is written
  A setting is a name, = and its value, on a line of its own. Words stand in
  straight quotes, and so does a number with a unit; a bare number is in the
  unit of the shop. Several values stand in brackets, with commas between them.
  A line in brackets begins a table: what follows belongs to it, up to the next
  such line. In two brackets it begins one more of its sort, which belongs to
  the machine, point, task, project or joint above it. A remark begins with #.

  [shop]                     # a whole file, as short as can be
  name = "The old boathouse"
  unit = "inch"

  [[machine]]
  id = "saw"
  name = "Table saw"

  [[machine.point]]
  id = "arbor"
  name = "Arbor flange"
  check = "runout"
  tolerance = "1 thou"
  undone_by = ["machine moved", "knocked"]

Ask for a table (machine.point, or point), for a key (lever, or point.lever),
for a method (square), or for a word that may stand at a key (tenon). The same
is in the schema of the file, for editors (--schema). `shopboard proofread FILE`
finds what is wrong in a file."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "about",
        metavar="TABLE|KEY|METHOD",
        nargs="?",
        help="such as machine.point, lever, point.lever, square; or a word that may stand at a key",
    )
    parser.add_argument("--json", action="store_true", help="as JSON")
    parser.add_argument(
        "--schema", action="store_true", help="a JSON Schema of the shop file, for editors"
    )


def run(options: argparse.Namespace) -> int:
    """Print what is asked for."""
    if options.schema and options.about is not None:
        raise UsageError(f"--schema is of the whole file: leave {options.about[:60]} or it out")
    if options.schema:
        from shopboard.shop.json_schema import schema

        out(json.dumps(schema(), indent=2, ensure_ascii=not is_utf8()))
        return 0
    asked = options.about or ""
    word = re.sub(r"[][\s]", "", asked).lower()
    found = _found(word, in_brackets="[" in asked)
    if not any(found):
        raise no_such("table, key, method or word", options.about, _known(sorts().values()))
    if options.json:
        told = [table_json(one) for one in found.tables]
        told += [table_json(one, [key]) for one, key in found.keyed if one not in found.tables]
        ways = [method_json(explained(name), _needs(name)) for name in found.methods]
        out_json({"tables": told, "methods": ways})
    elif not word:
        _list(sorts().values())
    else:
        for at, page in enumerate(_pages(found)):
            out(*([""] if at else []), *(page if is_utf8() else as_ascii(tuple(page))))
    return 0


class _Meant(NamedTuple):
    """What a word can mean."""

    tables: list[Sort]
    keyed: list[tuple[Sort, str]]
    """Keys of that name, each with its table."""
    methods: list[str]


def _found(word: str, *, in_brackets: bool) -> _Meant:
    """Give what a word means; all tables and methods where there is none."""
    every = sorts()
    if in_brackets and word in every:  # a table alone is meant
        return _Meant([every[word]], [], [])
    table, _, key = word.rpartition(".")
    keyed = [one for one in every.values() if key in one.keys and one.keys[key].allowed]
    found = _Meant(
        [one for one in every.values() if not word or word in _called(one)],
        [(one, key) for one in keyed if not table or table in _called(one)],
        [name for name in names() if not word or name == word],
    )
    return found if any(found) else _Meant([], list(_may_say(word)), [])


def _may_say(word: str) -> Iterator[tuple[Sort, str]]:
    """Give the keys at which a word may stand: ``tenon``, ``machine moved``."""
    for one in sorts().values():
        for key, declared in one.keys.items():
            allowed = declared.allowed
            if allowed and f'"{word}"' in re.sub(r"\s", "", allowed.words).lower():
                yield one, key


def _pages(found: _Meant) -> Iterator[Iterator[str]]:
    """Give the lines of each thing that was found."""
    yield from (table_lines(one) for one in found.tables)
    yield from (key_lines(one, key, place=True) for one, key in found.keyed)
    yield from (method_lines(explained(name), _needs(name)) for name in found.methods)


def _called(sort: Sort) -> set[str]:
    """Give what a table can be asked for by: its name, and the last parts of that."""
    parts = sort.name.split(".")
    return {".".join(parts[at:]) for at in range(len(parts))} - {""}


def _known(every: Iterable[Sort]) -> list[str]:
    """Give every word that can be asked for, tables first."""
    found = [one.name for one in every if one.name]
    found += [key for one in every for key in one.keys]
    return list(dict.fromkeys([*found, *names()]))


def _needs(name: str) -> list[str]:
    """Give the keys that a point must have for a method, beside those that every point must."""
    keys = sorts()["machine.point"].keys.values()
    return [one.key for one in keys if any(name == case.value for case in one.needed)]


def _list(every: Iterable[Sort]) -> None:
    """List tables and methods."""
    tables = [one for one in every if one.name]
    width = max(len(one.header) for one in tables)
    out("Tables of the shop file")
    for one in tables:
        out(f"  {one.header:<{width}}  {_first(PAGES[one.name][''].words, 76 - width)}")
    out("", "Methods of checking")
    wide = max(map(len, names()))
    for name in names():
        out(f"  {name:<{wide}}  {_first(explained(name).finds, 76 - wide)}")
    out(*_HOW.split("\n"))


def _first(words: str, room: int) -> str:
    """Give the first clause of a text, as far as there is room."""
    import textwrap

    clause = re.split(r"[.:;,](?:\s|$)", words)[0]
    return textwrap.shorten(clause, room, placeholder=" ...")
