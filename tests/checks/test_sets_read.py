"""How several readings are led through, with a check that reads one bare number at a time.

The rules of which one is named are those of `metrology/outlier.py`, tested there; what is asked and
kept is common practice, no source. The check repeats to 0.1, so that two differ from 0.28 on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest

from shopboard.checks.asked import Reading, Taken
from shopboard.checks.contradiction import Recheck
from shopboard.checks.job import CheckContext
from shopboard.checks.mean_of_sets import MOST_SETS
from shopboard.checks.outcome import Outcome
from shopboard.checks.repeated import RepeatedCheck
from shopboard.checks.repeats import SetsRead
from shopboard.checks.steps import Choice, Number, Step
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind
from shopboard.metrology.propagate import Input
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import make_job

LEVEL = Reading("level", "What does it show?", "rule")
OFFSET = Reading("offset", "Where is it read?", "rule")
JOB = make_job(tolerance=Tolerance(-100.0, 100.0, "100 mm", "length"), unit="mm")


class Bare(RepeatedCheck[Taken]):
    """Reads a level and an offset, which add up to the error."""

    name = "bare"
    kind: Kind = "length"

    def asked(self, job: CheckContext) -> Sequence[Reading]:
        return (LEVEL, OFFSET)

    def take(
        self, job: CheckContext, answers: Mapping[str, str], prefix: str, number: int
    ) -> Step | Taken:
        if f"{prefix}level" not in answers:
            return Number(key=f"{prefix}level", title=f"number {number}", unit="mm")
        level, offset = (float(answers.get(f"{prefix}{one}", "0")) for one in ("level", "offset"))
        return Taken({"level": Input(level), "offset": Input(offset)}, {})

    def found_in(self, job: CheckContext, taken: Taken) -> float:
        return taken.values["level"] + taken.values["offset"]

    def repeats_within(self, job: CheckContext, taken: Taken) -> float:
        return 0.1

    def evaluate(self, job: CheckContext, sets: Sequence[Taken]) -> Outcome:
        mean = sum(self.found_in(job, one) for one in sets) / len(sets)
        estimate = Estimate(mean, Budget((Source("repeats", "how well", 0.1),)))
        return Outcome("bare", estimate, job.tolerance, kind="length", note="Read.")


class Quiet(Bare):
    """Asks no further where that is not proposed."""

    ask_in_vain = False


def answers(*read: float, **more: str) -> dict[str, str]:
    """So many readings, and no more."""
    found = {"level": f"{read[0]}"}
    for number, one in enumerate(read[1:], 2):
        found |= {f"repeat{number - 1}": "yes", f"again{number}.level": f"{one}"}
    return {**found, f"repeat{len(read)}": "no", **more}


def led(given: Mapping[str, str], method: Bare | None = None) -> Step | Outcome:
    return SetsRead(method or Bare(), JOB, given, "").lead()


def outcome(given: Mapping[str, str]) -> Outcome:
    found = led(given)
    assert isinstance(found, Outcome), found
    return found


def recheck(given: Mapping[str, str]) -> Recheck:
    found = led(given)
    assert isinstance(found, Recheck), found
    return found


def test_one_after_the_other_each_under_its_own_name() -> None:
    first, second = led({}), led({"level": "1", "repeat1": "yes"})
    assert isinstance(first, Number)
    assert isinstance(second, Number)
    assert (first.key, first.title) == ("level", "number 1")
    assert (second.key, second.title) == ("again2.level", "number 2")
    assert outcome(answers(1.0, 1.1)).estimate.error == pytest.approx(1.05)
    assert outcome(answers(1.0, 1.1)).note == "Read."


def test_it_is_asked_before_each_further_one_what_enter_means() -> None:
    asked = led({"level": "1"})
    assert isinstance(asked, Choice)
    assert (asked.key, asked.default, asked.unasked, asked.assumed) == ("repeat1", "no", "no", None)
    assert asked.lines == ("Read through so far: once.", "It is not needed.")
    assert [one.value for one in asked.options] == ["no", "yes"]
    assert asked.implied_by == (("again2.level", "yes"), ("again2.offset", "yes"))
    quiet = led({"level": "1"}, Quiet())
    assert isinstance(quiet, Choice)
    assert quiet.assumed == "no"


def test_nine_are_the_most() -> None:
    read = {key: one for key, one in answers(*[1.0] * MOST_SETS).items() if key != "repeat9"}
    assert outcome(read).estimate.error == 1.0
    eight = {key: one for key, one in answers(*[1.0] * 8).items() if key != "repeat8"}
    asked = led(eight)
    assert isinstance(asked, Choice)
    assert asked.key == "repeat8"


def test_two_too_far_apart_call_for_a_third_or_are_both_kept() -> None:
    """0.28 is as far apart as such readings may be."""
    apart = {key: one for key, one in answers(1.0, 1.29).items() if key != "repeat2"}
    asked = led(apart)
    assert isinstance(asked, Choice)
    assert (asked.default, asked.unasked) == ("yes", None)
    words = "Readings 1 and 2 are +1.00 mm and +1.29 mm: too far apart"
    assert asked.lines[1] == f"{words}. A third one will tell which."
    quiet = led(apart, Quiet())
    assert isinstance(quiet, Choice)
    assert quiet.assumed is None
    assert outcome(answers(1.0, 1.29)).note == f"Read. {words}; both were kept."
    assert outcome(answers(1.0, 1.27)).note == "Read."
    assert outcome(answers(1.0, 1.29, 1.1)).note == "Read."


def test_one_that_does_not_belong_is_named_with_the_others() -> None:
    step = recheck(answers(1.0, 1.2, 9.0))
    assert step.key == "apart1"
    assert step.title == "Reading 3 is out of line with the others."
    assert step.lines == (
        "Reading 3: +9.00 mm. The others: +1.00 mm to +1.20 mm.",
        "What does it show? 9.00 mm; the others: 1.10 mm.",
    )
    assert [one.value for one in step.options] == ["again", "keep"]
    assert step.options[0].label == "take reading 3 again"
    assert step.implied_by == (("retake1.level", "again"), ("retake1.offset", "again"))
    assert step.refusal.startswith("reading 3: +9.00 mm, the others +1.00 mm to +1.20 mm: it is")
    assert '(or apart1 = "keep", where it is right)' in step.refusal
    assert "read number 3 again" in step.refusal
    alike = recheck(answers(1.0, 1.0, 9.0))
    assert alike.lines[0] == "Reading 3: +9.00 mm. The others: +1.00 mm."


def test_the_value_that_alone_explains_it_is_named() -> None:
    """The level is as in the others, the offset is not."""
    step = recheck(answers(1.0, 1.2, 1.1, **{"again2.offset": "0", "again3.offset": "8"}))
    assert step.lines[1:] == ("Where is it read? 8.00 mm; the others: 0.00 mm.",)


def test_taken_again_it_counts_and_the_other_is_set_aside() -> None:
    given = answers(1.0, 1.2, 9.0, apart1="again")
    again = led(given)
    assert isinstance(again, Number)
    assert (again.key, again.title) == ("retake1.level", "number 3")
    found = outcome({**given, "retake1.level": "1.1"})
    assert found.estimate.error == pytest.approx(1.1)
    assert found.readings["set_aside"] == [{"level": 9_000_000, "offset": 0}]
    assert "kept_on_purpose" not in found.readings
    assert found.note == (
        "Read. Reading 3 (+9.00 mm) is out of line with the others; it was taken again."
    )


def test_kept_it_counts_as_it_is_and_is_not_asked_about_again() -> None:
    found = outcome(answers(1.0, 1.2, 9.0, apart1="keep"))
    assert found.estimate.error == pytest.approx(11.2 / 3)
    assert found.readings["kept_on_purpose"] == [3]
    assert "set_aside" not in found.readings
    assert found.note.endswith("with the others; it was kept on purpose.")


def test_each_that_does_not_belong_has_a_number_of_its_own() -> None:
    """Kept, taken again, and once more: apart1, apart2, apart3."""
    read = (1.0, 1.2, 9.0, 1.1, -9.0)
    first = {"apart1": "keep"}
    second = recheck(answers(*read, **first))
    assert (second.key, second.title[:9]) == ("apart2", "Reading 5")
    assert second.lines[0] == "Reading 5: -9.00 mm. The others: +1.00 mm to +1.20 mm."
    taken = {**first, "apart2": "again", "retake2.level": "7"}
    third = recheck(answers(*read, **taken))
    assert (third.key, third.title[:9]) == ("apart3", "Reading 5")
    assert third.implied_by[0] == ("retake3.level", "again")
    found = outcome(answers(*read, **taken, **{"apart3": "again", "retake3.level": "1.1"}))
    assert found.estimate.error == pytest.approx((1.0 + 1.2 + 9.0 + 1.1 + 1.1) / 5)
    assert found.readings["kept_on_purpose"] == [3]
    assert [one["level"] for one in found.readings["set_aside"]] == [-9_000_000, 7_000_000]  # type: ignore[attr-defined]


def test_a_prefix_goes_before_every_name() -> None:
    given = {f"left.{key}": one for key, one in answers(1.0, 1.2, 9.0).items()}
    step = SetsRead(Bare(), JOB, given, "left.").lead()
    assert isinstance(step, Recheck)
    assert step.key == "left.apart1"
    assert step.implied_by[0] == ("left.retake1.level", "again")
    open_ = SetsRead(Bare(), JOB, {"left.level": "1", "left.repeat1": "yes"}, "left.").lead()
    assert isinstance(open_, Number)
    assert open_.key == "left.again2.level"


def test_remarks_of_the_sets_stand_before_those_on_what_was_read_again() -> None:
    read = SetsRead(Bare(), JOB, {}, "")
    read.sets = [Taken({"level": Input(1.0), "offset": Input(0.0)}, {}, ("Looked twice.",))]
    read.remarks = ["It was taken again."]
    found = read.with_remarks(replace(Bare().evaluate(JOB, read.sets), note=""))
    assert found.note == "Looked twice. It was taken again."
