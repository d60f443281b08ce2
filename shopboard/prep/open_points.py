"""Points that another check of the day would not settle, each with what would. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from shopboard.base.state_words import state_word
from shopboard.base.text import counted
from shopboard.prep.job_list import KnownNow
from shopboard.prep.stays_open import TWICE, StaysOpen
from shopboard.shop.model import Shop
from shopboard.standing.model import PointStanding

ANOTHER_WAY = "get what it takes, or name another check for it in the shop file"
"""What is left where no check of a point can be run with the tools of the shop."""


def open_point(present: KnownNow, one: PointStanding, why: str, remedy: str) -> StaysOpen:
    """Put a point under what stays open."""
    point = one.point
    where = present.shop.machines_by_id[point.machine].name
    return StaysOpen("point", point.machine, point.full_name, where, point.name, why, remedy)


def in_vain(present: KnownNow, one: PointStanding) -> StaysOpen | None:
    """Give what stays open of a point that no further check of the day settles; None: one may.

    So it is with one that is near, where no check with the tools at hand can prove it true, unless
    the project asks for it with words of its own; and with one that was found true or near twice
    on this day. What is found out is set right, but a tool, which nobody sets, is not.
    """
    name, state = one.point.full_name, state_word(one.state)
    asked = present.to_check.get(name, "")
    found = present.settles(name)
    how = found.how if found is not None else ""
    again = one.state in (("near", "out") if one.point.proves else ("near", "true"))
    if again and not one.doubted and present.found_today(one) >= TWICE:
        why = f"{state}, found so twice today" + (f"; {asked}" if asked else "")
        return open_point(present, one, why, how or left_to_do(present.shop, one))
    if asked or found is None or found.at_hand:
        return None
    return open_point(present, one, f"{state}; the same check again proves no more", how)


def left_to_do(shop: Shop, one: PointStanding) -> str:
    """Say what is left where the usual check can prove it: its error is too near a limit."""
    base = shop.points.get(one.first)
    if base is not None:
        return f"first settle {shop.machines_by_id[base.machine].name}, {base.name}"
    if one.point.proves:
        return "use another one, or have it trued, then prove it"
    set_it = "set it nearer to the middle of what is allowed, then check it"
    return f"{set_it}; or check it again on the day" if one.state == "true" else set_it


def with_dependents(
    present: KnownNow, opens: Mapping[str, StaysOpen], waiting: Iterable[PointStanding]
) -> list[StaysOpen]:
    """Say of what stays open how many points wait for it.

    Args:
        present: what is known now.
        opens: what stays open, by the full name of the point.
        waiting: points that are true by themselves; what they rest on is not checked on this day.
    """
    waits, others = dict.fromkeys(opens, 0), list[StaysOpen]()
    for one in waiting:
        if one.first in waits:
            waits[one.first] += 1
        else:
            others.append(open_point(present, one, f"{state_word(one.state)}: {one.reason}", ""))
    told = [
        one._replace(why=f"{one.why}; {counted(waits[name], 'point waits', 'points wait')} for it")
        if waits[name]
        else one
        for name, one in opens.items()
    ]
    return [*told, *others]
