"""What the shop file says of one thing, to be changed without an editor."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from shopboard.board import doors
from shopboard.board.edit_view import EditRow, rows_lines
from shopboard.board.edit_words import called, explained_key
from shopboard.board.keys import BACK, DOWN, HELP, LEAVE_OUT, MORE, OPEN, OWNER, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.listed import ListScreen
from shopboard.checks.explained import explained
from shopboard.checks.registry import facts, names
from shopboard.shop.problems import ShopFileError
from shopboard.shop.what_for.on_screen import on_screen
from shopboard.writing.meant import Rules
from shopboard.writing.offers import tables_below
from shopboard.writing.opened import OpenedFile, open_file
from shopboard.writing.order import names_of
from shopboard.writing.spelling import as_told
from shopboard.writing.things import SORTS, Thing
from shopboard.writing.wishes import NotMeantError, added_to, left_out, taken_out


def opened(path: Path) -> OpenedFile:
    """Read the shop file to change it.

    Raises:
        ShopFileError: when it cannot be read, or is no TOML.
    """
    return open_file(path, Rules(str(path), names(), facts()))


class EditScreen(ListScreen):
    """Its settings, what belongs to it, and what can be added; each line opens what changes it."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, LEAVE_OUT, OWNER, BACK, HELP)

    def __init__(self, sort: str, name: str) -> None:
        """Show a thing.

        Args:
            sort: as `writing.things` calls it: ``point``.
            name: ``saw.blade``; of the shop ``shop``.
        """
        super().__init__()
        self._sort, self._called = sort, name
        self._file: OpenedFile | None = None
        self._rows: list[EditRow] = []
        self._bad = ""

    def heading(self) -> str:
        """Say what is changed."""
        return f"Shop file: {self._title(self._thing)}"

    @property
    def _thing(self) -> Thing | None:
        return self._file.thing(self._sort, self._called) if self._file else None

    def _title(self, thing: Thing | None) -> str:
        if thing is None or self._file is None:
            return self._called
        return self._file.title(thing)

    def on_mount(self) -> None:
        """Read the file."""
        self._read()

    def on_screen_resume(self) -> None:
        """Read what was changed meanwhile, from here or by another program."""
        self._read()

    def _read(self) -> None:
        try:
            was, self._file, self._bad = self._file, opened(self.open_shop.shop_file), ""
            if was is not None and self._thing is None:
                self._called = self._file.renamed(was, self._sort, self._called)
        except ShopFileError as error:
            self._file, self._bad = None, str(error)
        before, self._rows = self._rows, self._list()
        if 0 <= self._cursor < len(before):  # lines that came above move nobody off his
            names = [_same(one) for one in self._rows]
            here = _same(before[self._cursor])
            self._cursor = names.index(here) if here in names else self._cursor
        self.settle()

    def _list(self) -> list[EditRow]:
        file, thing = self._file, self._thing
        if file is None or thing is None:
            return []
        rows = [
            EditRow("setting", one.name, as_told(one.written), called=self._word(one.name))
            for one in file.settings(thing)
        ]
        rows += [
            EditRow("thing", one.name, f"{_sort_words(one.sort)}: {self._title(one)}", one.sort)
            for one in file.things
            if _belongs(one, thing)
        ]
        rows += [EditRow("add", sort, f"add {called(sort)}") for sort in added_to(thing)]
        rows += self._not_set(file, thing)
        if thing.sort != "shop":
            words = "take it out of the file; its records stay"
            rows.append(EditRow("take out", thing.name, words))
        return rows

    def _word(self, key: str) -> str:
        """Say what a setting is called."""
        return on_screen(SORTS.get(self._sort, self._sort), key)

    def _not_set(self, file: OpenedFile, thing: Thing) -> list[EditRow]:
        """List what may be set of it, of tables below it, too; and what sets it."""
        there = {one.name for one in file.settings(thing)}
        tables = dict(tables_below(names_of(thing.path)))
        more = [key for key in file.not_set(thing) if key not in (*_PARTS, *tables, "was")]
        for key, below in tables.items():
            of_use = (f"{key}.{one}" for one in self._of_use(thing, key, below, there))
            more += [name for name in of_use if name not in there]
        usual = {key: f"{as_told(value)} (as usual)" for key, value in file.usual(thing).items()}
        rows = [
            EditRow("not set", key, usual.get(key, "(not set)"), called=self._word(key))
            for key in more
        ]
        if "adjuster" not in tables:
            return rows
        what = called("adjuster")
        if "adjuster.kind" in there:
            return [*rows, EditRow("take out", "adjuster", f"take out {what}")]
        return [EditRow("add", "adjuster", f"add {what}"), *rows]

    def _of_use(
        self, thing: Thing, table: str, keys: tuple[str, ...], there: set[str]
    ) -> tuple[str, ...]:
        """Give the keys of a table below that mean something there."""
        if table == "adjuster":
            return keys if "adjuster.kind" in there else ()
        point = self.open_shop.shop.points.get(thing.name)
        if table != "sizes" or point is None:
            return keys
        taken = {size for name in point.checks for size in explained(name).sizes}
        return tuple(one for one in keys if one in taken)

    def rows(self) -> int:
        """Count the lines."""
        return len(self._rows)

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        if self._bad:
            return [(), ((f"  {self._bad}", "out"),)]
        if not self._rows:
            beside = self._sort == "project" and self._called in self.open_shop.shop.projects_by_id
            where = "stands in a file beside the shop file: change it there"
            words = f"  It {where}." if beside else "  It is no longer in the shop file."
            return [(), ((words, ""),)]
        return rows_lines(self._rows, self.settle(), (width, room))

    def choose(self, line: int) -> None:
        """Open what a line is about."""
        row, file, thing = self._rows[line], self._file, self._thing
        if file is None or thing is None:
            return
        if row.sort == "thing":
            self.app.push_screen(doors.EditScreen(row.of, row.name))
        elif row.sort == "add":
            self.app.push_screen(doors.AddScreen(file, thing, row.name))
        elif row.sort == "take out":
            self._look_at(file, thing, leave=row.name == "adjuster")
        else:
            self.app.push_screen(doors.ValueScreen(file, thing, row.name))

    def _look_at(self, file: OpenedFile, thing: Thing, *, leave: bool) -> None:
        try:
            if leave:
                wish = left_out(file.data, thing, self._rows[self._cursor].name)
            else:
                wish = taken_out(file.data, thing)
            result = file.changed(thing, wish)
        except (NotMeantError, ShopFileError) as error:
            self.refuse(str(error).splitlines()[0])
            return
        self.app.push_screen(doors.ChangedScreen(file, result, leaves=0 if leave else 1))

    def explained(self) -> list[str]:
        """Explain what the line under the cursor is, as `shopboard explain` does."""
        row = self._rows[self.settle()] if self._rows else None
        if row is None or "set" not in row.sort:
            return []
        return explained_key(SORTS.get(self._sort, self._sort), row.name)

    def do_leave_out(self) -> None:
        """Take the setting under the cursor out."""
        file, thing = self._file, self._thing
        if not self._rows or file is None or thing is None:
            return
        if self._rows[self.settle()].sort != "setting":
            self.refuse("only a setting can be left out")
            return
        self._look_at(file, thing, leave=True)

    def do_owner(self) -> None:
        """Go up to what it belongs to."""
        file, thing = self._file, self._thing
        if file is None or thing is None or thing.sort == "shop":
            self.refuse("this is the whole shop")
            return
        owner = next((one for one in file.things if one.path == thing.path[:-2]), None)
        sort, name = (owner.sort, owner.name) if owner else ("shop", "shop")
        self.app.switch_screen(doors.EditScreen(sort, name))


def _sort_words(sort: str) -> str:
    """Say a sort of thing without its article: ``question about the shop``."""
    return called(sort).removeprefix("an ").removeprefix("a ")


def _belongs(one: Thing, thing: Thing) -> bool:
    """Tell whether something belongs to a thing and to nothing between them."""
    if thing.sort == "shop":
        return one.sort != "shop" and not one.owner
    return one.owner == thing.id and one.path[: len(thing.path)] == thing.path != one.path


_PARTS = tuple(table.rpartition(".")[2] for table in SORTS.values())
"""Keys that hold things, which are listed by themselves."""


def _same(row: EditRow) -> tuple[str, str, str]:
    """Give what a line is known by: the same setting, set or not."""
    return ("set" if "set" in row.sort else row.sort), row.of, row.name
