"""How far a screw was really turned: asked, and asked again where it is hard to believe."""

from __future__ import annotations

from shopboard.checks.contradiction import AGAIN, KEEP, Recheck
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Number, Option
from shopboard.checks.walk import Answers
from shopboard.metrology.adjuster import Correction
from shopboard.metrology.thread import parse_turns
from shopboard.metrology.wording import turns

OTHER_TURN = 3.0
"""So many times what was advised, or that part of it, is hard to believe: common practice."""

CLOSE_TURN = 0.25
"""Turns by which a hand may well be off what was advised: common practice, no source."""

_MOST_TIMES = 9
"""Times that it is asked for at the most."""


def ask_turned(
    job: CheckContext, correction: Correction, answers: Answers, prefix: str
) -> Number | Recheck | None:
    """Ask how far it was turned until that can be believed, or was said to be so; None then."""
    before = ""
    for time in range(1, _MOST_TIMES + 1):
        key = _key(prefix, time)
        said = answers.get(key)
        if said is None:
            return ask_turned_by(job, correction, key)
        if said == before or _is_likely(correction, said):
            return None
        sure = f"{prefix}turned_sure{time}"
        if sure not in answers:
            return _doubt(correction, said, sure, _key(prefix, time + 1))
        if answers[sure] == KEEP:
            return None
        before = said
    return None


def kept_turn(correction: Correction, answers: Answers, prefix: str) -> str:
    """Give a remark on a turn that was hard to believe and kept on purpose; empty: none was."""
    said = turned_by(answers, prefix)
    sure = [answers.get(f"{prefix}turned_sure{time}") for time in range(1, _MOST_TIMES + 1)]
    if said is None or not (KEEP in sure or AGAIN in sure) or _is_likely(correction, said):
        return ""
    return f"Kept on purpose: turned {turns(parse_turns(said))}, advised {turns(correction.turns)}."


def turned_by(answers: Answers, prefix: str) -> str | None:
    """Give how far it was said to be turned, the last time that was asked; None: not at all."""
    said = None
    for time in range(1, _MOST_TIMES + 1):
        said = answers.get(_key(prefix, time), said)
        if answers.get(f"{prefix}turned_sure{time}") != AGAIN:
            break
    return said


def _key(prefix: str, time: int) -> str:
    return f"{prefix}turned_by{'' if time == 1 else time}"


def _is_likely(correction: Correction, said: str) -> bool:
    """Tell whether it was turned about as advised, or not at all."""
    amount, advised = parse_turns(said), correction.turns
    if amount == 0 or abs(amount - advised) <= CLOSE_TURN:
        return True
    return advised / OTHER_TURN < amount < advised * OTHER_TURN


def ask_turned_by(job: CheckContext, correction: Correction, key: str) -> Number:
    """Ask how far the screw was really turned: the next correction learns from it."""
    way = "clockwise" if correction.clockwise else "anticlockwise"
    advised = f"{round(correction.turns * 360)} deg"
    return Number(
        key=key,
        title=f"How far did you turn it {way}?",
        lines=(
            "In turns, as 3/8; degrees as 135/360, or as 135 deg.",
            f"Enter alone takes {turns(correction.turns)}, as advised.",
        ),
        unit=job.unit,
        is_turns=True,
        may_equal=True,
        at_most=max(20.0, 2 * correction.turns),
        too_small="turns are counted from 0 up",
        too_large="that is more than such a screw is turned; degrees are typed as 135/360",
        default=advised,
        unasked=advised,
    )


def _doubt(correction: Correction, said: str, key: str, following: str) -> Recheck:
    """Ask whether it was really turned so much more, or less, than was advised."""
    amount = turns(parse_turns(said))
    advised = turns(correction.turns)
    whole = said.strip().isdigit()
    return Recheck(
        key=key,
        title="Is that how far you turned it?",
        lines=(
            f"You said {amount}; the advice was {advised}.",
            *(("A bare number is whole turns: type 3/8, or 135/360.",) if whole else ()),
            "The next correction goes by what one turn really did.",
        ),
        options=(Option(AGAIN, "no: type it again"), Option(KEEP, "yes, it was that far")),
        default=AGAIN,
        implied_by=((following, AGAIN),),
        refusal=f"it was turned {amount}, but the advice was {advised}; give it again as"
        f' {following} (or {key} = "{KEEP}", if it really is so)',
    )
