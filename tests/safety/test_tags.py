"""A tag says that a machine is not to be used until it is cleared with a reason."""

from __future__ import annotations

import pytest

from shopboard.checks.steps import AnswerError, Caution
from shopboard.journal import JournalError, NewEntry, SqliteJournal, new_uid
from shopboard.journal.kinds import TAG
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import MachineStanding, ShopStanding
from shopboard.upkeep.safety_record import may_carry
from shopboard.upkeep.tags import (
    CLEARED,
    LONGEST,
    REASONS,
    clear_tag,
    joined,
    newest_tags,
    read_reason,
    record_tag,
    standing_tag,
    tag_caution,
)
from tests.builders import make_point, make_shop
from tests.journal.helpers import Clock, voided
from tests.sittings.test_check import failing


def standing(shop: Shop, journal: SqliteJournal, clock: Clock) -> ShopStanding:
    return shop_standing(shop, gather(journal), clock())


def machine(shop: Shop, journal: SqliteJournal, clock: Clock) -> MachineStanding:
    found = standing(shop, journal, clock).of_machine("saw")
    assert found is not None
    return found


def test_a_tag_stands_until_it_is_cleared(shop: Shop, journal: SqliteJournal, clock: Clock) -> None:
    """The points keep their state; tag and clearing stay on record."""
    state = machine(shop, journal, clock).state
    tag = record_tag("saw", "  the guard   is off ", journal)
    found = machine(shop, journal, clock)
    assert (found.tag, found.state) == ("the guard is off", state)
    clock.pass_by(days=400)
    assert machine(shop, journal, clock).tag == "the guard is off"
    clear_tag("saw", "guard back on", journal)
    assert machine(shop, journal, clock).tag == standing_tag("saw", journal) == ""
    assert [one.body for one in newest_tags("saw", journal)] == [
        {"v": 1, "out_of_use": False, "why": "guard back on"}
        | {"off": [{"uid": tag.uid, "why": "the guard is off"}]},
        {"v": 1, "out_of_use": True, "why": "the guard is off"},
    ]


def test_a_voided_clearing_lets_the_tag_stand_again(journal: SqliteJournal) -> None:
    record_tag("saw", "taken apart", journal)
    voided(journal, clear_tag("saw", "put together", journal).uid, "wrong machine")
    assert standing_tag("saw", journal) == "taken apart"


def test_a_tagged_machine_comes_before_all_others(journal: SqliteJournal, clock: Clock) -> None:
    shop = make_shop(make_point("saw.blade"), make_point("jointer.fence"), make_point("planer.bed"))
    record_tag("planer", "taken apart", journal)
    found = standing(shop, journal, clock)
    assert [one.machine.id for one in found.worst_first] == ["planer", "saw", "jointer"]
    assert [one.machine.id for one in found.tagged] == ["planer"]


@pytest.mark.parametrize(
    ("reason", "says"),
    [
        ("", "a few words"),
        (" \n\t ", "a few words"),
        ("x" * 201, "201 characters"),
        ("\x1b[2J", "U\\+001B"),
        ("off\u202e", "U\\+202E"),
        ("\udcff", "U\\+DCFF"),
    ],
)
def test_a_reason_is_a_few_plain_words(journal: SqliteJournal, reason: str, says: str) -> None:
    for act in (record_tag, clear_tag):
        with pytest.raises(AnswerError, match=says):
            act("saw", reason, journal)
    assert journal.count() == 0


def test_there_must_be_a_tag_to_clear(journal: SqliteJournal) -> None:
    with pytest.raises(AnswerError, match="not tagged"):
        clear_tag("saw", "put right", journal)
    assert journal.count() == 0


def test_the_reasons_offered_are_reasons() -> None:
    """Each has its digit, and one is left for words of one's own."""
    for reasons in (REASONS, CLEARED):
        assert len(reasons) <= 8
        assert [read_reason(one) for one in reasons] == list(reasons)


