"""The board started in a terminal of its own, to be ill-treated there."""

from __future__ import annotations

import sys
from pathlib import Path
from shutil import copyfile

from shopboard.journal import open_journal
from shopboard.open_shop import utc_now
from tests.terminal import BOARD, Terminal
from tests.two_shops import written
from tests.whole_shop import WHOLE_SHOP

_KEYS = {"enter": "\r", "escape": "\x1b"}


class Bench:
    """A shop and a journal on which the board is started."""

    def __init__(self, folder: Path, shop: str = "") -> None:
        """Stand on the shop that most is tried on, or on one of those that what holds of any is."""
        self.folder = folder
        self.shop_file = written(shop, folder) if shop else folder / "shop.toml"
        if not shop:
            copyfile(WHOLE_SHOP, self.shop_file)
        self.journal_file = folder / "journal.sqlite3"
        open_journal(self.journal_file, utc_now).close()  # at a named place none is begun unasked

    def start(self, code: str = "", **environment: str) -> Terminal:
        """Start the board, or some code in its place; do not wait for its first picture."""
        program = (sys.executable, "-c", code) if code else BOARD
        files = ("--shop", str(self.shop_file), "--journal", str(self.journal_file))
        home = {"HOME": str(self.folder), "XDG_STATE_HOME": str(self.folder / "state")}
        return Terminal((*program, *files), (80, 24), {"TZ": "UTC", **home, **environment})

    def stand(self, code: str = "") -> Terminal:
        """Start the board; wait for its first picture."""
        terminal = self.start(code)
        terminal.until(lambda output: b"\x1b[24;1H" in output)
        terminal.settle()
        return terminal

    @property
    def report(self) -> Path:
        """Where the report of a crash is."""
        return self.folder / "state" / "shopboard" / "log" / "crash.txt"


def is_given_back(output: bytes) -> bool:
    """Tell whether all that was asked of the terminal was given back, the screen last."""
    on = (b"\x1b[?1049h", b"\x1b[?25l", b"\x1b[?2004h", b"\x1b[?1004h", b"\x1b[?7l", b"\x1b[>25u")
    off = (b"\x1b[?1049l", b"\x1b[?25h", b"\x1b[?2004l", b"\x1b[?1004l", b"\x1b[?7h", b"\x1b[<u")
    return all(output.rfind(a) < output.rfind(b) for a, b in zip(on, off, strict=True))


def press(terminal: Terminal, *keys: str) -> None:
    """Press keys as a person does, looking before each."""
    for key in keys:
        terminal.settle_and_read()
        terminal.send(_KEYS.get(key, key).encode())
    terminal.settle_and_read()
