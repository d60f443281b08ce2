"""Record what was done with a cutter, in plain words."""

from __future__ import annotations

import argparse
from contextlib import closing
from typing import cast, get_args

from shopboard.checks.steps import Words
from shopboard.commands.acts import act as act_named
from shopboard.commands.acts import another, found, say_on_record, uid_argument
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.shared import no_such, shop_opened
from shopboard.journal import Entry, kinds
from shopboard.open_shop import OpenShop
from shopboard.shop.machine import Sharpness
from shopboard.standing.next_checks import first_due
from shopboard.upkeep.change_steps import CLEANED
from shopboard.upkeep.cutter_acts import ACTS, ACTS_BY_NAME, asks, read_cost, why_not
from shopboard.upkeep.cutter_changes import CHANGES, change, mounted_like
from shopboard.upkeep.cutter_journal import (
    act_words,
    happening_of,
    newest_act,
    record_act,
    record_change,
    standings_now,
    take_back,
)
from shopboard.upkeep.cutter_words import state_words
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.undone import first_of, to_check, undone_at

TAKE_BACK = "withdraw"
_ONCE_CALLED = {"take back": TAKE_BACK}
_NAMES = (*(act.name for act in ACTS), TAKE_BACK)
_STATES = get_args(Sharpness)
_BEFORE_IT_RUNS = "Before it runs: everything tight, guards on; the maker's manual comes first."
_DONE = "Only for a change that is done: the board (c) walks you through one, plug and all."


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = (
        "examples:\n"
        "  shopboard cutter saw.rip-24 dull\n"
        "  shopboard cutter saw.cross-60 put on --came-off dirty\n"
        "  shopboard cutter saw.rip-24 back --cost 18.50\n"
        "  shopboard cutter saw.rip-24 note one tooth nicked\n"
        "  shopboard cutter saw.rip-24 withdraw\n\n"
        f"put on, turn, take off: {_DONE[0].lower()}{_DONE[1:]}"
    )
    parser.add_argument("cutter", metavar="MACHINE.CUTTER")
    parser.add_argument("act", metavar="ACT", nargs="+", help=f"one of: {', '.join(_NAMES)}")
    parser.add_argument("--cost", metavar="AMOUNT", help="what it cost (back, sharpened, new)")
    parser.add_argument(
        "--came-off",
        metavar="STATE",
        help=f"how the edge that came off or was turned away was: {', '.join(_STATES)}",
    )
    parser.add_argument(
        "--went-on",
        metavar="STATE",
        help="how the one that went on was, where it was not recorded as sharp: cleaned (a dirty"
        " one), dirty or dull",
    )
    parser.add_argument("--reason", metavar="WORDS", help="why it is withdrawn")
    uid_argument(parser)


def run(options: argparse.Namespace) -> int:
    """Record one act."""
    name, words = _act(" ".join(" ".join(options.act).split()))
    with act_named(options) as uid, closing(shop_opened(options, records=True)) as open_shop:
        one = _named(open_shop, options.cutter)
        place = (kinds.VOID.name if name == TAKE_BACK else kinds.CUTTER.name, one.machine)
        before = found(open_shop, options, *place)
        if before is not None:
            if not _is_it(before, one, name, options):
                raise another(options)
            say_on_record(before)
            say(f"{one.cutter.name}: {state_words(one)}.")
            return 0
        _refuse_unused(one, name, options)
        if name == TAKE_BACK:
            _take_back(open_shop, one, options.reason, uid)
        elif name in CHANGES and (name != "new" or one.mounted):
            _change(open_shop, one, name, options, uid)
        else:
            note = Words(key="note", title="").accept(words) if name == "note" else ""
            cost = None if options.cost is None else read_cost(options.cost)
            record_act(one, name, open_shop.now(), open_shop.journal, cost, note, uid)
            say(f"Recorded: {name}.")
        open_shop.refresh()
        say(f"{one.cutter.name}: {state_words(_named(open_shop, options.cutter))}.")
    return 0


def _is_it(entry: Entry, one: CutterStanding, name: str, options: argparse.Namespace) -> bool:
    """Tell whether an entry says what is asked for; of a change the first may be of another."""
    if name in (TAKE_BACK, *CHANGES):
        return True
    said = kinds.CUTTER.read(entry)
    same = (entry.point, said.what) == (one.id, name)
    return same and (options.cost is None or said.cost == read_cost(options.cost))


