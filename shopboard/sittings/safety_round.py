"""A safety round under way, of one machine or of the shop: durable answer by answer.

Each answer is in the journal before the next question is asked, so a round can be left, killed or
cut off anywhere and goes on where it stood. A tag and the answer that asks for it are recorded
together or not at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.checks.steps import AnswerError, Choice
from shopboard.journal import JournalLocked, NewEntry, Store, new_uid
from shopboard.shop.machine import Cutter, SafetyQuestion
from shopboard.shop.model import Shop
from shopboard.upkeep.cutters import all_cutters
from shopboard.upkeep.plug import plug_is_doubtful
from shopboard.upkeep.safety_questions import (
    TAG,
    as_kept,
    as_wanted,
    decision_of,
    is_decision,
    next_step,
    not_as_wanted,
    question_asked,
    questions_of_machine,
    questions_of_shop,
    still_fits,
)
from shopboard.upkeep.safety_record import (
    ROUND,
    Answered,
    RoundStanding,
    all_answers,
    read_round,
    round_body,
)
from shopboard.upkeep.tags import joined, standing_tag, tag_entry
from shopboard.upkeep.taken_back import newest_cutters


class RoundSitting:
    """One safety round, from the first question to the last."""

    def __init__(
        self,
        machine: str,
        name: str,
        questions: Sequence[SafetyQuestion],
        before: RoundStanding | None,
        now: datetime,
        journal: Store,
    ) -> None:
        """Go on with the newest round, or begin anew when it is finished or too old.

        Args:
            machine: id of the machine; empty: the shop itself.
            name: of the machine or the shop, for people.
            questions: in the order asked.
            before: what is on record.
            now: the time.
            journal: where answers go; nothing is recorded before the first one.
        """
        self.machine = machine
        self.name = name
        self.questions = tuple(questions)
        self.uid = new_uid()
        self._journal = journal
        self._written = 0
        self._answers: dict[str, str] = {}
        self.tag = self._read_tag()
        """Why the machine is not to be used; empty while it may be."""
        self._older: tuple[Answered, ...] = all_answers(before) if before is not None else ()
        self.resumed = before is not None and before.goes_on(now)
        """Whether it goes on with a round begun earlier."""
        if before is not None and self.resumed:
            self._take_up(before, now)

    def _take_up(self, before: RoundStanding, now: datetime) -> None:
        """Bring back the answers; after a pause the plug is asked for again."""
        self.uid, self._written, self._older = before.uid, before.number, before.older
        given = {one.question: one.text for one in before.answers}
        for question in self.questions:
            answer = given.get(question.id)
            if answer is None or not still_fits(question, answer):
                continue
            self._answers[question.id] = answer
            decided = decision_of(question.id)
            if decided in before.decided and not as_wanted(question, answer):
                self._answers[decided] = before.decided[decided]
        step = self.step
        running = step is not None and self._question(step).running
        if plug_is_doubtful(before.when, now) and not running:
            for question in self.questions:
                if question.plug:
                    self._answers.pop(question.id, None)

    def _question(self, step: Choice) -> SafetyQuestion:
        return next(one for one in self.questions if one.id == question_asked(step))

    def _read_tag(self) -> str:
        return standing_tag(self.machine, self._journal) if self.machine else ""

    @property
    def step(self) -> Choice | None:
        """The question that is asked now; None when the round is finished."""
        return next_step(self.questions, self._answers, self.tag if self.machine else None)

    @property
    def number(self) -> int:
        """Number of the question that is asked or decided about, from 1."""
        step = self.step
        return len(self.questions) if step is None else self._place(step) + 1

    def _place(self, step: Choice) -> int:
        return self.questions.index(self._question(step))

    def answer(self, text: str) -> None:
        """Take an answer and go on; it is on disk when this returns.

        Raises:
            AnswerError: when the step refuses it; nothing is recorded and the step stays.
            JournalError: when it cannot be recorded; the step stays and can be answered again.
        """
        step = self.step
        if step is None:
            raise AnswerError("this round is finished")
        kept = as_kept(step, step.accept(text))
        answers = {**self._answers, step.key: kept}
        if not is_decision(step):
            answers.pop(decision_of(step.key), None)  # it was about another answer
        further: list[NewEntry] = []
        if is_decision(step) and kept == TAG:
            question = self._question(step)
            words = not_as_wanted(question, self._answers[question.id])
            name = f"{self.uid}-{self._written + 1}-t"  # a repeated key adds nothing
            further.append(tag_entry(self.machine, joined(self._read_tag(), words), name))
        self._write(answers, further)

    def back(self) -> None:
        """Take the last answer back.

        Raises:
            AnswerError: at the first question, and past a tag: that is cleared with a reason.
            JournalError: when it cannot be recorded.
        """
        step = self.step
        if step is not None and is_decision(step):
            self._write({k: v for k, v in self._answers.items() if k != question_asked(step)})
            return
        place = len(self.questions) if step is None else self._place(step)
        before = [one for one in self.questions[:place] if one.id in self._answers]
        if not before:
            raise AnswerError("this is the first question")
        last, decided = before[-1], decision_of(before[-1].id)
        if self._answers.get(decided) == TAG:
            raise AnswerError("the machine is tagged by then; a tag is cleared on its own screen")
        dropped = decided if decided in self._answers else last.id
        self._write({key: text for key, text in self._answers.items() if key != dropped})

    def _write(self, answers: dict[str, str], further: Sequence[NewEntry] = ()) -> None:
        """Record the whole round as it is now; a repeated key adds nothing."""
        seen = {one.id: answers[one.id] for one in self.questions if one.id in answers}
        body = round_body(
            self.uid,
            self._written + 1,
            self.questions,
            seen,
            {key: text for key, text in answers.items() if key not in seen},
            self._older,
            finished=next_step(self.questions, answers, "" if self.machine else None) is None,
        )
        uid = f"{self.uid}-{self._written + 1}"
        entry = NewEntry(uid, ROUND, self.machine, "", body)
        known = self._journal.get(uid)
        if known is not None and known.body != entry.body:
            raise JournalLocked(
                "Another program has answered this round meanwhile.",
                "Leave it here and go on with it: it stands where the other one left it.",
            )
        self._journal.append([entry, *further])
        self._written += 1
        self._answers = answers
        if further:
            self.tag = self._read_tag()

    @property
    def answered(self) -> list[tuple[SafetyQuestion, str]]:
        """The questions answered in this round, with their answers."""
        return [(one, self._answers[one.id]) for one in self.questions if one.id in self._answers]

    @property
    def summary(self) -> str:
        """Say what was answered, and no more than that."""
        wrong = [not_as_wanted(*one) for one in self.answered if not as_wanted(*one)]
        count = len(self.answered)
        words = f"{count} of {len(self.questions)} answered, {count - len(wrong)} as wanted."
        return f"{words} Not as wanted: {'; '.join(wrong)}." if wrong else words


def newest_round(machine: str, journal: Store) -> RoundStanding | None:
    """Give what is on record of the rounds of a machine, or of the shop (no name).

    Raises:
        JournalError: when the journal cannot be read.
    """
    entries = journal.recent(ROUND, machine, "", limit=1, include_void=False)
    return read_round(entries[0]) if entries else None


def round_of(shop: Shop, machine_id: str, now: datetime, journal: Store) -> RoundSitting:
    """Go on with a round, or begin one.

    Args:
        shop: the shop.
        machine_id: which machine; empty: the shop itself.
        now: the time.
        journal: the journal.

    Raises:
        JournalError: when it cannot be read.
    """
    before = newest_round(machine_id, journal)
    if not machine_id:
        return RoundSitting("", shop.name, questions_of_shop(shop), before, now, journal)
    machine = shop.machines_by_id[machine_id]
    mounted: list[Cutter] = []
    if machine.cutters or machine_id in shop.serving:
        here = all_cutters(shop, newest_cutters(journal)).get(machine_id, ())
        mounted = [one.cutter for one in here if one.mounted]
    questions = questions_of_machine(machine, mounted, shop.unit)
    return RoundSitting(machine_id, machine.name, questions, before, now, journal)
