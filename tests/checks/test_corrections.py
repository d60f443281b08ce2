"""Setting right: what is advised, measured again after the lock, and learnt for the next time."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from shopboard.checks import registry
from shopboard.checks.advice import advance_shown, correction_lines
from shopboard.checks.job import CheckContext
from shopboard.checks.settable import NOTHING_TO_TURN, is_set_by_manual
from shopboard.checks.settle import what_would_settle
from shopboard.checks.steps import Caution, Choice, Do, Number, Step
from shopboard.checks.walk import Walk, walk
from shopboard.metrology.adjuster import Screw, Shim, Slot
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.wording import percent, share
from tests.builders import INCH, SCREW, TENTH_DEGREE, Person, follow, found, make_job

PER_FOOT = 12_000
TWO_THOU = Tolerance(-math.atan(2 / PER_FOOT), math.atan(2 / PER_FOOT), "2 thou/ft")


def with_screw(**changes: Any) -> CheckContext:
    return make_job(adjuster=SCREW, tolerance=TENTH_DEGREE, lock="both bolts", **changes)


def advice(done: Walk, job: CheckContext) -> str:
    """What is advised after the first finding."""
    return " ".join(correction_lines(job, found(done)))


def asked(done: Walk, key: str) -> Step:
    return next(step for step, _ in done.answered if step.key == key)


def screw_of(done: Walk, finding: int) -> dict[str, Any]:
    """What was learnt of the screw at a finding."""
    screw = done.findings[finding].outcome.readings.get("screw")
    return dict(screw) if isinstance(screw, dict) else {}


def after_turning(
    job: CheckContext, error: float, real: float, turns: float | None = None
) -> Person:
    """A person whose screw truly advances `real` mm a turn; turns as advised or as said."""
    screw = job.adjuster
    assert isinstance(screw, Screw)
    done = follow(job, Person(error, then=(error,)))
    step = asked(done, "left.turned_by")
    assert isinstance(step, Number)
    advised = float(str(step.default).removesuffix(" deg")) / 360
    turned = advised if turns is None else turns
    sense = 1 if "anticlockwise" not in step.title else -1
    away = sense * turned * real * (1 if screw.clockwise == "away" else -1)
    left = math.atan(math.tan(error) + away / screw.arm)
    said = {"left.turned_by": f"{turned * 360:.0f} deg"}
    return Person(error, then=(left,), said=said)


def test_as_found_and_as_left_are_both_findings() -> None:
    """After the lock the same reading is taken again; corrections can follow each other."""
    done = follow(with_screw(), Person(0.008, then=(0.004, 0.0)))
    assert [one.run for one in done.findings] == ["as-found", "as-left", "as-left"]
    assert [one.outcome.verdict for one in done.findings] == ["out", "out", "true"]
    assert [one.key for one in done.findings] == ["record", "left.record", "left2.record"]


def test_the_order_is_unplug_move_say_lock_measure() -> None:
    """Near a cutter the plug is asked about once; the lock comes before the second reading."""
    done = follow(with_screw(cutter_near=True), Person(0.008, then=(0.0,)))
    keys = [step.key for step, _ in done.answered]
    order = ["unplugged", "record", "next", "left.adjust", "left.turned_by", "left.lock"]
    assert [key for key in keys if key in order] == order
    assert keys.index("left.lock") < keys.index("left.place") < keys.index("left.record")
    assert [step.key for step, _ in done.answered if isinstance(step, Caution)] == ["unplugged"]
    assert "both bolts" in asked(done, "left.lock").title
    adjust = asked(done, "left.adjust")
    assert isinstance(adjust, Do)
    assert adjust.moves


def test_what_is_out_without_an_adjuster_is_set_by_the_manual_and_read_again() -> None:
    """The words are the maker's; the lock and a second reading are asked for like any other's."""
    job = make_job(adjuster=None, cutter_near=True)
    done = follow(job, Person(0.01, then=(0.004, 0.0)))
    assert [one.outcome.verdict for one in done.findings] == ["out", "out", "true"]
    assert [one.run for one in done.findings] == ["as-found", "as-left", "as-left"]
    assert correction_lines(job, found(done)) == (NOTHING_TO_TURN,)
    offer = asked(done, "next")
    assert isinstance(offer, Choice)
    lean = found(done).lean
    assert offer.lines == (
        f"{lean[0].upper()}{lean[1:]}.",
        found(done).aims[0],
        NOTHING_TO_TURN,
    )
    move = asked(done, "left.adjust")
    assert isinstance(move, Do)
    assert move.lines[0] == "Slacken whatever locks it first."
    assert offer.options[0].label == "set it by the manual, then read again"
    assert offer.unasked == "done"  # a file of readings that says nothing of it stays valid
    keys = [step.key for step, _ in done.answered]
    order = ["unplugged", "record", "next", "left.adjust", "left.lock", "left.record"]
    assert [key for key in keys if key in order] == order
    assert "left.turned_by" not in keys


def test_what_is_out_without_an_adjuster_can_be_left() -> None:
    """Who leaves it has one result, and the check ends there."""
    done = follow(make_job(adjuster=None), Person(0.01, said={"next": "done"}))
    assert [one.run for one in done.findings] == ["as-found"]
    assert "left.adjust" not in done.answers


def test_what_is_true_or_a_tool_is_not_to_be_set() -> None:
    """Nothing to do for what is true; a square of the drawer is not bent right in a check."""
    good = follow(make_job(adjuster=None), Person(0.0))
    assert "next" not in good.answers
    assert correction_lines(make_job(), found(good)) == ()
    bad = follow(make_job(adjuster=None), Person(0.01))
    assert not is_set_by_manual(make_job(adjuster=None, proves="square"), found(bad))
    assert not is_set_by_manual(with_screw(), found(bad))


@pytest.mark.parametrize(
    ("error", "clockwise", "sense", "way"),
    [
        (0.008, "toward", "clockwise", "toward the square"),
        (0.008, "away", "anticlockwise", "toward the square"),
        (-0.008, "toward", "anticlockwise", "away from the square"),
        (-0.008, "away", "clockwise", "away from the square"),
    ],
)
def test_the_sense_of_turn_in_words(error: float, clockwise: str, sense: str, way: str) -> None:
    """And where the top must go, so that a wrong word in the shop file is noticed at once."""
    job = with_screw()
    job = job._replace(adjuster=SCREW._replace(clockwise=clockwise))  # type: ignore[arg-type]
    said = advice(follow(job, Person(error)), job)
    assert f"{SCREW.name} {sense} " in said
    assert way in said
    assert ("slack" in said) == (sense == "anticlockwise")


def test_the_advised_turn_is_the_worked_one() -> None:
    """Derived: the middle of the bracket over 6 in, times 18 in, at 20 threads an inch."""
    job = with_screw()
    done = follow(job, Person(0.008, then=(0.0,)))
    middle = math.tan(found(done).estimate.error)
    degrees = middle * 18 * 20 * 360
    step = asked(done, "left.turned_by")
    assert isinstance(step, Number)
    assert step.default == f"{round(degrees)} deg"


def test_what_is_true_is_left() -> None:
    """It is said, and nothing is asked."""
    done = follow(with_screw(), Person(0.0))
    assert "true" in advice(done, with_screw())
    assert "next" not in done.answers


def test_what_had_better_be_left_can_still_be_moved() -> None:
    """Leaving is the first answer and what Enter means; moving all the same is offered."""
    job = make_job(adjuster=SCREW, tolerance=TWO_THOU)
    done = follow(job, Person(0.00015))  # nine tenths of a thou: light shows, no leaf goes
    step = asked(done, "next")
    assert isinstance(step, Choice)
    assert step.default == "done" == step.options[0].value
    assert "adjust" in [option.value for option in step.options]


def test_what_is_out_is_set_right_by_enter_alone() -> None:
    """What had better be done comes first."""
    step = asked(follow(with_screw(), Person(0.008)), "next")
    assert isinstance(step, Choice)
    assert step.default == "adjust" == step.options[0].value


def test_an_error_that_is_not_known_finer_is_left() -> None:
    """Two thou a foot cannot be told apart with these leaves over 6 in: measure it finer first."""
    job = make_job(adjuster=SCREW, tolerance=TWO_THOU)
    done = follow(job, Person(0.0))
    assert found(done).verdict == "near"
    assert "measure it finer" in advice(done, job)
    assert "To settle it" in what_would_settle(found(done))


def test_a_slot_is_tapped_by_thousandths_at_its_end() -> None:
    """The length at the far end, not an angle."""
    job = make_job(adjuster=Slot(12 * INCH, "the far end of the fence"))
    done = follow(job, Person(0.008))
    thou = math.tan(found(done).estimate.error) * 12_000
    said = advice(done, job)
    assert f"ap the far end of the fence by {thou:.0f} thou" in said
    assert "left.turned_by" not in follow(job, Person(0.008, then=(0.0,))).answers
    far = make_job(adjuster=Slot(36 * INCH, "the far end of the fence"))  # no stack is so thick
    assert "Move the far end of the fence by" in advice(follow(far, Person(0.008)), far)


def test_shims_of_the_drawer_are_named() -> None:
    """Their sum comes nearest to the thickness that is wanted, which is told as well."""
    job = make_job(adjuster=Shim(1.5 * INCH, "the upper bolt", "the lower bolt"))
    said = advice(follow(job, Person(0.008)), job)
    assert "Pack the upper bolt with 0.002 in + 0.010 in (wanted 12.4 thou" in said
    bare = job._replace(drawer=Drawer(job.drawer.squares, job.drawer.feelers))
    assert "of shim" in advice(follow(bare, Person(-0.008)), bare)
    assert "the lower bolt" in advice(follow(bare, Person(-0.008)), bare)


def test_the_screw_is_learnt_from_the_pair() -> None:
    """It advances 2 mm a turn, not the thread's 1.27: the next advice goes by what it showed."""
    job = with_screw()
    person = after_turning(job, 0.008, real=2.0)
    done = follow(job, replace(person, then=(*person.then, 0.0)))
    learnt = screw_of(done, 1)
    assert learnt["nm_per_turn"] == pytest.approx(2.0e6, rel=0.1)
    assert "wrong_way" not in learnt
    step = asked(done, "left2.turned_by")
    assert isinstance(step, Number)
    move = abs(math.tan(done.findings[1].outcome.estimate.error)) * SCREW.arm
    by_learnt = move / (learnt["nm_per_turn"] / 1e6) * 360
    assert step.default == f"{round(by_learnt)} deg"


