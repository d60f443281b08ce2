"""Record what happened to a machine: it makes due what it undoes, or counts its use."""

from __future__ import annotations

import argparse
import math
from collections.abc import Collection, Iterable, Mapping
from contextlib import closing
from datetime import datetime

from shopboard.base.dates import day
from shopboard.commands.acts import act, another, found, on_record, say_on_record, uid_argument
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.project import project_named
from shopboard.commands.shared import (
    ON_HELP,
    few_words,
    no_such,
    refuse_beside_take_back,
    said_of,
    shop_opened,
    withdraw_argument,
)
from shopboard.journal import Entry, kinds
from shopboard.metrology.quantity import QuantityError
from shopboard.open_shop import OpenShop
from shopboard.shop.machine import HAPPENINGS, NOTE, PROJECT_FINISHED, TURNED, USES
from shopboard.shop.project import Project
from shopboard.standing.model import ShopStanding
from shopboard.upkeep.cutter_journal import take_back
from shopboard.upkeep.cutter_turned import edge_words_of
from shopboard.upkeep.happenings import leaves_cutter_open, newest_of, record_happening
from shopboard.upkeep.ran_on import WhyRan, ran_on
from shopboard.upkeep.undone import undone_through
from shopboard.upkeep.uses import parse_use, question, use_words

