"""The square check done from end to end by somebody who looks and feels without erring."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from shopboard.checks.job import CheckContext, Geometry, Turn
from shopboard.checks.ranking import rank
from shopboard.checks.walk import Walk, walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.feeler import stacks
from shopboard.metrology.instruments import Drawer, FeelerSet, grade_limit
from tests.builders import (
    INCH,
    LEAVES,
    METHOD,
    SQUARE_6,
    UPRIGHT,
    Person,
    follow,
    found,
    make_job,
)
from tests.in_turn import part

ERRORS = st.floats(-0.012, 0.012).map(lambda rad: round(rad, 6))
HALVES = st.sampled_from([0.0002, 0.0005, 0.001, 0.00175, 0.005, 0.02])


@st.composite
def tolerances(draw: st.DrawFn) -> Tolerance:
    half = draw(HALVES)
    low, high = draw(st.sampled_from([(-half, half), (0.0, half), (-half, 0.0), (-half / 3, half)]))
    return Tolerance(low, high, "as drawn")


@st.composite
def drawers(draw: st.DrawFn) -> Drawer:
    leaves = draw(st.lists(st.sampled_from(LEAVES), min_size=1, max_size=len(LEAVES), unique=True))
    most = draw(st.integers(1, 2))
    return Drawer((SQUARE_6,), (FeelerSet("leaves", "Leaves", tuple(sorted(leaves)), 0.003, most),))


def jobs() -> st.SearchStrategy[CheckContext]:
    levers = st.sampled_from([2.5 * INCH, 4 * INCH, 6 * INCH, 9 * INCH])
    return st.builds(
        lambda lever, tolerance, drawer, turn, lies: make_job(
            geometry=Geometry("table", "face", lever, lies, turn),
            tolerance=tolerance,
            drawer=drawer,
        ),
        levers,
        tolerances(),
        drawers(),
        st.sampled_from(["no", "other side", "end for end"]),
        st.sampled_from(["upright", "flat"]),
    )


def bracket(done: Walk, name: str = "gap_nm") -> tuple[float, float]:
    """The bracket that the finding keeps, mm."""
    ends = found(done).readings[name]
    assert isinstance(ends, list)
    return ends[0] / 1e6, ends[1] / 1e6


@given(jobs(), ERRORS, st.booleans(), st.sampled_from([0.0, 0.005, 1.0]), st.booleans())
@settings(max_examples=part(40), deadline=None)
def test_by_any_route_the_bracket_holds_the_true_gap(
    job: CheckContext, error: float, types: bool, sees: float, turns: bool
) -> None:
    """Led or typed, light seen or not, square turned or not: the truth lies in the bracket."""
    person = Person(error, sees=sees, types=types, turns_over=turns)
    done = follow(job, person)
    low, high = bracket(done)
    assert low - 2e-6 <= person.gap(job, "light") <= high + 2e-6
    assert [one.run for one in done.findings] == ["as-found"]


@pytest.mark.parametrize(("error", "away"), [(0.004, True), (-0.004, False)])
def test_light_at_the_far_end_is_a_face_that_leans_away_from_the_square(
    error: float, away: bool
) -> None:
    """From how a square meets a face: only a face that falls back lets light through at its top."""
    bare = UPRIGHT._replace(light_at_top="", light_at_bottom="")
    for geometry, end in ((bare, "top"), (bare._replace(lies="flat"), "tip")):
        told = found(follow(make_job(geometry=geometry), Person(error)))
        assert told.lean == f"leans {'away from' if away else 'toward'} the square at the {end}"
        assert told.aims[0 if away else 1].startswith(f"The {end} must move ")
        assert ["toward" in one for one in told.aims] == [True, False]
    own = found(follow(make_job(), Person(error))).lean
    assert own == ("it leans out" if away else "it leans in")


@pytest.mark.parametrize(("turn", "turns_over"), [("no", False), ("other side", True)])
def test_turning_over_is_offered_until_it_was_done_and_where_it_can_be(
    turn: Turn, turns_over: bool
) -> None:
    """Reversal needs a second place to stand the square (common practice, no source)."""
    job = make_job(geometry=UPRIGHT._replace(turn=turn))
    assert found(follow(job, Person(0.004))).can_turn is turns_over
    assert not found(follow(job, Person(0.004, turns_over=True))).can_turn


@given(jobs(), ERRORS)
@settings(max_examples=part(40), deadline=None)
def test_few_leaves_are_tried(job: CheckContext, error: float) -> None:
    """Halving: at most ceil(log2(stacks)) + 1 tries, one more where two ends are felt first."""
    done = follow(job, Person(error))
    tries = [step.key for step, _ in done.answered if step.key.startswith(("leaf", "both"))]
    most = math.ceil(math.log2(len(stacks(job.drawer.feelers[0])))) + 1
    assert len(tries) <= most + 1


@given(jobs(), ERRORS, st.booleans())
@settings(max_examples=part(40), deadline=None)
def test_the_verdict_agrees_with_the_truth_where_it_must(
    job: CheckContext, error: float, types: bool
) -> None:
    """Four u inside the tolerance is true, four u outside is out; u is the check's own."""
    outcome = found(follow(job, Person(error, types=types)))
    away = 4 * outcome.estimate.budget.u
    low, high = job.tolerance.low, job.tolerance.high
    if low + away < error < high - away:
        assert outcome.verdict == "true"
    if error < low - away or error > high + away:
        assert outcome.verdict == "out"
    if outcome.verdict == "true":
        assert low - away < error < high + away


