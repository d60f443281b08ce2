"""Textual is imported without its palette of commands, and whole where it cannot do without."""

from __future__ import annotations

from pathlib import Path

from tests.test_imports import loaded_by

LEAN = "from shopboard.board.lean import import_textual\n"

PALETTE = {"textual.command", "textual.widgets._input", "textual.widgets._select"}
UNUSED = PALETTE | {"textual.widgets._toast", "textual.containers", "rich.table"}


def test_the_palette_and_what_encrypts_are_left_out(tmp_path: Path) -> None:
    loaded = loaded_by(f"{LEAN}import_textual()", tmp_path)
    assert "textual.app" in loaded
    assert not (UNUSED | {"ssl"}) & loaded


def test_who_asks_for_them_later_gets_the_real_ones(tmp_path: Path) -> None:
    later = (
        "import ssl, textual.command, textual.widgets._toast, rich.table\n"
        "assert textual.command.CommandPalette.BINDINGS\n"
        "assert rich.table.Table().columns == []\n"
    )
    assert {*UNUSED, "ssl"} <= loaded_by(f"{LEAN}import_textual()\n{later}", tmp_path)


def test_what_is_left_for_later_is_read_when_it_is_asked_for(tmp_path: Path) -> None:
    code = (
        "import sys, threading\n"
        "from shopboard.board import lean\n"
        "lean.import_textual()\n"
        "import shopboard.board.app, shopboard.board.terminal\n"
        "waits = {name for name in lean._LATER if type(sys.modules[name]) is lean._Later}\n"
        "assert waits == set(lean._LATER), set(lean._LATER) - waits\n"
        "import difflib, locale, shutil, tempfile, textwrap, textual.notifications as told\n"
        "found = []\n"
        "ask = lambda: found.append(textwrap.fill('one two', 3))\n"
        "threads = [threading.Thread(target=ask) for _ in range(8)]\n"
        "[one.start() for one in threads], [one.join() for one in threads]\n"
        "assert found == ['one\\ntwo'] * 8\n"
        "assert told.uuid4() != told.uuid4() and len(str(told.uuid4())) == 36\n"
        "assert difflib.get_close_matches('jointer', ['jointers']) == ['jointers']\n"
        "assert tempfile.gettempdir() and shutil.disk_usage('.').total and locale.getlocale()\n"
        "for one in (difflib, locale, shutil, tempfile, textwrap):\n"
        "    assert type(one) is type(sys) and 'is read' not in vars(one)\n"
        "    assert not hasattr(one, 'nothing_of_the_kind')\n"
    )
    loaded_by(code, tmp_path)


def test_a_textual_that_puts_its_notices_elsewhere_is_imported_whole(tmp_path: Path) -> None:
    code = (
        "import importlib, shopboard.board.lean as lean\n"
        "real = lean.import_module\n"
        "def other(name):\n"
        "    module = real(name)\n"
        "    if name == 'textual.screen':\n        del module.Screen._extend_compose\n"
        "        del module.Widget._extend_compose\n"
        "    return module\n"
        "lean.import_module = other\n"
        "lean.import_textual()\n"
        "from shopboard.board.app import BoardApp\n"
        "from textual.screen import ToastRack\n"
        "assert ToastRack.DEFAULT_CSS\n"
    )
    assert loaded_by(code, tmp_path) >= UNUSED


def test_a_textual_that_cannot_do_without_is_imported_whole(tmp_path: Path) -> None:
    """A later one may use the palette as soon as it is imported; here the stand-in fails for it."""
    code = (
        "import shopboard.board.lean as lean\n"
        "def refuse(self, name):\n    raise TypeError(name)\n"
        "lean._Unused.__getattr__ = refuse\n"
        "lean.import_textual()\n"
        "from shopboard.board.app import BoardApp"
    )
    assert loaded_by(code, tmp_path) >= PALETTE


def test_once_imported_it_stays_as_it_is(tmp_path: Path) -> None:
    assert loaded_by(f"import textual.app\n{LEAN}import_textual()", tmp_path) >= PALETTE
