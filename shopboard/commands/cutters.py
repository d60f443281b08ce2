"""The cutters of the shop or of one machine: where, how sharp, what it costs, what to see to."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.commands.output import moment_json, out, out_json
from shopboard.commands.shared import no_such, shop_opened
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.cutter_outlook import CutterOutlook, outlooks
from shopboard.upkeep.cutter_words import (
    cost_per,
    cost_words,
    left_words,
    life_words,
    serves_words,
    state_words,
)
from shopboard.upkeep.cutters import CutterStanding


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("machine", metavar="MACHINE", nargs="?", help="one machine alone")
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.epilog = (
        "What an hour of cutting costs, and the day by which a dull one must be on its way to the"
        " sharpener so that a sharp one is always at hand, are worked out from the hours, cuts"
        " and lengths recorded while it is on the machine, and from how long an edge lasts: the"
        " shop file says that; once it was found dull twice, the record knows better. What is"
        " past its rated life is asked about until you say that it is still sharp, and again a"
        " quarter of that life later."
    )


def run(options: argparse.Namespace) -> int:
    """Print the cutters, then what to see to."""
    with closing(shop_opened(options)) as open_shop:
        known = open_shop.shop.machines_by_id
        if options.machine is not None and options.machine not in known:
            raise no_such("machine", options.machine, known)
        machines = [
            one
            for one in open_shop.standing.machines
            if one.cutters and options.machine in (None, one.machine.id)
        ]
        ahead = {
            one.machine.id: outlooks(one.cutters, open_shop.now(), open_shop.journal)
            for one in machines
        }
    if options.json:
        out_json({"machines": [_json(one, ahead[one.machine.id]) for one in machines]})
        return 0
    said: set[str] = set()
    for one in machines:
        _print(one, ahead[one.machine.id], said)
    return 0


def _print(machine: MachineStanding, ahead: tuple[CutterOutlook, ...], said: set[str]) -> None:
    """Print the cutters of a machine; one that serves several modes once, with the first."""
    names = [f"{one.machine}.{one.id}" for one in machine.cutters]
    if said.issuperset(names):
        return
    out(f"{machine.machine.name}")
    if machine.changing is not None:
        out(f"  {machine.changing.what} in progress")
    for name, one in zip(names, machine.cutters, strict=True):
        if name in said:
            continue
        out(f"  {name:<22} {one.cutter.name}: {state_words(one)}")
        note = f"note: {one.note}" if one.note else ""
        words = (serves_words(one), left_words(one), cost_words(one), life_words(one), note)
        told = [each for each in words if each]
        if told:
            out(f"  {'':<22} {', '.join(told)}")
    for look in ahead:
        if f"{look.group[0].machine}.{look.group[0].id}" not in said:
            out(*(f"  {'! ' if one.now else '- '}{one.words}" for one in look.supply))
    said.update(names)


def _json(machine: MachineStanding, ahead: tuple[CutterOutlook, ...]) -> dict[str, object]:
    return {
        "id": machine.machine.id,
        "name": machine.machine.name,
        "under_way": machine.changing.what if machine.changing else None,
        "cutters": [cutter_json(one) for one in machine.cutters],
        "outlook": [
            {
                "cutters": [one.id for one in look.group],
                "pace": None
                if look.pace is None
                else {
                    "per_day": look.pace.per_day,
                    "unit": look.pace.unit,
                    "days_on_record": look.pace.days,
                },
                "sharp_until": moment_json(look.until) if look.until else None,
                "basis": look.basis,
                "see_to": [
                    {
                        "words": one.words,
                        "by": moment_json(one.by) if one.by else None,
                        "now": one.now,
                    }
                    for one in look.supply
                ],
            }
            for look in ahead
        ],
    }


def cutter_json(one: CutterStanding) -> dict[str, object]:
    """Give a cutter as data: running times in minutes, lengths in mm."""
    life, per = one.life, cost_per(one)
    return {
        "id": f"{one.machine}.{one.id}",
        "name": one.cutter.name,
        "kind": one.cutter.kind,
        "like": one.cutter.sort,
        "where": one.where,
        "state": one.state,
        "edge": one.edge,
        "edges": one.cutter.edges,
        "serves": [one.machine, *one.serves],
        "use": one.use._asdict(),
        "life": None
        if life is None
        else {"amount": life.amount, "unit": life.unit, "times_dull": life.times},
        "past_life": one.past_life,
        "sharpenings_left": one.sharpenings,
        "cost": one.cost,
        "money": one.cutter.money,
        "cost_per": None if per is None else {"cost": per[0], "per": per[1]},
        "sent": moment_json(one.sent) if one.sent else None,
        "note": one.note,
        "unsure": one.unsure or None,
    }
