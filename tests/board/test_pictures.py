"""The pictures: of every screen, drawn as a terminal would."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from rich.segment import Segment
from rich.style import Style

from shopboard.board.screens.base import ShopScreen
from tests.pictures.camera import KEPT, MAIN, of_main, take
from tests.pictures.drawn import CELL, svg
from tests.pictures.ways import WAYS

SCREENS = Path(import_module("shopboard.board.screens").__file__ or "").parent
SVG = "{http://www.w3.org/2000/svg}"


def screens() -> set[str]:
    """Give every screen that is not there for others to be made of, and for nothing else."""
    files = (
        import_module(f"shopboard.board.screens.{one.stem}") for one in SCREENS.glob("[a-z]*.py")
    )
    found = {
        one
        for file in files
        for one in vars(file).values()
        if isinstance(one, type) and issubclass(one, ShopScreen)
    }
    bases = {base for one in found for base in one.__mro__[1:]}
    return {one.__name__ for one in found if "heading" in vars(one) or one not in bases} - {
        ShopScreen.__name__
    }


def test_every_screen_has_a_picture() -> None:
    assert {way.screen for way in WAYS.values()} == screens()


@pytest.mark.parametrize("name", ["board", "check-leaf", "broken-file"])
async def test_a_picture_is_taken_of_a_metric_shop(name: str, tmp_path: Path) -> None:
    (path,) = await take(name, "metric", [(80, 24)], ["16"], tmp_path)
    root = ET.fromstring(path.read_text(encoding="utf-8"))
    assert root.get("width") == str(80 * CELL[0])
    assert root.get("height") == str(24 * CELL[1])
    assert len(root.findall(f"{SVG}text")) > 20


def test_a_word_and_a_block_stand_where_a_terminal_puts_them() -> None:
    style = Style(color="#102030", bgcolor="#ffeedd", bold=True, reverse=True)
    root = ET.fromstring(svg([[Segment("a "), Segment("▄<b", style)]], 6))
    paper, box, block = root.findall(f"{SVG}rect")
    assert (paper.get("fill"), box.get("fill"), box.get("x")) == ("#000000", "#102030", "20")
    assert (block.get("x"), block.get("y"), block.get("fill")) == ("20", "10", "#ffeedd")
    first, second = root.findall(f"{SVG}text")
    assert (first.text, second.text, second.get("x")) == ("a", "<b", "30")
    assert (second.get("fill"), second.get("font-weight")) == ("#ffeedd", "bold")


@pytest.mark.parametrize("name", MAIN)
async def test_a_main_screen_looks_as_it_is_kept(name: str) -> None:
    """What changes it on purpose is looked at and kept: ``python -m tests.pictures --keep``."""
    assert (KEPT / f"{name}.svg").read_text(encoding="utf-8") == await of_main(name)


def test_nothing_else_is_kept() -> None:
    assert {one.stem for one in KEPT.iterdir()} == {*MAIN}