_LOOKED_AT = 1000
"""Uses among which one is looked for, and those of them that are listed."""
_LISTED = 5
_SORTS = (*HAPPENINGS, *USES, NOTE)
SHOP = "shop"
"""Stands for the machine where something happened to the whole shop."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "machine", metavar="MACHINE", help=f"its id; of a finished project one that ran, or {SHOP}"
    )
    words = "withdraw the newest of these; of a use with AMOUNT, the newest of so much"
    withdraw_argument(parser, words)
    parser.add_argument("--on", metavar="DAY", help=ON_HELP)
    parser.add_argument(
        "--ran",
        metavar="MACHINES",
        help="of a finished project: ids of the machines that ran, with commas between, or none;"
        " left out: as its joints, the shop file and what use was recorded tell",
    )
    parser.add_argument("--note", metavar="WORDS", help="words about it")
    uid_argument(parser)
    parser.add_argument("what", metavar="WHAT", help=f"one of: {', '.join(_SORTS)}")
    parser.add_argument(
        "amount",
        metavar="AMOUNT",
        nargs="?",
        help="of a use: 2.5h, 2h30, 90min; a count of cuts; a length such as 120ft or 40m; of a"
        " finished project: its id in the shop file",
    )


def run(options: argparse.Namespace) -> int:
    """Record one happening, or take the newest one back."""
    with act(options) as uid, closing(shop_opened(options, records=True)) as open_shop:
        machine, what = _named(open_shop, options)
        where = "" if what == PROJECT_FINISHED else machine  # that is the whole shop's
        before = {name for name, _ in _due(open_shop.standing, where)}
        if options.take_back is not None:
            said = _take_back(open_shop, machine, what, options, uid)
        else:
            said = _record(open_shop, machine, what, options, uid)
        open_shop.refresh()
        due = [
            words
            for name, words in _due(open_shop.standing, where)
            if name not in before or name.startswith(f"{where}.")
        ]
        still = bool(_due(open_shop.standing, where))
        to_do = _to_do(open_shop.standing, where)
        changed = options.take_back is None and leaves_cutter_open(
            open_shop.shop.machines_by_id.get(machine), what
        )
    tasks = f" To do: {', '.join(to_do)}." if to_do else ""
    order = ", in the order to check" if len(due) > 1 else ""
    due_words = f"Due now{order}: {', '.join(due) or 'nothing'}"
    due_words = "No further check falls due by this" if still and not due else due_words
    on = f' Which one is on now: `shopboard cutter {machine}.CUTTER "put on"`.' if changed else ""
    say(f"{said}. {due_words}.{tasks}{on}")
    return 0


def _named(open_shop: OpenShop, options: argparse.Namespace) -> tuple[str, str]:
    """Give the machine and what happened to it."""
    machines = open_shop.shop.machines_by_id
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
    """Give the points that are due or undone, by name and words, in the order to check them."""
    places = {name: place for place, name in enumerate(standing.order)}
    due = [
        (one.point.full_name, one.point.name + ("" if here else f" ({machine.machine.name})"))
        for machine in standing.machines
        for here in [machine.machine.id == machine_id]
        for one in machine.points
        if one.state == "due" or one.undone is not None
    ]
    return sorted(due, key=lambda one: places.get(one[0], len(places)))


def _to_do(standing: ShopStanding, machine_id: str) -> list[str]:
    """Name the tasks that are due on a machine, or in the whole shop with their machines."""
    return [
        one.task.name + ("" if machine_id else f" ({machine.machine.name})")
        for machine in standing.machines
        if machine_id in ("", machine.machine.id)
        for one in machine.to_do
    ]


def _record(
    open_shop: OpenShop, machine: str, what: str, options: argparse.Namespace, uid: str
) -> str:
    """Record it; say what was recorded."""
    amount, note = _amount_and_note(what, options, open_shop)
    project = _project(what, options, open_shop)
    ran = _ran(what, options, open_shop)
    on = said_of(options.on, open_shop.now())
    place = (kinds.HAPPENING.name, "" if what == PROJECT_FINISHED else machine, what)
    finished = _finished_before(open_shop, project) if project is not None else ""
    told = _told(open_shop, project, machine) if what == PROJECT_FINISHED and ran is None else {}
    if (before := found(open_shop, options, *place)) is not None:
        if not _says_the_same(before, amount, note, project, ran):
            raise another(options)
        say_on_record(before)
        return "Nothing new"
    entry = record_happening(
        *(open_shop.journal, machine, what, amount, note),
        shop=open_shop.shop,
        on=on,
        uid=uid,
        project=project,
        machines=ran if ran is not None else [*told] or None,
    )
    day_words = f", of {day(on)}" if on is not None else ""
    total = kinds.HAPPENING.read(entry).total
    if amount is None or total is None:
        since = _checked_since(open_shop, machine, what, on) if on is not None else ""
        turned = edge_words_of(entry, open_shop.shop, open_shop.journal) if what == TURNED else ""
        which = f", {project.name}{finished}" if project is not None else ""
        where = _ran_words(open_shop, entry, told)
        return f"Recorded: {what}{which}{day_words}{turned}{where}{since}"
    unit = open_shop.shop.unit
    in_all = use_words(what, total, unit)
    return f"Recorded: {what}, {use_words(what, amount, unit)}{day_words}, {in_all} in all"


def _amount_and_note(
    what: str, options: argparse.Namespace, open_shop: OpenShop
) -> tuple[float | None, str]:
    """Read how much, None where it has no amount, and the words about it.

    Raises:
        UsageError: when there are two notes, or an amount of what has none.
    """
    note = few_words(options.note, "a note") if options.note is not None else ""
    if what in USES:
        return _amount(what, options.amount, open_shop), note
    if what == NOTE:
        if note and options.amount is not None:
            raise UsageError("two notes: write the words once, after note or after --note")
        return None, note or few_words(options.amount or "", "a note")
    if options.amount is not None and what != PROJECT_FINISHED:
        raise UsageError(f"{what} has no amount; words go after --note")
    return None, note


def _project(what: str, options: argparse.Namespace, open_shop: OpenShop) -> Project | None:
    """Give the project that was finished; None where it is not told.

    Raises:
        UsageError: when the shop file has none of that id.
    """
    if what != PROJECT_FINISHED or options.amount is None:
        return None
    return project_named(open_shop.shop, options.amount)


def _ran(what: str, options: argparse.Namespace, open_shop: OpenShop) -> list[str] | None:
    """Give the ids of the machines that a project ran on; None where it is not told.

    Raises:
        UsageError: when the shop file has none of that id, or nothing was finished.
    """
    if options.ran is None:
        return None
    if what != PROJECT_FINISHED:
        raise UsageError(f"--ran is of a finished project: {what} happens to one machine")
    machines = open_shop.shop.machines_by_id
    names = [one.strip() for one in options.ran.split(",") if one.strip()]
    if names == ["none"] and "none" not in machines:
        return []
    for name in names:
        if name not in machines:
            raise no_such("machine", name, machines)
    if not names:
        raise UsageError("--ran names no machine: write ids with commas between, or none")
    return names


def _finished_before(open_shop: OpenShop, project: Project) -> str:
    """Say on which day a project was finished that is finished once more; empty: it was not."""
    from shopboard.prep.last_project import finished_days

    over = finished_days(open_shop.journal, open_shop.shop).get(project.id)
    return f", again (before: {over:%a} {over.day} {over:%b %Y})" if over is not None else ""


def _told(open_shop: OpenShop, project: Project | None, named: str) -> Mapping[str, WhyRan]:
    """Give what tells of each machine that it ran for a project, where nobody says it."""
    return ran_on(open_shop.shop, open_shop.journal, project, named) or {}


def _ran_words(open_shop: OpenShop, entry: Entry, told: Mapping[str, WhyRan]) -> str:
    """Say for which machines a finished project counts, where that is told, and how to say it."""
    ran = kinds.HAPPENING.read(entry).machines
    if ran is None:
        return ", for every machine" if entry.point == PROJECT_FINISHED else ""
    supposed = [one for one in ran if told.get(one) == "no joint tells of it"]
    known = _names(open_shop, [one for one in ran if one not in supposed])
    words = f", ran on {known or 'no machine'}" if known or not supposed else ""
    if supposed:
        words += f"; counted as run, too, as no joint tells: {_names(open_shop, supposed)}"
        words += " (where that is not so, withdraw it, then name those that ran with --ran)"
    return words


def _names(open_shop: OpenShop, machines: Iterable[str]) -> str:
    return ", ".join(open_shop.shop.machines_by_id[one].name for one in machines)


def _says_the_same(
    before: Entry,
    amount: float | None,
    note: str,
    project: Project | None,
    ran: Collection[str] | None,
) -> bool:
    """Tell whether what is on record under a uid is what is said now."""
    told = kinds.HAPPENING.read(before)
    if amount is not None and not (told.amount is not None and _same(told.amount, amount)):
        return False
    if ran is not None and {*ran} != {*(told.machines or ())}:
        return False
    return (note, project.id if project is not None else "") == (told.note, told.project)


def _checked_since(open_shop: OpenShop, machine: str, what: str, on: datetime) -> str:
    """Say what was checked between the day of a happening and its recording: that is undone."""
    where = open_shop.shop.machines_by_id.get(machine)
    standings = map(open_shop.standing.of_point, undone_through(open_shop.shop, where, what))
    since = [one.point.name for one in standings if one and one.record and one.record.when > on]
    if not since:
        return ""
    return f". Checked since, but this counts from now on, so check again: {', '.join(since)}"


def _amount(what: str, text: str | None, open_shop: OpenShop) -> float:
    asked = question(what, open_shop.shop.unit)
    if text is None:
        raise UsageError(f"{asked.title} {' '.join(asked.lines)}")
    try:
        return parse_use(what, text, open_shop.shop.unit)
    except QuantityError as error:
        raise UsageError(f"{text[:40]!r}: {error}") from None


def _same(told: float, amount: float) -> bool:
    return math.isclose(told, amount, rel_tol=1e-6)


def _take_back(
    open_shop: OpenShop, machine: str, what: str, options: argparse.Namespace, uid: str
) -> str:
    words = few_words(options.take_back, "a reason")
    refuse_beside_take_back(options)
    if options.ran is not None:
        raise UsageError("--ran does not go with --withdraw")
    if options.amount is not None and what not in USES:
        raise UsageError(f"{what} has no amount: the newest is withdrawn")
    place = (kinds.VOID.name, "" if what == PROJECT_FINISHED else machine, what)
    if on_record(open_shop, options, *place) is not None:
        return "Nothing new"
    entry = newest_of(open_shop.journal, machine, what)
    if entry is None:
        raise UsageError(f"there is no {what!r} on record for {machine or 'the shop'}")
    if options.amount is not None and what in USES:
        entry = _of_so_much(open_shop, entry, _amount(what, options.amount, open_shop))
    take_back(entry, words, open_shop.journal, uid)
    return "Withdrawn"


def _of_so_much(open_shop: OpenShop, newest: Entry, amount: float) -> Entry:
    """Give the newest use of an amount."""
    place = (newest.machine, newest.point)
    found = open_shop.journal.recent(newest.kind, *place, _LOOKED_AT, include_void=False)
    told_of = []
    for entry in found:
        told = kinds.HAPPENING.read(entry).amount
        if told is not None and _same(told, amount):
            return entry
        if told is not None:
            amount_told = use_words(newest.point, told, open_shop.shop.unit)
            told_of.append(f"{amount_told} on {day(entry.when)}")
    words = use_words(newest.point, amount, open_shop.shop.unit)
    raise UsageError(f"there are no {words} on record; there are: {', '.join(told_of[:_LISTED])}")
