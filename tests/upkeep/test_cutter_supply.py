"""What sharpness costs, when to send out: held against sums by hand and a shop run by the day."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import SqliteJournal
from shopboard.journal.kinds import CutterUse
from shopboard.shop.machine import Life
from shopboard.upkeep.cutter_changes import change
from shopboard.upkeep.cutter_journal import record_change, standings_now
from shopboard.upkeep.cutter_outlook import outlooks
from shopboard.upkeep.cutter_supply import LEAST_DAYS, Pace, lasts_until, pace, supply
from shopboard.upkeep.cutter_words import cost_per, cost_words
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.happenings import record_happening
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.upkeep.cutter_shop import KNIVES, RIP, RIP_2, SHOP, first_standings, shop_of

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
DAY = timedelta(days=1)
HOUR = 60.0


def pair(used: float = 5, state: str = "dull") -> list[CutterStanding]:
    """A rip blade on the saw that has cut some hours, and its spare on the shelf."""
    here = first_standings(shop_of(RIP, RIP_2))
    return [
        here[0]._replace(use=CutterUse(minutes=used * HOUR)),
        here[1]._replace(state=state),  # type: ignore[arg-type]
    ]


def close(value: float, wanted: float) -> bool:
    """Whether two numbers differ by rounding at the most."""
    return bool(value == pytest.approx(wanted))


def is_price(found: tuple[float, str] | None, per: float, word: str) -> bool:
    """Whether a price is so much per what."""
    return found is not None and found[1] == word and close(found[0], per)


def is_pace(found: Pace | None, per_day: float, days: float) -> bool:
    """Whether a pace is so many minutes a day, over so many days."""
    told = (found.unit, found.days) if found else None
    return found is not None and told == ("minutes", days) and close(found.per_day, per_day)


# --- Costs: worked by hand


@pytest.mark.parametrize(
    ("lasts", "edges", "cost", "per", "word"),
    [
        (Life(1200, "minutes", "20 hours"), 1, 18.0, 0.90, "hour of cutting"),
        (Life(1800, "minutes", "30 hours"), 2, 42.0, 0.70, "hour of cutting"),
        (Life(400, "cuts", "400 cuts"), 1, 28.0, 7.00, "100 cuts"),
        (Life(2000 * 304.8, "mm", "2000 ft"), 1, 18.0, 0.90, "100 ft"),
        (Life(3, "projects", "3 projects"), 1, 19.5, 6.50, "project"),
    ],
)
def test_what_cutting_costs_in_sharpening(
    lasts: Life, edges: int, cost: float, per: float, word: str
) -> None:
    """18.00 over 20 hours is 0.90 an hour; 42.00 over two edges of 30 hours is 0.70."""
    one = first_standings()[0]
    cutter = RIP._replace(lasts=lasts, edges=edges, kind="knives" if edges > 1 else "blade")
    found = cost_per(one._replace(cutter=cutter, cost=cost, feet=True))
    assert is_price(found, per, word)


def test_a_metric_shop_pays_per_100_metres() -> None:
    one = first_standings()[0]._replace(
        cutter=RIP._replace(lasts=Life(600_000, "mm", "600 m")), cost=18.0, feet=False
    )
    assert is_price(cost_per(one), 3.0, "100 m")
    assert cost_words(one) == "18.00 euros a sharpening, 3.00 euros per 100 m"


def test_without_cost_or_life_there_is_no_price() -> None:
    one = first_standings()[0]
    assert cost_per(one._replace(cost=None)) is None
    assert cost_per(one._replace(cutter=RIP._replace(lasts=None))) is None
    assert cost_words(one._replace(cutter=RIP._replace(lasts=None))) == "18.00 euros a sharpening"


def test_a_learnt_life_sets_the_price() -> None:
    """Dull after 8 and after 10 hours: 18.00 over 9 hours is 2.00 an hour."""
    one = first_standings()[0]._replace(lives=(CutterUse(minutes=600), CutterUse(minutes=480)))
    assert is_price(cost_per(one), 2.0, "hour of cutting")


# --- Pace


@settings(max_examples=part(200), deadline=None)
@given(
    st.floats(0.1, 5),
    st.lists(st.integers(1, 6), min_size=1, max_size=120),
    st.integers(0, 3),
)
def test_a_steady_pace_is_found_again(hours: float, gaps: list[int], idle: int) -> None:
    """Somebody cuts so many hours a day and writes them down every few days: the pace comes out.

    Less what was cut since the last note, and never from less than a fortnight.
    """
    when, used = NOW - timedelta(days=sum(gaps) + idle), []
    used.append((when, 99999.0))  # of nobody knows how many days
    for gap in gaps:
        when += gap * DAY
        used.append((when, gap * hours * HOUR))
    found = pace(used, [one for one, _ in used], "minutes", NOW)
    span = sum(gaps) + idle
    if span < LEAST_DAYS:
        assert found is None
        return
    assert found is not None
    assert found.days == pytest.approx(min(span, 90))
    # At the window's edge up to one gap counts too much, at its end the idle days too little.
    slack = (max(gaps) + idle) / found.days
    assert found.per_day == pytest.approx(hours * HOUR, rel=slack)


def test_no_record_no_pace() -> None:
    assert pace([], [], "minutes", NOW) is None
    assert pace([(NOW, 60.0)], [NOW], "minutes", NOW) is None


def test_the_pace_is_that_of_the_cutter_not_of_the_machine(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Rip and crosscut blade take turns on one saw: each is used at its own pace."""
    start = clock.now
    record_happening(journal, "saw", "hours run", 5 * HOUR, shop=SHOP)
    for round_number in range(10):
        clock.pass_by(days=2)
        record_happening(journal, "saw", "hours run", 4 * HOUR, shop=SHOP)
        here = standings_now(SHOP, "saw", journal)
        off = "cross" if round_number % 2 == 0 else "rip"
        one = next(one for one in here if one.id == off)
        record_change(change(one, "put on", "sharp", here), journal)
    assert (clock.now - start) == 20 * DAY
    ahead = outlooks(standings_now(SHOP, "saw", journal), clock.now, journal)
    paces = {look.group[0].id: look.pace for look in ahead}
    assert is_pace(paces["rip"], 1 * HOUR, 20)
    assert is_pace(paces["cross"], 1 * HOUR, 20)
    assert is_pace(paces["knives"], 2 * HOUR, 20)
    assert ahead[0].basis == "used 30 h a month, over the last 20 days"


