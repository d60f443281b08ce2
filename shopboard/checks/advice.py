"""A correction in words: what to turn, tap or pack, which way, how far."""

from __future__ import annotations

from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.lasting import set_or_not, soon_out
from shopboard.checks.outcome import Outcome
from shopboard.checks.settable import NOTHING_TO_TURN, can_be_set, is_set_by_manual
from shopboard.metrology.adjuster import (
    Adjuster,
    Correction,
    Screw,
    Slot,
    correct,
    reason_to_leave,
)
from shopboard.metrology.conformity import Tolerance, Verdict
from shopboard.metrology.kind import Kind, measure
from shopboard.metrology.quantity import Unit
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.wording import leaf, share, small_move, turns

THICKEST_FELT_MM = 2.54
"""No stack of leaves is thicker; nobody taps so far: common practice, no source."""

WRONG_WAY = "The screw moved it the opposite way to the shop file: fix 'clockwise' there first."


def which_way(estimate: Estimate, kind: Kind, unit: Unit, plus: str, minus: str) -> str:
    """Choose the words for an error's direction, or say that none can be told."""
    way = way_of(estimate)
    if not way:
        none, read = (measure(one, kind, unit) for one in (0.0, abs(estimate.error)))
        return "no error detectable" if read == none else "an error too small to tell from zero"
    return plus if way > 0 else minus


def way_of(estimate: Estimate) -> int:
    """Give 1 for an error above 0 that can be told from none, -1 for one below, else 0."""
    if abs(estimate.error) <= estimate.budget.expanded:
        return 0
    return 1 if estimate.error > 0 else -1


def correction_lines(job: CheckContext, outcome: Outcome) -> tuple[str, ...]:
    """Write whether it does for the work, and what to do about it.

    Returns:
        Nothing where it is checked for no work and nothing can be adjusted; of what is out, that.
    """
    need = need_lines(job, outcome)
    if outcome.tolerance is None or not can_be_set(job, outcome):
        return (*need, NOTHING_TO_TURN) if is_set_by_manual(job, outcome) else need
    return (*need, *advise(job, outcome, correction_of(job, outcome)))


def is_met(job: CheckContext, outcome: Outcome) -> bool:
    """Tell whether what the work asks is proven; so it is where it asks nothing."""
    return job.need is None or job.need.is_met(outcome.in_work)


def is_enough(job: CheckContext, outcome: Outcome) -> bool:
    """Tell whether a point is true, and what the work asks of it is proven."""
    return outcome.verdict == "true" and is_met(job, outcome)


def is_open(job: CheckContext, outcome: Outcome) -> bool:
    """Tell whether it is not proven either way, for the shop file or for the work."""
    if outcome.verdict == "near" or is_met(job, outcome):
        return outcome.verdict == "near"
    surely = abs(outcome.in_work.centre) - outcome.estimate.budget.expanded
    return job.need is not None and surely <= job.need.size


def wanted_of(job: CheckContext, outcome: Outcome) -> Tolerance | None:
    """Give the limits that a further reading is to settle: what the work asks; None: the tolerance.

    The shop file's tolerance comes first, then what the work asks.
    """
    return None if outcome.verdict == "near" else job.worked_to


def _within_reach(job: CheckContext, outcome: Outcome) -> bool:
    """Tell whether the work can be satisfied by setting to the middle and reading as it was."""
    middle = job.set_to.as_it_counts(size=outcome.estimate.size).middle
    set_right = outcome.estimate._replace(error=middle)
    return job.need is not None and job.need.is_met(set_right.spread)


def need_lines(job: CheckContext, outcome: Outcome) -> tuple[str, ...]:
    """Say whether a point does for the work that it is checked for."""
    if job.need is None:
        return ()
    words = job.need.words(outcome.kind, job.unit)
    if is_met(job, outcome):
        return (f"Good {words}.",)
    good = "not proven good" if is_open(job, outcome) else "not good enough"
    lead = f"True, but {good}" if outcome.verdict == "true" else good.capitalize()
    more = (
        ()
        if _within_reach(job, outcome)
        else ("Read this way, no setting would prove that: the uncertainty is too large.",)
    )
    return (f"{lead} {words}.", *more)


