"""What a screw really did: learnt from the run before it was turned and the run after."""

from __future__ import annotations

import math

from shopboard.checks.advice import correction_of
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.metrology.adjuster import Screw, advance_per_turn
from shopboard.metrology.thread import parse_turns

TELLING_CHANGE = 4.0
"""A change must be this many times its uncertainty before a screw's advance is learnt from it:
known to a quarter, or not at all."""

UNBELIEVABLE = 4.0
"""No screw advances so many times its thread, or so small a part of it."""


def what_the_screw_did(
    job: CheckContext, before: Outcome, after: Outcome, turned_by: str
) -> dict[str, object]:
    """Give the turns made and, where it can be told, the screw's real advance per turn.

    Args:
        job: the point; its adjuster is a screw.
        before: what the correction came from.
        after: what was measured after locking.
        turned_by: the person's answer, in the sense that was advised.
    """
    if not isinstance(job.adjuster, Screw):
        return {}
    advised = correction_of(job, before, insist=True)
    turned = parse_turns(turned_by) * (1 if advised.clockwise else -1)
    did: dict[str, object] = {"turns": turned}
    error, error_before = after.estimate.error, before.estimate.error
    u = math.hypot(after.estimate.budget.u_repeat, before.estimate.budget.u_repeat)
    if turned == 0 or abs(error - error_before) < TELLING_CHANGE * u:
        return did
    direct = after.kind != "angle"
    advance = advance_per_turn(job.adjuster, error_before, error, turned, direct=direct)
    if advance > 0 and not 1 / UNBELIEVABLE < advance / job.adjuster.pitch < UNBELIEVABLE:
        return did  # a slip in the turns said, not a thread
    if advance < 0:
        return {**did, "wrong_way": True}
    return {**did, "nm_per_turn": round(advance * 1e6)}
