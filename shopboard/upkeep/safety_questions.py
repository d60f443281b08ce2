"""Which questions a safety round asks, and its steps one after the other. Pure.

The program never says what follows from an answer. It shows what was answered, says plainly when
that is not as wanted, and offers to tag the machine as not to be used.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from zlib import crc32

from shopboard.checks.correction_steps import MANUAL
from shopboard.checks.steps import Caution, Choice, Option, Step
from shopboard.metrology.units import MM_PER_INCH, Unit, by_unit
from shopboard.metrology.wording import leaf
from shopboard.shop.default_safety import usual, usual_of_shop
from shopboard.shop.machine import Cutter, Machine, SafetyQuestion
from shopboard.shop.model import Shop
from shopboard.shop.words_before import words_before

TAG, GO_ON = "tag", "go on"
"""What can be done about an answer that is not as wanted."""

_DECISION = ".then"
"""Put behind a question's id: what was done about its answer."""


def questions_of_shop(shop: Shop) -> tuple[SafetyQuestion, ...]:
    """Give the questions about the shop itself."""
    return _put_together(usual_of_shop(), shop.safety, shop.not_asked)


def questions_of_machine(
    machine: Machine, mounted: Sequence[Cutter], unit: Unit
) -> tuple[SafetyQuestion, ...]:
    """Give the questions about a machine: the plug first, what it must run for last.

    Args:
        machine: the machine.
        mounted: its cutters that are on it now.
        unit: the shop's unit, for a blade's plate and kerf.
    """
    known = usual(machine.kind) if machine.cuts else ()
    blade = next((one for one in mounted if one.plate and one.kerf), None)
    if blade is not None:
        known = tuple(_for_blade(one, blade, unit) for one in known)
    found = _put_together(known, machine.safety, machine.not_asked)
    return tuple(sorted(found, key=lambda one: (not one.plug, one.running)))


def _put_together(
    known: Sequence[SafetyQuestion], own: Sequence[SafetyQuestion], not_asked: Sequence[str]
) -> tuple[SafetyQuestion, ...]:
    """Let questions of the shop's own take the place of usual ones, or follow them."""
    by_id = {one.id: one for one in own}
    ids = {one.id for one in known}
    first = [
        by_id[one.id]._replace(plug=one.plug) if one.id in by_id else one
        for one in known
        if one.id in by_id or one.id not in not_asked
    ]
    return (*first, *(one for one in own if one.id not in ids))


def _for_blade(question: SafetyQuestion, blade: Cutter, unit: Unit) -> SafetyQuestion:
    """Ask for the riving knife with both numbers of the blade that is on."""
    sizes = plate_and_kerf(blade, unit)
    if question.id != "riving-knife" or sizes is None:
        return question
    plate, kerf = sizes
    ask = (
        f"Measure the riving knife: thicker than the plate, {plate}, thinner than the kerf, {kerf}?"
    )
    return question._replace(ask=ask)


def plate_and_kerf(blade: Cutter, unit: Unit) -> tuple[str, str] | None:
    """Say how thick a blade's plate is and how wide it cuts; None: the shop file does not tell."""
    if blade.plate is None or blade.kerf is None:
        return None
    return _width(blade.plate, unit), _width(blade.kerf, unit)


def _width(mm: float, unit: Unit) -> str:
    """Write how wide something is, mm, as a calliper shows it: ``0.087 in``, ``2.20 mm``."""
    return leaf(by_unit(unit, round(mm / MM_PER_INCH, 3) * MM_PER_INCH, round(mm, 2)), unit)


def as_wanted(question: SafetyQuestion, answer: str) -> bool:
    """Tell whether an answer is a state that is wanted."""
    return answer in question.wanted


def still_fits(question: SafetyQuestion, answer: str | None) -> bool:
    """Tell whether an answer is still one of the question's, after an edit of the shop file."""
    return answer in question.wanted or answer in question.others


