"""A check from a file of answers: the same steps as on screen, judged alike, nothing assumed.

What has one answer only need not be given; a caution must be.
"""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Collection, Sequence

from shopboard.checks import registry
from shopboard.checks.advice import correction_lines
from shopboard.checks.contradiction import Recheck
from shopboard.checks.correction_steps import UNPLUGGED
from shopboard.checks.job import CheckContext
from shopboard.checks.need import Need
from shopboard.checks.report import outcome_json, outcome_lines
from shopboard.checks.settle import what_would_settle
from shopboard.checks.steps import AnswerError, Choice, Finding, Number, Step, Words
from shopboard.checks.walk import StepError, Walk, walk
from shopboard.commands.acts import another, found, say_on_record
from shopboard.commands.answers_file import AnswersFile, in_file
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, out_json
from shopboard.journal import Entry, kinds
from shopboard.open_shop import OpenShop
from shopboard.shop.machine import Point
from shopboard.sittings.check import resume, start
from shopboard.sittings.point_job import job_for
from shopboard.upkeep.tags import TAG_STEP, standing_tag, tag_caution

_CANNOT_GO_ON = "the check of that --uid cannot go on; run it again from the start, without --uid"


def from_file(
    open_shop: OpenShop,
    point: Point,
    method: str,
    options: argparse.Namespace,
    uid: str,
    need: Need | None = None,
) -> int:
    """Run the whole check, record it, print what it found.

    Raises:
        UsageError: when the file cannot be read or does not answer the check; nothing is recorded.
    """
    file = AnswersFile(options.answers)
    _read_the_tag(open_shop, point, file)
    job = job_for(open_shop.shop, point, open_shop.journal, need=need)
    try:
        done = walk(registry.method(method), job, file.answers, from_file=True)
    except StepError as error:
        raise UsageError(file.at(error.step.key, str(error))) from None
    _refuse_unused(file, done)
    if done.step is not None:
        raise UsageError(f"{file.path}: {_missing(done.step, done)}")
    begun = (
        None
        if options.no_record
        else found(open_shop, options, kinds.BEGIN.name, point.machine, point.id)
    )
    if begun is not None:
        _refuse_other_answers(open_shop, begun, done, options)
    kept = [] if options.no_record else _record(open_shop, point, method, done, need, uid, begun)
    jobs = [one for one, _ in kept] or [job] * len(done.findings)
    if options.json:
        out_json(_as_json(point, jobs, done, [uid for _, uid in kept]))
    else:
        for finding, job in zip(done.findings, jobs, strict=True):
            out(finding.run)
            lines = [*outcome_lines(finding.outcome, job.unit), *finding.lines]
            settle = what_would_settle(finding.outcome, kept=True)
            out(*lines, *((settle,) if settle else ()), *correction_lines(job, finding.outcome))
    return 0


def _read_the_tag(open_shop: OpenShop, point: Point, file: AnswersFile) -> None:
    """Let the file say that the tag of the machine was read; it is never assumed."""
    why = standing_tag(point.machine, open_shop.journal)
    if not why:
        return
    caution = tag_caution(why)
    said = file.answers.pop(caution.key, None)
    if said is None:
        raise UsageError(f"{file.path}: {_missing(caution)}")
    try:
        caution.accept(said)
    except AnswerError as error:
        raise UsageError(file.at(caution.key, str(error))) from None


def _refuse_unused(file: AnswersFile, done: Walk) -> None:
    answers = file.answers
    known = [step.key for step, _ in done.answered]
    if done.step is not None:
        known.append(done.step.key)
    told = {name: _unused(name, answers, known, done) for name in answers if name not in known}
    lines = [file.at(name, words) for name, words in told.items() if words]
    if lines and done.step is not None:
        lines.append(f"{file.path}: {_missing(done.step, done)}")
    if lines:
        raise UsageError("\n".join(lines))


def _unused(name: str, answers: Collection[str], known: Sequence[str], done: Walk) -> str:
    """Say what is wrong with an answer that no step took; empty where nothing need be."""
    corrected = _corrected(done)
    if corrected and name.startswith("left") and name.endswith(f".{UNPLUGGED}"):
        return ""  # asked before every correction by earlier versions
    left = name.startswith("left") and not corrected
    free = [] if left else [one for one in known if one not in answers]
    near = difflib.get_close_matches(name, free, 1)
    if near:
        meant = in_file(near[0], corrected=corrected)
        return f"it is no step of this check; did you mean {meant}?"
    # before its end, it may belong to a step that is not reached
    return "this check did not ask for it" if done.step is None else ""