def test_a_full_disk_tags_nothing(journal: SqliteJournal) -> None:
    with pytest.raises(JournalError):
        record_tag("saw", "taken apart", failing(journal))
    assert standing_tag("saw", journal) == ""


@pytest.mark.parametrize(
    ("tag", "more", "both"),
    [
        ("", "guard, off", "guard, off"),
        ("guard, off", "guard, off", "guard, off"),
        ("taken apart", "guard, off", "guard, off"),  # that is a tag by itself
        (may_carry("x"), "guard, off", f"guard, off; {may_carry('x')}"),
    ],
)
def test_words_are_added_to_a_tag(tag: str, more: str, both: str) -> None:
    assert joined(tag, more) == both


def test_a_tag_never_grows_too_long_to_be_recorded(journal: SqliteJournal) -> None:
    both = joined(may_carry("x" * LONGEST), "guard, off")
    assert both.startswith(f"guard, off; {may_carry('xxx')}")
    assert len(both) <= LONGEST
    record_tag("saw", both, journal)


@pytest.mark.parametrize("why", [None, "", 3, ["x"]])
def test_a_tag_of_another_program_counts_whatever_its_words_are(
    journal: SqliteJournal, why: object
) -> None:
    """Out of use is out of use."""
    body = {"v": 9, "out_of_use": True, "why": why}
    journal.append([NewEntry(new_uid(), TAG.name, "saw", "", body)])
    assert gather(journal).tags["saw"] == standing_tag("saw", journal) != ""


# ---- checks on a tagged machine


def title(sitting: CheckSitting | None) -> str:
    assert sitting is not None
    assert sitting.step is not None
    return sitting.step.title


def again(shop: Shop, point: Point, journal: SqliteJournal, clock: Clock) -> CheckSitting:
    (begun,) = journal.open_checks()
    sitting = resume(journal, shop, point, begun, clock())
    assert sitting is not None
    return sitting


def test_a_check_begins_with_the_words_of_the_tag(
    shop: Shop, point: Point, journal: SqliteJournal, clock: Clock
) -> None:
    record_tag("saw", "the guard is off", journal)
    sitting = start(journal, shop, point)
    assert isinstance(sitting.step, Caution)
    assert title(sitting) == "This machine is tagged DO NOT USE: the guard is off"
    for text in ("", "2", "yes"):
        with pytest.raises(AnswerError):
            sitting.answer(text)
    assert title(again(shop, point, journal, clock)).endswith("the guard is off")  # until read
    sitting.answer("1")
    assert "Unplug" in title(sitting)
    with pytest.raises(AnswerError, match="first step"):
        sitting.back()
    sitting.answer("1")
    assert sitting.number == 2
    clock.pass_by(minutes=5)
    assert title(again(shop, point, journal, clock)) == title(sitting)  # read once is enough


def test_a_tag_put_up_meanwhile_is_read_before_the_check_goes_on(
    shop: Shop, point: Point, journal: SqliteJournal, clock: Clock
) -> None:
    record_tag("saw", "taken apart", journal)
    sitting = start(journal, shop, point)
    for _ in range(2):
        sitting.answer("1")
    here = title(sitting)
    record_tag("saw", "the cord is cut", journal)
    clock.pass_by(minutes=20)
    sitting = again(shop, point, journal, clock)
    assert title(sitting).endswith("2 tags: the cord is cut; taken apart")
    sitting.answer("1")
    assert "still unplugged" in title(sitting)  # the pause was long, too
    sitting.answer("1")
    assert title(sitting) == here


def test_a_cleared_tag_is_not_read_any_more(
    shop: Shop, point: Point, journal: SqliteJournal, clock: Clock
) -> None:
    record_tag("saw", "taken apart", journal)
    start(journal, shop, point)
    clear_tag("saw", "put together", journal)
    assert "Unplug" in title(again(shop, point, journal, clock))
    assert "Unplug" in title(start(journal, shop, point))


def test_the_caution_defers_to_the_makers_manual() -> None:
    assert "maker's manual" in " ".join(tag_caution("x").lines)
