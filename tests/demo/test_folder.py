"""The folder of the demo: whole or not there, anew when it is stale, and nobody else's."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopboard import __version__
from shopboard.demo import folder as folders
from shopboard.demo.folder import GOOD_FOR, DemoFiles, FolderError, demo_in
from shopboard.demo.made import HEAD
from shopboard.journal.in_one_go import MadeUpJournal
from shopboard.journal.kinds import MadeUp
from shopboard.journal.remembered import memory_file

NOW = datetime(2026, 11, 29, 12, tzinfo=UTC)

Ask = Callable[..., tuple[DemoFiles, list[str]]]


@pytest.fixture
def ask(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Ask for the demo of a folder; it is made of a shop of which nothing more is on record."""
    monkeypatch.setattr(folders, "make", nothing_more)

    def asked(now: datetime = NOW, **told: object) -> tuple[DemoFiles, list[str]]:
        said: list[str] = []
        return demo_in(tmp_path / "demo", now, said.append, **told), said  # type: ignore[arg-type]

    return asked


def nothing_more(text: str, folder: Path, seed: int, now: datetime) -> None:
    """Make a shop file, and a journal that says what it is and no more."""
    (folder / "shop.toml").write_text(HEAD + text, encoding="utf-8")
    made = MadeUp(seed, now.isoformat(), __version__)
    MadeUpJournal(folder / "journal.sqlite3", lambda: now, made).keep()


def there(tmp_path: Path) -> dict[str, bytes]:
    """Give every file below the folder above the demo."""
    found = (one for one in tmp_path.rglob("*") if one.is_file())
    return {str(one.relative_to(tmp_path)): one.read_bytes() for one in found}


def test_it_is_made_once_and_anew_when_it_is_stale(
    ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files, said = ask()
    assert len(said) == 1
    first = there(tmp_path)
    assert {*first} >= {"demo/shop.toml", "demo/journal.sqlite3"}
    assert all(name.startswith("demo/") for name in first), "nothing is left beside it"
    assert ask(NOW + GOOD_FOR)[1] == []
    assert there(tmp_path) == first
    assert "4 days old" in ask(NOW + GOOD_FOR + timedelta(days=1))[1][0]
    assert there(tmp_path) != first
    assert ask(NOW + timedelta(days=4), seed=7)[1] != []
    assert ask(NOW + timedelta(days=4), seed=7)[1] == []
    assert ask(NOW + timedelta(days=4))[1] == [], "any that are there will do"
    assert ask(NOW + timedelta(days=4), fresh=True)[1] != []
    monkeypatch.setattr(folders, "__version__", "999")
    assert "this version" in ask(NOW + timedelta(days=4))[1][0]
    assert ask(NOW)[1] != [], "of a day to come"
    files.journal.unlink()
    assert ask(NOW)[1] != []
    assert files.journal.exists()
    assert not memory_file().exists(), "no journal of a demo is remembered"


def test_a_folder_that_holds_something_else_is_left_alone(ask: Ask, tmp_path: Path) -> None:
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "shop.toml").write_text("mine", encoding="utf-8")
    before = there(tmp_path)
    with pytest.raises(FolderError, match=r"shop\.toml, which is not of the demo"):
        ask(fresh=True)
    assert there(tmp_path) == before
    (tmp_path / "demo" / "shop.toml").unlink()
    ask()
    (tmp_path / "demo" / "letter.txt").write_text("mine", encoding="utf-8")
    before = there(tmp_path)
    with pytest.raises(FolderError, match=r"letter\.txt"):
        ask(fresh=True)
    assert there(tmp_path) == before


@pytest.mark.skipif(os.name != "posix", reason="links")
def test_a_link_is_not_followed(ask: Ask, tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "demo").symlink_to(tmp_path / "mine")
    with pytest.raises(FolderError):
        ask()
    assert not [*(tmp_path / "mine").iterdir()]


@pytest.mark.parametrize("stopped", [KeyboardInterrupt, OSError(28, "No space left")])
def test_what_is_cut_short_leaves_what_was_there(
    ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stopped: BaseException
) -> None:
    ask()
    before = there(tmp_path)

    def cut(text: str, folder: Path, seed: int, now: datetime) -> None:
        (folder / "journal.sqlite3").write_bytes(b"half")
        raise stopped

    with monkeypatch.context() as short:
        short.setattr(folders, "make", cut)
        with pytest.raises((KeyboardInterrupt, OSError)):
            ask(fresh=True)
    assert there(tmp_path) == before
    assert ask()[1] == []


def test_half_a_demo_is_none(ask: Ask, tmp_path: Path) -> None:
    """As a kill leaves it that lets nobody tidy up: beside the folder, under another name."""
    half = tmp_path / ".demo-being-made-x" / "new"
    half.mkdir(parents=True)
    (half / "journal.sqlite3").write_bytes(b"half")
    files, said = ask()
    assert len(said) == 1
    assert files.journal.parent == tmp_path / "demo"
    assert half.is_dir(), "somebody may be at work at it"
    long_ago = (NOW - timedelta(days=1)).timestamp()
    os.utime(half.parent, (long_ago, long_ago))
    ask(fresh=True)
    assert not half.exists()