def test_hours_taken_back_do_not_count_for_the_pace(journal: SqliteJournal, clock: Clock) -> None:
    shop = shop_of(RIP)
    record_happening(journal, "saw", "hours run", HOUR, shop=shop)
    clock.pass_by(days=20)
    record_happening(journal, "saw", "hours run", 10 * HOUR, shop=shop)
    wrong = record_happening(journal, "saw", "hours run", 90 * HOUR, shop=shop)
    for entry in [wrong, *journal.thread(wrong.uid)]:
        journal.void(entry.uid, "typed wrongly")
    (look,) = outlooks(standings_now(shop, "saw", journal), clock.now, journal)
    assert is_pace(look.pace, 0.5 * HOUR, 20)


# --- Dates


def test_the_date_by_hand() -> None:
    """15 hours left at half an hour a day are 30 days; away for 10, it goes out in 20."""
    half = Pace(0.5 * HOUR, "minutes", 60)
    assert lasts_until(pair(), half, NOW) == NOW + 30 * DAY
    (send,) = supply(pair(), half, NOW)
    assert (send.by, send.now) == (NOW + 20 * DAY, False)
    assert send.words == "Second rip blade: send it out by Sun 21 Jun 2026"


@settings(max_examples=part(150), deadline=None)
@given(st.floats(0.05, 4), st.floats(0, 19), st.integers(0, 40), st.integers(0, 10), st.booleans())
def test_sent_out_on_its_date_a_sharp_one_is_always_at_hand(
    hours: float, used: float, away: int, late: int, two_sharp: bool
) -> None:
    """A shop that is run by the hour: with the blade sent out on the day there is none without.

    Sent out later, the shop stands still for as long as it was late.
    """
    cutter = RIP._replace(away_days=away)
    here = [one._replace(cutter=cutter._replace(id=one.id)) for one in pair(used)]
    if two_sharp:
        third = here[1]._replace(cutter=cutter._replace(id="third"), state="sharp")
        here.append(third)
    known = Pace(hours * HOUR, "minutes", 60)
    send = next(one for one in supply(here, known, NOW) if "send it out" in one.words)
    assert send.by is not None
    by = max((send.by - NOW) / DAY, 0.0)
    in_time = send.by >= NOW
    stock = (20 - used) + (20 if two_sharp else 0)
    idle = _days_without(stock, hours, sent=by + late, away=away)
    assert idle == pytest.approx(late if in_time else late + (NOW - send.by) / DAY, abs=0.02)
    assert send.now == (not in_time or by == 0.0)


