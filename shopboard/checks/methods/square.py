"""Square and feeler: is a face square to its datum?

A square stands on the datum with its blade against the face. It touches at one
end; the gap at the other, read with feeler leaves, over the lever between is
the angle: error = atan(gap / lever), positive with light at the top (or tip).
The square's own error goes into the budget, or is cancelled by turning the
square over. After a correction is locked, the same reading is taken again.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.advice import correction_of, lean
from shopboard.checks.diagram import square_at_face
from shopboard.checks.job import Job
from shopboard.checks.outcome import Outcome
from shopboard.checks.reading import Read, ask_reading
from shopboard.checks.reckoning import Field, read_fields
from shopboard.checks.setting import adjust, ask_next, ask_turned_by, close, lock, unplug
from shopboard.checks.square_finding import Run, evaluate, what_the_screw_did
from shopboard.checks.steps import Choice, Do, Finding, Option, Step
from shopboard.checks.tools import Tools, take_tools, tools_taken
from shopboard.checks.working import square_working
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.square import Light, Reading, SetUp, estimate
from shopboard.metrology.wording import length, percent

_OPPOSITE: dict[Light, Light] = {"top": "bottom", "bottom": "top", "none": "none"}
_MOST_RUNS = 50
"""Corrections within one check; far more than anyone makes."""


class SquareAndFeeler:
    """The guided check; everything in it is a function of the job and the answers."""

    name = "square"
    title = "Square and feeler"
    fields = (
        Field("goes", "length", "thickest leaf that goes; 0 when the thinnest was refused"),
        Field("refused", "length", "thinnest leaf that won't go"),
        Field("lever", "length", "from where the blade touches to the leaf"),
        Field("light", "word", "top, bottom or none", words=("top", "bottom", "none")),
        Field("square_error", "angle over lever", "limit of the square's own error", needed=False),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
        Field("turned_goes", "length", "as goes, with the square turned over", needed=False),
        Field("turned_refused", "length", "as refused, square turned over", needed=False),
        Field(
            "turned_light",
            "word",
            "as light, square turned over; the same as light when left out",
            needed=False,
            words=("top", "bottom", "none"),
        ),
    )

    def next_step(self, job: Job, answers: Mapping[str, str]) -> Step | None:
        """Give the first step that the answers leave open; None when the check is closed."""
        if job.cutter_near and "unplugged" not in answers:
            return unplug("unplugged", "Unplug the machine. Wait until the cutter stands still.")
        if "tools" not in answers:
            return take_tools(job)
        tools = tools_taken(job, answers["tools"])
        before: Run | None = None
        for number in range(_MOST_RUNS):
            prefix, following = _prefix(number), _prefix(number + 1)
            run = _measure(job, tools, answers, prefix, before)
            if isinstance(run, Step):
                return run
            step = _set_right(job, answers, run, following)
            if step is not None:
                return step
            if answers.get(f"{prefix}next", "done") == "done":
                break
            before = run
        return None if "close" in answers else close(job)

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
            ReadingError: when the readings cannot be.
        """
        given = read_fields(self.fields, values)
        light = _light(given.word("light"))
        reading = Reading(light, given.number("goes"), given.number("refused"))
        turned = None
        if given.has("turned_goes") or given.has("turned_refused") or given.has("turned_light"):
            given.need_both("turned_goes", "turned_refused")
            turned_light = (
                _light(given.word("turned_light")) if given.has("turned_light") else light
            )
            turned = Reading(
                turned_light, given.number("turned_goes"), given.number("turned_refused")
            )
        setup = SetUp(given.number("lever"), square_limit=given.optional("square_error"))
        taken_exact = not given.has("square_error") and turned is None
        return Outcome(
            method=self.name,
            estimate=estimate(setup, reading, turned),
            tolerance=given.tolerance("tolerance"),
            working=square_working(setup, reading, turned, "inch"),
            note="the square is taken as exact" if taken_exact else "",
        )


def _prefix(number: int) -> str:
    """Name the answers of a run: none as found, ``left.``, ``left2.`` after corrections."""
    return "" if number == 0 else "left." if number == 1 else f"left{number}."


def _light(word: str) -> Light:
    return "top" if word == "top" else "bottom" if word == "bottom" else "none"