@given(jobs(), ERRORS)
@settings(max_examples=part(25), deadline=None)
def test_light_at_the_bottom_mirrors_light_at_the_top(job: CheckContext, error: float) -> None:
    """A face that leans the other way by as much gives the same numbers with the other sign."""
    mirrored = job._replace(tolerance=Tolerance(-job.tolerance.high, -job.tolerance.low, "m"))
    one, other = follow(job, Person(error)), follow(mirrored, Person(-error))
    assert found(one).estimate.error == -found(other).estimate.error
    assert found(one).estimate.budget == found(other).estimate.budget
    assert found(one).probability == pytest.approx(found(other).probability, abs=1e-11)
    assert found(one).verdict == found(other).verdict


@pytest.mark.parametrize("turn", ["other side", "end for end"])
@given(error=ERRORS, square=st.floats(-0.0015, 0.0015).map(lambda rad: round(rad, 6)))
@settings(max_examples=20, deadline=None)
def test_turning_the_square_over_cancels_its_error(turn: Turn, error: float, square: float) -> None:
    """Mathematics (derived): face and square add one way and subtract the other.

    On the other side of the face the person sees the light at the other end; end for end, the
    face stays and the square's error swaps its sign. Either way half the sum is the face.
    """
    job = make_job(geometry=UPRIGHT._replace(turn=turn))
    outcome = found(follow(job, Person(error, square, turns_over=True)))
    (bracket_source, *_) = outcome.estimate.budget.sources
    half_width = bracket_source.u * math.sqrt(3)
    assert abs(outcome.estimate.error - error) <= half_width + 2e-6
    assert "square itself" in outcome.note


@pytest.mark.parametrize("turn", ["other side", "end for end"])
def test_turned_over_the_square_is_known_too(turn: Turn) -> None:
    """Half the difference is the square: one that lies by a mm over 6 in is told of."""
    job = make_job(geometry=UPRIGHT._replace(turn=turn))
    liar = found(follow(job, Person(0.0, 1.0 / (6 * INCH), turns_over=True)))
    good = found(follow(job, Person(0.002, 0.0, turns_over=True)))
    assert "more than it may be off" in liar.note
    assert "more than" not in good.note
    assert liar.estimate.error == pytest.approx(0.0, abs=2e-4)