def _days_without(stock: float, per_day: float, sent: float, away: float) -> float:
    """Run the shop in steps of an hundredth of a day until the blade is back; count idle days."""
    step, at, idle = 0.01, 0.0, 0.0
    while at < sent + away - 1e-9:
        if stock > 1e-9:
            stock -= per_day * step
        else:
            idle += step
        at += step
    return idle


def test_without_a_pace_or_a_life_there_is_no_date() -> None:
    """What must be done is said, and when is not made up."""
    assert [one.by for one in supply(pair(), None, NOW)] == [None]
    assert supply(pair(), None, NOW)[0].words == "Second rip blade: send it out"
    unknown = [one._replace(cutter=one.cutter._replace(lasts=None)) for one in pair()]
    assert [one.by for one in supply(unknown, Pace(60, "minutes", 60), NOW)] == [None]
    assert supply([pair()[0]], None, NOW) == []


def test_a_machine_that_stands_still_needs_nothing_by_a_date() -> None:
    still = Pace(0.0, "minutes", 60)
    assert lasts_until(pair(), still, NOW) is None
    assert [one.by for one in supply(pair(), still, NOW)] == [None]


def test_when_none_is_sharp_it_is_said_first() -> None:
    dull = [pair()[0]._replace(state="dull"), pair()[1]]
    found = supply(dull, None, NOW)
    assert [one.now for one in found] == [True, True, True]
    assert found[0].words == "no sharp one in the shop: Rip blade, Second rip blade"
    assert "Second rip blade: send it out now" in [one.words for one in found]


def test_a_hand_tool_is_sharpened_here_where_it_goes_to_no_sharpener() -> None:
    """No spare is asked for while it is away: it is never away."""
    cutter = pair()[0].cutter._replace(kind="gouge", like="hand tool", away_days=None)
    gouge = pair()[0]._replace(cutter=cutter)
    words = [one.words for one in supply([gouge._replace(state="dull")], None, NOW)]
    assert "Rip blade: sharpen it now" in words
    worn = gouge._replace(use=gouge.use._replace(minutes=1199))
    assert supply([worn], Pace(600, "minutes", 60), NOW) == []
    sent = worn._replace(cutter=cutter._replace(away_days=10))
    assert "no spare while it is away" in supply([sent], Pace(600, "minutes", 60), NOW)[0].words


def test_a_dull_one_on_the_machine_is_changed_where_a_sharp_one_lies() -> None:
    dull = [pair()[0]._replace(state="dull"), pair(state="sharp")[1]]
    assert [one.words for one in supply(dull, None, NOW)] == ["Rip blade: change it"]
    past = [pair(used=21)[0], pair(state="sharp")[1]]
    asked = "Rip blade: still sharp? past its rated life; if it is dull, change it"
    assert [one.words for one in supply(past, None, NOW)] == [asked]


