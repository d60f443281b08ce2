"""Readings that are repeated: one that does not belong is named, taken again or kept on purpose."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from shopboard.board.check_view import step_lines
from shopboard.checks import registry
from shopboard.checks.contradiction import Recheck
from shopboard.checks.job import CheckContext
from shopboard.checks.mean_of_sets import budget_of_leaves
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Choice, Step
from shopboard.checks.walk import Walk, walk
from shopboard.journal import SqliteJournal
from shopboard.metrology.adjuster import Slot
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.uncertainty import Budget, Source
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.waiting import unfinished
from tests.builders import make_point, make_shop
from tests.checks.machines import DIALS, dial_job, walked
from tests.cli.program import SHOP, Program
from tests.journal.helpers import Clock

BRAKE = parse_limits("0 to 10 s")
JOB = dial_job(BRAKE)
SWEEP = dial_job(parse_limits("3 thou over 9 in"))
GOOD, WILD = ("4.0", "4.3", "3.9"), "41"


def times(*read: str, **more: str) -> dict[str, str]:
    """Answers: a time read so many times, and no more after that."""
    answers = {"care": "understood", "time": read[0], **more}
    for number, one in enumerate(read[1:], 2):
        answers |= {f"repeat{number - 1}": "yes", f"again{number}.time": one}
    return {**answers, f"repeat{len(read)}": "no"}


def timed(*read: str, **more: str) -> Walk:
    return walked("timed", JOB, times(*read, **more))


def told(done: Walk) -> Outcome:
    assert done.step is None, done.step
    return done.findings[-1].outcome


def asked_about(done: Walk) -> Recheck:
    """The step that asks about a reading; nothing is recorded before it is answered."""
    assert isinstance(done.step, Recheck)
    assert not done.findings
    return done.step


@pytest.mark.parametrize("place", range(4))
def test_one_of_ten_times_the_rest_is_named_wherever_it_stands(place: int) -> None:
    """Number and value; the first one as well."""
    read = [*GOOD[:place], WILD, *GOOD[place:]]
    step = asked_about(timed(*read))
    assert step.title == f"Reading {place + 1} is out of line with the others."
    assert step.lines[0].startswith(f"Reading {place + 1}: 41.0 s. The others: ")
    assert [one.value for one in step.options] == ["again", "keep"]
    assert step.default == "again"
    assert f"reading {place + 1}: 41.0 s" in step.refusal


def test_taken_again_it_is_set_aside_and_stays_on_record() -> None:
    """The mean and its scatter are those of the readings that count; by hand 12.2 / 3."""
    outcome = told(timed(*GOOD[:2], WILD, **{"retake1.time": "3.9"}))
    assert outcome.estimate.error == pytest.approx(12.2 / 3)
    assert "Reading 3 (41.0 s) is out of line with the others; it was taken" in outcome.note
    assert outcome.readings["set_aside"] == [{"time": 41_000_000}]
    assert outcome.readings["sets"] == [{"time": 4_000_000}, {"time": 4_300_000}, {"time": 3900000}]
    budget = outcome.estimate.budget
    scatter = next(one for one in budget.sources if "scatter" in one.name)
    assert scatter.u == pytest.approx(0.12018504, abs=1e-6)  # by hand: 0.2081666 / root 3


def test_kept_on_purpose_it_counts_and_a_remark_says_so() -> None:
    outcome = told(timed(*GOOD, WILD, apart1="keep"))
    assert outcome.estimate.error == pytest.approx((4.0 + 4.3 + 3.9 + 41) / 4)
    assert outcome.note.endswith("Reading 4 (41.0 s) is out of line with the others; it was kept"
                                 " on purpose.")  # fmt: skip
    assert outcome.readings["kept_on_purpose"] == [4]
    assert outcome.estimate.budget.expanded > 20


def test_a_reading_that_is_kept_is_not_asked_about_again() -> None:
    """Nor does it hide the next wild one."""
    more = {"apart1": "keep", "retake2.time": "4.1"}
    step = asked_about(timed(*GOOD, WILD, "38", apart1="keep"))
    assert step.key == "apart2"
    assert step.title.startswith("Reading 5 ")
    outcome = told(timed(*GOOD, WILD, "38", **more))
    assert outcome.readings["kept_on_purpose"] == [4]
    assert outcome.readings["set_aside"] == [{"time": 38_000_000}]


def test_taken_again_and_wild_again_it_is_asked_about_again() -> None:
    again = {"retake1.time": "40", "retake2.time": "4.0"}
    step = asked_about(timed(*GOOD, WILD, **{"retake1.time": "40"}))
    assert step.key == "apart2"
    outcome = told(timed(*GOOD, WILD, **again))
    assert outcome.readings["set_aside"] == [{"time": 41_000_000}, {"time": 40_000_000}]
    assert outcome.note.count("it was taken again") == 2


@pytest.mark.parametrize(
    "read",
    [
        ("4.0", "4.3", "3.9"),
        ("4.0", "4.0", "4.0", "4.9"),
        ("4.0", "4.0", "4.9", "4.0", "4.0", "4.0"),
        ("2", "5", "9"),
    ],
)
def test_readings_that_agree_or_only_scatter_are_not_asked_about(read: tuple[str, ...]) -> None:
    """By a watch, readings 0.9 s apart are no news; of three all over the place none is wrong."""
    assert told(timed(*read)).note == ""


def test_of_two_that_disagree_a_third_tells_which() -> None:
    """Enter reads again; a file of answers must say what it is to be."""
    read = {key: one for key, one in times("4.0", "41").items() if key != "repeat2"}
    step = walked("timed", JOB, read).step
    assert isinstance(step, Choice)
    assert (step.key, step.default, step.unasked) == ("repeat2", "yes", None)
    assert "Readings 1 and 2 are 4.0 s and 41.0 s: too far apart." in " ".join(step.lines)
    agreed = walked("timed", JOB, times("4.0", "4.4"))
    third = next(step for step, _ in agreed.answered if step.key == "repeat2")
    assert (third.unasked, agreed.findings[0].outcome.note) == ("no", "")


def test_two_that_disagree_can_both_be_kept_with_what_that_costs() -> None:
    """The truth lies anywhere between them: half their distance over root 3."""
    outcome = told(timed("4.0", "41"))
    sources = {one.name: one for one in outcome.estimate.budget.sources}
    assert sources["the two readings disagree"].u == pytest.approx(37 / 2 / 3**0.5)
    assert outcome.note == "Readings 1 and 2 are 4.0 s and 41.0 s: too far apart; both were kept."
    assert outcome.verdict == "near" or outcome.verdict == "out"


def sweeps(*sets: tuple[str, str]) -> dict[str, str]:
    """Answers: front and back over 9 in, read so many times."""
    answers = {"care": "understood"}
    for number, (front, back) in enumerate(sets, 1):
        prefix = "" if number == 1 else f"again{number}."
        answers |= {f"{prefix}span": "9 in", f"{prefix}front": front, f"{prefix}back": back}
    return answers


THREE = (("3 thou", "0"), ("4 thou", "1 thou"), ("30 thou", "0"))


def test_the_value_that_makes_it_stand_apart_is_named() -> None:
    """Of several values in one reading: the one that alone explains it."""
    step = asked_about(walked("sweep", SWEEP, sweeps(*THREE)))
    assert (
        step.lines[1] == "What does the indicator show in front? 0.030 in; the others: 0.0035 in."
    )


def test_a_file_need_not_say_that_it_repeats_where_it_gives_the_readings() -> None:
    assert told(walked("sweep", SWEEP, sweeps(*THREE[:2]))).readings["sets"]
    done = walked("sweep", SWEEP, sweeps(*THREE[:2]))
    assert done.answers["repeat1"] == "yes"


def test_after_a_correction_its_own_readings_are_compared() -> None:
    """As left: the keys begin with the run's; what was found before does not count there."""
    job = SWEEP._replace(adjuster=Slot(508.0))
    left = {f"left.{key}": text for key, text in sweeps(*THREE).items() if key != "care"}
    found = {"front": "20 thou", "back": "0", "span": "9 in", "care": "understood"}
    answers = {**found, "next": "adjust", "left.unplugged": "plug out", **left}
    done = walked("sweep", job, answers)
    assert isinstance(done.step, Recheck)
    assert done.step.key == "left.apart1"
    assert len(done.findings) == 1


