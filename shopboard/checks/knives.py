"""Knife heights from carries, and what to move at each end of each knife; lengths mm."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.asked import Values
from shopboard.checks.job import CheckContext
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.carry import height_of
from shopboard.metrology.wording import short_turn, small_move

WORTH_MM = 0.01
WORTH_SHARE = 0.5
"""A knife end this near to where it is wanted is left, or within this share of the tolerance's half
width: setting it again repeats no better (common practice, no source)."""
LEAST_MM = 0.002
"""Less than this is not to be seen on any rule."""


def heights(values: Values) -> dict[str, float]:
    """Give the height of every knife end from its carry, mm."""
    return {
        name: height_of(carry, values["circle"])
        for name, carry in values.items()
        if name.startswith("knife")
    }


def moves(
    job: CheckContext, found: Mapping[str, float], *, all_told: bool = False
) -> tuple[str, ...]:
    """Say what to move at every knife end that is off from what is set to, the worst first.

    Args:
        job: the point.
        found: height of every knife end, mm.
        all_told: leave none that can be told to be off, however little: the work asks for it.
    """
    off = {name: height - job.set_to.middle for name, height in found.items()}
    worst = sorted(off, key=lambda name: -abs(off[name]))
    usual = max(WORTH_MM, WORTH_SHARE * job.set_to.half_width)
    worth = LEAST_MM if all_told else usual
    told = [name for name in worst if abs(off[name]) >= worth]
    return tuple(move(job, end_words(name), off[name]) for name in told)


def move(job: CheckContext, what: str, off: float) -> str:
    """Say how far to move what is off by so much, mm, and by which turn of its screw."""
    words = f"{'Lower' if off > 0 else 'Raise'} {what} by {small_move(off, job.unit)}"
    screw = job.adjuster
    if not isinstance(screw, Screw):
        return f"{words}."
    clockwise = (off > 0) == (screw.clockwise == "toward")
    sense = "clockwise" if clockwise else "anticlockwise"
    return f"{words}: its jack screw {sense} {short_turn(abs(off) / screw.pitch)}."


def end_words(name: str) -> str:
    """Write ``knife2_back`` as ``knife 2 at the back``."""
    knife, _, end = name.partition("_")
    return f"knife {knife.removeprefix('knife')} at the {end}"
