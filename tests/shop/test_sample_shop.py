"""The sample shop is the documentation of the format: it must be right, rich and provable."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from shopboard.metrology.reach import reaches
from shopboard.shop.model import HAPPENINGS, Point
from shopboard.shop.reader import Loaded, read_shop
from shopboard.shop.table import READERS, keys_of

SAMPLE = Path(__file__).parents[2] / "sample_shop.toml"
LOADED: Loaded = read_shop(SAMPLE)
POINTS = list(LOADED.shop.points.values())


def test_no_warnings() -> None:
    """It is read without a word."""
    assert LOADED.warnings == ()


def test_rich() -> None:
    """Six machines and sixteen points or more, all checked with a square."""
    assert len(LOADED.shop.machines) >= 6
    assert len(POINTS) >= 16
    assert {point.checks for point in POINTS} == {("square",)}


def test_shows_every_kind() -> None:
    """Each adjuster, each way to lie and to turn, and a tolerance with uneven sides are shown."""
    kinds = {type(point.adjuster).__name__ for point in POINTS}
    assert kinds >= {"Screw", "Slot", "Shim"}
    assert {point.geometry.lies for point in POINTS} == {"upright", "flat"}
    assert {point.geometry.turn for point in POINTS} == {"no", "other side"}
    assert any(point.tolerance.low == 0 for point in POINTS)
    assert any(tool.kind for tool in LOADED.shop.drawer.others)


def test_a_chain_of_three() -> None:
    """The stop rests on the sled's fence, and that on the blade."""
    points = LOADED.shop.points
    assert points["saw.sled-stop"].rests_on == ("saw.sled-fence",)
    assert points["saw.sled-fence"].rests_on == ("saw.blade",)


@pytest.mark.parametrize("point", POINTS, ids=lambda point: point.full_name)
def test_provable_with_the_drawer(point: Point) -> None:
    """The tools of the drawer can prove the point, without turning the square over."""
    found = reaches(point.geometry.lever, point.tolerance, LOADED.shop.drawer, can_turn=False)
    assert max(reach.probability for reach in found) >= LOADED.shop.proof_level


@pytest.mark.parametrize("point", POINTS, ids=lambda point: point.full_name)
def test_levers_can_be_felt(point: Point) -> None:
    """No lever is longer than the longest blade."""
    assert point.geometry.lever <= max(square.length for square in LOADED.shop.drawer.squares)


def test_explains_every_key() -> None:
    """Each key of the format, and each happening, stands in the file or in its remarks."""
    text = SAMPLE.read_text(encoding="utf-8")
    keys = {key for header in READERS for key in keys_of(header)}
    assert [key for key in sorted(keys) if key not in text] == []
    assert [word for word in HAPPENINGS if word not in text] == []


def test_fits_a_narrow_window() -> None:
    """No line is longer than 100 characters."""
    lines = SAMPLE.read_text(encoding="utf-8").splitlines()
    assert max(len(line) for line in lines) <= 100


def test_a_good_file_costs_no_scanner() -> None:
    """Reading a good file imports neither the scanner nor what makes suggestions."""
    code = (
        "import sys; from pathlib import Path; from shopboard.shop.reader import read_shop;"
        f"read_shop(Path({str(SAMPLE)!r}));"
        "late = {'difflib', 'unicodedata', 'shopboard.shop.places', 'shopboard.shop.syntax',"
        " 'shopboard.shop.locate'}; print(sorted(late & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=SAMPLE.parent, check=True
    )
    assert done.stdout.strip() == "[]"
