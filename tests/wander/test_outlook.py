"""How long a result is believed and what is said of it, from the record of a point."""

from __future__ import annotations

import math
import random
import time
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.base.dates import day
from shopboard.journal import SqliteJournal
from shopboard.journal.kinds import MOVED, PointMoved
from shopboard.metrology.conformity import Tolerance
from shopboard.results.record import CheckRecord, Holds
from shopboard.shop.machine import HOURS_RUN, Point
from shopboard.sittings.check import start
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import Past
from shopboard.upkeep.happenings import Happening, record_happening
from shopboard.wander.changes import PointPast
from shopboard.wander.outlook import ENOUGH, holds_by_wander, outlook, sentences, usual_words
from shopboard.wander.point_history import point_past
from tests.builders import SCREW, make_point, make_shop
from tests.histories import FIRST, GROWING, THOU_PER_FT, check_over_the_years, result
from tests.in_turn import part
from tests.journal.helpers import Clock

POINT = make_point(every_days=91, every="3 months", undone_by=("knocked",))
"""0.1 deg: 21 thou/ft either way."""


def growing(count: int, each: float = 7 * THOU_PER_FT, days: float = 90) -> PointPast:
    """Found `each` further on every time, and set back to 0."""
    records, moves = [], []
    for i in range(count):
        records.append(result(3 * i + 1, each if i else 0.0, days * i))
        records.append(result(3 * i + 3, 0.0, days * i + 0.01, "as-left"))
        moves.append(3 * i + 2)
    return PointPast(records, moves)


def newest(past: PointPast) -> CheckRecord:
    return max(past.records, key=lambda one: one.seq)


def said(past: PointPast, *, true: bool = True, point: Point = POINT) -> list[str]:
    seen = outlook(point, past, newest(past), 0.05)
    return sentences(seen, point, newest(past), "inch", 0.05, true=true)


def test_a_steady_wander_is_said_with_the_day_of_the_next_check() -> None:
    """22 thou/ft in 90 days: 7.4 a month, and 21 are used up within the 91 days of the shop."""
    past = growing(9, 22 * THOU_PER_FT)
    held = holds_by_wander(POINT, past, outlook(POINT, past, newest(past), 0.05), "inch")
    assert held is not None
    assert held.days is not None
    assert 75 < held.days < 86
    assert (held.minutes, held.total_minutes) == (None, 0)
    assert held.why == "it drifts about 7.4 thou/ft a month over 8 changes between checks"
    by = newest(past).when + timedelta(days=held.days)
    (words,) = said(past)
    assert words == (
        "It drifts about 7.4 thou/ft (7.3 to 7.5) a month over 8 changes between checks"
        "; at that rate, 5 % chance"
        f" of being out by {by:%a} {by.day} {by:%b %Y}: check every {held.days // 7} weeks."
    )
    assert said(past, true=False) == [
        "It drifts about 7.4 thou/ft (7.3 to 7.5) a month over 8 changes between checks."
    ]


def test_results_of_a_wrong_clock_are_left_out_and_counted() -> None:
    past = growing(9)
    assert len(said(past)) == 1
    bad = [one._replace(clock_ok=False) if i < 2 else one for i, one in enumerate(past.records)]
    words = said(past._replace(records=bad))
    assert " over 7 changes between checks" in words[0]
    assert words[-1] == "2 results are left out of this, as the clock was wrong then."
    bad = [bad[0], *past.records[1:]]
    assert said(past._replace(records=bad))[-1].startswith("1 result is left out of this")


def test_without_a_wander_the_shop_files_interval_holds_and_nothing_is_recorded() -> None:
    for past in (PointPast([result(1, 0.0, 0)]), growing(5, 0.0)):
        assert (
            holds_by_wander(POINT, past, outlook(POINT, past, newest(past), 0.05), "inch") is None
        )
        assert "the shop file's interval of 3 months applies." in said(past)[0]
    assert said(PointPast([result(1, 0.0, 0)]))[0].startswith("Too few checks yet")


