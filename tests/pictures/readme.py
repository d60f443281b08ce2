"""The picture of the README, made anew: ``python -m tests.pictures.readme``."""

from __future__ import annotations

import asyncio
import os
import sys
import tempfile
from pathlib import Path

from tests.own_folders import SET_BY_USERS, own_folders

PICTURE = Path(__file__).parent / "board.svg"
SIZE = (120, 36)
SHOP, SCREEN, THEME = "sample", "board", "dark"
"""The demo is this shop with two years of records; on a fixed day, so that each is the same."""


async def taken() -> str:
    """Take it once the minutes of all that is next are known; give the SVG."""
    from tests.pictures.camera import _in_colours, at_greenwich, picture, standing_at

    at_greenwich()
    async with standing_at(SCREEN, SHOP, SIZE) as board:
        await _in_colours(board, THEME)
        return picture(board)


def main() -> int:
    """Put it in its place."""
    with tempfile.TemporaryDirectory(prefix="shopboard-picture-") as home:
        os.environ.update(own_folders(Path(home)))
        for name in SET_BY_USERS:
            os.environ.pop(name, None)
        PICTURE.write_text(asyncio.run(taken()), encoding="utf-8")
    sys.stdout.write(f"Written: {PICTURE}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
