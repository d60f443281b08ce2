"""Take pictures of the screens: ``python -m tests.pictures FOLDER [--screen board]``."""

from __future__ import annotations

import argparse
import asyncio
import os
import sys
import tempfile
from pathlib import Path

from tests.own_folders import MANY_COLOURS, SET_BY_USERS, own_folders


def say(words: str) -> None:
    """Tell how far it is."""
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


def main() -> int:
    """Take those that are asked for; give the exit code."""
    options = _options()
    with tempfile.TemporaryDirectory(prefix="shopboard-pictures-home-") as home:
        os.environ.update({**own_folders(Path(home)), **MANY_COLOURS})
        for name in SET_BY_USERS:
            os.environ.pop(name, None)
        return asyncio.run(_keep() if options.keep else _take_all(options))


def _options() -> argparse.Namespace:
    from shopboard.board.colours import THEMES
    from tests.pictures.camera import SIZES, Size
    from tests.pictures.shops import NAMES
    from tests.pictures.ways import WAYS

    parser = argparse.ArgumentParser(prog="python -m tests.pictures", description=__doc__)
    parser.add_argument("folder", type=Path, nargs="?", help="where the pictures go")
    parser.add_argument("--keep", action="store_true",
                        help="make those anew that the tests hold, instead")  # fmt: skip
    parser.add_argument("--screen", action="append", choices=WAYS, metavar="NAME",
                        help=f"only this one, of: {', '.join(WAYS)}")  # fmt: skip
    parser.add_argument("--size", action="append", choices=[str(Size(*one)) for one in SIZES])
    parser.add_argument("--theme", action="append", choices=THEMES)
    parser.add_argument("--shop", action="append", choices=NAMES)
    options = parser.parse_args()
    if not options.keep and options.folder is None:
        parser.error("say where the pictures go, or --keep")
    return options


async def _keep() -> int:
    """Make those anew that the tests hold."""
    from tests.pictures.camera import KEPT, MAIN, at_greenwich, of_main
    from tests.pictures.readme import PICTURE, taken

    at_greenwich()
    KEPT.mkdir(exist_ok=True)
    for name in MAIN:
        (KEPT / f"{name}.svg").write_text(await of_main(name), encoding="utf-8")
        say(f"kept: {name}")
    PICTURE.write_text(await taken(), encoding="utf-8")
    say("kept: that of the README")
    return 0


async def _take_all(options: argparse.Namespace) -> int:
    from shopboard.board.colours import THEMES
    from tests.pictures.camera import CONVERTER, SIZES, Size, as_png, at_greenwich, take
    from tests.pictures.hand import NotThereError
    from tests.pictures.shops import NAMES
    from tests.pictures.ways import WAYS

    at_greenwich()
    sizes = [one for one in SIZES if not options.size or str(Size(*one)) in options.size]
    options.folder.mkdir(parents=True, exist_ok=True)
    failed, can_convert = 0, True
    for shop in options.shop or NAMES:
        for name in options.screen or WAYS:
            try:
                made = await take(name, shop, sizes, options.theme or THEMES, options.folder)
            except NotThereError as error:
                say(f"{shop}: no {name}: {error}")
                continue
            except Exception as error:  # noqa: BLE001 - the others are wanted, too
                say(f"{shop}: {name} FAILED: {error}")
                failed += 1
                continue
            can_convert = all(as_png(one) for one in made) and can_convert
            say(f"{shop}: {name}")
    if not can_convert:
        say(f"SVG alone: {CONVERTER} is not installed, and makes the PNG.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