def test_what_is_said_and_not_measured_has_no_wander() -> None:
    point = POINT._replace(tolerance=Tolerance(-0.5, 0.5, "", "yes or no"))
    past = PointPast([result(i, 0.0, i, kind="yes or no") for i in range(1, 5)])
    seen = outlook(point, past, newest(past), 0.05)
    assert (seen.wander, seen.due) == (None, None)
    assert said(past, point=point) == []


def by_running() -> PointPast:
    """18 thou/ft in 30 h of running, which fall into 20 to 200 days."""
    chance = random.Random(3)
    records, moves, runs, day, minutes = [], [], [], 0.0, 0.0
    for i in range(12):
        ran = 1800 * 3 ** chance.uniform(-1, 1) if i else 0.0
        day, minutes = day + 90, minutes + ran
        runs.append(Happening(4 * i + 1, FIRST, "saw", HOURS_RUN, minutes))
        records.append(result(4 * i + 2, 18 * THOU_PER_FT * ran / 1800, day))
        records.append(result(4 * i + 4, 0.0, day + 0.01, "as-left"))
        moves.append(4 * i + 3)
    return PointPast(records, moves, runs)


def test_what_goes_by_running_is_due_by_running() -> None:
    """The shop file's interval is not written down with it: that may change."""
    past = by_running()
    held = holds_by_wander(POINT, past, outlook(POINT, past, newest(past), 0.05), "inch")
    assert held is not None
    assert held.days is None
    assert held.minutes == pytest.approx(1800 * 21 / 18, rel=0.12)
    assert held.total_minutes == max(one.total for one in past.happenings)
    assert "in 10 h of running over 11 changes between checks" in held.why
    words = said(past)[0]
    assert "h of running: check by then, or after the shop file's 3 months." in words


def test_a_step_is_named_with_its_day_and_what_happened() -> None:
    past = growing(9, 2 * THOU_PER_FT)
    records = [*past.records, result(40, 90 * THOU_PER_FT, 900), result(42, 0.0, 900.1, "as-left")]
    knock = Happening(39, FIRST, "saw", "knocked")
    past = PointPast(records, [*past.moves, 41], [knock])
    first, second = said(past)
    assert "over 8 changes between checks" in first
    assert second == (
        "Fri 17 Nov 2028: It moved 86.0 thou/ft more than creep or drift explains: knocked in"
        " between, probably the cause."
    )


def test_what_is_usual_from_check_to_check_is_told_of_enough_changes() -> None:
    """0.9 and 1.1 thou/ft in turn: mean 1.0, mean moving range 0.2, so 1.0 -+ 3 * 0.2 / 1.128.

    NIST/SEMATECH e-Handbook, 6.3.2.2. A step is not usual.
    """
    past = growing(ENOUGH + 1, THOU_PER_FT)
    records = [
        one._replace(spread=one.spread._replace(centre=one.error * (1 + 0.1 * (-1) ** one.seq)))
        for one in past.records
    ]
    records += [result(40, 90 * THOU_PER_FT, 900), result(42, 0.0, 900.1, "as-left")]
    usual = PointPast(records, [*past.moves, 41])
    seen = outlook(POINT, usual, newest(usual), 0.05)
    assert seen.usual is not None
    for end, sign in ((seen.usual.low, -1), (seen.usual.high, 1)):
        assert end / THOU_PER_FT == pytest.approx(1 + sign * 3 * 0.2 / 1.128, rel=1e-6)
    assert usual_words(seen, POINT, "inch") == (
        "From check to check it usually changes by +0.5 thou/ft to +1.5 thou/ft."
    )
    alike = seen._replace(usual=seen.usual._replace(low=-11.2e-6, high=-8.9e-6))
    assert usual_words(alike, POINT, "mm") == (
        "From check to check it usually changes by -0.0112 mm/m to -0.0089 mm/m."
    )
    even = seen._replace(usual=seen.usual._replace(low=1e-3, high=1e-3))
    assert usual_words(even, POINT, "mm") == "From check to check it usually changes by +1.00 mm/m."
    few = growing(ENOUGH, THOU_PER_FT)
    assert usual_words(outlook(POINT, few, newest(few), 0.05), POINT, "inch") == ""


