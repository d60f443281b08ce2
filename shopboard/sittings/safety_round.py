"""A safety round under way, of one machine or of the shop: durable answer by answer.

A tag and the answer that asks for it are recorded together or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import cast

from shopboard.checks.steps import Choice, Step
from shopboard.checks.walk import Walk
from shopboard.journal import Entry, NewEntry, Store, new_uid
from shopboard.journal.kinds import ROUND
from shopboard.shop.machine import Cutter, SafetyQuestion
from shopboard.shop.model import Shop
from shopboard.sittings.sitting import Sitting, ToRecord
from shopboard.upkeep.cutters import all_cutters
from shopboard.upkeep.safety_questions import (
    TAG,
    as_kept,
    as_wanted,
    decision_of,
    in_words_of_now,
    is_decision,
    next_step,
    not_as_wanted,
    question_asked,
    questions_of_machine,
    questions_of_shop,
)
from shopboard.upkeep.safety_record import (
    Answered,
    RoundStanding,
    all_answers,
    read_round,
    round_kept,
)
from shopboard.upkeep.tags import joined, standing_tag, tag_entry
from shopboard.upkeep.taken_back import newest_cutters


class RoundSitting(Sitting):
    """One safety round, from the first question to the last."""

    called = "safety walk"
    went_on = "answered"
    at_first = "this is the first question"

    def __init__(
        self,
        machine: str,
        name: str,
        questions: Sequence[SafetyQuestion],
        newest: Entry | None,
        now: datetime,
        journal: Store,
    ) -> None:
        """Go on with the newest round, or begin anew when it is finished or too old.

        Args:
            machine: id of the machine; empty: the shop itself.
            name: of the machine or the shop, for people.
            questions: in the order asked.
            newest: the newest entry of its rounds.
            now: the time.
            journal: where answers go; nothing is recorded before the first one.
        """
        before = read_round(newest) if newest is not None else None
        self.resumed = before is not None and before.goes_on(now)
        """Whether it goes on with a round begun earlier."""
        uid = before.uid if before is not None and self.resumed else new_uid()
        super().__init__(journal, machine, "", uid)
        self.name = name
        self.questions = tuple(questions)
        self.tag = self._read_tag()
        """Why the machine is not to be used; empty while it may be."""
        self._older: tuple[Answered, ...] = all_answers(before) if before is not None else ()
        self.walk = self._follow({})
        if newest is not None and before is not None and self.resumed:
            self._last, self._written, self._older = newest, before.number, before.older
            self._answers = self._still_given(before)
            self.walk = self._follow(self._answers)
            step = self.walk.step
            if step is None or not self._asked_by(step).running:
                self._plug_after_pause(newest.when, now)

    def _still_given(self, before: RoundStanding) -> dict[str, str]:
        """Give the answers of an earlier sitting that are still answers to its questions."""
        given = {one.question: one.text for one in before.answers}
        answers: dict[str, str] = {}
        for question in self.questions:
            answer = in_words_of_now(question, given.get(question.id, ""))
            if answer is None:
                continue
            answers[question.id] = answer
            decided = decision_of(question.id)
            if decided in before.decided and not as_wanted(question, answer):
                answers[decided] = before.decided[decided]
        return answers

    @property
    def step(self) -> Choice | None:
        """The question that is asked now; None when the round is finished."""
        return cast("Choice | None", super().step)

    def _ask_plug_again(self) -> None:
        """Ask its questions about the plug anew; what is answered beside them stays."""
        plugs = {one.id for one in self.questions if one.plug}
        self._answers = {key: text for key, text in self._answers.items() if key not in plugs}
        self.walk = self._follow(self._answers)

    def _asked_by(self, step: Step) -> SafetyQuestion:
        return next(one for one in self.questions if one.id == question_asked(step))

    def _read_tag(self) -> str:
        return standing_tag(self.machine, self._journal) if self.machine else ""

    @property
    def number(self) -> int:
        """Number of the question that is asked or decided about, from 1."""
        step = self.step
        if step is None:
            return len(self.questions)
        return self.questions.index(self._asked_by(step)) + 1

    def _accepted(self, step: Step, text: str) -> str:
        return as_kept(step, step.accept(text))

    def _with_answer(self, step: Step, accepted: str) -> dict[str, str]:
        answers = super()._with_answer(step, accepted)
        if not is_decision(step):
            answers.pop(decision_of(step.key), None)  # it was about another answer
        return answers

    def _why_not_back(self, step: Step, text: str) -> str:
        tagged = "the machine is tagged by then; a tag is cleared on its own screen"
        return tagged if is_decision(step) and text == TAG else ""

    def _follow(self, answers: Mapping[str, str], after: Walk | None = None) -> Walk:  # noqa: ARG002 - it is short
        answered: list[tuple[Step, str]] = []
        used: dict[str, str] = {}
        tag = self.tag if self.machine else None
        while (step := next_step(self.questions, used, tag)) and step.key in answers:
            used[step.key] = answers[step.key]
            answered.append((step, used[step.key]))
        return Walk(tuple(answered), step, used)

    def _record(self, taken: ToRecord) -> list[Entry]:
        """Record the whole round as it is then, so that the newest entry of a machine is enough."""
        did, step, answers = taken.did, taken.step, taken.answers
        seen = {one.id: answers[one.id] for one in self.questions if one.id in answers}
        kept = round_kept(
            did,
            self.uid,
            self._written + 1,
            self.questions,
            seen,
            {key: text for key, text in answers.items() if key not in seen},
            self._older,
            finished=taken.walk.step is None,
        )
        beside: list[NewEntry] = []
        if did.what == "answer" and did.text == TAG and step is not None and is_decision(step):
            question = self._asked_by(step)
            words = not_as_wanted(question, answers[question.id])
            tag = joined(self._read_tag(), words)
            beside.append(tag_entry(self.machine, tag, f"{self._name()}-t"))
        return self._write([self._entry(ROUND, kept)], beside=beside)

    def _took(self, taken: ToRecord, written: Sequence[Entry]) -> None:
        super()._took(taken, written)
        if len(written) > 1:  # a tag is among them
            self.tag = self._read_tag()
            self.walk = self._follow(self._answers)

    @property
    def answered(self) -> list[tuple[SafetyQuestion, str]]:
        """The questions answered in this round, with their answers."""
        return [(one, self._answers[one.id]) for one in self.questions if one.id in self._answers]

    @property
    def summary(self) -> str:
        """Say what was answered, and no more than that."""
        wrong = [not_as_wanted(*one) for one in self.answered if not as_wanted(*one)]
        count = len(self.answered)
        words = f"{count} of {len(self.questions)} answered, {count - len(wrong)} in order."
        return f"{words} Not right: {'; '.join(wrong)}." if wrong else words


def _newest(machine: str, journal: Store) -> Entry | None:
    return next(iter(journal.recent(ROUND.name, machine, "", limit=1, include_void=False)), None)


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
    newest = _newest(machine_id, journal)
    if not machine_id:
        return RoundSitting("", shop.name, questions_of_shop(shop), newest, now, journal)
    machine = shop.machines_by_id[machine_id]
    mounted: list[Cutter] = []
    if machine.cutters or machine_id in shop.serving:
        here = all_cutters(shop, newest_cutters(journal), {}).get(machine_id, ())
        mounted = [one.cutter for one in here if one.mounted]
    questions = questions_of_machine(machine, mounted, shop.unit)
    return RoundSitting(machine_id, machine.name, questions, newest, now, journal)
