"""A check as plain lines: works in any terminal, over a slow line, with a screen reader."""

from __future__ import annotations

from shopboard.checks.advice import correction_lines
from shopboard.checks.correction_working import correction_working
from shopboard.checks.diagram import as_ascii
from shopboard.checks.need import Need
from shopboard.checks.report import outcome_lines
from shopboard.checks.settle import what_would_settle
from shopboard.checks.steps import AnswerError, Choice, Finding, Number, Step, Words
from shopboard.checks.working import budget_working
from shopboard.commands.output import is_utf8, out, prompt, say
from shopboard.metrology.wording import leaf
from shopboard.open_shop import Desk
from shopboard.shop.machine import Point
from shopboard.sittings.check import Visit, resume, start

_HELP = (
    "back: one step back   why: the working   leave: stop here, go on later   anew: from the start"
)


def plain_check(
    desk: Desk, point: Point, method: str, *, study: bool = False, need: Need | None = None
) -> int:
    """Ask the steps one after the other until the check, or a study by it, is closed or left."""
    visit = _begin(desk, point, method, study=study, need=need)
    say(_HELP)
    if visit.job.need is not None:
        told, how = (
            visit.job.need.words(visit.job.tolerance.kind, visit.job.unit),
            visit.job.need.how,
        )
        say(f"Checked {told}{f', {how}' if how else ''}.")
    while visit.step is not None:
        _show(visit.step, visit)
        line = prompt("> ")
        if not line or line.strip() == "leave":
            closed = visit.leave() if line else ""  # cut off is not left
            goes_on = f"`shopboard check {point.full_name}` goes on with it."
            if closed:
                goes_on = f"{closed[0].upper()}{closed[1:]}: no check is left open."
            say("", f"Left. {goes_on}")
            return 0
        if line.strip() == "anew":
            visit.close_unfinished("begun anew")
            need = visit.job.need
            visit = start(desk.journal, desk.shop, point, method, study=study, need=need)
            continue
        _take(visit, line.strip())
    out("The check is closed. Its results are on disk.")
    return 0


def _begin(desk: Desk, point: Point, method: str, *, study: bool, need: Need | None) -> Visit:
    waiting = desk.waiting.get(point.full_name)
    if waiting is not None:
        visit = resume(desk.journal, desk.shop, point, waiting, desk.clock_now())
        same = visit is not None and visit.method.name == method and (visit.is_study or not study)
        if visit is not None and same and _is_for(visit, need):
            say(f"Going on at step {visit.number} of the check begun earlier.")
            return visit
        if visit is None:
            say(
                "The check begun earlier is closed: it is too old, a result of it was taken back,",
                "or the shop file changed since.",
            )
        elif same:
            visit.close_unfinished("begun anew for other work")
            say("The check begun earlier was not made for that; it is closed.")
        else:
            visit.close_unfinished("begun anew by another method")
            say(f"The check begun earlier by {visit.method.name} is closed.")
    return start(desk.journal, desk.shop, point, method, study=study, need=need)


def _is_for(visit: Visit, need: Need | None) -> bool:
    """Tell whether a check was begun for the work that is asked for, if any is."""
    mine = visit.job.need
    return need is None or (mine is not None and mine.of == need.of)


def _take(visit: Visit, text: str) -> None:
    try:
        if text == "back":
            visit.back()
        elif text == "why":
            _why(visit)
        else:
            step = visit.step
            visit.answer(text)
            if isinstance(step, Finding):
                out(f"Recorded, {step.run}.")
            elif isinstance(step, Number) and not (step.is_turns or step.plain):
                out(f"   = {leaf(step.value(text or step.default or ''), visit.job.unit)}")
    except AnswerError as error:
        say(f"! {error}")


def _why(visit: Visit) -> None:
    step = visit.step
    taken = visit.walk.findings
    shown = step if isinstance(step, Finding) else taken[-1] if taken else None
    if shown is None:
        say("Nothing is worked out yet.")
        return
    budget = budget_working(shown.outcome.estimate.budget, shown.outcome.kind, visit.job.unit)
    todo = correction_working(visit.job, shown.outcome)
    out(*shown.outcome.working, "", *((*todo, "") if todo else ()), *budget)


def _show(step: Step, visit: Visit) -> None:
    out("", f"{visit.number}. {step.title}", *(f"   {line}" for line in step.lines))
    out(*(step.diagram if is_utf8() else as_ascii(step.diagram)))
    if isinstance(step, Choice):
        for number, option in enumerate(step.options, 1):
            default = "  (Enter)" if option.value == step.default else ""
            out(f"   {number}  {option.label}{default}")
    elif isinstance(step, Finding):
        out(*(f"   {line}" for line in outcome_lines(step.outcome, visit.job.unit)))
        out(*(f"   {line}" for line in correction_lines(visit.job, step.outcome)))
        settle = what_would_settle(step.outcome)
        out(*((f"   {settle}",) if settle else ()), "   Enter keeps it on record.")
    elif isinstance(step, Number):
        if not (step.is_turns or step.plain):
            out(f"   A bare number means {'inches' if step.unit == 'inch' else 'mm'}.")
    elif not isinstance(step, Words):
        out("   Enter when done.")
