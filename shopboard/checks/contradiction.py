"""Readings that cannot all be right: what is wrong, and which of them to read again.

What cannot be is never gone on with. What is only unlikely can be kept on purpose; then it stays on
record with a remark. A reading that was taken again is asked under a name of its own, so that the
first one stays among the answers, and going back and resuming work as everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shopboard.checks.asked import Pick, Reading, Taken, answer_names
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Choice, Option
from shopboard.metrology.wording import leaf

AGAIN, KEEP = "again", "keep"
"""Answers: read it again; keep it as it is."""

MOST_NAMED = 4
"""Readings that are written out with their values: more do not fit the smallest screen."""

FAR_ABOVE = 5.0
"""A gap of so many times the next smaller one was probably misread: common practice, no source."""


@dataclass(frozen=True)
class Contradiction:
    """Readings of one set that contradict each other."""

    why: str
    """What is wrong, and which reading to repeat; small letters, no full stop."""
    again: tuple[str, ...] = ()
    """Keys of the readings and picks to take again; empty: all of them."""
    may_be: bool = False
    """It is unlikely, but possible: it can be kept on purpose."""

    @property
    def what(self) -> str:
        """What is wrong, without what to repeat."""
        return self.why.rpartition(";")[0] or self.why


@dataclass(frozen=True, kw_only=True)
class Recheck(Choice):
    """Asks whether readings are taken again; there is no other way on, unless they can be kept."""

    refusal: str
    """Why it cannot be gone on with: what a file of answers is told."""


def contradict(why: str, *again: str) -> Contradiction:
    """Name readings that cannot be; with no key, all of them are taken again."""
    return Contradiction(why, again)


def unlikely(why: str, *again: str) -> Contradiction:
    """Name readings that are hard to believe, but possible."""
    return Contradiction(why, again, may_be=True)


def far_above(values: Mapping[str, float], least: float, times: float = FAR_ABOVE) -> str:
    """Name the one value that is many times the next smaller one; empty when none is.

    Args:
        values: values of one sort, by name.
        least: what the next smaller one counts for at the least: of nothing, all is many times.
        times: from how many times on.
    """
    if len(values) < 2:
        return ""
    *_, (_, below), (name, largest) = sorted(values.items(), key=lambda one: one[1])
    return name if largest >= times * max(below, least) else ""


def ask_recheck(
    found: Contradiction,
    key: str,
    job: CheckContext,
    asked: Sequence[Reading | Pick],
    taken: Taken,
    following: str,
) -> Recheck:
    """Ask to take the readings again, with what was typed.

    Args:
        found: what is wrong.
        key: name of the answer.
        job: the point.
        asked: what is read.
        taken: what was read.
        following: put before the keys of what is read again.
    """
    again = [one for one in asked if not found.again or one.key in found.again]
    told = [one for one in again if one.key in {*taken.inputs, *taken.words}]
    names = ", ".join(one.key.replace("_", " ") for one in told)
    short = len(told) <= MOST_NAMED
    which = "read it again" if len(told) == 1 else f"read again: {names}"
    keep = (Option(KEEP, "it really is so: keep it, with a remark"),) if found.may_be else ()
    return Recheck(
        key=key,
        title="Can this be right?" if found.may_be else "These readings contradict each other.",
        lines=_lines(found, told, asked, taken, job),
        options=(Option(AGAIN, which if short else "read everything again"), *keep),
        default=AGAIN,
        implied_by=tuple((f"{following}{name}", AGAIN) for name in answer_names(again)),
        refusal=f'{found.why} (or {key} = "{KEEP}", if it really is so)'
        if found.may_be
        else found.why,
    )


def _lines(
    found: Contradiction,
    told: Sequence[Reading | Pick],
    asked: Sequence[Reading | Pick],
    taken: Taken,
    job: CheckContext,
) -> tuple[str, ...]:
    """Say what is wrong, below the question where one reading was told, above a few of them."""
    if len(told) == 1:
        return _as_asked(told[0], taken, job), _sentence(found.why, asked, alone=True)
    few = told if len(told) <= MOST_NAMED else ()
    why = _sentence(found.why, asked, alone=False)
    return (why, *(_told(one, taken, job) for one in few))


def _sentence(why: str, asked: Sequence[Reading | Pick], *, alone: bool) -> str:
    """Write a reason as a sentence; the name of a reading keeps its small letters.

    Where it is about one alone, that one's question stands above it in place of its name.
    """
    name, colon, rest = why.partition(": ")
    by_name = why.split()[0].rstrip(":,") in {one.key for one in asked}
    if alone and colon and name.replace(" ", "_") in {one.key for one in asked}:
        return f"{rest[:1].upper()}{rest[1:]}."
    return f"{why if by_name else why[:1].upper() + why[1:]}."


def _as_asked(one: Reading | Pick, taken: Taken, job: CheckContext) -> str:
    """Write a reading in the words in which it was asked: ``How far apart are they? 0.100 in``."""
    asked = one.title.removesuffix(".")
    return f"{asked}{'' if asked.endswith('?') else ':'} {_value(one, taken, job)}"


def _told(one: Reading | Pick, taken: Taken, job: CheckContext) -> str:
    """Write a reading as it was understood: ``front: 0.030 in``."""
    return f"{one.key.replace('_', ' ')}: {_value(one, taken, job)}"


def _value(one: Reading | Pick, taken: Taken, job: CheckContext) -> str:
    if isinstance(one, Pick):
        return dict(one.options).get(taken.words[one.key], "")
    return value_words(one, taken.values[one.key], job)


def _was(one: Reading | Pick, before: Taken, job: CheckContext) -> str:
    """Write what an answer was; nothing, where it was not asked."""
    if isinstance(one, Pick):
        return before.words.get(one.key, "nothing")
    known = before.values.get(one.key)
    return "nothing" if known is None else value_words(one, known, job)


def value_words(one: Reading, value: float, job: CheckContext) -> str:
    """Write a reading's value (mm, s or a count) with its unit."""
    if one.tool == "count":
        return f"{value:g}"
    return f"{value:g} s" if one.tool == "watch" else leaf(value, job.unit)


def with_remark(taken: Taken, *remarks: str) -> Taken:
    """Put remarks to a set of readings."""
    return replace(taken, remarks=(*taken.remarks, *remarks))


def read_again(
    job: CheckContext, asked: Sequence[Reading | Pick], before: Taken, after: Taken
) -> Taken:
    """Put to readings that were taken again a remark on what those were that changed."""
    changed = [
        f"{one.key.replace('_', ' ')} was {_was(one, before, job)}"
        for one in asked
        if before.values.get(one.key) != after.values.get(one.key)
        or before.words.get(one.key) != after.words.get(one.key)
    ]
    remarks = (f"Read again: {', '.join(changed[:MOST_NAMED])}.",) if changed else ()
    return with_remark(after, *remarks)
