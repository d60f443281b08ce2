"""Results and cutters that were recorded in words which are no longer shown: read as they were.

The bodies are those that a version of November 2026 wrote, letter by letter, before records kept
identities and before borderline, withdraw and reach were said; what is held of them, that version
told of the same entries.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from shopboard.base.state_words import state_word
from shopboard.journal import NewEntry, SqliteJournal
from shopboard.results.old_words import source_called
from shopboard.results.record import read_check
from shopboard.upkeep.cutter_acts import ACTS_BY_NAME
from shopboard.upkeep.cutter_journal import history, newest_act, standings_now, take_back
from shopboard.upkeep.cutter_words import state_words
from tests.prep.results import result
from tests.results.test_record import entry
from tests.upkeep.cutter_shop import SHOP, now_standing

BEFORE: dict[str, Any] = json.loads(
    Path(__file__).with_name("of_before.json").read_text(encoding="utf-8")
)


@pytest.fixture
def lived(journal: SqliteJournal) -> SqliteJournal:
    """A journal with what that version recorded of the saw's cutters."""
    for uid, kind, machine, point, refers, body in BEFORE["rows"]:
        journal.append([NewEntry(uid, kind, machine, point, body, refers)])
    return journal


@pytest.mark.parametrize("method", BEFORE["budgets"])
def test_each_line_of_an_old_budget_is_known_by_its_words(method: str) -> None:
    """That version knew which source each was; its records did not say so yet."""
    told = [(words, source_called(words)) for words, _ in BEFORE["budgets"][method]]
    assert told == [(words, source) for words, source in BEFORE["budgets"][method]]


@pytest.mark.parametrize(
    ("typed", "ends", "said"),
    [
        ("0.02", (-0.508, 0.508), "0.02 in"),
        ("0.02", (-0.02, 0.02), "0.02 mm"),
        ("-0.005 to 0", (-0.127, 0.0), "-0.005 to 0 in"),
        ("0.02 mm", (-0.02, 0.02), "0.02 mm"),
        ("0.02", (-1.0, 1.0), "0.02"),
    ],
)
def test_an_old_tolerance_without_a_unit_has_that_of_its_numbers(
    typed: str, ends: tuple[float, float], said: str
) -> None:
    """Whatever the unit of the shop is by now: an inch is 25.4 mm."""
    low, high = (round(end * 1e6) for end in ends)
    body = result(0.001, 0.001, "length") | {
        "tolerance": {"typed": typed, "low": low, "high": high}
    }
    assert read_check(entry(body)).tolerance == said


@pytest.mark.parametrize(
    ("number", "verdict", "shown"),
    [(0, "true", "true"), (1, "near", "borderline"), (2, "out", "out")],
)
def test_an_old_result_is_what_it_was(number: int, verdict: str, shown: str) -> None:
    """Numbers, limits, readings and words; only the word for its state is another."""
    body = BEFORE["results"][number]
    record, of = read_check(entry(body)), dict(BEFORE["budgets"]["square"])
    assert (record.verdict, state_word(record.verdict)) == (verdict, shown)
    assert [one.label for one in record.budget] == [words for words, _ in body["budget"]]
    assert [one.id for one in record.budget] == [of[words] for words, _ in body["budget"]]
    assert record.error == pytest.approx(body["error"] / 1e9)
    assert record.expanded == pytest.approx(body["expanded"] / 1e9)
    assert record.tolerance == body["tolerance"]["typed"]
    assert (record.lean, *record.working) == (body["lean"], *body["working"])


def test_cutters_stand_as_that_version_said(lived: SqliteJournal) -> None:
    stands = [
        [
            *(one.id, one.where, one.state, one.edge, [*one.use], one.sharpenings, one.cost),
            *(one.note, [[*life] for life in one.lives]),
        ]
        for one in standings_now(SHOP, "saw", lived)
    ]
    assert stands == BEFORE["now"]
    told = {one.id: state_words(one) for one in standings_now(SHOP, "saw", lived)}
    for ident, where, state, edge, *_ in BEFORE["now"]:
        assert state in told[ident]
        assert where in told[ident]
        assert ("edge 2 of 2" in told[ident]) == (edge == 2)


def test_an_old_act_of_a_cutter_is_one_of_today_and_can_be_withdrawn(lived: SqliteJournal) -> None:
    """Words that were recorded by a change are told by the change."""
    changes = {"taken off", "put on", "turned", "used"}
    acts = {row[5]["what"] for row in BEFORE["rows"] if row[1] == "cutter"}
    assert acts - changes <= {*ACTS_BY_NAME}
    rip = now_standing(lived, "rip")
    assert len(history(rip, lived)) == sum(
        (row[1], row[3]) == ("cutter", "rip") for row in BEFORE["rows"]
    )
    newest = newest_act(rip, lived)
    assert newest is not None
    assert newest.body["what"] == "back"
    take_back(newest, "it is still away", lived)
    assert now_standing(lived, "rip").where == "at the sharpener"
