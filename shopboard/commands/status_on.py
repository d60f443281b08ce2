"""How every machine and point stood at a past moment, as it was known then."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime

from shopboard.commands.output import moment_json, out, out_json, say
from shopboard.commands.shared import moment_typed, shop_opened
from shopboard.commands.status_lines import (
    machine_head,
    point_json,
    point_line,
    short,
    upkeep_lines,
)
from shopboard.standing.look_back import taken_back_since
from shopboard.standing.model import PointStanding, ShopStanding


def status_on(options: argparse.Namespace) -> ShopStanding:
    """Print the standing of the shop at the moment that `--on` names; give it."""
    with closing(shop_opened(options)) as open_shop:
        moment = moment_typed(options.on, open_shop.now())
        then, name = open_shop.stood(moment.when), open_shop.shop.name
    standing = then.standing
    if options.json:
        machines = [
            {
                "id": machine.machine.id,
                "name": machine.machine.name,
                "state": machine.state,
                "points": [past_point_json(one) for one in machine.points],
            }
            for machine in standing.machines
        ]
        on = {"on": moment_json(moment.when), "last_entry": then.upto}
        head = {"shop": name, **on, "all_true": standing.all_true}
        out_json({**head, "machines": machines})
        return standing
    known = "is known now" if moment.words == "now" else f"was known at {moment.words}"
    say(f"As it {known}; tolerances and intervals as in the shop file today.")
    if not then.upto:
        say("Nothing was on record by then.")
    out(*short(_lines(standing, moment.when)))
    return standing


def _lines(standing: ShopStanding, when: datetime) -> Iterator[str]:
    for machine in standing.worst_first:
        yield from machine_head(machine, when)
        for one in machine.points:
            why = taken_back_since(one)
            since = f"  WITHDRAWN SINCE: {why}" if why is not None else ""
            yield f"{point_line(one, one.record.age(when) if one.record else '')}{since}"
        yield from upkeep_lines(machine, when)


def past_point_json(one: PointStanding) -> dict[str, object]:
    """Give how a point stood, and whether the result it stood by was withdrawn since."""
    return {**point_json(one), "taken_back_since": taken_back_since(one)}
