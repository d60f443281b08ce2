"""Safety rounds and tags as the journal keeps them, and how they stand.

Every answer records the whole round anew, so that the newest entry of a machine is enough. It
carries along what was answered earlier to questions that this round has not come to yet: a guard
that was off stays on the board until somebody looks at it again.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from shopboard.base.dates import ago
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import counted
from shopboard.base.who import with_bench
from shopboard.journal import kinds

if TYPE_CHECKING:
    from shopboard.journal import Entry, Store
    from shopboard.shop.machine import SafetyQuestion

DO_NOT_USE = "DO NOT USE"
"""What a tagged machine says."""

ROUND_HOLDS = timedelta(hours=12)
"""An older round is not gone on with: what was seen on two days is no one round."""


class Answered(NamedTuple):
    """What was answered to one question."""

    question: str
    """Its id."""
    text: str
    as_wanted: bool
    when: datetime | None = None
    """None: in the newest round."""


class RoundStanding(NamedTuple):
    """What is on record of the safety rounds of one machine, or of the shop."""

    uid: str
    """Name of the newest round."""
    seq: int
    """Number of its newest entry."""
    number: int
    """How many entries it has."""
    when: datetime
    """When it was last answered."""
    of: int
    """How many questions it has."""
    finished: bool
    answers: tuple[Answered, ...]
    """In this round."""
    older: tuple[Answered, ...]
    """In earlier rounds, where this one has no answer yet."""
    decided: Mapping[str, str] = {}
    """What was done about an answer that was not as wanted, by step."""
    by: str = ""
    """Name of the bench at which it was last answered; empty: it had none."""

    def goes_on(self, now: datetime) -> bool:
        """Tell whether it was left before its end, and not too long ago."""
        return not self.finished and timedelta(0) <= now - self.when <= ROUND_HOLDS

    def lately(self, now: datetime) -> bool:
        """Tell whether it was walked to its end within the time that a round may take."""
        return self.finished and now - self.when <= ROUND_HOLDS

    @property
    def wrong(self) -> tuple[Answered, ...]:
        """The newest answers that are not as wanted."""
        return tuple(one for one in (*self.answers, *self.older) if not one.as_wanted)


def tag_words(entry: "Entry") -> str:
    """Give why a machine is not to be used, and by whose word; empty: the entry clears the tag."""
    said = kinds.TAG.read(entry)
    return with_bench(said.why or "no reason recorded", entry.by) if said.out_of_use else ""


def cleared_words(entry: "Entry") -> str:
    """Give why an entry clears a tag, and who recorded it."""
    return with_bench(kinds.TAG.read(entry).why, entry.by)


def may_carry(why: str) -> str:
    """Say that a machine may be tagged, where the record of it is damaged."""
    return f"it may carry this tag: {why}"


def is_unsure(tag: str) -> bool:
    """Tell whether such words say that a machine may carry a tag, or what is on it."""
    return tag.startswith(may_carry(""))


def see_to(machine: str, tag: str) -> str:
    """Say what is done about a machine with such words on its tag."""
    if is_unsure(tag):
        return f"look whether {machine} carries a tag; record it, or that there is none"
    return f"fix {machine}, then clear its tag"


def lost_tags(journal: "Store") -> dict[str, int]:
    """Give where a tag may be lost since the journal was salvaged: of no machine, of any.

    A tag or its clearing with a number from the one given on came after what was lost.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found: dict[str, int] = {}
    for entry in journal.recent(kinds.SALVAGED.name, "", "", include_void=False):
        told = kinds.SALVAGED.read(entry)
        for one in told.missing:
            if not one.certain or one.kind == kinds.TAG.name:
                machine = one.machine if one.certain else ""
                found[machine] = max(found.get(machine, 0), min(one.last, entry.seq))
        named = sum(one.last - one.first + 1 for one in told.missing)
        if named != told.missing_in_all:  # not all are named
            found[""] = entry.seq
    return found


LOST = "records were lost when the journal was salvaged"
"""Why a tag may be."""


def read_round(entry: "Entry") -> RoundStanding | None:
    """Read a ``round`` entry; None when it is a later program's, or none at all."""
    try:
        kept = kinds.ROUND.read(entry)
    except kinds.UnreadableBodyError:
        return None
    asked = dict.fromkeys((*(one for one in kept.wrong if one in kept.answers), *kept.answers))
    return RoundStanding(
        uid=kept.round,
        seq=entry.seq,
        number=kept.number,
        when=entry.when,
        of=kept.of,
        finished=kept.finished,
        answers=tuple(  # the wrong ones as asked
            Answered(one, kept.answers[one], one not in kept.wrong) for one in asked
        ),
        older=tuple(
            Answered(question, one.text, not one.wrong, one.when)
            for question, one in kept.older.items()
            if one.when is not None
        ),
        decided=kept.decided,
        by=entry.by,
    )


def round_kept(
    did: kinds.Did,
    uid: str,
    number: int,
    questions: "Sequence[SafetyQuestion]",
    answers: Mapping[str, str],
    decided: Mapping[str, str],
    older: Sequence[Answered],
    *,
    finished: bool,
) -> kinds.RoundKept:
    """Give what is kept of a round as it is after an answer."""
    asked = {one.id: one for one in questions}
    return kinds.RoundKept(
        did=did,
        round=uid,
        number=number,
        of=len(questions),
        finished=finished,
        answers=answers,
        wrong=tuple(name for name, text in answers.items() if text not in asked[name].wanted),
        decided=decided,
        older={
            one.question: kinds.EarlierAnswer(one.text, one.when, not one.as_wanted)
            for one in older
            if one.when is not None and one.question in asked and one.question not in answers
        },
    )


def all_answers(standing: RoundStanding) -> tuple[Answered, ...]:
    """Give the newest answer to each question, dated: what a later round carries along."""
    here = [one._replace(when=standing.when) for one in standing.answers]
    return (*here, *standing.older)


def round_words(standing: RoundStanding | None, now: datetime, tag: str = "") -> str:
    """Say what was answered and when, and nothing more; not again what the tag says.

    ``done 3 days ago, 1 problem: guard, it is off``
    """
    if standing is None:
        return "not done yet"
    count, age = len(standing.answers), with_bench(ago(standing.when, now), standing.by)
    if not count:
        words = f"started {age}, nothing answered yet"
    elif count < standing.of:
        words = f"{count} of {standing.of} answered {age}"
    else:
        words = f"done {age}"
    wrong = standing.wrong
    if not wrong:
        return f"{words}, {count} in order" if count else words
    problems = "; ".join(_told(one, now) for one in wrong if not _is_on(tag, one)) or "on the tag"
    return f"{words}, {counted(len(wrong), 'problem')}: {problems}"


def wrong_words(standing: RoundStanding, now: datetime, tag: str = "") -> str:
    """Say only what is not as wanted, and since when: ``guard, it is off (3 days ago)``.

    Empty: the tag says all of it.
    """
    wrong = (one for one in all_answers(standing) if not one.as_wanted)
    return "; ".join(_told(one, now) for one in wrong if not _is_on(tag, one))


def _is_on(tag: str, one: Answered) -> bool:
    """Tell whether a tag says that already, as it does when the walk put it on."""
    return _about(one) in tag


def _told(one: Answered, now: datetime) -> str:
    age = f" ({ago(one.when, now)})" if one.when is not None else ""
    return f"{_about(one)}{age}"


def _about(one: Answered) -> str:
    return f"{one.question.replace('-', ' ')}, {one.text}"