def in_words_of_now(question: SafetyQuestion, answer: str) -> str | None:
    """Give an answer of a round left half-way as the question has it now; None: it has no such.

    A usual question may say the same in other words since.
    """
    answers = (*question.wanted, *question.others)
    if answer in answers:
        return answer
    return next((one for one in answers if words_before(one) == answer), None)


def not_as_wanted(question: SafetyQuestion, answer: str) -> str:
    """Say what was answered, for a tag or a summary: ``guard, it is off``."""
    return f"{question.name}, {answer}"


def next_step(
    questions: Sequence[SafetyQuestion], answers: Mapping[str, str], tag: str | None
) -> Choice | None:
    """Give the step that the answers leave open; None when the round is finished.

    Args:
        questions: as they are asked, one after the other.
        answers: by step; a question's key is its id.
        tag: why the machine is not to be used, empty while it may be; None: it is no machine.
    """
    for number, question in enumerate(questions):
        answer = answers.get(question.id)
        if answer is None or not still_fits(question, answer):
            return _ask(question, first=number == 0)
        if as_wanted(question, answer):
            continue
        decided = answers.get(question.id + _DECISION)
        if decided is None:
            return _decide(question, answer, tag)
        if question.plug:
            return None  # hands stay away from what cannot be cut off
    return None


def _ask(question: SafetyQuestion, *, first: bool) -> Choice:
    lines: tuple[str, ...] = ()
    if question.running:
        lines = ("Take tools off, put every guard back, keep hands away. Only then plug in.",)
    if first or question.running:
        lines = (*lines, MANUAL)
    return (Caution if question.plug else Choice)(
        key=question.id,
        title=question.ask,
        lines=lines,
        big=question.name,
        options=tuple(Option(_plainly(one), one) for one in _in_turn(question)),
    )


def _plainly(answer: str) -> str:
    """Write an answer as a step compares it with what is typed."""
    return " ".join(answer.split()).lower()


def as_kept(step: Step, accepted: str) -> str:
    """Give what is recorded of an accepted answer: a state in its own words."""
    if is_decision(step) or not isinstance(step, Choice):
        return accepted
    return next(one.label for one in step.options if one.value == accepted)


def _in_turn(question: SafetyQuestion) -> tuple[str, ...]:
    """Give the answers in an order of the question's own, always the same.

    Were the wanted one always the first, a round could be pressed through without looking. The
    plug comes as it does in the checks.
    """
    answers = (*question.wanted, *question.others)
    turn = 0 if question.plug else crc32(question.id.encode()) % len(answers)
    return (*answers[turn:], *answers[:turn])


def _decide(question: SafetyQuestion, answer: str, tag: str | None) -> Choice:
    """Say that an answer is not as wanted, and offer to tag the machine."""
    lines = [f"Should be: {'; or '.join(question.wanted)}."]
    if tag:
        lines.append(f"Already tagged: {tag}")
    elif tag is not None:
        lines.append("Nobody should start this machine until it is put right.")
    else:
        lines.append("Put it right before work begins. It stays on the board until then.")
    if question.plug:
        lines.append("Keep your hands off it: no more questions about it now.")
    put = "add this to its tag" if tag else "tag it DO NOT USE, for this reason"
    without = "go on; its tag stays as it is" if tag else "go on without a tag"
    leave = Option(GO_ON, "go on" if tag is None else without)
    return Choice(
        key=question.id + _DECISION,
        title=f"Not right. {question.name.capitalize()}: {answer}.",
        lines=tuple(lines),
        big=question.name,
        options=(leave,) if tag is None else (Option(TAG, put), leave),
        default=GO_ON if tag is None else None,
    )


def question_asked(step: Step) -> str:
    """Give the id of the question that a step asks, or decides about."""
    return step.key.removesuffix(_DECISION)


def is_decision(step: Step) -> bool:
    """Tell whether a step is about what was answered, not about what is seen."""
    return step.key.endswith(_DECISION)


def decision_of(question_id: str) -> str:
    """Give the key of what was done about a question's answer."""
    return question_id + _DECISION
