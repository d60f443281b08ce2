"""What your own hand repeats to: list it, or study it with ten readings of one point."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.checks import registry
from shopboard.checks.own_hand import hand_words
from shopboard.checks.study import can_study, coarseness, foreword, study_method, tells_from
from shopboard.commands.check_plain import plain_check
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, out_json, say
from shopboard.commands.shared import method_named, point_named, shop_opened
from shopboard.results.own_hand import own_hands
from shopboard.shop.model import Shop
from shopboard.sittings.point_job import job_for

_NOTHING = (
    "Nothing is known yet: no reading was taken twice.",
    "`shopboard hand MACHINE.POINT` takes ten readings of one point.",
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "point", metavar="MACHINE.POINT", nargs="?", help="read it ten times, in plain lines"
    )
    parser.add_argument("--method", metavar="NAME", help="where the point has more than one")
    parser.add_argument("--json", action="store_true", help="JSON; without a point")
    parser.epilog = (
        "How well a hand repeats (the feel of a leaf, a dial, a rule) is taken as is usual in"
        " the trade, until readings that you took again tell it better of your own."
    )


def run(options: argparse.Namespace) -> int:
    """Print what is known, a sort of reading a line; or do the study."""
    if options.point and options.json:
        raise UsageError("--json goes without a point")
    if options.method and not options.point:
        raise UsageError("--method goes with a point")
    with closing(shop_opened(options, records=bool(options.point))) as open_shop:
        if options.point:
            point = point_named(open_shop.shop, options.point)
            job = job_for(open_shop.shop, point, None)
            usual = study_method(job, point.checks) or point.checks[0]
            method = method_named(point, options.method or usual)
            say(*_better(open_shop.shop, point.full_name, method))
            return plain_check(open_shop, point, method, study=True)
        hands = own_hands(open_shop.journal, open_shop.shop)
        best = () if options.json else _best(open_shop.shop)
    if options.json:
        rows = [
            {
                "reading": one.sort,
                "times_usual": one.ratio,
                "dof": one.dof,
                "pairs": one.pairs,
                "gone_by": one.counts,
            }
            for one in hands
        ]
        out_json({"hand": rows})
    else:
        out(*([hand_words(one) for one in hands] or _NOTHING), *best)
    return 0


def _places(shop: Shop) -> dict[tuple[str, str], float]:
    """Give how coarsely each point is read, by its name and the method that reads it finest."""
    found: dict[tuple[str, str], float] = {}
    for point in shop.points.values():
        job = job_for(shop, point, None)
        if name := study_method(job, point.checks):
            found[point.full_name, name] = coarseness(registry.method(name), job)
    return found


def _best(shop: Shop) -> tuple[str, ...]:
    """Say where ten readings tell most."""
    places = _places(shop)
    if not places:
        return ("Ten readings would tell nothing here: no point is read finely enough by hand.",)
    name, method = min(places, key=lambda one: places[one])
    told = foreword(registry.method(method), job_for(shop, shop.points[name], None))
    return (f"Ten readings tell most at {name}, by {method}.", *told)


def _better(shop: Shop, name: str, method: str) -> tuple[str, ...]:
    """Say where ten readings tell more than by a method at a point; nothing where they do not.

    Nothing, too, where they tell nothing at all: beginning them refuses it with the reason.
    """
    way, job = registry.method(method), job_for(shop, shop.points[name], None)
    if not can_study(way, job):
        return ()
    here = coarseness(way, job)
    places = _places(shop) if tells_from(here) else {}
    best = min(places, key=lambda one: places[one], default=None)
    if best is None or tells_from(places[best]) >= tells_from(here):
        return ()
    return (f"Ten readings tell more at {best[0]}, by {best[1]}.",)
