"""Points that prove tools of the drawer of which nobody says how true they are.

Turned over, or in threes, the errors of a tool come out by themselves: it takes no good one.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from shopboard.metrology.quantity import Unit, parse_length
from shopboard.metrology.wording import length
from shopboard.usual.parts import Says, Tolerances, UsualPoint

_AT_THE_TIP = "[4 thou|0.1 mm]"
"""How far off the tip of a square's blade may be: half the gap of two lines that a calliper reads
to [2 thou|0.05 mm], whatever the length."""

_STRAIGHT = "[4 thou|0.1 mm]"

_LONGEST = 45
"""Characters of a tool's name that go into the name of its point, which may have 60."""


def proofs(
    drawer: Mapping[str, Sequence[Says]], ids: Collection[str], unit: Unit
) -> Iterator[UsualPoint]:
    """Give a point for each of some squares and straightedges, what others rest on first.

    Args:
        drawer: the tools by their sort, as the file has them.
        ids: of the tools to prove.
        unit: of the shop.
    """
    edges = [one for one in drawer.get("straightedge", ()) if one["id"] in ids]
    squares = drawer.get("square", ())
    for one in edges:
        yield _proof(one, "three-straightedges", _STRAIGHT)
    checks = ["square-flip", "three-squares"] if len(squares) > 2 else "square-flip"
    for one in squares:
        if one["id"] in ids:
            more = {"rests_on": [str(edge["id"]) for edge in edges]} if edges else {}
            blade = length(parse_length(str(one["length"]), unit).mm, unit)
            within = f"{_AT_THE_TIP} over {blade}"
            yield _proof(one, checks, within, sizes={"length": one["length"]}, **more)


def _proof(tool: Says, check: str | list[str], within: str, **more: object) -> UsualPoint:
    name = f"Proof of {str(tool['name'])[:_LONGEST]}"  # true of it before it is proven, too
    told = {"id": tool["id"], "name": name, "check": check, "proves": tool["id"], **more}
    told |= {"every": "1 year", "undone_by": ["knocked"]}
    return UsualPoint(told, Tolerances(within, within, within))