def test_a_square_as_far_off_as_its_grade_allows_is_not_doubted() -> None:
    """DIN 875-1, grade 2: 35 um over 150 mm; a tenth less is no news, half as much again is."""
    limit = grade_limit("2", 6 * INCH) / (6 * INCH)
    drawer = Drawer((SQUARE_6._replace(limit=limit),), make_job().drawer.feelers)
    job = make_job(geometry=UPRIGHT._replace(turn="end for end"), drawer=drawer)
    for times, doubted in ((0.9, False), (-0.9, False), (4.0, True), (-4.0, True)):
        note = found(follow(job, Person(0.0012, times * limit, turns_over=True))).note
        assert ("more than it may be off" in note) == doubted


@pytest.mark.parametrize("turn", ["other side", "end for end"])
@pytest.mark.parametrize(("error", "words"), [(0.006, "it leans out"), (-0.006, "it leans in")])
def test_the_words_for_the_side_stay_right_when_turned(
    turn: Turn, error: float, words: str
) -> None:
    """Light at the top before turning means what the shop file says; turning changes no words."""
    job = make_job(geometry=UPRIGHT._replace(turn=turn))
    done = follow(job, Person(error, 0.0008, turns_over=True))
    assert done.findings[0].lines[0] == words


def test_nothing_that_can_be_told_from_none_gets_no_side() -> None:
    """An error smaller than its uncertainty is not said to lean either way."""
    assert "no error" in follow(make_job(), Person(0.0)).findings[0].lines[0]


@given(jobs(), ERRORS, st.booleans(), st.booleans())
@settings(max_examples=15, deadline=None)
def test_a_file_with_the_same_answers_gives_the_identical_outcome(
    job: CheckContext, error: float, types: bool, turns: bool
) -> None:
    """Step by step and from a file, with or without what a file need not say."""
    done = follow(job, Person(error, types=types, turns_over=turns))
    whole = walk(METHOD, job, done.answers, from_file=True)
    needed = {step.key: said for step, said in done.answered if said != step.unasked}
    assert whole == done
    assert walk(METHOD, job, needed, from_file=True) == done


@given(jobs(), ERRORS, st.data())
@settings(max_examples=15, deadline=None)
def test_back_and_forward_lead_to_the_same_place(
    job: CheckContext, error: float, data: st.DataObject
) -> None:
    """The place depends on the answers alone: take some back, give them again, nothing differs."""
    done = follow(job, Person(error))
    kept = data.draw(st.integers(0, len(done.answered) - 1))
    shorter = {step.key: said for step, said in done.answered[:kept]}
    part = walk(METHOD, job, shorter)
    assert part.answered == done.answered[:kept]
    assert part.step == done.answered[kept][0]
    assert walk(METHOD, job, {**shorter, **done.answers}) == done


def test_only_leaves_that_decide_something_are_asked_for() -> None:
    """Once it is proven out, no finer leaf is asked for than the correction needs."""
    done = follow(make_job(), Person(0.01))
    assert found(done).verdict == "out"
    low, high = bracket(done)
    assert high - low > 0.0254 * 0.5 + 1e-9  # half a thou is the finest step of this set


def test_a_drawer_that_can_never_prove_says_so_before_the_check() -> None:
    """A tenth of a thou a foot with feelers: said at the tools, with what would help."""
    hopeless = make_job(tolerance=Tolerance(-8e-6, 8e-6, "0.1 thou/ft"))
    step = walk(METHOD, hopeless, {}).step
    assert step is not None
    assert step.key == "tools"
    assert "can prove" in " ".join(step.lines)
    assert "it takes" in " ".join(step.lines)
    able = walk(METHOD, make_job(), {}).step
    assert able is not None
    assert "prove" not in " ".join(able.lines)


ONLY_NEAR_THE_MIDDLE = make_job(
    geometry=Geometry("table", "face", 6 * INCH, "upright", "other side"),
    tolerance=Tolerance(0.0, 0.0005, "0 to 0.5 mrad"),
    drawer=Drawer((SQUARE_6,), (FeelerSet("two", "Two leaves", (0.0508, 0.1524), 0.003, 1),)),
)
"""Most true faces are read too coarsely; one that the thinnest leaf does not enter is not."""