def correction_of(job: CheckContext, outcome: Outcome, *, insist: bool = False) -> Correction:
    """Work out the correction of an outcome, with what the screw has shown so far.

    Raises:
        NotPossibleError: when the point has nothing to adjust.
    """
    insist = insist or (not is_met(job, outcome) and _within_reach(job, outcome))
    if outcome.moves and outcome.verdict is not None:
        wanted = job.set_to.as_it_counts(size=outcome.estimate.size).middle
        away = outcome.estimate.error - wanted
        judged = _judged(job, outcome)
        why = reason_to_leave(away, outcome.estimate, judged)
        return Correction(leave="" if insist else why, optional=judged == "true")
    if job.adjuster is None or outcome.verdict is None or not can_be_set(job, outcome):
        raise NotPossibleError("this point has nothing to adjust")
    screw = outcome.readings.get("screw")
    if isinstance(screw, dict) and screw.get("wrong_way"):
        return Correction(leave=WRONG_WAY)
    return correct(
        job.adjuster,
        outcome.estimate,
        job.set_to,
        _judged(job, outcome),
        mm_per_turn=advance_shown(job, outcome),
        shims=[one for shims in job.drawer.shims for one in shims.thicknesses],
        direct=outcome.kind != "angle",
        insist=insist,
    )


def advance_shown(job: CheckContext, outcome: Outcome) -> float | None:
    """Give what a turn of the screw really did, mm, just now or before; None: not known."""
    screw = outcome.readings.get("screw")
    shown = screw.get("nm_per_turn") if isinstance(screw, dict) else None
    return shown / 1e6 if shown else job.mm_per_turn


def _judged(job: CheckContext, outcome: Outcome) -> Verdict:
    """Give the verdict that a correction goes by: true is only what does for the work, too."""
    return "true" if is_enough(job, outcome) else "near"


def advise(job: CheckContext, outcome: Outcome, correction: Correction) -> tuple[str, ...]:
    """Write a correction as a few sentences.

    Returns:
        The reason alone when nothing should be moved; first how good it is, when it need not be.
    """
    if correction.leave:
        soon = soon_out(job, outcome) if outcome.verdict == "true" else ""
        if soon:
            return (
                f"Setting it gains nothing now. {correction.leave}",
                f"But {soon}: check by then.",
            )
        return (f"Leave it. {correction.leave}",)
    if not correction.optional:
        return to_do(job, outcome, correction)
    used = share(outcome.used or 0.0)
    lead = f"True, at {used} of its tolerance; {set_or_not(job, outcome)}."
    return (lead, *to_do(job, outcome, correction))


def to_do(job: CheckContext, outcome: Outcome, correction: Correction) -> tuple[str, ...]:
    """Write the move alone, whether it must be made or only may be."""
    if correction.leave or outcome.moves:
        return (correction.leave,) if correction.leave else outcome.moves
    adjuster = job.adjuster
    aim = _aim(adjuster, outcome, correction)
    aims = (aim,) if aim else ()  # of a tool that is proven only the shop file can tell it
    if isinstance(adjuster, Screw):
        return (*_turn(adjuster, correction, advance_shown(job, outcome), job.unit), *aims)
    if isinstance(adjuster, Slot):
        return (_tap(adjuster, correction, job.unit), *aims)
    return (_pack(correction, job.unit), *aims)


def _aim(adjuster: Adjuster | None, outcome: Outcome, correction: Correction) -> str:
    """Say where it must go, in the shop's own words where the adjuster has them."""
    less = correction.top_goes == "toward"
    words = ""
    if isinstance(adjuster, Screw | Slot):
        words = adjuster.toward if less else adjuster.away
    if not words:
        return outcome.aims[0 if less else 1]
    return f"That moves it {words}." if isinstance(adjuster, Screw) else f"It must move {words}."


def _turn(screw: Screw, correction: Correction, shown: float | None, unit: Unit) -> tuple[str, ...]:
    """Say how far to turn; and what a turn did before, where it goes by that and no thread."""
    by = f", at {small_move(shown, unit)} a turn as it moved before" if shown else ""
    sense, back = ("clockwise", "") if correction.clockwise else ("anticlockwise", "clockwise")
    first = (
        f"Turn {screw.name} {sense} {turns(correction.turns)}:"
        f" it moves {small_move(correction.move, unit)}{by}."
    )
    if not correction.overrun:
        return (first,)
    slack = turns(correction.overrun)
    return (first, f"Overshoot {slack}, then back {back} {slack}: that takes up the slack.")


def _tap(slot: Slot, correction: Correction, unit: Unit) -> str:
    how_far = small_move(correction.move, unit)
    if correction.move > THICKEST_FELT_MM:
        return f"Move {slot.name} by {how_far}, measured with a calliper or a rule."
    return f"Tap {slot.name} by {how_far}, against a feeler leaf or an indicator."


def _pack(correction: Correction, unit: Unit) -> str:
    wanted = small_move(correction.move, unit)
    if not correction.shims:
        return f"Pack {correction.seat} with {wanted} of shim."
    stack = " + ".join(leaf(one, unit) for one in correction.shims)
    return f"Pack {correction.seat} with {stack} (wanted {wanted})."
