"""A prep day in a real terminal: killed outright, started again, on with the same rest."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import open_journal
from shopboard.open_shop import utc_now
from shopboard.prep.begun_day import day_under_way
from tests.prep.workshop import SHOP

pytest.importorskip("pyte")
pytest.importorskip("pty", reason="this system has no pseudo-terminals")

from tests.board.test_task_kill import kill, press
from tests.board.test_terminal import Program, says


def test_killed_in_a_wait_it_shows_the_same_day(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text(SHOP, encoding="utf-8")
    loft = Program(tmp_path / "shop.toml", tmp_path / "journal.sqlite3")
    with loft.start() as terminal:
        press(terminal, "np")
        assert says(terminal, "A prep day for Blanket chest")
        press(terminal, "\r")
        assert says(terminal, "NOW Table saw: Blade off, into the tub")
        press(terminal, "\r1\r\r")
        assert says(terminal, "Leave it; the timer keeps running")
        kill(terminal)
    with closing(open_journal(loft.journal_file, utc_now)) as journal:
        assert journal.verify() is None
        day = day_under_way(journal)
        assert day is not None
        assert day.project == "chest"
    with loft.start() as terminal:
        press(terminal, "n")
        assert says(terminal, "NOW Hand tools: Hone the gouges")
        assert says(terminal, "Table saw: Soak")
        kill(terminal)
    with loft.start() as terminal:
        press(terminal, "n\r1")
        assert says(terminal, "Done and recorded: Hone the gouges.")
        press(terminal, "xx")
        assert says(terminal, "The prep day is over")
        press(terminal, "q")
        assert terminal.wait() == 0
