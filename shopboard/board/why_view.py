"""Why: the formula with a check's own numbers, and the uncertainty budget, as lines."""

from __future__ import annotations

from shopboard.base.state_words import state_word
from shopboard.base.who import by_words
from shopboard.checks.correction_working import correction_working
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.told import moves_of, sentences
from shopboard.checks.working import budget_rows, budget_working
from shopboard.metrology.kind import YES_NO_WORDS, measure_to
from shopboard.metrology.limits import in_own_unit
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import percent
from shopboard.results.record import CheckRecord


def outcome_why(outcome: Outcome, job: CheckContext) -> tuple[str, ...]:
    """Write out an outcome: formula, correction, budget, probability."""
    todo = correction_working(job, outcome)
    told = [words for words, _ in sentences(outcome, job)]
    budget = budget_working(outcome.estimate.budget, outcome.kind, job.unit)
    lines = [*outcome.working, "", *((*todo, "") if todo else ()), *budget]
    lines += ["", *moves_of(outcome, job), *told] if told or moves_of(outcome, job) else []
    if outcome.kind not in YES_NO_WORDS and outcome.probability is not None and outcome.tolerance:
        lines += [
            "",
            f"within {outcome.tolerance.words(job.unit)}: {percent(outcome.probability)} sure;"
            f" true from {percent(outcome.level)}, out from {percent(1 - outcome.level)} down",
            "(limits spread evenly, the rest as a normal curve, added)",
        ]
    return tuple(lines)


def record_why(record: CheckRecord, unit: Unit) -> tuple[str, ...]:
    """Write out a recorded result from what was kept with it."""
    total = record.expanded / record.k if record.k else record.spread.u
    rows = [*budget_rows([(one.label, one.u) for one in record.budget], total, record.kind, unit)]
    if record.kind not in YES_NO_WORDS:
        u, expanded = (measure_to(one, one, record.kind, unit) for one in (total, record.expanded))
        rows.append(f"U = k u = {record.k:.2f} x {u} = {expanded}")
    judged = (
        f"tolerance at the time {in_own_unit(record.tolerance, unit)}: {state_word(record.verdict)}"
    )
    if record.kind in YES_NO_WORDS:
        judged = f"{record.lean}: {state_word(record.verdict)}"
    void = (f"WITHDRAWN: {record.void}",) if record.void is not None else ()
    by = (by_words(record.by),) if record.by else ()
    return (*record.working, "", *rows, judged, *by, *void, record.note)