def test_what_a_result_holds_by_its_record_goes_before_what_is_worked_out_today() -> None:
    """The board judges by the record; the sentence says no other day."""
    past = growing(9, 22 * THOU_PER_FT)
    records = [*past.records[:-1], newest(past)._replace(holds=Holds(12, None, 0.0, "it wandered"))]
    held = PointPast(records, past.moves)
    assert "check every 12 days" not in said(past)[0]
    by = newest(past).when + timedelta(days=12)
    assert f"by {by:%a} {by.day} {by:%b %Y}: check every 12 days." in said(held)[0]
    short = POINT._replace(every_days=7, every="1 week")
    assert "the shop file's interval of 1 week applies" in said(held, point=short)[0]


def test_a_result_whose_forerunners_were_taken_back_says_why_it_holds_so_short() -> None:
    alone = result(1, 0.0, 0, holds=Holds(12, None, 0.0, "it wandered about 9 thou/ft a month"))
    assert said(PointPast([alone])) == [
        "Too few checks yet to tell how it moves. When the newest result was taken, it wandered"
        " about 9 thou/ft a month: it is good until Sat 13 Jun 2026."
    ]


def test_where_running_and_the_calendar_both_end_it_both_are_said() -> None:
    alone = result(1, 0.0, 0, holds=Holds(None, 2400, 0.0, "it wandered by running"))
    assert said(PointPast([alone]))[0].endswith(
        "it wandered by running: it is good for 40 h of running, at most until Mon 31 Aug 2026."
    )


@pytest.fixture
def _berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let local time be that of a place where the clocks change on 28 March 2027."""
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.usefixtures("_berlin")
@pytest.mark.skipif(not hasattr(time, "tzset"), reason="Windows takes no time zone from TZ")
def test_the_day_said_is_the_day_on_which_the_board_calls_it_due() -> None:
    """Taken at 23:30 in winter: 60 times 24 hours end in the small hours of the day after."""
    winter = datetime(2027, 2, 1, 23, 30).astimezone()
    held = Holds(60, None, 0.0, "it wandered")
    alone = result(1, 0.0, 0, holds=held)._replace(when=winter)
    past = Past({("saw", "blade"): alone}, {}, ())
    standing = shop_standing(make_shop(POINT), past, winter).of_point("saw.blade")
    assert standing is not None
    assert standing.due_on is not None
    assert day(standing.due_on) == "Fri 2 Apr 2027"
    assert said(PointPast([alone]))[0].endswith("it is good until Fri 2 Apr 2027.")


@st.composite
def any_past(draw: st.DrawFn) -> PointPast:
    """Results in any order of error and time, small and absurd."""
    records, day = [], 0.0
    for seq in range(1, draw(st.integers(2, 12))):
        day += draw(st.sampled_from([0.001, 1.0, 30.0, 90.0, 400.0]))
        error = draw(st.floats(-0.003, 0.003) | st.sampled_from([0.0, 1.0]))
        records.append(result(seq, error, day, draw(st.sampled_from(["as-found", "as-left"]))))
    runs = [
        Happening(draw(st.integers(0, 12)), FIRST, "saw", HOURS_RUN, total)
        for total in (60.0, 6000.0)
    ]
    return PointPast(records, draw(st.lists(st.integers(1, 12), max_size=3)), runs)


@given(any_past(), st.sampled_from([None, 1, 7, 91, 3653]), st.sampled_from([0.001, 0.05, 0.5]))
@settings(max_examples=part(150), deadline=None)
def test_a_result_is_never_due_later_than_the_shop_file_says(
    past: PointPast, every: int | None, risk: float
) -> None:
    """Whatever wander is seen: it only ever makes a check due sooner."""
    point = POINT._replace(every_days=every, every="so often" if every else "")
    last = newest(past)
    held = holds_by_wander(point, past, outlook(point, past, last, risk), "inch")
    last = last._replace(holds=held)
    shop, now = make_shop(point), last.when
    with_it, without = (
        shop_standing(shop, Past({("saw", "blade"): one}, {}, past.happenings), now).of_point(
            "saw.blade"
        )
        for one in (last, last._replace(holds=None))
    )
    assert with_it is not None
    assert without is not None
    if without.due_on is not None:
        assert with_it.due_on is None or with_it.due_on <= without.due_on
    if held is not None:
        assert held.days is None or 1 <= held.days <= (every or math.inf)
        assert held.days or held.minutes
        assert held.why[0].islower()
    seen = outlook(point, past, last, risk)
    assert all(sentences(seen, point, last, "mm", risk, true=True))


def test_the_result_carries_what_it_holds_from_the_history_with_itself(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Recorded, not worked out anew at each start; the same again when the writing is repeated."""
    point = make_point("saw.blade", every_days=365, every="1 year", adjuster=SCREW)
    shop = make_shop(point)
    check_over_the_years(journal, clock, shop, "saw.blade", GROWING)
    bodies = [one.body for one in journal.recent("check", "saw", "blade")]
    assert "holds" not in bodies[-1]
    held = bodies[0]["holds"]
    assert isinstance(held, dict)
    assert 20 < held["days"] < 300
    assert held["why"].startswith("it drifts about ")
    assert held["why"].endswith(" a month over 7 changes between checks")