def _measure(
    job: Job, tools: Tools, answers: Mapping[str, str], prefix: str, before: Run | None
) -> Step | Run:
    """Ask for one measurement, or give it when it is recorded."""
    if f"{prefix}place" not in answers:
        return _place(job, tools, prefix)
    read = ask_reading(job, tools, answers, prefix)
    if isinstance(read, Step):
        return read
    turned = _turned(job, tools, answers, prefix, read)
    if isinstance(turned, Step):
        return turned
    outcome = evaluate(job, tools, read, turned, {})
    turned_by = answers.get(f"{prefix}turned_by")
    if before is not None and turned_by is not None:
        screw = what_the_screw_did(job, before, outcome, turned_by)
        outcome = evaluate(job, tools, read, turned, screw)
    if f"{prefix}record" not in answers:
        return _finding(job, outcome, prefix)
    return Run(prefix, outcome, tools)


def _set_right(job: Job, answers: Mapping[str, str], run: Run, following: str) -> Step | None:
    """Ask the way through a correction; None when there is nothing more to ask."""
    if job.adjuster is None:
        return None
    chosen = answers.get(f"{run.prefix}next")
    if chosen is None:
        return ask_next(job, correction_of(job, run.outcome), f"{run.prefix}next")
    if chosen == "done":
        return None
    correction = correction_of(job, run.outcome, insist=True)
    if job.cutter_near and f"{following}unplugged" not in answers:
        return unplug(f"{following}unplugged", "Is the machine still unplugged?")
    if f"{following}adjust" not in answers:
        light = _light(str(run.outcome.readings["light"]))
        drawn = square_at_face(job.geometry, light, length(run.tools.lever, job.unit))
        return adjust(job, correction, f"{following}adjust", drawn)
    if isinstance(job.adjuster, Screw) and f"{following}turned_by" not in answers:
        return ask_turned_by(job, correction, f"{following}turned_by")
    return None if f"{following}lock" in answers else lock(job, f"{following}lock")


def _place(job: Job, tools: Tools, prefix: str) -> Do:
    geometry, lever = job.geometry, length(tools.lever, job.unit)
    return Do(
        key=f"{prefix}place",
        title=f"Stand the square on: {geometry.datum}.",
        lines=(
            *(("As before, now that it is locked.",) if prefix else ()),
            f"Its blade against: {geometry.face}.",
            f"Leaves go in {lever} from where the blade touches.",
        ),
        diagram=square_at_face(geometry, None, lever),
    )


def _turned(
    job: Job, tools: Tools, answers: Mapping[str, str], prefix: str, read: Read
) -> Step | Read | None:
    """Ask for the reading with the square turned over, where the point allows it."""
    if job.geometry.turn == "no":
        return None
    chosen = answers.get(f"{prefix}turn")
    if chosen is None:
        return _ask_turn(job, tools, read, prefix)
    if chosen == "no":
        return None
    second = ask_reading(job, tools, answers, f"{prefix}turned.", turned=True)
    if isinstance(second, Step) or job.geometry.turn == "end for end":
        return second
    # On the other side of a face, light at the top means that it leans the other way.
    one = second.reading
    return Read(Reading(_OPPOSITE[one.light], one.goes, one.refused), second.tries, second.leaves)


def _ask_turn(job: Job, tools: Tools, read: Read, prefix: str) -> Choice:
    outcome = evaluate(job, tools, read, None, {})
    budget = outcome.estimate.budget
    from_square = sum(budget.share(source) for source in budget.sources if source.lasting)
    worth = outcome.verdict != "true" and from_square > 0.25
    how = (
        "Stand it against the other side of the face."
        if job.geometry.turn == "other side"
        else "Turn it end for end, against the same face."
    )
    return Choice(
        key=f"{prefix}turn",
        title="Turn the square over and read again?",
        lines=(
            how,
            f"It cancels the square's own error, {percent(from_square)} of what is not known.",
            "That would help here." if worth else "It is not needed here.",
        ),
        options=(Option("no", "no, go on"), Option("yes", "yes, read again")),
        default="yes" if worth else "no",
        unasked="no",
        implied_by=((f"{prefix}turned.light", "yes"),),
    )


def _finding(job: Job, outcome: Outcome, prefix: str) -> Finding:
    return Finding(
        key=f"{prefix}record",
        title="As left." if prefix else "As found.",
        lines=(lean(job.geometry, outcome.estimate),),
        outcome=outcome,
        run="as-left" if prefix else "as-found",
    )


METHOD = SquareAndFeeler()
