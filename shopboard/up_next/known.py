"""What is next, and how long it takes: worked out once somebody has time for it, and kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from shopboard.up_next.items import NextItem, is_fresh, next_items
from shopboard.up_next.under_way import all_under_way

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop

_MINUTES, _BEGIN = "minutes of what is next", "what a fresh shop begins with"
_SETTLES = "what settles what is next"


def known_minutes(open_shop: OpenShop) -> Mapping[str, str]:
    """Give how long things take in words, by their keys, as far as that is worked out."""
    return open_shop.kept(_MINUTES)


def known_settles(open_shop: OpenShop) -> Mapping[str, str]:
    """Give what would settle points where that is no further check, as far as it is worked out.

    By their full names; empty: a check is what is next.
    """
    return open_shop.kept(_SETTLES)


def begin_with(open_shop: OpenShop) -> Sequence[str] | None:
    """Give the full names of the checks that a fresh shop begins with; None: not worked out."""
    found: Sequence[str] | None = open_shop.kept(_BEGIN).get("names")
    return found


def work_out_next(open_shop: OpenShop, items: Sequence[NextItem], *, fresh: bool) -> bool:
    """Work out one thing of those in view that is not known yet; give whether there was any.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if fresh and begin_with(open_shop) is None:
        from shopboard.prep.first_look import first_checks

        names = [one.point.full_name for one in first_checks(open_shop.shop)]
        open_shop.kept(_BEGIN)["names"] = names
        return True
    known = open_shop.kept(_MINUTES)
    for one in items:
        if one.sort == "point" and work_out_settles(open_shop, one.name):
            return True
        if one.key not in known:
            known[one.key] = _words(open_shop, one)
            return True
    return False


def worked_out(open_shop: OpenShop, most: int) -> list[NextItem]:
    """Give all that is next, with what is known of the first few once it is worked out.

    Raises:
        JournalError: when the journal cannot be read.
    """
    standing, going = open_shop.standing, all_under_way(open_shop)
    fresh = is_fresh(standing)
    while True:
        begin = begin_with(open_shop) if fresh else None
        items = next_items(standing, going, begin, known_settles(open_shop))
        if not _all_of(open_shop, items[:most], fresh=fresh):
            return items


def _all_of(open_shop: OpenShop, items: Sequence[NextItem], *, fresh: bool) -> bool:
    """Work out all that is not known yet; give whether there was any."""
    many = sum(1 for _ in iter(lambda: work_out_next(open_shop, items, fresh=fresh), False))
    return many > 0


def work_out_settles(open_shop: OpenShop, name: str) -> bool:
    """Work out what settles a borderline point, unless it is known; give whether it was not.

    Raises:
        JournalError: when the journal cannot be read.
    """
    settles, stands = open_shop.kept(_SETTLES), open_shop.standing.of_point(name)
    if stands is None or stands.state != "near" or name in settles:
        return False
    from shopboard.prep.settle_next import to_settle

    settles[name] = to_settle(open_shop, stands)
    return True


def _words(open_shop: OpenShop, one: NextItem) -> str:
    """Say how long something takes; nothing where that cannot be told."""
    from shopboard.prep.answers import minutes_of
    from shopboard.prep.minutes import CHANGE_MINUTES, task_minutes, whole_minutes
    from shopboard.prep.plan_words import span

    if known_settles(open_shop).get(one.name) and one.sort == "point":
        return ""
    machine = open_shop.standing.of_machine(one.machine)
    if one.sort == "point" and one.name in open_shop.shop.points:
        minutes = minutes_of(open_shop, one.name)
    elif one.sort == "task" and machine is not None:
        tasks = (each.task for each in machine.tasks if each.task.id == one.name)
        minutes = whole_minutes(sum(map(task_minutes, tasks)))
    elif one.sort == "cutter" and machine is not None:
        cutters = (each.cutter for each in machine.cutters if each.cutter.id == one.name)
        minutes = sum(CHANGE_MINUTES[each.sort] for each in cutters)
    else:
        return ""
    return span(minutes)
