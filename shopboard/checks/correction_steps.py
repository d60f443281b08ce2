"""The questions round a correction, the same for every method: unplug, move, lock, close."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.advice import advise, is_met, to_do
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.settable import NOTHING_TO_TURN, aim_of
from shopboard.checks.settle import what_would_settle
from shopboard.checks.steps import Caution, Choice, Do, Option
from shopboard.metrology.adjuster import Correction, Screw
from shopboard.metrology.kind import KINDS, Kind
from shopboard.metrology.wording import eighth, held, percent, small_move

MANUAL = "The maker's manual and local rules come first; if in doubt, ask someone qualified."


def unplug(key: str, title: str) -> Caution:
    """Ask for the plug's state before hands come near a cutter."""
    return Caution(
        key=key,
        title=title,
        lines=(
            "Your hands will be near the cutter. Nothing may turn, nothing may start.",
            "Take a guard off only where it is in the way.",
            MANUAL,
        ),
        options=(Option("plug out", "the plug is out, where I can see it"),),
    )


UNPLUGGED = "unplugged"
"""Key of the first question about the plug."""

ASK_NEXT = "next"
"""How the key of the question ends whether a point is set now."""

ONWARD = "next"
"""Answer that goes on to the next point of the machine."""

CLOSE = "close"
"""Key of the last step, at which the machine is cleared."""


def onward(name: str, changes_over: str = "", *, plug_is_out: bool) -> Choice:
    """Ask whether to go on to the next point of the machine before it is cleared.

    Args:
        name: of that point.
        changes_over: the mode that a combination machine is changed over to for it; empty: none.
        plug_is_out: whether the plug is out and stays out.
    """
    over = f"Take the tools off and change over to: {changes_over}. " if changes_over else ""
    plug = "The plug stays out. " if plug_is_out else ""
    return Choice(
        key=CLOSE,
        title=f"Next here: {name}.",
        lines=(f"{over}{plug}Clear the machine after the last point.",),
        options=(
            Option(ONWARD, f"go on with {name}"),
            Option("clear", "that is all here: clear the machine"),
        ),
        default=ONWARD,
    )


def ask_next(job: CheckContext, outcome: Outcome, correction: Correction, key: str) -> Choice:
    """Ask whether to correct now; what had better be done is the first answer."""
    title, stay = "Correct it now?", False
    leave, adjust = Option("done", "leave it, finish"), Option("adjust", "correct it now")
    lines = advise(job, outcome, correction)
    if correction.leave:
        title, stay = "Leave it as it is?", True
        adjust = Option("adjust", "move it anyway")
    elif correction.optional:
        title, stay = "Set it now, while you are at it?", True
        leave = Option("done", "no, it is true: finish")
        adjust = Option("adjust", "yes, set it now")
    elif is_met(job, outcome) and outcome.probability is not None and _is_probably_true(outcome):
        title, stay = "Correct what is probably true?", True
        likely = f"The chance that it is true is {percent(outcome.probability)}."
        lines = tuple(one for one in (what_would_settle(outcome, kept=True), likely) if one) + lines
        leave = Option("done", "no, finish: nothing is moved")
        adjust = Option("adjust", "move it anyway")
    return Choice(
        key=key,
        title=title,
        lines=lines,
        options=(leave, adjust) if stay else (adjust, leave),
        default="done" if stay else "adjust",
        unasked="done",
    )


def ask_by_manual(job: CheckContext, outcome: Outcome, key: str) -> Choice:
    """Ask whether to set now what the shop file names no adjuster of."""
    lean = f"{outcome.lean[:1].upper()}{outcome.lean[1:]}." if outcome.lean else ""
    aim = aim_of(job, outcome)
    return Choice(
        key=key,
        title="Set it now?",
        lines=tuple(one for one in (lean, aim, NOTHING_TO_TURN) if one),
        options=(
            Option("adjust", "set it by the manual, then read again"),
            Option("done", "leave it, finish"),
        ),
        default="adjust",
        unasked="done",
    )


def set_by_manual(job: CheckContext, outcome: Outcome, key: str) -> Do:
    """Say what has to come of it; how is the maker's to say."""
    aim = aim_of(job, outcome)
    slacken = "" if _is_put_right(outcome.kind) else f"Slacken {_what_locks(job)} first."
    return Do(
        key=key,
        title="Set it by the maker's manual.",
        lines=tuple(one for one in (slacken, aim, MANUAL) if one),
        moves=True,
    )


def _is_probably_true(outcome: Outcome) -> bool:
    """Tell whether a point that is not proven either way is true rather than out."""
    return outcome.verdict == "near" and (outcome.probability or 0.0) >= 0.5


def adjust(job: CheckContext, outcome: Outcome, correction: Correction, key: str) -> Do:
    """Say what to move, or what to put right where nothing is moved by a measure."""
    slacken = f"Slacken {_what_locks(job)}, then move it."
    return Do(
        key=key,
        title="Do it now." if _is_put_right(outcome.kind) else slacken,
        lines=to_do(job, outcome, correction),
        big="" if outcome.moves else how_far(job, correction),
        moves=True,
    )


def _what_locks(job: CheckContext) -> str:
    return job.lock or "whatever locks it"


def how_far(job: CheckContext, correction: Correction) -> str:
    """Write the move for two metres: which way and how far a screw is turned, or the move."""
    if isinstance(job.adjuster, Screw):
        turned = eighth(correction.turns)
        far = f"{turned} turn" if turned else f"{correction.turns * 360:.0f} deg"
        return f"{far} {'clockwise' if correction.clockwise else 'anticlockwise'}"
    if correction.shims:
        return held(correction.shims, job.unit)
    return small_move(correction.move, job.unit)


def _is_put_right(kind: Kind) -> bool:
    """Tell whether such an error is no place of a part: a look, a cutter's run-on, a tension."""
    return not KINDS[kind].departs


_AS_IT_WAS: Mapping[Kind, str] = {
    "time": "Put back everything that you took off to get at it.",
}
"""What is done in the place of a lock after what slackens nothing."""


def lock(job: CheckContext, key: str, kind: Kind, *, runs: bool) -> Do:
    """Ask for the lock: the reading after it is the one that counts.

    Args:
        job: the point.
        key: name of the answer.
        kind: what sort of value is measured again.
        runs: the machine must run for that, so that it is made ready to.
    """
    again = "Now check it again."
    if not _is_put_right(kind):
        again = "Tightening can move it, so measure it again now."
    ready = ("Tools off the machine, every guard back on; only then plug in.",) if runs else ()
    return Do(
        key=key,
        title=f"Tighten {job.lock}."
        if job.lock
        else _AS_IT_WAS.get(kind, "Tighten everything that you slackened."),
        lines=(again, *ready),
    )


def close(job: CheckContext, above_all: str = "") -> Do:
    """Clear the machine before it runs again.

    Args:
        job: the point.
        above_all: what must not stay on it, one sentence.
    """
    last = "Put back what you took off, guards first. Then plug in." if job.cutter_near else ""
    return Do(
        key=CLOSE,
        title="Take every tool off the machine.",
        lines=tuple(one for one in (above_all, last) if one),
    )