@given(jobs())
@example(ONLY_NEAR_THE_MIDDLE)
@settings(max_examples=15, deadline=None)
def test_what_is_called_impossible_is_never_reached(job: CheckContext) -> None:
    """Where the program says that nothing can prove it, a perfect face is never found true."""
    step = walk(METHOD, job, {}).step
    assert step is not None
    if "None of your tools" in " ".join(step.lines):
        truth = job.tolerance.middle
        for turns in (False, True):
            assert found(follow(job, Person(truth, turns_over=turns))).verdict != "true"


@given(jobs(), st.floats(-1.0, 1.0), st.booleans())
@example(job=ONLY_NEAR_THE_MIDDLE, share=-0.5, turns=True)
@settings(max_examples=part(30), deadline=None)
def test_no_check_is_surer_than_the_surest_that_is_told(
    job: CheckContext, share: float, turns: bool
) -> None:
    """Wherever within its tolerance a face stands, and as it is read."""
    (told,) = rank(job, ("square",))
    truth = job.tolerance.middle + share * job.tolerance.half_width
    outcome = found(follow(job, Person(truth, turns_over=turns)))
    assert outcome.probability is not None
    assert told.proves or outcome.verdict != "true"
    assert outcome.probability <= told.probability + 0.005 or told.proves


@given(jobs())
@settings(max_examples=15, deadline=None)
def test_what_can_be_proven_is_proven_of_some_face(job: CheckContext) -> None:
    """Simulated: faces all over the tolerance, in steps finer than the leaves."""
    (told,) = rank(job, ("square",))
    middle, half = job.tolerance.middle, job.tolerance.half_width
    lever = min(job.geometry.lever, SQUARE_6.length)
    ladder = [0.0, *(one.thickness for one in stacks(job.drawer.feelers[0]))]
    between = [math.atan((one + two) / 2 / lever) for one, two in itertools.pairwise(ladder)]
    faces = [middle + share * half for share in (-0.6, -0.3, 0.0, 0.3, 0.6)]
    faces += [side * one for one in between for side in (1, -1) if abs(side * one - middle) < half]
    seen = (
        found(follow(job, Person(face, turns_over=turns))).verdict
        for face in faces
        for turns in (False, True)
    )
    assert told.proves <= any(verdict == "true" for verdict in seen)


def test_one_sided_tolerances_are_judged_on_their_side() -> None:
    """0 to 36 thou/ft: half of it open is true, as much closed is out."""
    job = make_job(tolerance=Tolerance(0.0, math.atan(0.003), "0 to 36 thou/ft"))
    assert found(follow(job, Person(0.0015))).verdict == "true"
    assert found(follow(job, Person(-0.0015))).verdict == "out"


def test_a_gap_wider_than_all_leaves_is_asked_for_in_figures() -> None:
    """When every stack goes, the two thicknesses are typed; what went already binds."""
    job = make_job(drawer=Drawer((SQUARE_6,), (FeelerSet("few", "Few", LEAVES[:3], 0.003, 1),)))
    done = follow(job, Person(0.01))
    assert {"goes", "refused"} <= set(done.answers)
    low, high = bracket(done)
    assert low == pytest.approx(LEAVES[2])
    assert low < math.tan(0.01) * 6 * INCH < high


def test_the_cutter_comes_first_and_the_guard_last() -> None:
    """Where hands come near a cutter: unplugged before all else, guard back at the end."""
    done = follow(make_job(cutter_near=True), Person(0.0))
    assert done.answered[0][0].key == "unplugged"
    assert "guard" in " ".join(done.answered[-1][0].lines)
    far = follow(make_job(cutter_near=False), Person(0.0))
    assert "unplugged" not in far.answers
    assert "guard" not in " ".join(far.answered[-1][0].lines)
