"""What several commands need: an open shop, one point by name, words and days as typed."""

from __future__ import annotations

import argparse
from collections.abc import Collection
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from shopboard.base.locations import journal_path, shop_path
from shopboard.base.near import none_such
from shopboard.base.server_place import JournalPlace
from shopboard.base.text import first_unfit
from shopboard.base.who import who_is_here
from shopboard.commands.errors import UsageError, to_the_letter
from shopboard.commands.output import say

if TYPE_CHECKING:
    from datetime import datetime

    from shopboard.journal import Damage
    from shopboard.open_shop import OpenShop
    from shopboard.shop.machine import Point
    from shopboard.shop.model import Shop
    from shopboard.upkeep.moment import Moment


def paths(options: argparse.Namespace) -> tuple[Path, JournalPlace]:
    """Give where the shop file and the journal are."""
    return shop_path(getattr(options, "shop", None)), journal_path(
        getattr(options, "journal", None)
    )


def shop_opened(
    options: argparse.Namespace, *, about_clock: bool = True, records: bool = False
) -> OpenShop:
    """Open the shop and the journal that the options name.

    Args:
        options: of the command.
        about_clock: whether a clock that looks wrong is told, before it dates a record.
        records: whether the command records something: others never make a journal.

    Raises:
        ShopFileError: when the shop file cannot be used.
        JournalError: when the journal cannot be opened.
    """
    from shopboard.journal.remembered import may_begin
    from shopboard.journal.shop_clock import clock_trouble
    from shopboard.open_shop import OpenShop

    shop_file, journal_file = paths(options)
    told = getattr(options, "new_journal", False)
    anew = may_begin(journal_file, told=told)
    open_shop = OpenShop(
        shop_file,
        journal_file,
        thorough=True,
        begin=anew and (records or told),
        stand_in=anew,
        told=partial(say_damage, options),
        who=partial(who_is_here, getattr(options, "bench", None)),
    )
    options.opened = open_shop
    if open_shop.is_demo:
        say("DEMO: these records are made up.")
    if open_shop.journal_differs is not None:
        advice = to_the_letter(open_shop.journal_differs.advice, options.journal)
        say(f"{open_shop.journal_differs.title} {advice}")
    if records and open_shop.as_owner:
        say(open_shop.as_owner)
    if about_clock and open_shop.clock_is_wrong:
        words = clock_trouble(open_shop.clock(), open_shop.journal.newest_when())
        say(to_the_letter(words, options.journal))
    return open_shop


def shop_called(open_shop: OpenShop) -> str:
    """Give the name of the shop as a heading has it: it says where records are made up."""
    name = open_shop.shop.name
    return f"DEMO, made-up records: {name}" if open_shop.is_demo else name


def say_damage(options: argparse.Namespace, damage: Damage) -> None:
    """Say that the journal is damaged, as soon as that is met."""
    from shopboard.journal.faults import way_back

    words = to_the_letter(way_back(paths(options)[1]), options.journal)
    say(f"shopboard: {damage.says} {words}")


def short_uid(uid: str) -> str:
    """Give the short name of a result: start of its check's name, and its number within it."""
    check, dash, number = uid.partition("-")
    return f"{check[:8]}{dash}{number}"


def few_words(text: str, what: str) -> str:
    """Give words that a person wrote, on one line.

    Raises:
        UsageError: when there are none, too many, or such as cannot be shown.
    """
    words = " ".join(text.split())
    if not 1 <= len(words) <= 200:
        raise UsageError(f"{what} has 1 to 200 characters")
    if first_unfit(words) is not None:
        raise UsageError(f"{what} is plain words, without control or invisible characters")
    return words


def method_named(point: Point, name: str) -> str:
    """Give the name of a method by which a point is checked.

    Raises:
        UsageError: when it is not checked by that.
    """
    if name not in point.checks:
        allowed = ", ".join(point.checks)
        raise UsageError(f"{point.full_name} is checked by {allowed}, not {name[:40]}")
    return name


def no_such(what: str, name: str, known: Collection[str]) -> UsageError:
    """Say that something is not in the shop, and what was probably meant."""
    return UsageError(none_such(what, name, known))


def point_named(shop: Shop, name: str) -> Point:
    """Find a point by ``machine.point``.

    Raises:
        UsageError: when there is none.
    """
    if name not in shop.points:
        from shopboard.shop.renames import renames_of

        renames, (machine, _, point) = renames_of(shop), name.partition(".")
        now = ".".join(renames.place("point", machine, point)) if renames else ""
        if now in shop.points:
            raise UsageError(f"no point {name[:81]!r}; it is {now} now")
        raise no_such("point", name, shop.points)
    return shop.points[name]


def moment_typed(text: str, now: datetime) -> Moment:
    """Read a past day or moment.

    Raises:
        UsageError: when it is none.
    """
    from shopboard.upkeep.moment import MomentError, read_moment

    try:
        return read_moment(text, now)
    except MomentError as error:
        raise UsageError(str(error)) from None


ON_HELP = "when it was, if not now: 2026-05-01, yesterday, 12 (days ago); add 14:30 for the time"


def said_of(text: str | None, now: datetime) -> datetime | None:
    """Read the day or moment of something that is said later; None where it was just now.

    Raises:
        UsageError: when it is none, or still to come.
    """
    if text is None:
        return None
    moment = moment_typed(text, now)
    return moment.when if moment.when < now else None


def withdraw_argument(parser: argparse.ArgumentParser, words: str) -> None:
    """Declare `--withdraw`; it had another name once, by which scripts may know it."""
    names = parser.add_mutually_exclusive_group()
    names.add_argument("--withdraw", dest="take_back", metavar="REASON", help=words)
    names.add_argument(
        "--take-back", dest="take_back", default=argparse.SUPPRESS, help=argparse.SUPPRESS
    )


def refuse_beside_take_back(options: argparse.Namespace) -> None:
    """Refuse what goes with a record and not with taking one back: it would be dropped unsaid.

    Raises:
        UsageError: when `--on` or `--note` is given.
    """
    for option, said in (("--on", options.on), ("--note", options.note)):
        if said is not None:
            raise UsageError(f"{option} does not go with --withdraw")