@pytest.mark.parametrize("real", [0.8, -0.8])
def test_a_screw_that_bears_on_a_length_is_learnt_from_it(real: float) -> None:
    """A quarter turn of a screw without an arm, that really advances 0.8 mm: 7.9 thou less gap."""
    job = make_job(
        tolerance=parse_limits("2 to 5 thou"),
        adjuster=Screw(pitch=1.0, arm=0.0, clockwise="toward", name="the set screw"),
    )
    wide = {"light": "yes", "goes": "12 thou", "refused": "13 thou", "next": "adjust"}
    left = (12.5 * 0.0254 - real * 0.25) / 0.0254
    after = {
        "left.turned_by": "1/4",
        "left.light": "yes",
        "left.goes": f"{left - 0.5:.4f} thou",
        "left.refused": f"{left + 0.5:.4f} thou",
    }
    done = walk(registry.method("leaf-gap"), job, {**wide, **after}, from_file=True)
    learnt = screw_of(done, 1)
    assert learnt["turns"] == 0.25
    if real > 0:
        assert learnt["nm_per_turn"] == pytest.approx(real * 1e6, rel=1e-3)
    else:
        assert learnt["wrong_way"] is True


def test_what_was_learnt_before_is_used_from_the_start() -> None:
    """A job that knows 2.54 mm a turn asks for half the turns of the thread's 1.27."""
    plain, known = with_screw(), with_screw(mm_per_turn=2.54)
    one = asked(follow(plain, Person(0.008, then=(0.0,))), "left.turned_by")
    two = asked(follow(known, Person(0.008, then=(0.0,))), "left.turned_by")
    assert isinstance(one, Number)
    assert isinstance(two, Number)
    degrees = [float(str(step.default).removesuffix(" deg")) for step in (one, two)]
    assert degrees[0] == pytest.approx(2 * degrees[1], abs=1.5)


