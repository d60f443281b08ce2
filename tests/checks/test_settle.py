"""What would settle a verdict that is not proven: every source of every budget has its remedy."""

from __future__ import annotations

import ast
import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from importlib import import_module
from pathlib import Path

import pytest

import shopboard
from shopboard.checks import registry
from shopboard.checks.indicator import lever_sources
from shopboard.checks.outcome import Outcome
from shopboard.checks.ranking import rank
from shopboard.checks.remedies import NO_TOOL, remedy_for, would_take
from shopboard.checks.settle import what_would_settle
from shopboard.checks.walk import walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import YES_NO_WORDS, Kind
from shopboard.metrology.sources import NOTHING
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import Person, follow, found, make_job
from tests.checks.readings import ACROSS, GOOD, MITRE, Case, job_of, right
from tests.cli.reckonings import EXAMPLES

OTHERWISE = [
    Case("flip", {}, "", more=MITRE),
    Case("edge-pair", {}, "", more=ACROSS),
    Case("runout", {}, "", more={"lever": "30"}),
    Case("carry", {}, "", more={"knives": "low", "below.goes": ".002", "below.refused": ".003"}),
    Case("timed", {}, "", more={"again2.time": "9", "repeat2": "no"}),
    Case("timed", {}, "", more={"again2.time": "4.1", "again3.time": "4.2"}),
]
NONE_AT_THE_MACHINE = {"modulus", "square-turned", "watch"}
"""Sources that no reading makes smaller: they have no remedy on purpose."""


def sources_in(outcome: Outcome) -> tuple[Source, ...]:
    return outcome.estimate.budget.sources


def sources_of_the_square() -> Iterator[Source]:
    """Lying on a certified square, turned over and not."""
    for turns_over in (False, True):
        job = make_job()._replace(geometry=make_job().geometry._replace(turn="other side"))
        yield from sources_in(found(follow(job, Person(0.002, turns_over=turns_over))))
    known = make_job().drawer.squares[0]._replace(limit=0.0, known_u=1e-5)
    drawer = make_job().drawer._replace(squares=(known,))
    yield from sources_in(found(follow(make_job(drawer=drawer), Person(0.002))))


@pytest.mark.parametrize("case", [*(Case(one, {}, "") for one in GOOD), *OTHERWISE])
def test_every_source_of_a_guided_check_has_a_remedy_or_none_on_purpose(case: Case) -> None:
    done = walk(registry.method(case.method), job_of(case), right(case), from_file=True)
    sources = sources_in(done.findings[0].outcome)
    assert sources
    assert_known(sources)


@pytest.mark.parametrize("name", [one for one in EXAMPLES if one != "angle"])
def test_every_source_of_a_reckoning_too(name: str) -> None:
    values = dict(one.split("=", 1) for one in EXAMPLES[name])
    assert_known(sources_in(registry.reckoner(name).reckon(values)))


def test_every_source_of_the_square() -> None:
    sources = set(sources_of_the_square())
    assert {"square", "square-proven"} < {one.id for one in sources}
    assert_known(sources)


def assert_known(sources: Iterable[Source]) -> None:
    for one in sources:
        assert remedy_for(one) is not None, one.id
        assert (remedy_for(one) == NOTHING) == (one.id in NONE_AT_THE_MACHINE), one.id


def written(folder: Path) -> Iterator[tuple[str, bool]]:
    """The identity of every source that the program's text makes, and whether it says a remedy."""
    for path in folder.rglob("*.py"):
        inside = path.relative_to(folder.parent).with_suffix("").parts
        if "shop" in inside:
            continue  # there, a source is the text of a shop file
        text = path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)) if "Source" in text else ():
            called = node.func if isinstance(node, ast.Call) else None
            if isinstance(called, ast.Attribute) and called.attr == "within":
                called = called.value
            if not isinstance(called, ast.Name) or called.id != "Source":
                continue
            assert isinstance(node, ast.Call)
            first, told = node.args[0], any(one.arg == "remedy" for one in node.keywords)
            if isinstance(first, ast.Constant):
                yield str(first.value), told
            elif isinstance(first, ast.Name) and first.id.isupper():
                yield getattr(import_module(".".join(inside)), first.id), told


def test_no_source_in_the_programs_text_is_forgotten() -> None:
    """Also those that no example above meets."""
    made = set(written(Path(shopboard.__file__).parent))
    assert len(made) > 20
    assert [one for one, told in made if not told and not remedy_for(Source(one, "x", 1.0))] == []


def near(kind: Kind, *sources: Source) -> Outcome:
    """An outcome right at its limit."""
    return Outcome("x", Estimate(1.0, Budget(sources)), Tolerance(-1.0, 1.0, "1", kind), kind)


def test_what_makes_most_of_it_together_is_named() -> None:
    """Two readings by indicator outweigh a larger single source."""
    sources = (
        Source("rule", "span, the rule", 0.012),
        Source("indicator", "front, the indicator", 0.01),
        Source("indicator", "back, the indicator", 0.01),
    )
    said = what_would_settle(near("angle", *sources))
    assert said.endswith("settle it: a finer indicator, or readings farther apart.")
    said = what_would_settle(near("length", *sources))
    assert "even a finer indicator may leave it open" in said  # the rule is left, at the limit


def at(error: float, *sources: Source, level: float = 0.95) -> str:
    limits = Tolerance(-9.0, 9.0, "9", "length")
    outcome = Outcome("x", Estimate(error, Budget(sources)), limits, "length", level=level)
    assert outcome.verdict == "near"
    return what_would_settle(outcome)


