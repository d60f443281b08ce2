"""Work out one reading, with neither shop nor journal: the door for scripts and the bench."""

from __future__ import annotations

import argparse
import math

from shopboard.checks import registry
from shopboard.checks.reckoning import ReckoningError
from shopboard.checks.report import angle_json, angle_lines, outcome_json, outcome_lines
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, out_json
from shopboard.commands.shared import no_such
from shopboard.metrology.quantity import QuantityError, parse_angle
from shopboard.metrology.square import ReadingError

_STEEPEST = math.radians(89.9999)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _epilog()
    parser.add_argument("method", metavar="METHOD", help="angle, or the name of a check")
    parser.add_argument("values", metavar="name=value", nargs="*", help="with their units")
    parser.add_argument("--json", action="store_true", help="one JSON object")


def _epilog() -> str:
    known = ", ".join(("angle", *registry.names(), *registry.sum_names()))
    return (
        f"methods: {known}\n"
        "(a method without its values says which it takes)\n\n"
        "examples:\n"
        "  shopboard work-out angle 5thou/ft\n"
        "  shopboard work-out square goes=0.012in refused=0.015in lever=6in light=top\n"
        "      [square_error=1thou/ft] [tolerance=0.1deg] [turned_goes=... turned_refused=...]"
    )


def run(options: argparse.Namespace) -> int:
    """Work out and print."""
    if options.method == "angle":
        return _angle(options.values, as_json=options.json)
    known = ("angle", *registry.names(), *registry.sum_names())
    if options.method not in known:
        raise no_such("method", options.method, known)
    values = _pairs(options.values)
    try:
        outcome = registry.reckoner(options.method).reckon(values)
    except ReckoningError as error:
        raise UsageError("\n".join(error.reasons)) from None
    except ReadingError as error:
        raise UsageError(str(error)) from None
    if options.json:
        out_json(outcome_json(outcome))
    else:
        out(*outcome_lines(outcome))
    return 0


def _pairs(values: list[str]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    wrong = []
    for one in values:
        name, equals, text = one.partition("=")
        if not equals or not name:
            wrong.append(f"{one[:60]!r} is not name=value")
        elif not text.strip():
            wrong.append(f"{name[:40]}= is empty")
        elif name in pairs:
            wrong.append(f"{name[:40]}= is given twice")
        pairs[name] = text
    if wrong:
        raise UsageError("\n".join(wrong))
    return pairs


def _angle(values: list[str], *, as_json: bool) -> int:
    if not values:
        raise UsageError("say which angle: 5thou/ft, 0.5 mm/m, 0.1 deg, 1/4 in/ft or 0d35m49s")
    text = " ".join(values)
    try:
        angle = parse_angle(text)
    except QuantityError as error:
        raise UsageError(f"{text[:60]}: {error}") from None
    if abs(angle.rad) >= _STEEPEST:
        raise UsageError(f"{text[:60]}: 90 degrees or more is not a slope")
    if as_json:
        out_json({"method": "angle", **angle_json(angle.rad)})
    else:
        out(*angle_lines(angle.rad))
    return 0