def test_one_at_the_sharpener_is_expected_back() -> None:
    sent = pair()[1]._replace(where="at the sharpener", sent=NOW - 4 * DAY)
    half = Pace(0.5 * HOUR, "minutes", 60)
    (back,) = supply([pair()[0], sent], half, NOW)
    assert (back.by, back.now) == (NOW + 6 * DAY, False)
    fast = Pace(5 * HOUR, "minutes", 60)
    (back,) = supply([pair()[0], sent], fast, NOW)
    assert "after the last sharp edge here goes dull" in back.words
    (back,) = supply([pair()[0], sent._replace(sent=NOW - 12 * DAY)], half, NOW)
    assert back.now
    assert back.words.startswith("Second rip blade: due back from the sharpener since Sat 30 May")


def test_two_edges_last_twice_and_what_is_thrown_away_is_ordered_in_time() -> None:
    """5 of 20 hours used on the first edge of two, an hour a day: 35 days; it takes 7 to come."""
    knives = first_standings(shop_of(KNIVES))[0]._replace(use=CutterUse(minutes=5 * HOUR))
    daily = Pace(HOUR, "minutes", 30)
    assert lasts_until([knives], daily, NOW) == NOW + 35 * DAY
    (order,) = supply([knives], daily, NOW)
    assert order.by == NOW + 28 * DAY
    assert "order a new one by Mon 29 Jun 2026" in order.words
    dull = knives._replace(state="dull")
    assert lasts_until([dull], daily, NOW) == NOW + 20 * DAY
    assert "turn it to its next edge" in supply([dull], daily, NOW)[0].words
    done = supply([dull._replace(edge=2)], daily, NOW)
    assert [one.now for one in done] == [True, True]
    assert any("order a new one now" in one.words for one in done)


def test_a_lone_blade_needs_another_one_by_the_day_it_is_dull() -> None:
    half = Pace(0.5 * HOUR, "minutes", 60)
    (have,) = supply([pair()[0]], half, NOW)
    assert (have.by, have.now) == (NOW + 30 * DAY, False)
    assert "no spare while it is away" in have.words


def test_that_another_one_is_wanted_years_from_now_is_not_said() -> None:
    """Sharp for 15 h at 2 min a day is 450 days, at 3 min a day 300."""
    slow, faster = Pace(2.0, "minutes", 60), Pace(3.0, "minutes", 60)
    lone = [pair()[0]]
    assert supply(lone, slow, NOW) == []
    assert [one.by for one in supply(lone, faster, NOW)] == [NOW + 300 * DAY]


def test_a_dirty_one_is_cleaned_and_counts_as_sharp() -> None:
    half = Pace(0.5 * HOUR, "minutes", 60)
    dirty = pair(state="dirty")
    assert lasts_until(dirty, half, NOW) == NOW + 70 * DAY
    assert [one.words for one in supply(dirty, half, NOW)] == ["Second rip blade: clean it"]


def test_a_use_of_another_sort_tells_no_date() -> None:
    """Cuts are no hours."""
    assert lasts_until(pair(), Pace(12, "cuts", 60), NOW) is None


def test_a_dirty_spare_is_pressing_while_the_one_on_the_machine_is_dull() -> None:
    spare_dirty = pair(state="dirty")
    dull = [spare_dirty[0]._replace(state="dull"), spare_dirty[1]]
    found = {one.words: one.now for one in supply(dull, None, NOW)}
    assert found["Second rip blade: clean it, then change to it"] is True
    assert [one.now for one in supply(spare_dirty, None, NOW)] == [False]


def test_one_that_is_past_its_life_is_pressing_even_where_no_pace_is_known() -> None:
    """Twenty hours of twenty: how fast they went by does not matter any more."""
    alone = [pair(used=20)[0]]
    assert lasts_until(alone, None, NOW) == NOW
    found = supply(alone, None, NOW)
    assert [one.now for one in found] == [True, True]
    assert (
        found[0].words == "Rip blade: still sharp? past its rated life; if it is dull, send it out"
    )
    assert found[1].words == "Rip blade: no spare while it is away; get another one now"
    thrown = [alone[0]._replace(sharpenings=0)]
    assert "if it is dull, order a new one" in supply(thrown, None, NOW)[0].words
    assert lasts_until([pair(used=19)[0]], None, NOW) is None
