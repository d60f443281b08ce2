"""Reading one table of the shop file: a key is declared where it is taken, in one line.

A reader takes its keys with `Table.take`; what is wrong is collected, never
raised, and a harmless stand-in is given back so that reading goes on and every
problem of the file comes out in one run. `Table.finish` then reports keys that
nobody asked for and keys that are missing.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import cache
from typing import Any, Generic, TypeVar, overload

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.wording import own_words
from shopboard.shop.allowed import Allowed
from shopboard.shop.hints import closest, type_name
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault, Path, Readers, RefusedError, Report, Spot
from shopboard.usual.called import CALLED, called

T = TypeVar("T")
D = TypeVar("D")


class Parser(Generic[T]):
    """A kind of value: how it is read, a stand-in for one that was refused, and what is allowed."""

    __slots__ = ("allowed", "read", "stand_in")

    def __init__(
        self, read: Callable[[object, Spot], T], stand_in: T, allowed: Callable[[], Allowed]
    ) -> None:
        self.read = read
        self.stand_in = stand_in
        self.allowed = allowed  # asked only to explain

    def take(self, raw: object, spot: Spot) -> T:
        """Read a raw value; a refusal is reported and the stand-in given back."""
        try:
            return self.read(raw, spot)
        except RefusedError as refused:
            spot.report.add(Fault(refused.path, refused.what, refused.allowed, refused.hint))
            return self.stand_in

    def read_alone(self, raw: object, spot: Spot) -> T:
        """Read a value that stands in no file: one of a list that is refused refuses all of it.

        Args:
            raw: as the file would have it.
            spot: with a report of its own.

        Raises:
            RefusedError: for the first that is wrong with it.
        """
        value = self.read(raw, spot)
        for one in spot.report.findings:
            if one.severity == "error":
                raise RefusedError(one.path, one.what, one.allowed, one.hint)
        return value


class Asked(NamedTuple):
    """What a reader asks for at a key."""

    kind: Parser[Any] | None
    """None: a table, or several."""
    default: object = ...
    """What holds where it is left out; `...`: it must be there."""
    header: str = ""
    """Of the table below."""


class Table:
    """One table of the file while it is being read."""

    def __init__(self, raw: Mapping[str, object], path: Path, header: str, report: Report) -> None:
        self.written = report.written.get(path, raw.keys())
        """Keys that stand in the file; `raw` may have more."""
        if header in CALLED and ("id" in raw) != ("name" in raw):
            made = called(raw, header)
            if "id" not in raw and "id" in made:
                report.made_ids.append(path)
            raw = made
        self.raw, self.path, self.header, self.report = raw, path, header, report
        self.asked: dict[str, Asked] = {}
        """Every key that its reader knows, in the order asked for."""
        self.one_of: list[tuple[str, ...]] = []
        """Keys of which exactly one must be there."""
        self.settled: set[str] = set()
        """Keys that are dealt with, although nobody asks for their value."""
        self.missing: dict[str, tuple[str, str]] = {}
        """What is wrong and what is allowed, by the key that is not there."""

    @overload
    def take(self, key: str, kind: Parser[T]) -> T: ...
    @overload
    def take(self, key: str, kind: Parser[T], default: D) -> T | D: ...
    def take(self, key: str, kind: Parser[T], default: object = ...) -> object:
        """Read a key; without a default it must be there."""
        self.asked[key] = Asked(kind, default)
        if key in self.raw:
            return kind.take(self.raw[key], Spot((*self.path, key), self.report))
        if default is ...:
            self.miss(key, f"{key} is missing in {self.header}")
            return kind.stand_in
        return default

    def just_one(self, keys: tuple[str, ...]) -> str:
        """Give which of several keys (taken already, all optional) is there: exactly one may be."""
        self.one_of.append(keys)
        present = [key for key in keys if key in self.raw]
        if not present:
            self.miss(keys[0], f"one of {', '.join(keys)} is needed in {self.header}")
            return ""
        for key in present[1:]:
            self.refuse(key, f"{key} beside {present[0]}", f"only one of {', '.join(keys)}")
        return present[0]

    def miss(self, key: str, what: str, allowed: str = "") -> None:
        """Note that a key is missing; not reported when another key was meant to be it."""
        self.missing[key] = (what, allowed)

    def refuse(
        self, key: str, what: str, allowed: str = "", hint: str = "", *, at_key: bool = True
    ) -> None:
        """Report an error at a key of this table, or at its value."""
        self.report.add(Fault((*self.path, key), what, allowed, hint, at_key=at_key))

    def one(self, key: str, reader: Callable[[Table], T]) -> T | None:
        """Read a table below this one; None when it is not there."""
        raw = self.raw.get(key)
        header = self._below(key, many=False)
        path: Path = (*self.path, key)
        if isinstance(raw, list) and len(raw) == 1 and isinstance(raw[0], dict):
            self.report.add(Fault(path, f"two brackets around {key}", f"write {header}"))
            raw, path = raw[0], (*path, 0)
        if isinstance(raw, dict):
            return read_below(Table(raw, path, header, self.report), reader)
        if raw is not None:
            self.report.add(Fault(path, f"{key} is {type_name(raw)}", f"write a table, {header}"))
        return None

    def many(self, key: str, reader: Callable[[Table], T]) -> list[T]:
        """Read a list of tables below this one; empty when it is not there."""
        raw = self.raw.get(key, [])
        header = self._below(key, many=True)
        path: Path = (*self.path, key)
        if isinstance(raw, dict):
            return [self._read_lone(raw, Table(raw, path, header, self.report), reader)]
        if not isinstance(raw, list):
            self.report.add(Fault(path, f"{key} is {type_name(raw)}", f"write tables, {header}"))
            return []
        read: list[T] = []
        for index, item in enumerate(raw):
            if isinstance(item, dict):
                below = Table(item, (*path, index), header, self.report)
                read.append(read_below(below, reader))
            else:
                self.report.add(
                    Fault((*path, index), f"{type_name(item)} in {key}", f"write {header}")
                )
        return read

    def _read_lone(
        self, raw: Mapping[str, object], below: Table, reader: Callable[[Table], T]
    ) -> T:
        """Read a table that should have been one of a list, and say what its header lacks."""
        implied = bool(raw) and all(isinstance(value, dict | list) for value in raw.values())
        if implied:
            what, allowed = f"no {below.header} above this", f"begin it with a line {below.header}"
        else:
            what, allowed = "one pair of brackets", f"write {below.header} for each"
        self.report.add(Fault(below.path, what, allowed, at_key=True))
        value = reader(below)
        if implied:
            below.missing.clear()
        below.finish()
        return value

    def _below(self, key: str, *, many: bool) -> str:
        """Note that a key holds tables; give their header."""
        name = ".".join([*(part for part in self.path if isinstance(part, str)), key])
        header = f"[[{name}]]" if many else f"[{name}]"
        self.asked[key] = Asked(None, None, header)
        return header

    def leave_others(self) -> None:
        """Stop reading: what else stands here cannot be judged."""
        self.settled.update(self.raw)

    def finish(self) -> None:
        """Report keys that nobody asked for, then keys that are missing."""
        unknown = [key for key in self.raw if key not in self.asked and key not in self.settled]
        for key in unknown:
            self.missing.pop(self._report_unknown(key, self.missing), None)
        if "id" in self.missing and self.header in CALLED:
            self.missing.pop("name", None)  # it would be made of the id
        for key, (what, allowed) in self.missing.items():
            allowed = "; ".join(filter(None, (allowed, self._for_example(key))))
            self.report.add(Fault((*self.path, key), what, allowed))  # shown at the header

    def _for_example(self, key: str) -> str:
        """Give a line that would do in the shop's own unit, for a key that is not there."""
        kind = self.asked[key].kind if key in self.asked else None
        if kind is None:
            return ""
        from shopboard.shop.what_for import example_of

        value = example_of(self.header, key, kind.allowed())
        return f"for example {key} = {own_words(value, self.report.unit)}"

    def _report_unknown(self, key: str, missing: Collection[str]) -> str:
        """Report one unknown key; give the missing key that it was probably meant to be."""
        path = (*self.path, key)
        what = f"{shorten(key)} is not a key of {self.header or 'the top of the file'}"
        meant = closest(key, missing) or self._meant_by(key)
        readers = self.report.readers()
        elsewhere = [] if meant in missing else _headers_with(key, self.header, readers)
        full = next((head for head in readers if head.rstrip("]").endswith(f".{key}")), "")
        if full and isinstance(self.raw[key], dict | list):
            self.report.add(Fault(path, what, f"write {full}", at_key=True))
            return ""
        if elsewhere:
            allowed = f"it belongs in {' or '.join(elsewhere)}"
            above = any(self.header.startswith(head.strip("[]"), 1) for head in elsewhere)
            hint = f"move it up, above the line {self.header}" if above else ""
            self.report.add(Fault(path, what, allowed, hint, at_key=True))
            return ""
        allowed = f"allowed: {', '.join(one.header or name for name, one in self.asked.items())}"
        header = self.asked[meant].header if meant in self.asked else ""
        called = header or f'"{meant}"'
        hint = f"did you mean {called}?" if meant else ""
        self.report.add(Fault(path, what, allowed, hint, at_key=True))
        return meant

    def _meant_by(self, key: str) -> str:
        """Give the key that another one was probably meant to be, by the file or the screens."""
        from shopboard.shop.what_for.on_screen import on_screen

        free = [
            one
            for one, asked in self.asked.items()
            if one not in self.written or asked.header.startswith("[[")
        ]
        if near := closest(key, free):
            return near
        table = self.header.strip("[]")
        called = {on_screen(table, one).replace(" ", "_"): one for one in free}
        return called.get(closest(key, called), "")


READERS: dict[str, Callable[[Table], object]] = {}
"""Every reader that was imported, by the header of the table that it reads."""

Reader = TypeVar("Reader", bound=Callable[..., object])


def reads(header: str) -> Callable[[Reader], Reader]:
    """Declare which table a function reads, by its header: ``[[machine.point]]``."""

    def register(reader: Reader) -> Reader:
        READERS[header] = reader
        return reader

    return register


@cache
def keys_of(header: str) -> list[str]:
    """Give every key of a table, found out by letting its reader read an empty one."""
    empty = Table({}, (), header, Report())
    READERS[header](empty)
    return list(empty.asked)


def _headers_with(key: str, but: str, readers: Readers) -> list[str]:
    """Give the headers of the other tables that know a key, if they are few enough to help."""
    if key in ("id", "name"):
        return []
    found = [header for header in readers if header != but and key in keys_of(header)]
    return found if len(found) <= 3 else []


def read_below(table: Table, reader: Callable[[Table], T]) -> T:
    """Read a table, and report what its reader did not ask for."""
    value = reader(table)
    table.finish()
    return value
