"""What the readers of the shop file declare: every table, its keys, and when they must be there.

It is found out by letting each reader read: an empty table, and one for each word that decides
what belongs beside it, such as the kind of a joint.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, partial
from typing import Any, get_args

import tomli

from shopboard.checks.registry import facts, names
from shopboard.metrology.wording import own_words
from shopboard.shop.project import JointKind
from shopboard.shop.read_machines import ADJUSTERS, read_adjuster
from shopboard.shop.read_project import read_joint
from shopboard.shop.reader import every_reader, read_top
from shopboard.shop.report import Report
from shopboard.shop.sorts import Case, DeclaredKey, Sort
from shopboard.shop.table import Asked, Parser, Table
from shopboard.shop.what_for import PAGES, example_of, name_of
from shopboard.usual.called import CALLED, ID_WRITTEN
from shopboard.usual.filling import SIGNS, filled
from shopboard.usual.lookup import KINDS, machine


def _cases(name: str) -> Iterator[Case]:
    """Give what decides in a table."""
    if name == "machine.point":
        for word in names():
            yield Case("check", word, {"check": word})
        for word in ("upright", "flat"):
            yield Case("lies", word, {"lies": word})
    elif name == "machine.point.adjuster":
        for word in ADJUSTERS:
            yield Case("kind", word, {"kind": word})
        direct = partial(read_adjuster, direct=True)
        yield Case("kind", "screw", {"kind": "screw"}, " of a length", direct)
    elif name == "project.joint":
        for word in get_args(JointKind):
            yield Case("kind", word, {"kind": word})
            told = partial(read_joint, thick=20.0)
            yield Case("kind", word, {"kind": word}, " of a project that tells it", told)
    elif name == "drawer.square":
        for key in ("grade", "within", "certified"):
            yield Case(key, "", {key: "0" if key == "grade" else "0.1 thou/ft"})


@cache
def sorts() -> Mapping[str, Sort]:
    """Give every table by its name, the file as a whole first."""
    readers: dict[str, Callable[[Table], object]] = {"": read_top}
    readers |= {header: one for header, one in every_reader().items() if " with " not in header}
    found = (_sort(header, reader) for header, reader in readers.items())
    by_name = {one.name: one for one in found}
    return {name: by_name[name] for name in PAGES}


def _sort(header: str, reader: Callable[[Table], object]) -> Sort:
    name = name_of(header)
    cases = tuple(_cases(name))
    # In a file of nothing at all no key is missing, but everything.
    plain = _read(header, reader, {} if header else {"safety": []})
    read = [(case, _read(header, case.reader or reader, case.says)) for case in cases]
    asked = {key: one for _, table in reversed(read) for key, one in table.asked.items()}
    one_of = {keys for table in (plain, *(one for _, one in read)) for keys in table.one_of}
    either = {key for keys in one_of for key in keys}
    spared = plain.missing.keys() - _usual(name, header, reader).missing.keys()
    keys = {
        key: _key(header, reader, plain, read, key, one, either=key in either)
        for key, one in {**plain.asked, **asked}.items()
    }
    keys |= {
        key: one._replace(required=False, usual=True)
        for key, one in keys.items()
        if one.required and key in spared
    }
    return Sort(name, header, keys, tuple(sorted(one_of)), cases)


def _key(
    header: str,
    reader: Callable[[Table], object],
    plain: Table,
    read: Sequence[tuple[Case, Table]],
    key: str,
    asked: Asked,
    *,
    either: bool,
) -> DeclaredKey:
    """Give what is declared of a key; `either`: one of several, of which one must be there."""
    needed = () if either else _needed(key, plain, read)
    beside = _beside(header, reader, key, plain)
    barred = () if beside else _barred(header, reader, key, read, alone=not either)
    made_of = _MADE_OF.get(key, "") if header in CALLED else ""
    if key == "id" and header in ID_WRITTEN:
        made_of = ""
    required = key in plain.missing and not (needed or either or made_of)
    return DeclaredKey(key, asked, required, needed, barred, beside, made_of)


_MADE_OF = {"id": "name", "name": "id"}


def _usual(name: str, header: str, reader: Callable[[Table], object]) -> Table:
    """Read one of the usual things of a machine, of which its id is all that is said."""
    *above, key = name.split(".")
    raw: Mapping[str, Any] = {}
    if above == ["machine"] and key in SIGNS:
        usual = machine(KINDS[0])
        first = {
            "point": usual.points[0].id,
            "task": usual.tasks[0].id,
            "cutter": usual.cutters[0].id,
        }[key]
        raw = filled({"kind": usual.kind, key: [{"id": first}]}, "inch")[key][0]
    return _read(header, reader, raw)


def _needed(key: str, plain: Table, read: Sequence[tuple[Case, Table]]) -> tuple[Case, ...]:
    """Give the cases in which alone a key must be there; none where it always must, or never."""
    found: list[Case] = []
    for by in dict.fromkeys(case.by for case, _ in read):
        group = [(case, key in table.missing) for case, table in read if case.by == by]
        needed = [case for case, missing in group if missing]
        if len(needed) < len(group) or key not in plain.missing:
            found += needed
    return tuple(found)


def _barred(
    header: str,
    reader: Callable[[Table], object],
    key: str,
    read: Sequence[tuple[Case, Table]],
    *,
    alone: bool,
) -> tuple[Case, ...]:
    """Give the cases in which a key is not asked for, or refused though it stands `alone`."""
    found: list[Case] = []
    for by in dict.fromkeys(case.by for case, _ in read if case.by != key):
        group = [(case, table.asked.get(key)) for case, table in read if case.by == by]
        barred = [
            case
            for case, asked in group
            if asked is None
            or (alone and _is_refused(header, case.reader or reader, key, asked, case.says))
        ]
        if len(barred) < len(group):  # else it is no matter of these
            found += barred
    return tuple(found)


def _beside(header: str, reader: Callable[[Table], object], key: str, plain: Table) -> str:
    """Give the key that one needs beside it; empty where it needs none, or none helps."""
    asked = plain.asked.get(key)
    if asked is None or not _is_refused(header, reader, key, asked, {}):
        return ""
    for other, one in plain.asked.items():
        if other != key and one.kind is not None:
            beside = {other: _example(header, other, one.kind)}
            if not _is_refused(header, reader, key, asked, beside):
                return other
    return ""


def _is_refused(
    header: str,
    reader: Callable[[Table], object],
    key: str,
    asked: Asked,
    beside: Mapping[str, object],
) -> bool:
    """Tell whether a key is refused beside others, whatever its value."""
    if asked.kind is None:
        return False
    table = _read(header, reader, {**beside, key: _example(header, key, asked.kind)})
    return any(fault.path == (*table.path, key) and fault.at_key for fault in table.report.findings)


@cache
def _example(header: str, key: str, kind: Parser[Any]) -> object:
    """Give the value that is shown as an example."""
    typed = own_words(example_of(header, key, kind.allowed()), "inch")
    return tomli.loads(f"value = {typed}")["value"]


_facts = cache(facts)


def _read(header: str, reader: Callable[[Table], object], raw: Mapping[str, object]) -> Table:
    path = tuple(filter(None, name_of(header).split(".")))
    table = Table(raw, path, header, Report(names(), _facts(), every_reader))
    reader(table)
    return table
