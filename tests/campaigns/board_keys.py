"""A hundred keys on the board, any that there are, on three shops; some have a past.

Nothing may end the board; the journal holds afterwards; nothing is recorded but by the keys that
may, where something was asked, and never by a key that bounced; Esc alone leads back to the board;
whatever is shown fits its window and says how to go back. What fails is told as short as it can be
made.
"""

from __future__ import annotations

import asyncio
import shutil
import tempfile
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from functools import cache
from pathlib import Path
from random import Random
from typing import NamedTuple

from textual._ansi_sequences import ANSI_SEQUENCES_KEYS

from shopboard.board.screens.check import CheckScreen
from shopboard.checks.steps import Choice, Number
from shopboard.journal import open_journal
from shopboard.open_shop import OpenShop
from tests import combination, metric_shop
from tests.board.conftest import Place
from tests.board.keyboard import Act, Keyboard
from tests.bounded import EndlessError, bounded
from tests.campaigns.frame import Campaign, Try, chance
from tests.guesses import guess, live
from tests.journal.helpers import Clock
from tests.whole_shop import WHOLE_SHOP

KEYS = 100
"""Keys of one try."""

MOST_TRIES = 80
"""Shorter ones that are tried of a try that failed."""

SECONDS = 60.0
"""Of the processor for one try; it takes about one."""

PAST = 25
"""Things that happened in a shop with a past."""

_PROJECT = """
[[project]]
id = "bench"
name = "Garden bench"
thickness = "24 mm"

[[project.joint]]
id = "seat"
name = "Seat"
kind = "panel"
pieces = 4
width = "90 mm"
length = "1200 mm"
"""
SHOPS = (None, metric_shop.SHOP, combination.SHOP + _PROJECT)
"""None: the sample shop."""

_LETTERS = tuple(char.encode() for char in "hctvwngyuxsdpr?0+*/.-")
_PAD = tuple(f"\x1bO{char}".encode() for char in "jklmnopqrstuvwxyM")
"""The number pad of a terminal that tells it from the digits (common practice, no source)."""
_ANY = tuple(key.encode() for key in ANSI_SEQUENCES_KEYS)
_TYPED = tuple(char.encode() for char in "aqzÄ ½°丸,;_%[]\\/'\"−×①")
_PASTES = ("0.1 mm", "-", "1\n2\n3", "[red]x[/]", "\x1b[2J", "9" * 300, "é ½ 丸\u202e", "")
_SIZES = (
    (20, 5),
    (59, 24),
    (60, 20),
    (80, 24),
    (80, 24),
    (160, 48),
    (200, 60),
    (61, 60),
    (200, 20),
)


def _draw(draw: Random, keyboard: Keyboard, apt: int) -> Act:
    """Draw what comes next; `apt`: how often of a hundred times somebody reads the screen."""
    weights = {"apt": apt, "digit": 16, "enter": 9, "minus": 4, "esc": 2, "letter": 12, "any": 4,
               "typed": 3, "paste": 2, "pad": 3, "size": 3, "later": 3, "look": 1, "bounce": 3,
               "together": 1, "home": 2, "quit": 0.2}  # fmt: skip
    (sort,) = draw.choices(tuple(weights), tuple(weights.values()))
    if sort == "apt":
        return Act("keys", _apt(draw, keyboard))
    if sort == "paste":
        text = draw.choice(_PASTES).encode()
        return Act("keys", (b"\x1b[200~" + text + b"\x1b[201~",))
    if sort == "size":
        any_size = (draw.randint(20, 200), draw.randint(5, 60))
        return Act("size", numbers=draw.choice((*_SIZES, any_size, any_size)))
    if sort in ("later", "look"):
        after = draw.choice((1, 20, 200, 4_000, 90_000, 4_000_000))
        return Act(sort, numbers=(after if sort == "later" else 0, 0))
    if sort == "home":
        return Act(sort)
    if sort == "bounce":
        return Act("at once", (_key(draw, draw.choice(("digit", "enter", "minus", "letter"))),) * 2)
    if sort == "together":
        return Act("at once", (_key(draw, "digit"), _key(draw, draw.choice(("digit", "enter")))))
    return Act("keys", (_key(draw, sort),))


def _key(draw: Random, sort: str) -> bytes:
    if sort == "digit":
        return str(draw.choice((1, 1, 1, 2, 2, 3, 3, 4, 5, 6, 7, 8, 9, 0))).encode()
    one = {"enter": b"\r", "minus": b"-", "esc": b"\x1b", "quit": b"q"}
    several = {"letter": _LETTERS, "any": _ANY, "typed": _TYPED, "pad": _PAD}
    return one.get(sort) or draw.choice(several[sort])


