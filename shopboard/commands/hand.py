"""What your own hand repeats to: list it, or study it with ten readings of one point."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.checks.own_hand import hand_words
from shopboard.commands.check_plain import plain_check
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, out_json
from shopboard.commands.shared import method_named, open_desk, point_named
from shopboard.own_hand import own_hands

_NOTHING = (
    "Nothing is known yet: no reading was taken again.",
    "`shopboard hand MACHINE.POINT` takes ten readings of one point, which tells it.",
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "point", metavar="MACHINE.POINT", nargs="?", help="read it ten times, in plain lines"
    )
    parser.add_argument("--method", metavar="NAME", help="where the point has more than one")
    parser.add_argument("--json", action="store_true", help="JSON; without a point")


def run(options: argparse.Namespace) -> int:
    """Print what is known, a sort of reading a line; or do the study."""
    if options.point and options.json:
        raise UsageError("--json goes without a point")
    if options.method and not options.point:
        raise UsageError("--method goes with a point")
    with closing(open_desk(options)) as desk:
        if options.point:
            point = point_named(desk.shop, options.point)
            method = method_named(point, options.method or point.checks[0])
            return plain_check(desk, point, method, study=True)
        hands = own_hands(desk.journal, desk.shop)
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
        out(*([hand_words(one) for one in hands] or _NOTHING))
    return 0
