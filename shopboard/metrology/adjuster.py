"""What sets a point right, and how far to move it: a screw, a slotted bolt, a shim.

An error is positive when there is light at the top (or tip): the face leans
away from the square there. Lengths in mm, angles in radians.
"""

import math
from collections.abc import Sequence
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.conformity import Tolerance, Verdict

if TYPE_CHECKING:
    from shopboard.metrology.uncertainty import Estimate

Toward = Literal["toward", "away"]
"""Where the top (or tip) of the face goes, seen from the square."""

SMALLEST_TURN = 1 / 60
"""Least part of a turn that a hand can set (6 degrees): common practice, no source."""

SMALLEST_TAP = 0.0127
"""Least move that a tap makes on purpose, mm (half a thousandth of an inch): common practice, no
source."""


Side = Literal["", "left", "right"]
"""Where something is, seen from where one stands; empty: not told, or in between."""


class Screw(NamedTuple):
    """A stop or levelling screw at a distance from the pivot."""

    pitch: float
    """Advance per turn, mm."""
    arm: float
    """Distance from the pivot to the screw, mm; 0 where it bears on the length itself."""
    clockwise: Toward
    """Where turning clockwise moves the top (or tip) of the face."""
    backlash_turns: float = 0.25
    """Turns by which it is overrun so that the thread always bears on the same side."""
    name: str = "the screw"
    toward: str = ""
    """Where what is moved goes to bring the top toward the square, in the shop's words."""
    away: str = ""
    """The same, to bring the top away."""
    side: Side = ""
    """Of the machine, on which it is."""


class Slot(NamedTuple):
    """A part held by bolts in slots, moved by tapping its far end."""

    arm: float
    """Distance from the bolt that stays snug to the end that is tapped, mm."""
    name: str = "the far end"
    toward: str = ""
    """Where it is tapped to bring the top toward the square, in the shop's words."""
    away: str = ""
    """The same, to bring the top away."""
    side: Side = ""
    """Of the machine, on which it is."""


class Shim(NamedTuple):
    """A part that is packed under one of two seats."""

    span: float
    """Distance between the two seats, mm."""
    toward_seat: str
    """Name of the seat that, when packed, moves the top (or tip) toward the square."""
    away_seat: str
    """Name of the seat that, when packed, moves the top (or tip) away from the square."""


Adjuster = Screw | Slot | Shim


class Correction(NamedTuple):
    """What to do about an error, in numbers."""

    leave: str = ""
    """Why nothing should be moved; empty when a move is advised, or at least worth its while."""
    optional: bool = False
    """The point is true as it is; set to the middle it stays so for longer."""
    move: float = 0.0
    """How far the adjuster moves, mm."""
    top_goes: Toward = "toward"
    """Where the top (or tip) must go, seen from the square."""
    turns: float = 0.0
    """Turns of the screw."""
    clockwise: bool = True
    """Sense of those turns."""
    overrun: float = 0.0
    """Turns to go past and come back, so that the screw always ends clockwise, under load."""
    shims: tuple[float, ...] = ()
    """Shims of the drawer that come nearest to `move`, mm."""
    seat: str = ""
    """Seat that gets the shims."""


def correct(
    adjuster: Adjuster,
    estimate: "Estimate",
    tolerance: Tolerance,
    verdict: Verdict,
    *,
    mm_per_turn: float | None = None,
    shims: Sequence[float] = (),
    direct: bool = False,
    insist: bool = False,
) -> Correction:
    """Work out the move that brings the error to the middle of the tolerance.

    The move is tan(error - middle) times the distance from the pivot; a screw's turns are the
    move over its advance per turn.

    Args:
        adjuster: what can be moved.
        estimate: the error found and its uncertainty.
        tolerance: where the error should be.
        verdict: a point that is true need not be moved.
        mm_per_turn: what the screw really did before, mm per turn; None: its thread.
        shims: thicknesses at hand, mm.
        direct: the error is a length at the adjuster itself, mm; no lever lies between.
        insist: give the move even where it had better be left.
    """
    wanted = tolerance.as_it_counts(size=estimate.size).middle
    away_from_middle = estimate.error - wanted
    reason = reason_to_leave(away_from_middle, estimate, verdict)
    if reason and not insist:
        return Correction(leave=reason)
    optional = verdict == "true"
    top_goes: Toward = "toward" if away_from_middle > 0 else "away"
    slope = abs(math.tan(away_from_middle))
    reach = adjuster.span if isinstance(adjuster, Shim) else adjuster.arm
    move = abs(away_from_middle) if direct else slope * reach
    if isinstance(adjuster, Screw):
        found = _turn(adjuster, move, top_goes, mm_per_turn or adjuster.pitch)
    elif isinstance(adjuster, Slot):
        found = _tap(move, top_goes)
    else:
        found = _pack(adjuster, move, top_goes, shims)
    return found._replace(optional=optional and not found.leave)


def reason_to_leave(away: float, estimate: "Estimate", verdict: Verdict) -> str:
    """Say why an error so far `away` from where it should be is left alone; empty: move it.

    One that is true, too, is left only where it cannot be told from where it should be.
    """
    if abs(away) <= estimate.budget.expanded:
        if verdict == "true":
            return "It is true, and as close as can be measured: moving it can only add error."
        return "The error is smaller than its uncertainty: measure it finer before you move it."
    return ""


def _turn(screw: Screw, move: float, top_goes: Toward, per_turn: float) -> Correction:
    turns = move / per_turn
    if turns < SMALLEST_TURN:
        return Correction(leave="The screw cannot be set that fine (under 1/60 turn).", move=move)
    clockwise = top_goes == screw.clockwise
    overrun = 0.0 if clockwise else screw.backlash_turns
    return Correction(
        move=move, top_goes=top_goes, turns=turns, clockwise=clockwise, overrun=overrun
    )


def _tap(move: float, top_goes: Toward) -> Correction:
    if move < SMALLEST_TAP:
        return Correction(leave="That is less than you can tap it on purpose.", move=move)
    return Correction(move=move, top_goes=top_goes)


def _pack(shim: Shim, move: float, top_goes: Toward, at_hand: Sequence[float]) -> Correction:
    seat = shim.toward_seat if top_goes == "toward" else shim.away_seat
    chosen = nearest_stack(move, at_hand)
    if at_hand and not chosen:
        return Correction(leave="The thinnest shim you have would overdo it.", move=move)
    return Correction(move=move, top_goes=top_goes, shims=chosen, seat=seat)


def nearest_stack(thickness: float, at_hand: Sequence[float], most: int = 3) -> tuple[float, ...]:
    """Choose up to `most` different shims whose sum is nearest to a thickness; fewest on a tie.

    Returns:
        Empty when no shims at all come nearer than any stack.
    """
    best: tuple[float, ...] = ()
    for count in range(1, most + 1):
        for stack in combinations(at_hand, count):
            if abs(sum(stack) - thickness) < abs(sum(best) - thickness) - 1e-9:
                best = stack
    return best


def advance_per_turn(
    screw: Screw, before: float, after: float, turned: float, *, direct: bool = False
) -> float:
    """Give what a screw really did, mm per turn; negative when it moved the other way than said.

    Args:
        screw: the screw.
        before: error before, rad; mm where it is direct.
        after: error after locking, likewise.
        turned: turns made, positive clockwise; not 0.
        direct: the error is a length at the screw itself; no lever lies between.
    """
    slope = math.tan(after) - math.tan(before)  # positive: the top went away
    moved = after - before if direct else slope * screw.arm
    said = 1.0 if screw.clockwise == "away" else -1.0
    return moved / turned * said