def _apt(draw: Random, keyboard: Keyboard) -> tuple[bytes, ...]:
    """Give what a person would press who reads the screen."""
    screen = keyboard.app.screen
    if not isinstance(screen, CheckScreen):
        if "once more" in keyboard.text:
            return (draw.choice((b"1", b"2", b"3", b"v", b"x", b"\r")),)
        return (_key(draw, draw.choice(("digit", "digit", "enter", "letter"))),)
    step = screen.sitting.step
    if isinstance(step, Choice):
        return (str(draw.randint(1, len(step.options))).encode(),)
    if isinstance(step, Number):
        return (*(char.encode() for char in guess(draw, step)), b"\r")
    return (b"\r",)


class Played(NamedTuple):
    """What came of some acts."""

    acts: list[Act]
    """All that were done."""
    wrong: str
    """What went wrong; empty: nothing."""
    trace: str = ""


async def play(place: Place, acts: Sequence[Act], draw: Random | None = None) -> Played:
    """Do these acts or, where a chance is given, drawn ones up to so many keys."""
    done: list[Act] = []
    keys = recorded = 0
    apt = draw.choice((30, 300)) if draw else 0
    try:
        while keys < KEYS if draw else len(done) < len(acts):
            async with place.open() as board:
                keyboard = Keyboard(board.app, place)
                while board.app.is_running and (keys < KEYS if draw else len(done) < len(acts)):
                    act = _draw(draw, keyboard, apt) if draw else acts[len(done)]
                    done.append(act)
                    keys += len(act.data) or 1
                    await keyboard.do(act)
                await keyboard.go_home()
                recorded = keyboard.recorded
        with closing(open_journal(place.journal_file, place.clock)) as journal:
            assert journal.verify() is None
            assert journal.count() == recorded
    except (Exception, EndlessError) as error:  # noqa: BLE001 - whatever comes of it is looked for
        return Played(done, f"{type(error).__name__}: {error}", traceback.format_exc())
    return Played(done, "")


@contextmanager
def _begin(seed: int) -> Iterator[Try]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)

        @cache
        def start_of(number: int) -> tuple[Path, Clock]:
            return _start(folder / str(number), SHOPS[number], seed)

        made: list[Path] = []

        def fresh(index: int) -> Place:
            """Give a place with the shop of that try, and its past."""
            start, clock = start_of(index % len(SHOPS))
            made.append(Path(tempfile.mkdtemp(dir=folder)))  # where no other journal was before
            shop, journal, now = made[-1] / "shop.toml", made[-1] / "journal.sqlite3", Clock()
            now.now = clock.now
            shutil.copyfile(start / shop.name, shop)
            if index % 2:
                open_journal(journal, now).close()
            else:
                shutil.copyfile(start / journal.name, journal)
            return Place(shop, journal, now)

        def played(index: int, acts: Sequence[Act], draw: Random | None = None) -> Played:
            with bounded(SECONDS):
                return asyncio.run(play(fresh(index), acts, draw))

        def attempt(index: int) -> str | None:
            found = played(index, (), chance(seed, index))
            if not found.wrong:
                shutil.rmtree(made.pop())
                return None
            short = _shortened(found, lambda acts: played(index, acts))
            acts = "\n".join(f"  {act}" for act in short.acts)
            return f"{short.wrong}\n{acts}\n{short.trace}"

        yield attempt


def _start(folder: Path, text: str | None, seed: int) -> tuple[Path, Clock]:
    """Make a shop with a past; give its folder, and the clock as it stands then."""
    folder.mkdir()
    shop_file, clock = folder / "shop.toml", Clock()
    if text is None:
        shutil.copyfile(WHOLE_SHOP, shop_file)
    else:
        shop_file.write_text(text, encoding="utf-8")
    with closing(OpenShop(shop_file, folder / "journal.sqlite3", clock)) as open_shop:
        live(chance(seed, -1), open_shop.journal, open_shop.shop, clock, PAST)
    return folder, clock


def _shortened(found: Played, again: Callable[[list[Act]], Played]) -> Played:
    """Leave out of the acts whatever is not needed to go wrong the same way, within reason."""
    left = MOST_TRIES
    size = max(len(found.acts) // 2, 1)
    while size and left:
        at = 0
        while at < len(found.acts) and left:
            left -= 1
            shorter = again([*found.acts[:at], *found.acts[at + size :]])
            if shorter.wrong.split(":")[:2] == found.wrong.split(":")[:2]:
                found = shorter
            else:
                at += size
        size //= 2
    return found


CAMPAIGN = Campaign(_begin, count=1000, in_ci=2)
