"""What changed between two moments: how each point stood, how it stands, and what happened."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import datetime

from shopboard.base.state_words import state_word
from shopboard.base.text import counted
from shopboard.commands.errors import UsageError
from shopboard.commands.output import moment_json, out, out_json, say
from shopboard.commands.project import decision_json
from shopboard.commands.shared import moment_typed, shop_opened
from shopboard.commands.status_on import past_point_json
from shopboard.standing.look_back import (
    PastEvent,
    StandingChange,
    changes,
    events,
)
from shopboard.standing.machine_events import machine_events
from shopboard.upkeep.moment import Moment, MomentError, StillToComeError, read_moment


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "since", metavar="FROM", help="a day: 2026-05-01, 12 (days ago); its end is meant"
    )
    parser.add_argument(
        "until", metavar="TO", nargs="?", default="now", help="a later day; left out: now"
    )
    parser.add_argument("--json", action="store_true", help="JSON")


def run(options: argparse.Namespace) -> int:
    """Print each point that stands differently, or by another result, and what happened."""
    from shopboard.prep.decided import decided_between

    with closing(shop_opened(options)) as open_shop:
        now = open_shop.now()
        first, last = moment_typed(options.since, now), _until(options.until, now)
        if first.when > last.when:
            raise UsageError(
                f"{options.since[:40]} is later than {options.until[:40]}: the earlier day first"
            )
        before, after = open_shop.stood(first.when), open_shop.stood(last.when)
        told = [
            (
                one,
                events(open_shop.journal, open_shop.shop, one, before.upto, after.upto, after.when),
            )
            for one in changes(before.standing, after.standing)
        ]
        name, machines = open_shop.shop.name, open_shop.shop.machines_by_id
        at_machines = machine_events(open_shop.journal, open_shop.shop, before.upto, after.upto)
        joints = [joint for project in open_shop.shop.projects for joint in project.joints]
        decided = decided_between(open_shop.journal, joints, before.upto, after.upto)
    if options.json:
        span = {"from": moment_json(first.when), "to": moment_json(last.when)}
        found = [_json(change, happened) for change, happened in told]
        out_json(
            {
                "shop": name,
                **span,
                "points": found,
                "machines": [_machine_json(*one) for one in at_machines],
                "glued_up_on_hold": [
                    {"joint": joint.full_name, **decision_json(one)} for joint, one in decided
                ],
            }
        )
        return 0
    points = counted(len(told), "point")
    say(f"From {first.words} to {last.words}: {points} changed; by the shop file of today.")
    _tell(told)
    for machine, happened in at_machines:
        out(f"{machine or 'shop':<24} {machines[machine].name if machine else name}")
        out(*(f"    {_line(event)}" for event in happened))
    out(*(f"{joint.full_name:<24} {one.words}" for joint, one in decided))
    return 0


def _tell(told: list[tuple[StandingChange, list[PastEvent]]]) -> None:
    """Print each point that stands differently."""
    for change, happened in told:
        states = " -> ".join(state_word(one.state) for one in (change.before, change.after))
        point = change.after.point
        out(f"{point.full_name:<24} {states:<22} {point.name}")
        out(*(f"    {_line(event)}" for event in happened))
        out(*((f"    {change.after.reason}",) if change.after.reason else ()))


def _until(text: str, now: datetime) -> Moment:
    """Read the end of the span; one that is still to come is now.

    Raises:
        UsageError: when it is no day or moment.
    """
    try:
        return read_moment(text, now)
    except StillToComeError:
        return Moment(now, "now")
    except MomentError as error:
        raise UsageError(str(error)) from None


def _line(event: PastEvent) -> str:
    return f"{event.when.astimezone():%Y-%m-%d %H:%M}  {event.marked}"


def _json(change: StandingChange, happened: list[PastEvent]) -> dict[str, object]:
    return {
        "id": change.after.point.full_name,
        "name": change.after.point.name,
        "before": past_point_json(change.before),
        "after": past_point_json(change.after),
        "happened": _happened_json(happened),
    }


def _machine_json(machine: str, happened: list[PastEvent]) -> dict[str, object]:
    return {"id": machine or None, "happened": _happened_json(happened)}


def _happened_json(happened: list[PastEvent]) -> list[dict[str, object]]:
    return [
        {"when": moment_json(event.when), "what": event.words, "taken_back": event.taken_back}
        for event in happened
    ]