def _act(typed: str) -> tuple[str, str]:
    """Give the act, and the words of a note."""
    first, _, rest = typed.partition(" ")
    if first.lower() == "note":
        return "note", rest
    name = _ONCE_CALLED.get(typed.lower(), typed.lower())
    if name not in _NAMES:
        raise no_such("act", typed, _NAMES)
    return name, ""


def _refuse_unused(one: CutterStanding, name: str, options: argparse.Namespace) -> None:
    """Refuse an option that the act would leave unheeded: nothing that is told may get lost."""
    act = ACTS_BY_NAME.get(name)
    asked = asks(one, act) if act is not None else ""
    if options.cost is not None and asked != "cost":
        why = " on the machine: the shop file tells its price" if name == "new" else ""
        raise UsageError(f"--cost does not go with {name}{why}")
    if options.came_off is not None and (asked != "change" or name == "clean"):
        raise UsageError(f"--came-off does not go with {name}")
    if options.went_on is not None and (name != "put on" or one.state == "sharp"):
        why = f": {one.cutter.name} is recorded as sharp" if name == "put on" else ""
        raise UsageError(f"--went-on does not go with {name}{why}")
    if options.reason is not None and name != TAKE_BACK:
        raise UsageError(f"--reason goes with {TAKE_BACK} alone")


def _named(open_shop: OpenShop, name: str) -> CutterStanding:
    everywhere = {
        f"{one.machine}.{one.id}": one for m in open_shop.standing.machines for one in m.cutters
    }
    for machine in open_shop.standing.machines:  # by the id of any mode that it serves
        for one in machine.cutters:
            everywhere.setdefault(f"{machine.machine.id}.{one.id}", one)
    if name not in everywhere:
        raise no_such("cutter", name, everywhere)
    return everywhere[name]


def _came_off(typed: str | None, off: CutterStanding | None) -> Sharpness:
    """Give how the old edge was: told, or known already."""
    if off is None or off.state in ("dull", "worn out"):
        return off.state if off else "sharp"
    if typed not in _STATES:
        given = f"{typed[:40]!r} is no state" if typed else f"say how {off.cutter.name} came off"
        raise UsageError(f"{given}: --came-off with one of: {', '.join(_STATES)}")
    return cast(Sharpness, typed)


def _cleaned(one: CutterStanding, typed: str | None) -> bool:
    """Tell whether one was cleaned before it was put on; how it went on must be told."""
    known = (CLEANED, "dirty") if one.state == "dirty" else (one.state,)
    if typed not in known:
        given = f"{typed[:40]!r} does not go with it: " if typed else ""
        words = f"{given}{one.cutter.name} is recorded as {one.state}; say how it went on"
        raise UsageError(f"{words}: --went-on {' or '.join(known)}")
    return typed == CLEANED


def _change(
    open_shop: OpenShop, one: CutterStanding, name: str, options: argparse.Namespace, uid: str
) -> None:
    refusal = why_not(one, name)
    if refusal:
        raise UsageError(f"{one.cutter.name}: {refusal}")
    here = standings_now(open_shop.shop, one.machine, open_shop.journal)
    came_off = one.state
    if name != "clean":
        came_off = _came_off(options.came_off, mounted_like(one, here))
    asked = name == "put on" and one.state != "sharp"
    cleaned = asked and _cleaned(one, options.went_on)
    changes = change(one, name, came_off, here, cleaned=cleaned)
    record_change(changes, open_shop.journal, uid)
    what = happening_of(changes)
    points = undone_at(open_shop.shop, one.machine, what)
    first = first_of(points, open_shop.shop.points)
    say(f"Recorded: {name}{f', {what}' if what else ''}.")
    if name != "take off":
        say(_BEFORE_IT_RUNS)
    if first is not None:
        names = to_check(open_shop.shop, one.machine, what)
        open_shop.refresh()
        first = first_due(open_shop.standing, first)
        alone = len(names) == 1 and points == [first]
        say(f"To check: {', '.join(names)}.{'' if alone else f' First: {first.name}.'}")


def _take_back(open_shop: OpenShop, one: CutterStanding, reason: str | None, uid: str) -> None:
    newest = newest_act(one, open_shop.journal)
    if newest is None:
        raise UsageError(f"there is no record of {one.cutter.name} to withdraw")
    words = Words(key="reason", title="", default="recorded by mistake").accept(reason or "")
    taken = take_back(newest, words, open_shop.journal, uid)
    more = f" and {len(taken) - 1} more recorded with it" if len(taken) > 1 else ""
    say(f"Withdrawn; it stays on record: {act_words(newest)}{more}.")