def every_step(name: str, job: CheckContext, answers: Mapping[str, str]) -> Walk:
    """Answer step by step, as on screen: nothing is taken that was not asked."""
    given: dict[str, str] = {}
    for _ in range(120):
        done = walk(registry.method(name), job, given)
        if done.step is None:
            return done
        given[done.step.key] = done.step.accept(said(done.step, answers))
    raise AssertionError(given)


def said(step: Step, answers: Mapping[str, str]) -> str:
    implied = next((one for key, one in step.implied_by if key in answers), None)
    return answers.get(step.key, implied or step.unasked or "")


@pytest.mark.parametrize(
    "answers",
    [
        times(*GOOD, WILD, **{"retake1.time": "4.1"}),
        times(*GOOD, WILD, apart1="keep"),
        times("4.0", "41"),
    ],
)
def test_a_screen_and_a_file_give_the_same(answers: dict[str, str]) -> None:
    assert every_step("timed", JOB, answers) == walked("timed", JOB, answers)


def test_the_question_fits_the_smallest_screen() -> None:
    done = walked("sweep", SWEEP, sweeps(*THREE))
    step = asked_about(done)
    drawn = ["".join(text for text, _ in one) for one in step_lines(
        step, done.answered, SWEEP, "", (80, 21))]  # fmt: skip
    for words in (step.title, *step.lines, *(one.label for one in step.options)):
        assert any(words in line for line in drawn), words


# ---------------------------------------------------------------- durable, and back again