def test_a_point_out_or_near_holds_nothing(journal: SqliteJournal, clock: Clock) -> None:
    shop = make_shop(make_point("saw.blade", every_days=365))
    check_over_the_years(journal, clock, shop, "saw.blade", [*GROWING, 40 * THOU_PER_FT])
    assert "holds" not in journal.recent("check", "saw", "blade")[0].body


def test_the_journal_is_read_up_to_an_entry_and_no_further(
    journal: SqliteJournal, clock: Clock
) -> None:
    """What others record meanwhile does not change what a second try records."""
    base = make_point("saw.table", adjuster=SCREW)
    point = make_point("saw.blade", undone_by=("knocked",), rests_on=("saw.table",))
    shop = make_shop(base, point)
    check_over_the_years(journal, clock, shop, "saw.blade", [0.0, 1e-4])
    record_happening(journal, "saw", HOURS_RUN, 90)
    record_happening(journal, "saw", "knocked")
    check_over_the_years(journal, clock, shop, "saw.table", [(40 * THOU_PER_FT, 0.0)])
    everything = point_past(journal, point)
    assert len(everything.records) == 2
    assert len(everything.moves) == 1  # of the table that the blade is measured from
    assert {one.what: one.total for one in everything.happenings} == {HOURS_RUN: 90, "knocked": 0}
    first = min(one.seq for one in everything.records)
    assert point_past(journal, point, first) == (
        [one for one in everything.records if one.seq == first], [], []
    )  # fmt: skip


def test_of_more_settings_than_are_read_the_older_results_say_nothing(
    journal: SqliteJournal, clock: Clock
) -> None:
    """70 settings are read; a result from before them may have been set away from."""
    point = make_point("saw.blade")
    shop = make_shop(point)
    check_over_the_years(journal, clock, shop, "saw.blade", [0.0])
    sitting = start(journal, shop, point)
    for _ in range(70):
        journal.append([sitting._entry(MOVED, PointMoved())])
        sitting._written += 1
    check_over_the_years(journal, clock, shop, "saw.blade", [1e-4])
    assert len(point_past(journal, point).records) == 1
