"""A file is one idea: most are short, and none is long (limits of the house, no standard's).

Half of them have at most `HALF` lines, nine of ten `NINE_OF_TEN`, and none more than `LONGEST`.
"""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).parent.parent / "shopboard"

HALF, NINE_OF_TEN, LONGEST = 115, 235, 400


def test_files_stay_short() -> None:
    files = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in files_of()}
    longest = max(files, key=files.__getitem__)
    assert files[longest] <= LONGEST, f"{longest} holds more than one idea"
    lines = sorted(files.values())
    assert lines[len(lines) // 2] <= HALF
    assert lines[len(lines) * 9 // 10] <= NINE_OF_TEN


def files_of() -> list[Path]:
    """Give the files of the package."""
    return sorted(PACKAGE.rglob("*.py"))
