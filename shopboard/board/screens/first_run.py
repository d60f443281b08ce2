"""No shop to show: it is described, or the sample is looked at, or a file is written by hand."""

from __future__ import annotations

from typing import ClassVar

from shopboard.base.locations import answers_path, is_something_at, sample_path
from shopboard.board.keys import HELP, OPEN, QUIT, RELOAD, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.steady import SteadyScreen

_SOON = 0.2
"""Seconds after the first picture when what the questions take is imported: a key is near."""


def _get_ready() -> None:
    from shopboard.board.screens import describe as describe
    from shopboard.describing.begun import get_ready

    get_ready()


class FirstRunScreen(SteadyScreen):
    """A plain screen that offers to describe the shop and says where its file goes."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (OPEN, RELOAD, HELP, QUIT)

    def on_mount(self) -> None:
        """Begin at once where that was asked for."""
        if self.board.describes:
            self.call_after_refresh(self._describe)
        else:
            self.set_timer(_SOON, _get_ready)

    def heading(self) -> str:
        """Greet."""
        return "shopboard: no shop file yet"

    def body(self, width: int, room: int) -> list[Line]:
        """Say in a few lines what to do."""
        self.shows("first run")
        path = said(str(self.board.shop_file))
        words = [
            "This board shows which of your machines are true, and leads you through the checks"
            " that prove it.",
            "",
            "It goes by a shop file, which names your machines and the points on them that must"
            " be true. Yours goes here:",
            path,
        ]
        lines: list[Line] = [()]
        for one in words:
            lines += [
                ((f"  {line}", "bold" if one == path else ""),) for line in wrap(one, width - 4)
            ]
        begun = (
            "go on describing my shop"
            if is_something_at(answers_path(self.board.shop_file))
            else "describe my shop"
        )
        choices = (
            f"{begun}, on the number pad (Enter)",
            "look around in a demo shop with two years of records",
            "write the sample shop there, to be changed by hand",
        )
        for number, choice in enumerate(choices, 1):
            lines += [(), ((f"  {number} ", "key"), (f" {choice}", "bold"))]
        about = (
            "A shop of three machines takes about 30 keys. Every answer is saved at once. The file"
            " is plain text; change it as you like; `shopboard explain` tells each setting."
        )
        lines.append(())
        lines += [((f"  {one}", "dim"),) for one in wrap(about, width - 4)]
        return lines[:room]

    def _describe(self) -> None:
        from shopboard.board.describing import begin_describing

        begin_describing(self)

    def do_digit(self, number: int) -> None:
        """Describe the shop, look at the demo, or write the sample."""
        if number == 1:
            self._describe()
        elif number == 2:
            self.board.then = ("demo",)
            self.do_quit()
        elif number == 3:
            self._write_sample()

    def _write_sample(self) -> None:
        """Put the sample shop where the shop file goes, and open it."""
        from shopboard.writing.saving import NotSavedError, create

        try:
            create(self.board.shop_file, sample_path().read_bytes())
        except NotSavedError as error:
            self.refuse(str(error))
            return
        self.board.look_for_a_shop()

    def do_open(self) -> None:
        """Describe the shop."""
        self._describe()

    def do_reload(self) -> None:
        """Look whether the file is there now."""
        self.board.look_again()

    def do_quit(self) -> None:
        """Leave."""
        self.app.exit(return_code=0)
