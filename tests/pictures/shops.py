"""The shops that pictures are taken in: two years of records each, the same on every day."""

from __future__ import annotations

import shutil
import tempfile
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

from shopboard.demo.made import make
from tests.board.conftest import Place
from tests.journal.helpers import Clock
from tests.once import made_once
from tests.two_shops import SHOPS
from tests.whole_shop import WHOLE_SHOP

NOW = datetime(2026, 11, 28, 19, 40, tzinfo=UTC)
"""When they are taken."""

NAMES = ("whole", *SHOPS)
"""`whole` is in every state at once, and has nine machines."""

_FOLDERS = tempfile.TemporaryDirectory(prefix="shopboard-pictures-")


def text_of(name: str) -> str:
    """Give the shop file of that name."""
    if name != "whole":
        return SHOPS[name]
    text = WHOLE_SHOP.read_text(encoding="utf-8")
    return text.replace('colours = "dark"\n', "", 1)  # what the terminal tells goes by nothing else


@lru_cache
def _lived(name: str) -> Path:
    def live(folder: Path) -> None:
        make(text_of(name), folder, 1, NOW)

    return made_once(f"pictures-{name}", live)[0]


def bare() -> Place:
    """Give a place where there is neither shop file nor journal."""
    clock = Clock()
    clock.now = NOW
    folder = Path(tempfile.mkdtemp(dir=_FOLDERS.name))
    return Place(folder / "shop.toml", folder / "journal.sqlite3", clock)


def new(name: str) -> Place:
    """Give a place with that shop, of which nothing is known yet."""
    place = bare()
    place.shop_file.write_text(text_of(name), encoding="utf-8")
    return place


def lived_in(name: str) -> Place:
    """Give a place of its own with that shop and its two years of records."""
    place = bare()
    for file in (place.shop_file, place.journal_file):
        shutil.copyfile(_lived(name) / file.name, file)
    return place