def test_what_the_screw_just_did_goes_before_what_it_did_before() -> None:
    """A record keeps nanometres: 1,270,000 are the 1.27 mm of 20 threads to the inch."""
    job, outcome = with_screw(mm_per_turn=2.54), found(follow(with_screw(), Person(0.008)))
    assert advance_shown(job, outcome) == 2.54
    just = replace(outcome, readings={"screw": {"turns": 1.0, "nm_per_turn": 1_270_000}})
    assert advance_shown(job, just) == pytest.approx(1.27)


def test_nothing_is_learnt_from_a_change_that_cannot_be_told() -> None:
    """A twentieth of a turn that moves less than the leaves resolve teaches nothing."""
    job = with_screw()
    person = after_turning(job, 0.008, real=1.27, turns=0.05)
    assert screw_of(follow(job, person), 1).keys() == {"turns"}


def test_nothing_is_learnt_from_a_screw_that_was_not_turned() -> None:
    """0 turns: whatever moved, it was not the screw."""
    job = with_screw()
    learnt = screw_of(follow(job, Person(0.008, then=(0.0,), said={"left.turned_by": "0"})), 1)
    assert learnt == {"turns": 0.0}


def test_a_screw_that_moves_the_wrong_way_is_noticed() -> None:
    """The error doubled: the shop file has the sense of the screw the wrong way round."""
    job = with_screw()
    done = follow(job, Person(0.003, then=(0.006,)))
    assert screw_of(done, 1)["wrong_way"] is True
    assert "opposite way" in done.findings[1].outcome.note
    assert "nm_per_turn" not in screw_of(done, 1)


