"""Nothing goes by the words of a source of uncertainty: in any others all is the same.

The reference is the program itself: with every name of a source replaced by one that says nothing,
and with records that keep the identities against those of before, which keep words alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from shopboard.checks import registry
from shopboard.checks.further import ways
from shopboard.checks.once_more import Before, once_more
from shopboard.checks.outcome import Outcome
from shopboard.checks.ranking import rank
from shopboard.checks.remedies import best_remedy, would_take
from shopboard.checks.settle import what_would_settle
from shopboard.checks.walk import walk
from shopboard.journal import SqliteJournal
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Budget, Source
from shopboard.results.old_words import source_called
from shopboard.results.own_hand import repeats_of
from shopboard.results.record import read_check
from tests.builders import Person, check_body, follow, found, make_job, make_shop
from tests.checks.readings import GOOD, Case, job_of, right
from tests.checks.test_settle import OTHERWISE
from tests.journal.helpers import Clock
from tests.results.test_doubt import BAD, check, stands
from tests.results.test_record import entry
from tests.results.test_references import BLADE, DRAWER, SQUARE, prove

NAMELESS = "Quelle"


@pytest.fixture
def nameless(monkeypatch: pytest.MonkeyPatch) -> Iterator[pytest.MonkeyPatch]:
    """From here on every source that is made is called the same."""
    for name in registry.names():
        registry.method(name)  # what it makes once for all keeps its name
    make = Source.__new__

    def made(cls: type[Source], sort: str, name: str, *rest: Any, **more: Any) -> Source:
        return make(cls, sort, NAMELESS, *rest, **more)

    monkeypatch.setattr(Source, "__new__", made)
    yield monkeypatch
    monkeypatch.undo()


def outcomes() -> Iterator[Outcome]:
    """One of every method, some otherwise, and the square both ways."""
    for case in [*(Case(one, {}, "") for one in GOOD), *OTHERWISE]:
        method, job = registry.method(case.method), job_of(case)
        yield walk(method, job, right(case), from_file=True).findings[0].outcome
    turn = make_job()._replace(geometry=make_job().geometry._replace(turn="other side"))
    for turns_over in (False, True):
        yield found(follow(turn, Person(0.002, turns_over=turns_over)))
    known = make_job().drawer.squares[0]._replace(limit=0.0, known_u=1e-5)
    drawer = make_job().drawer._replace(squares=(known,))
    yield found(follow(make_job(drawer=drawer), Person(0.002)))


def near(outcome: Outcome) -> Outcome:
    """The same outcome where nothing is proven: the limit lies at the error."""
    error, u = outcome.estimate.error, outcome.estimate.budget.u
    return replace(outcome, tolerance=Tolerance(error - 40 * u, error, "near", outcome.kind))


def told(outcome: Outcome) -> list[object]:
    """All that is made of what its sources are."""
    budget = outcome.estimate.budget
    said = what_would_settle(near(outcome))
    for source in budget.sources:  # a name is shown, where nothing else is to be said
        said = said.replace(f"will settle it: {source.name}.", "will settle it: NAME.")
    return [
        outcome.method,
        best_remedy(budget),
        best_remedy(budget, can_turn=True),
        would_take(budget, outcome.kind),
        said,
        outcome.readings.get("tools"),
        outcome.readings.get("tool_ids"),
    ]


def test_remedies_and_tools_are_the_same_whatever_a_source_is_called(
    nameless: pytest.MonkeyPatch,
) -> None:
    in_other_words = [told(one) for one in outcomes()]
    assert any(NAMELESS in source.name for one in outcomes() for source in budget_of(one).sources)
    nameless.undo()
    assert [told(one) for one in outcomes()] == in_other_words


def budget_of(outcome: Outcome) -> Budget:
    return outcome.estimate.budget


def offers() -> list[object]:
    """What the points of each method could be proven by, and what it takes to do so once more."""
    said: list[object] = []
    for case in (Case(one, {}, "") for one in GOOD):
        job = job_of(case)
        said += [(one.proves, one.help) for one in rank(job, (case.method,))]
        found_ways = ways(job, (case.method,))
        for one in found_ways:
            budget = [(source.id, source.u) for source in one.best.budget.sources]
            for finer in (1.0, 0.5):
                u = one.best.budget.u * finer
                half = [(source, part * finer) for source, part in budget]
                before = Before(one.method, u, half, {}, ())
                said.append((one.sort, one.how, once_more(before, job, found_ways)))
    return said


def test_offers_are_the_same_whatever_a_source_is_called(nameless: pytest.MonkeyPatch) -> None:
    in_other_words = offers()
    nameless.undo()
    assert offers() == in_other_words
    assert len(in_other_words) > 60


def test_a_tool_found_bad_is_found_in_records_whatever_its_source_is_called(
    nameless: pytest.MonkeyPatch, journal: SqliteJournal, clock: Clock
) -> None:
    shop = make_shop(BLADE, SQUARE, drawer=DRAWER)
    check(journal, shop, Person(0.0))
    assert all(NAMELESS in label for label, _ in recorded(journal)["budget"])
    clock.pass_by(days=1)
    prove(journal, shop, SQUARE, BAD)
    point = stands(journal, shop)
    assert point.doubted
    assert point.reason.startswith("measured with Square, 6 in, found 15.0 thou/ft out on ")
    nameless.undo()


def recorded(journal: SqliteJournal) -> dict[str, Any]:
    (newest,) = journal.recent("check", "saw", "blade", 1)
    return newest.body


NEWER = ("centres", "taper", "drilled-angle", "wind")
"""Methods that no record of before can be of."""


def of_before(body: dict[str, Any]) -> dict[str, Any]:
    """A result as it was recorded while its words alone told what its sources are."""
    labels = [["lever" if name == "reach" else name, u] for name, u in body["budget"]]
    return {key: one for key, one in body.items() if key != "budget_ids"} | {"budget": labels}


def test_a_record_of_before_tells_by_its_words_what_a_new_one_tells_by_identities() -> None:
    """The names of sources are those that the methods wrote until then."""
    for outcome in (one for one in outcomes() if one.method not in NEWER):
        body = check_body(outcome, "as-found")
        new = read_check(entry(body))
        old = read_check(entry(of_before(body)))
        assert [one._replace(label="") for one in old.budget] == [
            one._replace(label="") for one in new.budget
        ]
        assert [one.id for one in new.budget] == [one.id for one in budget_of(outcome).sources]
        assert repeats_of(old) == repeats_of(new)


@pytest.mark.parametrize(
    ("words", "source"),
    [
        ("feel of the leaf (your own, from 14 pairs)", "feel"),
        ("front, feel of the leaf (your own, from 14 pairs)", "gap-feel"),
        ("square, its certificate", "square-proven"),
        ("straightedge at the lips", "straightedge"),
        ("ab, as typed", "typed"),
        ("heights of the points", "heights"),
        ("what no version ever wrote", ""),
        ("rule", ""),
    ],
)
def test_words_of_earlier_versions(words: str, source: str) -> None:
    """From the project's history: what each version wrote."""
    assert source_called(words) == source


def test_identities_that_do_not_go_with_the_budget_are_left_to_the_words() -> None:
    """A broken or foreign record: nothing is put down to the wrong source."""
    body = check_body(found(follow(make_job(), Person(0.002))), "as-found")
    ids, body = body["budget_ids"], of_before(body)
    right_ones = read_check(entry(body)).budget
    for wrong in ([], ["lever"], "lever", None, [*map(str, ids), "lever"]):  # type: ignore[call-overload]
        assert read_check(entry({**body, "budget_ids": wrong})).budget == right_ones