def test_what_would_leave_it_open_were_it_perfect_is_not_said_to_settle_it() -> None:
    """The chance by hand: without the indicator u is 0.8, so it is proven from 9 +- 1.645 x 0.8.

    From 8.4 the mean moves by sqrt(1.6^2 - 0.8^2) = 1.386 (JCGM 106, 6): below 7.684 with a chance
    of 30 %, above 10.316 with one of 8 %; in steps of a fifth of 1.386 that comes to 40 %.
    """
    sources = (Source("indicator", "dial", math.sqrt(1.6**2 - 0.8**2)), Source("rule", "rule", 0.8))
    assert at(8.4, *sources) == (
        "Too close to call. It is so near the limit that even a finer indicator may leave it open:"
        " at best that has a 40 % chance of settling it."
    )
    assert at(7.0, *sources) == "Too close to call. To settle it: a finer indicator."


def test_where_nothing_at_the_machine_helps_it_says_so() -> None:
    said = what_would_settle(near("stress", Source("modulus", "modulus of the steel", 1.0)))
    assert said == "Too close to call. Reading again is no help: it hangs on modulus of the steel."


def test_what_is_proven_needs_nothing() -> None:
    outcome = near("angle", Source("lever", "lever", 0.01))
    assert what_would_settle(outcome).endswith("a longer reach (lever in the shop file).")
    proven = Outcome("x", Estimate(0.0, outcome.estimate.budget), outcome.tolerance)
    assert what_would_settle(proven) == ""


def test_what_is_said_has_no_sources() -> None:
    """A look is not made closer."""
    for name in registry.names():
        if registry.method(name).kind in YES_NO_WORDS:
            assert not registry.method(name).best(make_job()).budget.sources


def test_reading_finer_is_asked_for_nowhere_since_no_budget_counts_it() -> None:
    """How finely a scale is read is taken as usual; over a longer way it counts for less."""
    reading = Source("scale", "front, reading it", 1.0)
    assert what_would_settle(near("angle", reading)).endswith("settle it: readings farther apart.")
    said = what_would_settle(
        near("length", reading, Source("indicator", "high, the indicator", 0.5))
    )
    assert (
        said
        == "Too close to call. Reading again is no help: it hangs on how finely a scale is read."
    )
    said = what_would_settle(near("length", Source("rule", "front, the rule", 1.0)))
    assert said.endswith("Reading again is no help: it hangs on how finely a rule is read.")


def test_a_longer_way_is_called_what_it_is_at_that_check() -> None:
    said = what_would_settle(
        replace(near("angle", Source("rule", "d1, the rule", 1.0)), method="diagonals")
    )
    assert said.endswith("settle it: a larger panel.")


@pytest.mark.parametrize(
    ("u", "words"), [(0.2, "It is so near the limit"), (1.0, "Nothing can prove it true this way")]
)
def test_near_the_limit_is_only_what_could_be_proven(u: float, words: str) -> None:
    """Twice what is wanted is left open: a square of no error at all would not be proven."""
    twice = {"repeats": {"errors": [1.0, 1.0]}}
    said = what_would_settle(
        replace(near("angle", Source("repeats", "how well it repeats", u)), readings=twice)
    )
    assert words in said


def test_a_square_that_cannot_be_turned_over_is_not_asked_to_be() -> None:
    own = Source.within("square", "square, its own error", 1.0, lasting=True)
    assert what_would_settle(near("angle", own)).endswith("settle it: a finer square.")
    said = what_would_settle(replace(near("angle", own), can_turn=True))
    assert "settle it: turning the square over (that has an over 99.9 % chance" in said
    assert "go back for it" in said
    kept = what_would_settle(replace(near("angle", own), can_turn=True), kept=True)
    assert "go back" not in kept


def test_what_is_set_otherwise_leads_back_to_it() -> None:
    """A lever that slants is asked about in the check."""
    slant = near("angle", *lever_sources(1.0, {"lever_angle": 0.5}, {}))
    back = "setting the indicator's lever along the surface (go back for it)."
    assert what_would_settle(slant).endswith(back)
    assert what_would_settle(slant, kept=True).endswith("along the surface.")


def test_no_stopwatch_is_promised_that_the_budget_does_not_count() -> None:
    """A time at its limit: once more may settle it, how finely a watch is read never does."""
    budget = rank(TIMED, ("timed",))[0].best.budget  # type: ignore[union-attr]
    (watch,) = (one for one in budget.sources if one.id == "watch")
    said = what_would_settle(near("time", watch))
    assert (
        said
        == "Too close to call. Reading again is no help: it hangs on how finely a watch is read."
    )


TIMED = make_job(tolerance=Tolerance(0.9, 1.1, "0.9 to 1.1 s", "time"))


def test_the_drawer_is_told_the_same_words_as_a_check() -> None:
    """Each names what its budget counts: no rule's better, no finer scale, no stopwatch."""
    (timed,) = rank(TIMED, ("timed",))
    assert (timed.proves, timed.help) == (False, NO_TOOL)
    rule = Budget((Source.within("rule", "span, the rule", 0.5),))
    assert would_take(rule, "angle") == "a longer distance to measure over"
    assert would_take(rule, "length") == NO_TOOL
    dial = Budget((Source.within("indicator", "front, the indicator", 0.5),))
    assert would_take(dial, "angle") == "a finer indicator, or a longer distance to measure over"
    assert would_take(dial, "length") == "a finer indicator"
    read = Budget((Source.within("scale", "front, reading it", 0.5),))
    assert would_take(read, "angle") == "a longer distance to measure over"
    feel = Budget((Source("feel", "feel of the leaf", 0.004),))
    assert would_take(feel, "length") == "more readings"
