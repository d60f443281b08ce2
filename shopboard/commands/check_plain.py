"""A check as plain lines: works in any terminal, over a slow line, with a screen reader."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from shopboard.base.dates import ago
from shopboard.base.state_words import state_word
from shopboard.base.who import by_words
from shopboard.checks.correction_working import correction_working
from shopboard.checks.drawn.canvas import as_ascii
from shopboard.checks.need import Need
from shopboard.checks.steps import (
    AnswerError,
    Choice,
    Finding,
    NoSuchAnswerError,
    Number,
    Step,
    Words,
)
from shopboard.checks.told import moves_of, number_words, scale_of, sentences, share_words
from shopboard.checks.working import budget_working
from shopboard.commands.errors import UsageError
from shopboard.commands.output import is_utf8, out, prompt, say
from shopboard.journal import JournalError
from shopboard.metrology.units import by_unit
from shopboard.metrology.wording import leaf
from shopboard.open_shop import OpenShop
from shopboard.shop.machine import Point
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.sitting import Sitting

_HELP = (
    "back: one step back   why: the working   leave: stop here, go on later   anew: from the start"
)


def plain_check(
    open_shop: OpenShop, point: Point, method: str, *, study: bool = False, need: Need | None = None
) -> int:
    """Ask the steps one after the other until the check, or a study by it, is closed or left."""
    sitting = _begin(open_shop, point, method, study=study, need=need)
    say(_HELP)
    if sitting.job.need is not None:
        told, how = (
            sitting.job.need.words(sitting.job.tolerance.kind, sitting.job.unit),
            sitting.job.need.how,
        )
        say(f"Checked {told}{f', {how}' if how else ''}.")
    while sitting.step is not None:
        _show(sitting.step, sitting)
        line = prompt("> ")
        if not line or line.strip() == "leave":
            closed = sitting.leave() if line else ""  # cut off is not left
            goes_on = f"`shopboard check {point.full_name}` goes on with it."
            if closed:
                goes_on = f"{closed[0].upper()}{closed[1:]}: no check is left open."
            say("", f"Left. {goes_on}")
            return 0
        if line.strip() == "anew":
            closes, need = (sitting, "begun anew"), sitting.job.need
            sitting = start(
                open_shop.journal,
                open_shop.shop,
                point,
                method,
                study=sitting.is_study,
                need=need,
                closes=closes,
            )
            continue
        with answering(sitting, f"shopboard check {point.full_name}"):
            _take(sitting, line.strip())
    out("The check is closed. Its results are on disk.")
    return 0


@contextmanager
def answering(sitting: Sitting, command: str) -> Iterator[None]:
    """Let an error say what of it is not on record, and what goes on with the rest."""
    number = sitting.number
    try:
        yield
    except JournalError as error:
        lead = "NOT CERTAIN" if error.uncertain else "NOT RECORDED"
        error.title = f"{lead}: what you told at step {number}. {error.title}"
        when = "Once it answers," if error.is_away else "After that"
        error.advice += f" {when} `{command}` goes on behind the last answer that is on record."
        raise


def _begin(
    open_shop: OpenShop, point: Point, method: str, *, study: bool, need: Need | None
) -> CheckSitting:
    waiting, closes = open_shop.waiting.get(point.full_name), None
    if waiting is not None:
        sitting = resume(open_shop.journal, open_shop.shop, point, waiting, open_shop.clock_now())
        by = by_words(waiting.by)
        why = _why_another(sitting, method, study=study, need=need) if sitting else ""
        if sitting is not None and not why:
            earlier = f"begun earlier{' ' if by else ''}{by}"
            say(f"Going on at step {sitting.number} of {sitting.kind_words} {earlier}.")
            return sitting
        if sitting is None:
            say(
                "The check begun earlier is closed: it is too old, a result of it was withdrawn,",
                "or the shop file changed since.",
            )
        else:
            begun = " ".join(filter(None, ("begun", ago(waiting.when, open_shop.now()), by)))
            _ask_to_close(sitting, begun)
            closes = sitting, why
    return start(
        open_shop.journal, open_shop.shop, point, method, study=study, need=need, closes=closes
    )


def _why_another(sitting: CheckSitting, method: str, *, study: bool, need: Need | None) -> str:
    """Say why a check that waits is not the one asked for; empty where it is."""
    if sitting.method.name != method:
        return "begun again by another method"
    if study and not sitting.is_study:
        return "ten readings were begun in its place"
    return "" if _is_for(sitting, need) else "begun again for other work"


def _ask_to_close(sitting: CheckSitting, begun: str) -> None:
    """Ask whether a check that waits, perhaps another person's, may be closed.

    Raises:
        UsageError: it is not, or a result in it waits to be saved; the check is left as it is.
    """
    name = sitting.point.full_name
    goes_on = f"`shopboard check {name}` goes on with it"
    waits = f"{sitting.kind_words} by {sitting.method.name}, {begun}, is not finished"
    if sitting.at_result:
        raise UsageError(f"{waits}: its result waits to be saved. {goes_on}. Nothing was closed.")
    say(f"{waits[0].upper()}{waits[1:]}.", "Close it? Its readings go; results saved in it stay.")
    if prompt("yes or no> ").strip().lower() not in ("y", "yes"):
        raise UsageError(f"nothing was closed; {goes_on}, and the answer yes closes it")


def _is_for(sitting: CheckSitting, need: Need | None) -> bool:
    """Tell whether a check was begun for the work that is asked for, if any is."""
    mine = sitting.job.need
    return need is None or (mine is not None and mine.of == need.of)


def _take(sitting: CheckSitting, text: str) -> None:
    try:
        if text == "back":
            sitting.back()
        elif text == "why":
            _why(sitting)
        else:
            step = sitting.step
            sitting.answer(text)
            if isinstance(step, Finding):
                by = by_words(sitting.recorded[step.key].by)
                out(f"Recorded{' ' if by else ''}{by}, {step.run}.")
            elif isinstance(step, Number) and not (step.is_turns or step.plain):
                out(f"   = {leaf(step.value(text or step.default or ''), sitting.job.unit)}")
    except NoSuchAnswerError as error:
        say(f"! {error.numbers}")
    except AnswerError as error:
        say(f"! {error}")


def _why(sitting: CheckSitting) -> None:
    step = sitting.step
    taken = sitting.walk.findings
    shown = step if isinstance(step, Finding) else taken[-1] if taken else None
    if shown is None:
        say("Nothing is worked out yet.")
        return
    budget = budget_working(shown.outcome.estimate.budget, shown.outcome.kind, sitting.job.unit)
    todo = correction_working(sitting.job, shown.outcome)
    out(*shown.outcome.working, "", *((*todo, "") if todo else ()), *budget)


_SCALE_COLUMNS = 70


def _found(step: Finding, sitting: CheckSitting) -> list[str]:
    """Say what the board says of a result, in its order."""
    outcome, job = step.outcome, sitting.job
    share = share_words(outcome, job.unit)
    lines = [" · ".join(one for one in (state_word(outcome.verdict or ""), share) if one)]
    lines += [*moves_of(outcome, job), *number_words(outcome, job.unit)]
    drawn = scale_of(outcome, job.unit, _SCALE_COLUMNS)
    if drawn is not None:
        lines += drawn if is_utf8() else as_ascii(tuple(drawn))
    return [*lines, *(words for words, _ in sentences(outcome, job))]


def _show(step: Step, sitting: CheckSitting) -> None:
    count = f"   ({step.count})" if step.count else ""
    out("", f"{sitting.number}. {step.title}{count}", *(f"   {line}" for line in step.lines))
    out(*((f"   {step.known}",) if step.known else ()))
    out(*(step.diagram if is_utf8() else as_ascii(step.diagram)))
    if isinstance(step, Choice):
        for number, option in enumerate(step.options, 1):
            default = "  (Enter)" if option.value == step.default else ""
            out(f"   {number}  {option.label}{default}")
    elif isinstance(step, Finding):
        out(*(f"   {line}" for line in _found(step, sitting)), "   Enter saves the result.")
    elif isinstance(step, Number):
        if not (step.is_turns or step.plain):
            out(f"   A bare number means {by_unit(step.unit, 'inches', 'mm')}.")
    elif not isinstance(step, Words):
        out("   Enter when done.")
