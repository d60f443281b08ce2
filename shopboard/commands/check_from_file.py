"""A check from a file of answers: the same steps as on screen, judged alike, nothing assumed.

The file is TOML: each answer by its step's name (``light = "top"``), those of
the run after a correction in a table ``[left]``. What has one answer only need
not be given; a caution must be.
"""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Mapping
from pathlib import Path

import tomli

from shopboard.checks import registry
from shopboard.checks.advice import correction_lines
from shopboard.checks.contradiction import Recheck
from shopboard.checks.job import Job
from shopboard.checks.report import outcome_json, outcome_lines
from shopboard.checks.steps import AnswerError, Choice, Finding, Number, Step, Words
from shopboard.checks.walk import StepError, Walk, walk
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, out_json
from shopboard.desk import Desk
from shopboard.shop.model import Point
from shopboard.upkeep.tags import TAG_STEP, standing_tag, tag_caution
from shopboard.visit import job_for, start

LARGEST = 64_000
"""Bytes; a file of answers is a few lines."""


def from_file(desk: Desk, point: Point, method: str, options: argparse.Namespace) -> int:
    """Run the whole check, record it, print what it found.

    Raises:
        UsageError: when the file cannot be read or does not answer the check; nothing is recorded.
    """
    answers = read_answers(Path(options.answers))
    _read_the_tag(desk, point, answers, options.answers)
    job = job_for(desk.shop, point, desk.journal)
    try:
        done = walk(registry.method(method), job, answers, from_file=True)
    except StepError as error:
        raise UsageError(f"{options.answers}: {error.step.key}: {error}") from None
    _refuse_unused(options.answers, answers, done)
    if done.step is not None:
        raise UsageError(f"{options.answers}: {_missing(done.step)}")
    uids = [] if options.no_record else _record(desk, point, method, done)
    if options.json:
        out_json(_as_json(point, job, done, uids))
    else:
        for finding in done.findings:
            out(finding.run)
            lines = [*outcome_lines(finding.outcome), *finding.lines]
            out(*lines, *correction_lines(job, finding.outcome))
    return 0


def _read_the_tag(desk: Desk, point: Point, answers: dict[str, str], path: str) -> None:
    """Let the file say that the tag of the machine was read; it is never assumed."""
    why = standing_tag(point.machine, desk.journal)
    if not why:
        return
    caution = tag_caution(why)
    said = answers.pop(caution.key, None)
    if said is None:
        raise UsageError(f"{path}: {_missing(caution)}")
    try:
        caution.accept(said)
    except AnswerError as error:
        raise UsageError(f"{path}: {caution.key}: {error}") from None


def read_answers(path: Path) -> dict[str, str]:
    """Read a file of answers into flat names.

    Raises:
        UsageError: when it is no such file.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
        if len(data) > LARGEST:
            raise UsageError(f"{path}: larger than a file of answers can be")
        return _flat(tomli.loads(data.decode("utf-8")), str(path))
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror}") from None
    except UnicodeDecodeError:
        raise UsageError(f"{path}: not text in UTF-8") from None
    except (tomli.TOMLDecodeError, RecursionError, ValueError) as error:
        raise UsageError(f"{path}: {error}") from None


def _flat(table: Mapping[str, object], where: str, prefix: str = "") -> dict[str, str]:
    answers: dict[str, str] = {}
    for name, value in table.items():
        if isinstance(value, dict):
            answers |= _flat(value, where, f"{prefix}{name}.")
        elif isinstance(value, str | int | float) and not isinstance(value, bool):
            answers[f"{prefix}{name}"] = str(value)
        else:
            raise UsageError(f"{where}: {prefix}{name}: an answer is text or a number")
    return answers


def _refuse_unused(path: str, answers: Mapping[str, str], done: Walk) -> None:
    known = [step.key for step, _ in done.answered]
    if done.step is not None:
        known.append(done.step.key)
    lines = []
    for name in (name for name in answers if name not in known):
        near = difflib.get_close_matches(name, [one for one in known if one not in answers], 1)
        if near:
            lines.append(f"{path}: {name} is no step of this check; did you mean {near[0]}?")
        elif done.step is None:  # else it may belong to a step that is not reached
            lines.append(f"{path}: {name}: this check did not ask for it")
    if lines and done.step is not None:
        lines.append(f"{path}: {_missing(done.step)}")
    if lines:
        raise UsageError("\n".join(lines))


def _missing(step: Step) -> str:
    if isinstance(step, Recheck):
        return step.refusal
    if isinstance(step, Choice):
        allowed = f"; it can be {', '.join(option.value for option in step.options)}"
    elif isinstance(step, Number):
        plain = {"count": "a count", "s": "a time in seconds"}.get(step.plain, "a length")
        allowed = f"; {'a number of turns' if step.is_turns else plain}"
    elif isinstance(step, Words):
        allowed = "; a few plain words"
    else:
        allowed = ""
    asked = step.title.rstrip(".")
    return f"{step.key} is missing: {asked}{allowed}"


def _record(desk: Desk, point: Point, method: str, done: Walk) -> list[str]:
    visit = start(desk.journal, desk.shop, point, method)
    if visit.step is not None and visit.step.key == TAG_STEP:
        visit.answer("read")
    for step, answer in done.answered:
        visit.answer(answer, step)
    return [entry.uid for entry in visit.recorded.values()]


def _as_json(point: Point, job: Job, done: Walk, uids: list[str]) -> dict[str, object]:
    findings = [_finding_json(finding, job) for finding in done.findings]
    for finding, uid in zip(findings, uids, strict=False):
        finding["uid"] = uid
    return {"point": point.full_name, "recorded": bool(uids), **findings[-1], "findings": findings}


def _finding_json(finding: Finding, job: Job) -> dict[str, object]:
    return {
        "run": finding.run,
        **outcome_json(finding.outcome),
        "lean": finding.outcome.lean,
        "correction": list(correction_lines(job, finding.outcome)),
        "readings": dict(finding.outcome.readings),
    }
