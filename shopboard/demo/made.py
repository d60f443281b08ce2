"""The two years made and put into a folder: a shop file and a journal."""

from __future__ import annotations

import random
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path

from shopboard import __version__
from shopboard.checks.need import Need
from shopboard.demo.checking import check
from shopboard.demo.last_weeks import begin_task, left_as
from shopboard.demo.roles import Roles, casts
from shopboard.demo.two_years import DAYS, live
from shopboard.demo.world import World, begin
from shopboard.journal.in_one_go import MadeUpJournal
from shopboard.journal.kinds import MadeUp
from shopboard.open_shop import OpenShop
from shopboard.prep.answers import answers_of
from shopboard.prep.point_need import need_for
from shopboard.shop.model import Shop
from shopboard.shop.watched import WatchedShop
from shopboard.writing.edits import NoSuchPlaceError, Put, at_path
from shopboard.writing.layout import Layout
from shopboard.writing.rewrite import InPlaceError, rewritten

SHOP_FILE, JOURNAL_FILE = "shop.toml", "journal.sqlite3"

HEAD = "# The shop file of the demo: a copy, which is made anew with it. Change it as you like.\n"

STARTS_IN = 5
"""Days after which the first project begins."""

_DRIFT, _SLOW_DRIFT = 0.5, 0.16
"""Half-widths that one point creeps in a hundred days, and one that nothing sets: it stays in."""

_TRIES = 3


def make(text: str, folder: Path, seed: int, now: datetime) -> World:
    """Make a shop file and its journal in an empty folder; give how all really stands there.

    Args:
        text: of the shop file.
        folder: where both are to be.
        seed: what chance follows from.
        now: the time up to which it is lived.

    Raises:
        ShopFileError: when the shop file cannot be used.
        JournalError: when the journal cannot be written.
        OSError: when the shop file cannot be.
    """
    files = folder / SHOP_FILE, folder / JOURNAL_FILE
    files[0].write_text(HEAD + _beginning_soon(text, now), encoding="utf-8", newline="")
    shop = WatchedShop(files[0], thorough=True).shop
    for roles in casts(shop):
        files[1].unlink(missing_ok=True)
        world, ready = _lived(shop, roles, files, seed, now)
        if ready:
            break
    return world


def _lived(
    shop: Shop, roles: Roles, files: tuple[Path, Path], seed: int, now: datetime
) -> tuple[World, bool]:
    """Live through it; give how all really stands, and whether the joint is ready that is to be."""
    # From midnight on, by the clock of today: the same seed is the same two years on any day.
    today = now.astimezone().replace(hour=0, minute=0, second=0, microsecond=0)
    world = begin(shop, random.Random(seed), today - timedelta(days=DAYS))  # noqa: S311 - no secret
    made = MadeUp(seed, now.isoformat(), __version__)
    world.write_in(MadeUpJournal(files[1], world.clock, made))
    if roles.drifts is not None:
        truth = world.truths[roles.drifts.full_name]
        truth.drift = _DRIFT if truth.can_be_set else _SLOW_DRIFT
        truth.at_share(-0.5)
    live(world, roles, today)
    left_as(world, roles, today)
    for _ in range(_TRIES):
        world.journal.keep()
        ready, to_check = _asked(world, roles, *files)
        world.write_in(MadeUpJournal(files[1], world.clock, made))
        if not to_check:
            break
        for name, need in to_check.items():
            check(world, shop.points[name], corrects=True, need=need)
    begin_task(world, now)
    world.journal.keep()
    return world, ready


def _beginning_soon(text: str, now: datetime) -> str:
    """Let the first project begin in a few days."""
    start = (now.astimezone() + timedelta(days=STARTS_IN)).date()
    with suppress(NoSuchPlaceError, InPlaceError, ValueError):
        layout = Layout(text)
        projects = at_path(layout.data, ("project",))
        number = next(n for n, one in enumerate(projects) if one.get("joint"))
        return rewritten(text, [Put(("project", number, "start"), start)]).text
    return text


def _asked(
    world: World, roles: Roles, shop_file: Path, journal_file: Path
) -> tuple[bool, dict[str, Need | None]]:
    """Tell whether the joint can be glued up, what is to be checked, and to what it is set."""
    if roles.go is None or roles.project is None:
        return True, {}
    open_shop = OpenShop(shop_file, journal_file, world.clock, begin=False, thorough=True)
    try:
        (found,) = answers_of(open_shop, [roles.go])
        names = dict.fromkeys(name for one in found.reasons for name in one.points)
        needs = {name: need_for(open_shop, name, roles.project, roles.go) for name in names}
    finally:
        open_shop.journal.close()
    return found.go, needs
