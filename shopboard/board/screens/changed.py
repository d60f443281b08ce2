"""Shows the lines of the shop file that a change makes, and saves it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from shopboard.board.edit_view import changed_lines
from shopboard.board.keys import BACK, DOWN, HELP, PAGE_MORE, SAVE, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.paged import PagedScreen
from shopboard.board.screens.sliced import SlicedScreen
from shopboard.shop.problems import ShopFileError
from shopboard.writing.meant import Proofread
from shopboard.writing.opened import OpenedFile
from shopboard.writing.saving import NotSavedError


class ChangedScreen(SlicedScreen, PagedScreen):
    """Nothing is changed before Enter; a power cut leaves the file as it was, or as shown."""

    keys: ClassVar[tuple[Key, ...]] = (SAVE, PAGE_MORE, UP, DOWN, BACK, HELP)

    def __init__(self, file: OpenedFile, result: Proofread, leaves: int) -> None:
        """Show a change.

        Args:
            file: as it was read.
            result: the new text, with what is odd in it.
            leaves: how many screens below are left, too, once it is saved.
        """
        super().__init__()
        self._file, self._result, self._leaves = file, result, leaves
        self._doubts = [one.sentence for one in result.warnings]

    def heading(self) -> str:
        """Say what is shown."""
        return f"Change {self._file.path.name}?"

    def pieces(self) -> Iterator[None]:
        """Look what the tools cannot prove then and could before."""
        from shopboard.prep.beyond_drawer import newly_beyond

        found = self._doubts = [one.sentence for one in self._result.warnings]
        rules, new = self._file.rules, self._result.new.text
        try:
            before, after = rules.read(self._file.text).shop, rules.read(new).shop
        except ShopFileError:  # the file was bad before: this mends it
            return
        for beyond in newly_beyond(before, after, new, self.open_shop.journal):
            found += [one.sentence for one in beyond]
            yield

    def body(self, width: int, room: int) -> list[Line]:
        """Show what is odd as soon as it is known, and the lines: a page of it."""
        self.is_worked_out()
        saves = "  Enter saves it. The present file stays beside it."
        return [*super().body(width, room - 2), (), ((saves, ""),)]

    def lines(self, width: int) -> list[Line]:
        """Give what is odd, then the lines that change."""
        return changed_lines(self._result.new.lines, self._doubts, width)

    def do_save(self) -> None:
        """Save it, and go back to where the change began."""
        try:
            kept = self._file.save(self._result, self.open_shop.now())
        except NotSavedError as error:
            self.refuse(f"{error}.")
            return
        for _ in range(self._leaves):
            self.app.pop_screen()
        name = kept.name if kept is not None else self._file.path.name
        self.board.go_back_saying(f"Saved; the file before is {name}, beside it.")