def allowed_words(step: Step) -> str:
    """Say what may answer a step; empty where anything does."""
    if isinstance(step, Choice):
        return ", ".join(option.word for option in step.options)
    if isinstance(step, Number):
        plain = {"count": "a count", "s": "a time in seconds"}.get(step.plain, "a length")
        return "a number of turns" if step.is_turns else plain
    return "a few plain words" if isinstance(step, Words) else ""


def _missing(step: Step, done: Walk | None = None) -> str:
    name = in_file(step.key, corrected=done is not None and _corrected(done))
    if isinstance(step, Recheck):
        return step.refusal.replace(f"{step.key} =", f"{name} =")
    allowed = allowed_words(step)
    can_be = "it can be " if isinstance(step, Choice) else ""
    asked = step.title.rstrip(".")
    return f"{name} is missing: {asked}{f'; {can_be}{allowed}' if allowed else ''}"


def _corrected(done: Walk) -> bool:
    return done.used.get("next") == "adjust"


def _refuse_other_answers(
    open_shop: OpenShop, begun: Entry, done: Walk, options: argparse.Namespace
) -> None:
    """Refuse to go on under the name of a check that was told something else.

    Raises:
        UsageError: an answer on record is another one than now.
    """
    now = {step.key: step.accept(text) for step, text in done.answered}
    for entry in open_shop.journal.thread(begun.uid):
        if entry.kind != kinds.ANSWER.name:
            continue
        did = kinds.ANSWER.read(entry)
        if now.get(did.key, did.text) != did.text:
            raise another(options)


def _record(
    open_shop: OpenShop,
    point: Point,
    method: str,
    done: Walk,
    need: Need | None,
    uid: str,
    begun: Entry | None,
) -> list[tuple[CheckContext, str]]:
    """Record the check; give what was known of the point at each result, and the result's uid.

    One begun by an earlier try is gone on with.
    """
    thread = open_shop.journal.thread(uid) if begun is not None else []
    if begun is not None and any(entry.kind == kinds.END.name for entry in thread):
        uids = [entry.uid for entry in thread if entry.kind == kinds.CHECK.name]
        if len(uids) != len(done.findings):
            raise UsageError(_CANNOT_GO_ON)
        say_on_record(begun)
        return [(job_for(open_shop.shop, point, open_shop.journal, need=need), uid) for uid in uids]
    if begun is not None:
        resumed = resume(open_shop.journal, open_shop.shop, point, begun, open_shop.now())
        if resumed is None:
            raise UsageError(_CANNOT_GO_ON)
        sitting = resumed
    else:
        sitting = start(
            open_shop.journal, open_shop.shop, point, method, need=need, from_file=True, uid=uid
        )
    if sitting.step is not None and sitting.step.key == TAG_STEP:
        sitting.answer("read")
    jobs = [sitting.job] * len(sitting.recorded)
    for step, answer in done.answered[len(sitting.walk.answered) :]:
        jobs += [sitting.job] if isinstance(step, Finding) else []
        sitting.answer(answer, step)
    uids = [entry.uid for entry in sitting.recorded.values()]
    return list(zip(jobs, uids, strict=True))


def _as_json(
    point: Point, jobs: Sequence[CheckContext], done: Walk, uids: Sequence[str]
) -> dict[str, object]:
    findings = [
        _finding_json(finding, job) for finding, job in zip(done.findings, jobs, strict=True)
    ]
    for finding, uid in zip(findings, uids, strict=False):
        finding["uid"] = uid
    return {"point": point.full_name, "recorded": bool(uids), **findings[-1], "findings": findings}


def _finding_json(finding: Finding, job: CheckContext) -> dict[str, object]:
    return {
        "run": finding.run,
        **outcome_json(finding.outcome),
        "lean": finding.outcome.lean,
        "correction": list(correction_lines(job, finding.outcome)),
        "readings": dict(finding.outcome.readings),
    }
