"""A glue-up on hold: the person's own decision, on record with its reason, and never a go."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime

import pytest

from shopboard.journal import NewEntry, kinds, new_uid, open_journal
from tests.cli.program import Program
from tests.prep.results import result
from tests.prep.woodshop import SHOP


@pytest.fixture
def forge(program: Program) -> Program:
    """The wood shop; the sides of the box can be glued up, the frame of the lid cannot."""
    program.write("shop.toml", SHOP)
    with closing(open_journal(program.journal, lambda: datetime.now(UTC))) as journal:
        for name in ("saw.table", "saw.blade", "saw.gauge"):
            machine, _, point = name.partition(".")
            journal.append([NewEntry(new_uid(), "check", machine, point, result(2e-4, 5e-5))])
    return program


def test_it_is_shown_as_a_decision_and_the_answer_stays_hold(forge: Program) -> None:
    ran = forge("glueup", "chest", "lid-frame", "--anyway", "closes when dry-fitted")
    assert ran.code == 1
    assert ran.out.startswith("HOLD: Lid frame")
    assert "your decision: glued up on HOLD, " in ran.out
    for again in (forge("glueup", "chest", "lid-frame"), forge("project", "chest")):
        assert "glued up on HOLD, " in again.out
        assert "closes when dry-fitted" in again.out
        assert "GO: Lid frame" not in again.out
    asked = forge("glueup", "chest", "lid-frame", "--json").json
    assert asked["go"] is False
    (decided,) = asked["decided"]
    assert decided["why"] == "closes when dry-fitted"
    assert decided["held"] == [one["reason"] for one in asked["reasons"]]


def test_the_sort_of_each_reason_is_kept_beside_its_words(forge: Program) -> None:
    """Words may be said otherwise later; what held it up stays known."""
    sorts = [one["sort"] for one in forge("glueup", "chest", "lid-frame", "--json").json["reasons"]]
    forge("glueup", "chest", "lid-frame", "--anyway", "closes when dry-fitted")
    with closing(open_journal(forge.journal, lambda: datetime.now(UTC))) as journal:
        (entry,) = journal.recent("glue-up", "", "chest.lid-frame", 1)
    assert sorts
    assert entry.body["held_sorts"] == sorts
    assert kinds.GLUE_UP.of_body(entry.body).held_sorts == tuple(sorts)


def test_looking_back_tells_it(forge: Program) -> None:
    forge("glueup", "chest", "lid-frame", "--anyway", "a trial piece")
    assert "chest.lid-frame" in forge("changes", "1").out
    (told,) = forge("changes", "1", "--json").json["glued_up_on_hold"]
    assert (told["joint"], told["why"]) == ("chest.lid-frame", "a trial piece")


def test_it_is_taken_back_with_a_reason_and_stays_readable(forge: Program) -> None:
    forge("glueup", "chest", "lid-frame", "--anyway", "closes")
    ran = forge("glueup", "chest", "lid-frame", "--withdraw", "wrong joint")
    assert ran.code == 1
    assert "WITHDRAWN: wrong joint" in ran.out
    ran = forge("glueup", "chest", "lid-frame", "--take-back", "again")
    assert ran.code == 2
    assert "there is no decision of chest.lid-frame" in ran.err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["box", "sides", "--anyway", "why not"], "it is GO: nothing holds it up"),
        (["chest", "lid-frame", "--anyway", " "], "--anyway"),
        (["chest", "lid-frame", "--anyway", "a" * 201], "a reason has 1 to 200 characters"),
        (["chest", "lid-frame", "--anyway", "a", "--take-back", "b"], "not both"),
    ],
)
def test_what_is_no_decision_is_refused(forge: Program, arguments: list[str], says: str) -> None:
    ran = forge("glueup", *arguments)
    assert ran.code == 2
    assert says in ran.err
    assert "decided" not in forge("project").out


def test_the_sheet_of_a_machine_tells_what_was_glued_up_on_hold_with_its_work(
    forge: Program,
) -> None:
    """As the owner's decision, not of machines that have no part in it, nor once withdrawn."""
    assert "on HOLD" not in forge("sheet", "saw").out
    forge("glueup", "chest", "lid-frame", "--anyway", "closes when dry-fitted")
    told = "The owner&#x27;s decision: Lid frame (Blanket chest) glued up on HOLD, "
    page = forge("sheet", "saw").out
    assert told in page
    assert "closes when dry-fitted" in page
    assert "on HOLD" not in forge("sheet", "jointer").out
    forge("glueup", "chest", "lid-frame", "--withdraw", "wrong joint")
    assert "on HOLD" not in forge("sheet", "saw").out


def test_a_reason_is_text_on_the_sheet(forge: Program) -> None:
    forge("glueup", "chest", "lid-frame", "--anyway", "</p><script>alert(1)</script>")
    page = forge("sheet", "saw").out
    assert "<script>" not in page
    assert "&lt;/p&gt;&lt;script&gt;" in page