def test_a_verdict_that_stands_needs_no_settling() -> None:
    """Neither true nor out asks for a longer lever."""
    assert what_would_settle(found(follow(make_job(), Person(0.0)))) == ""
    assert what_would_settle(found(follow(make_job(), Person(0.01)))) == ""


def test_what_is_true_but_told_from_the_middle_may_be_set_nearer() -> None:
    """Two thirds of what is allowed: how much it uses, the turn, as an option; Enter leaves it."""
    job = with_screw()
    done = follow(job, Person(math.atan(14 / PER_FOOT)))
    assert found(done).verdict == "true"
    said = advice(done, job)
    assert "Leave it" not in said
    used = share(found(done).used or 0.0)
    assert said.startswith(
        f"True, at {used} of its tolerance; setting it to the middle makes it good for longer."
    )
    assert f"Turn {SCREW.name} clockwise" in said
    step = asked(done, "next")
    assert isinstance(step, Choice)
    assert step.default == "done" == step.options[0].value
    again = follow(job, Person(math.atan(14 / PER_FOOT), then=(0.0,)))
    assert [one.outcome.verdict for one in again.findings] == ["true", "true"]
    assert "True, at" not in " ".join(asked(again, "left.adjust").lines)


def test_what_is_near_and_probably_true_is_not_corrected_by_enter() -> None:
    """How probable it is stands there, and what would settle it; what is probably out is set."""
    job = with_screw()
    seen = set()
    for thou in (18, 18.5, 19, 19.5, 20, 20.5, 21, 21.5, 22, 22.5, 23):
        done = follow(job, Person(math.atan(thou / PER_FOOT)))
        outcome = found(done)
        if outcome.verdict != "near":
            continue
        assert outcome.probability is not None
        probably = outcome.probability >= 0.5
        step = asked(done, "next")
        assert isinstance(step, Choice)
        assert step.default == ("done" if probably else "adjust") == step.options[0].value
        likely = f"chance that it is true is {percent(outcome.probability)}" in " ".join(step.lines)
        assert likely == probably
        seen.add(probably)
    assert seen == {True, False}