@pytest.fixture
def point() -> Point:
    return make_point("saw.brake", checks=("timed",), tolerance=BRAKE)


@pytest.fixture
def shop(point: Point) -> Shop:
    return make_shop(point, drawer=DIALS)


def answer_all(sitting: CheckSitting, answers: Mapping[str, str], until: str = "") -> CheckSitting:
    for _ in range(60):
        if sitting.step is None or sitting.step.key == until:
            return sitting
        sitting.answer(said(sitting.step, answers))
    raise AssertionError("no end")


def test_left_and_resumed_at_every_step_it_stands_where_it_stood(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """Through the question and the reading that is taken again."""
    answers = times(*GOOD, WILD, **{"retake1.time": "4.1"})
    sitting, keys = start(journal, shop, point), []
    while sitting.step is not None:
        keys.append(sitting.step.key)
        sitting.answer(said(sitting.step, answers))
        if sitting.step is None:
            break
        begun = unfinished(journal, clock())[point.full_name]
        again = resume(journal, shop, point, begun, clock())
        assert again is not None
        assert again.walk == sitting.walk
        sitting = again
    at = keys.index("apart1")
    assert keys[at : at + 5] == ["apart1", "retake1.run", "retake1.off", "retake1.time", "repeat4"]
    (entry,) = journal.recent("check", point.machine, point.id)
    readings = entry.body["readings"]
    assert isinstance(readings, dict)
    assert readings["set_aside"] == [{"time": 41_000_000}]


def test_back_goes_through_the_reading_taken_again_to_the_question(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """And there it can be kept after all; both answers stay in the journal."""
    answers = times(*GOOD, WILD, **{"retake1.time": "4.1"})
    sitting = answer_all(start(journal, shop, point), answers, until="repeat4")
    for key in ("retake1.time", "retake1.off", "retake1.run", "apart1"):
        sitting.back()
        assert sitting.step is not None
        assert sitting.step.key == key
    sitting.answer("keep")
    answer_all(sitting, answers)
    (entry,) = journal.recent("check", point.machine, point.id)
    assert "kept on purpose" in str(entry.body["note"])
    texts = [entry.body.get("text") for entry in journal.thread(sitting.uid)]
    assert "41" in texts
    assert "4.1" in texts


# ---------------------------------------------------------------- the command line

WITH_BRAKE = f"""{SHOP}
[[machine.point]]
id = "brake"
name = "Brake"
check = "timed"
tolerance = "0 to 10 s"
"""
FILE = """care = "understood"
time = "4.0"
again2.time = "4.3"
again3.time = "41"
"""


@pytest.fixture
def brake(program: Program) -> Program:
    program.write("shop.toml", WITH_BRAKE)
    return program


def test_a_file_of_answers_is_refused_with_the_reading_to_repeat(brake: Program) -> None:
    """Exit 2, one line, nothing recorded; then kept, or taken again, it is recorded."""
    ran = brake.check("jointer.brake", FILE)
    assert (ran.code, ran.out) == (2, "")
    assert "reading 3: 41.0 s, the others 4.0 s to 4.3 s: it is out of line" in ran.err
    assert 'apart1 = "keep"' in ran.err
    assert brake.results("jointer.brake") == []
    kept = brake.check("jointer.brake", f'{FILE}apart1 = "keep"\n', "--json").json
    assert "kept on purpose" in kept["note"]
    again = brake.check("jointer.brake", f'{FILE}retake1.time = "4.1"\n', "--json").json
    assert again["error"]["s"] == pytest.approx(12.4 / 3)
    assert len(brake.results("jointer.brake")) == 2


def test_two_in_a_file_that_disagree_need_a_third_or_a_word(brake: Program) -> None:
    two = 'care = "understood"\ntime = "4.0"\nagain2.time = "41"\n'
    ran = brake.check("jointer.brake", two)
    assert ran.code == 2
    assert "repeat2 is missing" in ran.err
    assert brake.check("jointer.brake", f'{two}repeat2 = "no"\n').code == 0


def test_plain_lines_ask_the_same(brake: Program) -> None:
    typed = ("1", "", "", "4.0", "2", "", "", "4.3", "2", "", "", "41", "leave")
    ran = brake("check", "jointer.brake", typed="".join(f"{one}\n" for one in typed))
    assert "Reading 3 is out of line with the others." in ran.out
    on = brake("check", "jointer.brake", typed="\n\n\n4.1\n\n\n")
    assert "Going on at step 13" in on.err
    assert "Recorded, as-found." in on.out
    assert "it was taken again" in on.out


def test_two_readings_that_disagree_lie_evenly_between() -> None:
    """GUM 4.3.7: half of what parts them is the half-width; read alike they add nothing."""
    one = Budget((Source("repeats", "how well it repeats", 0.1),))
    (_, apart) = budget_of_leaves(one, one, [5.0, 3.0]).sources
    assert apart.u == pytest.approx(1.0 / math.sqrt(3))
    assert budget_of_leaves(one, one, [5.0, 4.9]) == one
