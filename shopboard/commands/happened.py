"""Record what happened to a machine: it makes due what it undoes, or counts its use."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.shared import few_words, no_such, open_desk
from shopboard.desk import Desk
from shopboard.metrology.quantity import QuantityError
from shopboard.past import counted_since, newest_of, record_happening
from shopboard.shop.model import HAPPENINGS, NOTE, PROJECT_FINISHED, USES
from shopboard.standing import ShopStanding
from shopboard.upkeep.cutter_journal import take_back
from shopboard.upkeep.uses import parse_use, question, use_words

_SORTS = (*HAPPENINGS, *USES, NOTE)
SHOP = "shop"
"""Stands for the machine where something happened to the whole shop."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("machine", metavar="MACHINE", help=f"its id; {SHOP} for a finished project")
    parser.add_argument("--take-back", metavar="REASON", help="void the newest such happening")
    parser.add_argument("--note", metavar="WORDS", help="words about it")
    parser.add_argument("what", metavar="WHAT", help=f"one of: {', '.join(_SORTS)}")
    parser.add_argument(
        "amount",
        metavar="AMOUNT",
        nargs="?",
        help="of a use: 2.5h, 2h30, 90min; a count of cuts; a length such as 120ft or 40m",
    )


def run(options: argparse.Namespace) -> int:
    """Record one happening, or take the newest one back."""
    with closing(open_desk(options)) as desk:
        machine, what = _named(desk, options)
        before = {name for name, _ in _due(desk.standing, machine)}
        if options.take_back is not None:
            said = _take_back(desk, machine, what, options.take_back)
        else:
            said = _record(desk, machine, what, options)
        desk.refresh()
        due = [
            words
            for name, words in _due(desk.standing, machine)
            if name not in before or name.startswith(f"{machine}.")
        ]
        to_do = [
            name for name in _to_do(desk.standing) if not machine or name.startswith(f"{machine}.")
        ]
    tasks = f" To do: {', '.join(to_do)}." if to_do else ""
    order = ", in the order to check" if len(due) > 1 else ""
    say(f"{said}. Due now{order}: {', '.join(due) or 'nothing'}.{tasks}")
    return 0


def _named(desk: Desk, options: argparse.Namespace) -> tuple[str, str]:
    """Give the machine and what happened to it."""
    machines = desk.shop.machines_by_id
    what = " ".join(options.what.split()).lower()
    if what not in _SORTS:
        raise no_such("happening", what, _SORTS)
    if options.machine == SHOP and SHOP not in machines:
        if what != PROJECT_FINISHED:
            raise UsageError(f"{what} happens to one machine: name it")
        return "", what
    if options.machine not in machines:
        raise no_such("machine", options.machine, machines)
    return options.machine, what


def _due(standing: ShopStanding, machine_id: str) -> list[tuple[str, str]]:
    """Give the points that are due, by name and in words, in the order to check them."""
    places = {name: place for place, name in enumerate(standing.order)}
    due = [
        (one.point.full_name, one.point.name + ("" if here else f" ({machine.machine.name})"))
        for machine in standing.machines
        for here in [machine.machine.id == machine_id]
        for one in machine.points
        if one.state == "due"
    ]
    return sorted(due, key=lambda one: places.get(one[0], len(places)))


def _to_do(standing: ShopStanding) -> list[str]:
    return [
        f"{machine.machine.id}.{one.task.id}"
        for machine in standing.machines
        for one in machine.to_do
    ]


def _record(desk: Desk, machine: str, what: str, options: argparse.Namespace) -> str:
    """Record it; say what was recorded."""
    note = few_words(options.note, "a note") if options.note is not None else ""
    amount: float | None = None
    if what in USES:
        amount = _amount(what, options.amount, desk)
    elif what == NOTE:
        note = note or few_words(options.amount or "", "a note")
    elif options.amount is not None:
        raise UsageError(f"{what} has no amount; words go behind --note")
    entry = record_happening(desk.journal, machine, what, amount, note, shop=desk.shop)
    total = entry.body.get("total")
    if amount is None or not isinstance(total, int | float):
        return f"Recorded: {what}"
    unit = desk.shop.unit
    in_all = use_words(what, total, unit)
    return f"Recorded: {what}, {use_words(what, amount, unit)}, {in_all} in all"


def _amount(what: str, text: str | None, desk: Desk) -> float:
    asked = question(what, desk.shop.unit)
    if text is None:
        raise UsageError(f"{asked.title} {' '.join(asked.lines)}")
    try:
        return parse_use(what, text, desk.shop.unit)
    except QuantityError as error:
        raise UsageError(f"{text[:40]!r}: {error}") from None


def _take_back(desk: Desk, machine: str, what: str, reason: str) -> str:
    words = few_words(reason, "a reason")
    entry = newest_of(desk.journal, machine, what)
    if entry is None:
        raise UsageError(f"no {what!r} stands in the record of {machine or 'the shop'}")
    counted = counted_since(desk.journal, entry)
    if counted:
        raise UsageError(
            f"it is counted in {counted}, done since: `done {counted} --take-back ...` first"
        )
    take_back(entry, words, desk.journal)
    return "Taken back"
