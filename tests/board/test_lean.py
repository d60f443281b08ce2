"""Textual is imported without its palette of commands, and whole where it cannot do without."""

from __future__ import annotations

from pathlib import Path

from tests.test_imports import loaded_by

LEAN = "from shopboard.board.lean import import_textual\n"

PALETTE = {"textual.command", "textual.widgets._input", "textual.widgets._select"}


def test_the_palette_and_what_encrypts_are_left_out(tmp_path: Path) -> None:
    loaded = loaded_by(f"{LEAN}import_textual()", tmp_path)
    assert "textual.app" in loaded
    assert not (PALETTE | {"ssl"}) & loaded


def test_who_asks_for_them_later_gets_the_real_ones(tmp_path: Path) -> None:
    later = "import ssl, textual.command\nassert textual.command.CommandPalette.BINDINGS"
    assert {*PALETTE, "ssl"} <= loaded_by(f"{LEAN}import_textual()\n{later}", tmp_path)


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
