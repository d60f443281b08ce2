"""What is told of a point between two moments: each sort of event in its own words."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from shopboard.journal import NewEntry, SqliteJournal
from shopboard.results.record import CheckRecord, Holds
from shopboard.shop.model import Shop
from shopboard.standing.look_back import StandingChange, events, taken_back_since
from shopboard.standing.model import PointStanding
from tests.builders import make_point, make_shop
from tests.journal.helpers import Clock, voided
from tests.prep.results import result
from tests.standing.test_judge import DAY, NOW, record

POINT = make_point(every_days=30, every="4 weeks", undone_by=("knocked",))


def told(journal: SqliteJournal, shop: Shop, change: StandingChange | None = None) -> list[str]:
    """What is told of the blade over the whole journal, a year on."""
    one = PointStanding(shop.points["saw.blade"], "true", "")
    change = change or StandingChange(one, one)
    found = events(journal, shop, change, 0, journal.last_seq(), NOW + 365 * DAY)
    return [event.words for event in found]


@pytest.mark.parametrize(
    ("kind", "error", "words"),
    [
        ("length", 0.0254, "checked, as-found: true, +1 thou"),
        ("yes or no", 0.0, "checked, as-found: yes"),
        ("yes or no", 1.0, "checked, as-found: no"),
        ("note", 0.0, "checked, as-found: noted"),
    ],
)
def test_a_measure_is_told_with_its_verdict_and_what_was_only_said_without(
    journal: SqliteJournal, kind: str, error: float, words: str
) -> None:
    """1 thou is 0.0254 mm, by the definition of the inch."""
    body = result(error, 0.001 if kind == "length" else 0.0, kind)
    journal.append([NewEntry("c", "check", "saw", "blade", body)])
    assert told(journal, make_shop(POINT))[0].replace("1.000 thou", "1 thou") == words


def test_what_happened_and_was_taken_back_is_told_as_what_it_was(
    journal: SqliteJournal, clock: Clock
) -> None:
    """A result, a setting, a happening; one that was said later with its day."""
    happening = {"v": 1, "what": "knocked"}
    earlier = {**happening, "on": (NOW - 3 * DAY).isoformat()}
    for kind, place, body in (
        ("check", "blade", result(0.0, 1e-4)),
        ("moved", "blade", {"v": 1}),
        ("happening", "knocked", happening),
        ("happening", "knocked", earlier),
    ):
        journal.append([NewEntry(f"{kind} {journal.count()}", kind, "saw", place, body)])
    for uid in ("check 0", "moved 1", "happening 2", "happening 3"):
        voided(journal, uid, f"not that {uid[:5]}")
    words = told(journal, make_shop(POINT))
    assert words[0].startswith("checked, as-found: true, ")
    assert words[1:] == [
        "re-set",
        "knocked",
        "knocked, of Fri 29 May 2026",
        "result of Mon 1 Jun 2026 withdrawn: not that check",
        "setting of Mon 1 Jun 2026 withdrawn: not that moved",
        "knocked, of Mon 1 Jun 2026, withdrawn: not that happe",
        "knocked, of Fri 29 May 2026, withdrawn: not that happe",
    ]


def test_what_happened_to_another_mode_of_the_machine_is_told_where_it_reaches(
    journal: SqliteJournal,
) -> None:
    """A knock reaches every mode of one body, and no other machine."""
    shop = make_shop(POINT, make_point("shaper.fence"), make_point("drill.table"))
    saw, shaper, drill = shop.machines
    shop = replace(
        shop, machines=(saw._replace(body="combi"), shaper._replace(body="combi"), drill)
    )
    for machine in ("drill", "shaper", ""):
        body = {"v": 1, "what": "knocked"}
        journal.append([NewEntry(f"k{machine}", "happening", machine, "knocked", body)])
    assert told(journal, shop) == ["knocked", "knocked"]
    assert told(journal, make_shop(POINT)) == ["knocked"]


def test_another_base_set_anew_is_told_by_its_name(journal: SqliteJournal) -> None:
    """One that the shop file has no longer is nothing to rest on."""
    rests = POINT._replace(rests_on=("saw.table", "saw.gone"))
    shop = make_shop(rests, make_point("saw.table"))
    for point in ("table", "gone"):
        journal.append([NewEntry(point, "moved", "saw", point, {"v": 1})])
    assert told(journal, shop) == ["Table re-set"]


def held(days: int | None) -> CheckRecord:
    return record("saw.blade")._replace(holds=Holds(days, None, 0.0, "it wandered"))


@pytest.mark.parametrize(
    ("every", "one", "words"),
    [
        (30, record("saw.blade"), "due by the calendar: a check is good for 4 weeks"),
        (30, held(None), "due by the calendar: a check is good for 4 weeks"),
        (30, held(30), "due by the calendar: a check is good for 4 weeks"),
        (30, held(12), "due by how it moves: that result was good for 12 days"),
        (30, held(1), "due by how it moves: that result was good for 1 day"),
        (None, held(40), "due by how it moves: that result was good for 40 days"),
    ],
)
def test_why_a_result_became_too_old(
    journal: SqliteJournal, every: int | None, one: CheckRecord, words: str
) -> None:
    """By the shop file's interval, or by how the point wanders where that is shorter."""
    point = POINT._replace(every_days=every)
    before = PointStanding(point, "true", "", one, due_on=NOW + DAY)
    after = before._replace(state="due", due_on=None)
    change = StandingChange(before, after)
    assert told(journal, make_shop(point), change) == [words]


def test_it_is_told_from_the_moment_it_is_due_and_not_of_one_checked_again(
    journal: SqliteJournal,
) -> None:
    before = PointStanding(POINT, "true", "", record("saw.blade"), due_on=NOW + DAY)
    after = before._replace(state="due")
    again = before._replace(record=record("saw.blade", seq=2))
    shop, second = make_shop(POINT), timedelta(seconds=1)
    for change, until, number in (
        (StandingChange(before, after), NOW + DAY, 1),
        (StandingChange(before, after), NOW + DAY - second, 0),
        (StandingChange(before, again), NOW + 9 * DAY, 0),
        (StandingChange(before._replace(due_on=None), after), NOW + 9 * DAY, 0),
    ):
        found = events(journal, shop, change, 0, 0, until)
        assert [event.when for event in found] == [NOW + DAY] * number


def test_only_a_result_can_have_been_taken_back_since() -> None:
    one = PointStanding(POINT, "unproven", "never checked")
    assert taken_back_since(one) is None
    assert taken_back_since(one._replace(record=record("saw.blade"))) is None
    gone = record("saw.blade")._replace(void="wrong leaf")
    assert taken_back_since(one._replace(record=gone)) == "wrong leaf"
