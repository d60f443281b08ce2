"""No shop to show: offers the sample where there is no file, says what is wrong where one is."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import HELP, QUIT, RELOAD, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.base import ShopScreen


class FirstRunScreen(ShopScreen):
    """A plain screen that offers the sample and says where the file goes."""

    keys: ClassVar[tuple[Key, ...]] = (RELOAD, HELP, QUIT)

    def heading(self) -> str:
        """Greet."""
        return "shopboard: no shop file yet"

    def body(self, width: int, room: int) -> list[Line]:
        """Say in a few lines what to do."""
        path = said(str(self.board.shop_file))
        words = [
            "This board shows which of your machines are true, and leads you through the checks"
            " that prove it.",
            "",
            "It needs a shop file that names your machines and the points on them that must be"
            " true. It goes here:",
            path,
        ]
        lines: list[Line] = [()]
        for one in words:
            lines += [
                ((f"  {line}", "bold" if one == path else ""),) for line in wrap(one, width - 4)
            ]
        lines += [
            (),
            (("  1 ", "key"), (" write the sample shop there and open it", "bold")),
            (("  2 ", "key"), (" leave, and write a file of my own", "bold")),
            (),
            (
                (
                    "  It is plain text, to be changed; `shopboard explain` tells each setting.",
                    "dim",
                ),
            ),
        ]
        return lines[:room]

    def do_digit(self, number: int) -> None:
        """Write the sample, or leave."""
        if number == 1:
            self.board.write_sample()
        elif number == 2:
            self.do_quit()

    def do_reload(self) -> None:
        """Look whether the file is there now."""
        self.board.look_again()

    def do_quit(self) -> None:
        """Leave."""
        self.app.exit(return_code=0)
