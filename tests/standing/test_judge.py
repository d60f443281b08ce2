"""How points and machines stand, by what was recorded, what happened, and the time."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.base.dates import ago
from shopboard.journal import Store
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.spread import Spread
from shopboard.results.record import CheckRecord, Holds
from shopboard.shop.machine import HAPPENINGS, HOURS_RUN, Point
from shopboard.shop.model import Shop
from shopboard.sittings.check import start
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import WORST_FIRST, Move, Past, PointStanding, ShopStanding
from shopboard.upkeep.happenings import Happening, record_happening
from shopboard.upkeep.undone import undone_through
from tests.builders import SCREW, Person, make_point, make_shop
from tests.in_turn import part
from tests.journal.helpers import Clock

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
TRUE, NEAR, OUT = 0.0, 0.00175, 0.006
DAY = timedelta(days=1)


def record(name: str, error: float = TRUE, seq: int = 1, when: datetime = NOW) -> CheckRecord:
    """A result with an error, rad, known to 0.1 mrad."""
    machine, _, point = name.partition(".")
    spread = Spread(error, (), 1e-4)
    return CheckRecord(
        f"uid-{seq}", seq, when, machine, point, "as-found", "square", "angle", spread, 2e-4,
        "0.1 deg", "true", "it leans out", {},
    )  # fmt: skip


@dataclass
class Told:
    """A past, told entry by entry; each gets the next number."""

    latest: dict[tuple[str, str], CheckRecord] = field(default_factory=dict)
    moves: dict[tuple[str, str], Move] = field(default_factory=dict)
    happenings: list[Happening] = field(default_factory=list)
    seq: int = 0

    def check(self, name: str, error: float = TRUE, when: datetime = NOW) -> Told:
        self.seq += 1
        machine, _, point = name.partition(".")
        self.latest[machine, point] = record(name, error, self.seq, when)
        return self

    def move(self, name: str, when: datetime = NOW) -> Told:
        self.seq += 1
        machine, _, point = name.partition(".")
        self.moves[machine, point] = Move(self.seq, when)
        return self

    def happen(self, machine: str, what: str, when: datetime = NOW) -> Told:
        self.seq += 1
        self.happenings.append(Happening(self.seq, when, machine, what))
        return self

    def past(self) -> Past:
        return Past(self.latest, self.moves, self.happenings)


def standing(shop: Shop, told: Told, now: datetime = NOW) -> ShopStanding:
    return shop_standing(shop, told.past(), now)


def stand(point: Point, told: Told, now: datetime = NOW) -> PointStanding:
    """How a point stands that is alone in its shop."""
    found = standing(make_shop(point), told, now).of_point(point.full_name)
    assert found is not None
    return found


def do(journal: Store, shop: Shop, name: str, error: float) -> str:
    """Do a whole check of a point; give the uid of its first finding."""
    sitting, person = start(journal, shop, shop.points[name]), Person(error)
    while sitting.step is not None:
        sitting.answer(person.answer(sitting.step, sitting.job))
    return sitting.recorded["record"].uid


def stands(journal: Store, shop: Shop, name: str, now: datetime = NOW) -> PointStanding:
    found = shop_standing(shop, gather(journal), now).of_point(name)
    assert found is not None
    return found


def test_never_checked_is_unproven() -> None:
    """Not true, not out: nobody knows."""
    found = stand(make_point(), Told())
    assert (found.state, found.reason) == ("unproven", "never checked")
    assert (found.record, found.used, found.probability, found.due_on) == (None,) * 4
    assert not found.doubted
    assert not found.base_moved


@pytest.mark.parametrize(
    ("error", "state", "words"),
    [(TRUE, "true", ""), (NEAR, "near", "too close to call"), (OUT, "out", "it leans out")],
)
def test_the_result_decides_first(error: float, state: str, words: str) -> None:
    """Out says which way; near says that nothing is proven."""
    found = stand(make_point(), Told().check("saw.blade", error))
    assert found.state == state
    assert words in found.reason
    assert found.used == pytest.approx(abs(error) / 0.001745329, rel=1e-5)


def test_moved_and_not_measured_since_is_unproven() -> None:
    """Whatever it was before; measured again, it stands by the new result."""
    told = Told().check("saw.blade", OUT).move("saw.blade")
    found = stand(make_point(), told)
    assert found.state == "unproven"
    assert "moved on Mon 1 Jun 2026" in found.reason
    assert stand(make_point(), told.check("saw.blade", TRUE)).state == "true"


@pytest.mark.parametrize(
    ("after", "state"),
    [
        (timedelta(days=30) - timedelta(microseconds=1), "true"),
        (timedelta(days=30), "due"),
        (timedelta(days=31), "due"),
    ],
)
def test_due_by_the_calendar_exactly_at_the_limit(after: timedelta, state: str) -> None:
    """30 days hold until the moment they are over; until then the day is told."""
    point = make_point(every_days=30)
    found = stand(point, Told().check("saw.blade"), NOW + after)
    assert found.state == state
    assert found.due_on == (NOW + timedelta(days=30) if state == "true" else None)
    if state == "due":
        assert "good for 30 days" in found.reason
        assert "days ago" in found.reason


def holding(told: Told, days: int | None = None, minutes: int | None = None) -> Told:
    """Let the blade's newest result say how long its wander lets it be believed."""
    holds = Holds(days, minutes, 600.0, "it wandered about 2 thou/ft a month over 9 checks")
    told.latest["saw", "blade"] = told.latest["saw", "blade"]._replace(holds=holds)
    return told


@pytest.mark.parametrize(
    ("every", "days", "due"), [(30, 12, 12), (30, 30, 30), (12, 30, 12), (None, 12, 12)]
)
def test_a_wander_makes_it_due_before_the_interval_never_after(
    every: int | None, days: int, due: int
) -> None:
    """By whichever comes first; only where the wander does it, it is said."""
    point, told = make_point(every_days=every), holding(Told().check("saw.blade"), days)
    early = stand(point, told, NOW + due * DAY - timedelta(microseconds=1))
    assert (early.state, early.due_on) == ("true", NOW + due * DAY)
    late = stand(point, told, NOW + due * DAY)
    assert late.state == "due"
    assert late.reason == f"checked {ago(NOW, NOW + due * DAY)}, good for {due} days" + (
        ": it wandered about 2 thou/ft a month over 9 checks" if due != every else ""
    )


def test_a_wander_by_running_makes_it_due_when_the_machine_has_run_so_long() -> None:
    """600 minutes were on the machine at the check; it holds 90 more."""
    point, told = make_point(every_days=30), holding(Told().check("saw.blade"), minutes=90)
    assert stand(point, told).state == "true"
    for machine, total, state in (
        ("saw", 600.0, "true"),
        ("saw", 689.0, "true"),
        ("jointer", 5000.0, "true"),
        ("saw", 690.0, "due"),
    ):
        told.happenings.append(Happening(told.seq + 1, NOW, machine, HOURS_RUN, total))
        told.seq += 1
        assert stand(point, told).state == state
    assert stand(point, told).reason == (
        "1.5 h run since, good for 1.5 h: it wandered about 2 thou/ft a month over 9 checks"
    )
    told.happenings.append(Happening(told.seq + 1, NOW, "saw", HOURS_RUN, 620.0))  # withdrawn
    assert stand(point, told).state == "true"
    assert stand(point, told, NOW + 30 * DAY).state == "due"


@pytest.mark.parametrize("error", [NEAR, OUT])
def test_a_wander_makes_nothing_better_than_it_is(error: float) -> None:
    """What is not true does not become due by it."""
    told = holding(Told().check("saw.blade", error), 5, 60)
    assert stand(make_point(), told, NOW + 10 * DAY).state in ("near", "out")


def test_what_has_no_interval_holds_until_something_undoes_it() -> None:
    """Even for ten years."""
    assert stand(make_point(), Told().check("saw.blade"), NOW + 3650 * DAY).state == "true"


@pytest.mark.parametrize("what", HAPPENINGS)
def test_only_happenings_that_undo_the_point_make_it_due(what: str) -> None:
    """And only on its own machine, and only after the check."""
    undone, other = make_point(undone_by=(what,)), make_point(undone_by=())
    told = Told().check("saw.blade").happen("saw", what)
    assert stand(undone, told).state == "due"
    assert what in stand(undone, told).reason
    assert stand(other, told).state == "true"
    assert stand(undone, Told().happen("saw", what).check("saw.blade")).state == "true"
    assert stand(undone, Told().check("saw.blade").happen("jointer", what)).state == "true"
    assert stand(undone, told.check("saw.blade")).state == "true"


@pytest.mark.parametrize("what", HAPPENINGS)
def test_what_moves_a_combination_machine_undoes_every_mode_of_it(what: str) -> None:
    """A blade or a belt belongs to one mode; a knock goes through all of them."""
    points = [make_point(f"{mode}.fence", undone_by=(what,)) for mode in ("saw", "shaper", "drill")]
    shop = make_shop(*points)
    modes = tuple(one._replace(body="combi") for one in shop.machines[:2])
    shop = replace(shop, machines=(*modes, shop.machines[2]))
    told = Told().check("saw.fence").check("shaper.fence").check("drill.fence").happen("saw", what)
    found = standing(shop, told)
    states = [machine.state for machine in found.machines]
    whole = what in ("machine moved", "knocked")
    assert states == ["due", "due" if whole else "true", "true"]
    expected = ("saw.fence", "shaper.fence") if whole else ("saw.fence",)
    if what != "project finished":
        assert undone_through(shop, shop.machines[0], what) == expected


def test_the_order_is_that_of_recording_not_of_the_clock() -> None:
    """A happening recorded after the check undoes it, even with an earlier time on it."""
    point = make_point(undone_by=("knocked",))
    told = Told().check("saw.blade").happen("saw", "knocked", NOW - DAY)
    assert stand(point, told).state == "due"


def test_the_first_happening_after_the_check_is_named() -> None:
    """That is the one that undid it."""
    point = make_point(undone_by=("knocked", "machine moved"))
    told = Told().check("saw.blade").happen("saw", "machine moved").happen("saw", "knocked")
    told.happenings.reverse()
    assert "machine moved" in stand(point, told).reason


@pytest.mark.parametrize("error", [NEAR, OUT])
def test_what_is_not_true_does_not_become_due(error: float) -> None:
    """Out stays out: due would be better than it is."""
    point = make_point(undone_by=("knocked",), every_days=1)
    told = Told().check("saw.blade", error).happen("saw", "knocked")
    assert stand(point, told, NOW + 5 * DAY).state in ("unproven", "out")
    told = Told().check("saw.blade", error)
    assert stand(point, told, NOW + 5 * DAY).state in ("near", "out")


def two() -> Shop:
    """A fence that rests on the blade."""
    return make_shop(make_point(), make_point("saw.fence", rests_on=("saw.blade",)))


@pytest.mark.parametrize(("error", "state"), [(NEAR, "borderline"), (OUT, "out")])
def test_what_rests_on_something_not_true_waits(error: float, state: str) -> None:
    """It is true by itself; with the name of what it rests on, and how that stands."""
    told = Told().check("saw.blade", error).check("saw.fence")
    found = standing(two(), told).of_point("saw.fence")
    assert found is not None
    assert found.state == "waits"
    helps = ": checking Fence again cannot help" if state == "borderline" else ""
    assert found.reason == f"true by itself; depends on Blade, which is {state}{helps}"


def test_what_rests_on_something_set_anew_is_due_until_measured_again() -> None:
    """Though the blade is true again, the fence was measured from where it was before."""
    told = Told().check("saw.fence").move("saw.blade").check("saw.blade")
    found = standing(two(), told).of_point("saw.fence")
    assert found is not None
    assert (found.state, "re-set on" in found.reason) == ("due", True)
    again = standing(two(), told.check("saw.fence")).of_point("saw.fence")
    assert again is not None
    assert again.state == "true"


@st.composite
def chains(draw: st.DrawFn) -> tuple[Shop, Told]:
    """Up to seven points on two machines, each resting on some before it, and any past."""
    names = [
        f"{draw(st.sampled_from(['saw', 'jointer']))}.p{n}" for n in range(draw(st.integers(1, 7)))
    ]
    points: list[Point] = []
    for number, name in enumerate(names):
        bases = draw(st.sets(st.sampled_from(names[:number]))) if number else set()
        days = draw(st.sampled_from([None, 1, 30]))
        points.append(
            make_point(name, rests_on=tuple(sorted(bases)), every_days=days, undone_by=("knocked",))
        )
    draw(st.randoms(use_true_random=False)).shuffle(points)
    told = Told()
    for _ in range(draw(st.integers(0, 14))):
        name = draw(st.sampled_from(names))
        when = NOW + timedelta(hours=draw(st.integers(-48, 48)))
        what = draw(st.sampled_from(["check", "check", "check", "move", "happen"]))
        if what == "check":
            told.check(name, draw(st.sampled_from([TRUE, TRUE, NEAR, OUT])), when)
        elif what == "move":
            told.move(name, when)
        else:
            told.happen(name.partition(".")[0], "knocked", when)
    return make_shop(*points), told


@given(chains(), st.integers(-3, 60))
@settings(max_examples=part(150), deadline=None)
def test_nothing_that_rests_on_something_not_true_is_ever_true(
    made: tuple[Shop, Told], days: int
) -> None:
    """Through any chain, by any past, at any time; nor is a machine better than its worst point."""
    shop, told = made
    found = standing(shop, told, NOW + days * DAY)
    by_name = {one.point.full_name: one for machine in found.machines for one in machine.points}
    for one in by_name.values():
        assert (one.reason == "") == (one.state == "true")
        if one.state == "true":
            assert all(by_name[base].state == "true" for base in one.point.rests_on)
    for machine in found.machines:
        assert machine.state == min((one.state for one in machine.points), key=WORST_FIRST.index)
    assert found.all_true == all(one.state == "true" for one in by_name.values())
    assert sum(found.count(state) for state in WORST_FIRST) == len(by_name)


def test_machines_come_worst_first_and_keep_their_order_within_a_state() -> None:
    """Out, then unproven, near, due, true."""
    points = [make_point(f"{name}.p", undone_by=("knocked",)) for name in "abcdef"]
    told = Told().check("a.p").check("b.p", NEAR).check("c.p", OUT).check("e.p").check("f.p", OUT)
    found = standing(make_shop(*points), told.happen("e", "knocked"))
    assert [one.machine.id for one in found.worst_first] == ["c", "f", "d", "b", "e", "a"]


def test_the_next_due_is_the_true_point_that_comes_due_first() -> None:
    """Points that are due already, or never by the calendar, are none."""
    shop = make_shop(
        make_point("a.p", every_days=30), make_point("b.p", every_days=9), make_point("c.p")
    )
    found = standing(shop, Told().check("a.p").check("b.p").check("c.p"), NOW + 8 * DAY)
    assert found.next_due is not None
    assert found.next_due.point.full_name == "b.p"
    assert standing(shop, Told()).next_due is None


def test_a_machine_tells_its_last_result_and_what_is_left_to_check() -> None:
    """By the order of recording."""
    shop = make_shop(make_point("a.p"), make_point("a.q"), make_point("a.r"))
    told = Told().check("a.q", when=NOW + DAY).check("a.p", OUT)
    machine = standing(shop, told).machines[0]
    assert machine.last is not None
    assert machine.last.point == "p"
    assert machine.to_check == 2
    assert machine.worst is not None
    assert machine.worst.point.id == "p"


def test_a_tolerance_edited_later_judges_the_old_result_anew() -> None:
    """The verdict on record is by the tolerance of its day; the board shows that of today."""
    told = Told().check("saw.blade", 0.001)
    assert stand(make_point(), told).state == "true"
    assert stand(make_point(tolerance=Tolerance(-2e-4, 2e-4, "")), told).state == "out"
    shop = replace(make_shop(make_point()), proof_level=0.999)
    sure = standing(shop, Told().check("saw.blade", 0.0015)).of_point("saw.blade")
    assert sure is not None
    assert sure.state == "near"


def test_a_one_sided_tolerance_counts_what_is_used_from_its_middle() -> None:
    """From the middle, which is aimed for: nothing there, all at either limit."""
    point = make_point(tolerance=Tolerance(0.0, 0.004, ""))
    for error, used in ((0.002, 0.0), (0.0, 1.0), (0.004, 1.0), (-0.002, 2.0)):
        assert stand(point, Told().check("saw.blade", error)).used == pytest.approx(used)


def test_a_size_uses_its_tolerance_from_nothing() -> None:
    """A tilt, a run-out: 0 is the best that it can be, and is not half proven because of that."""
    point = make_point(tolerance=Tolerance(0.0, 0.004, ""))
    for error, used in ((0.002, 0.5), (0.0, 0.0), (0.004, 1.0)):
        told = Told().check("saw.blade", error)
        found = told.latest["saw", "blade"]
        told.latest["saw", "blade"] = found._replace(spread=found.spread._replace(size=True))
        assert stand(point, told).used == pytest.approx(used)
        assert stand(point, told).state == ("true" if used < 1 else "near")


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (-9e9, "just now"),
        (0, "just now"),
        (59, "just now"),
        (60, "1 minute ago"),
        (3599, "59 minutes ago"),
        (3600, "1 hour ago"),
        (47 * 3600, "47 hours ago"),
        (48 * 3600, "2 days ago"),
        (400 * 86400, "400 days ago"),
    ],
)
def test_an_age_in_words_is_never_negative(seconds: float, words: str) -> None:
    """Whatever the computer's clock says."""
    assert ago(NOW, NOW + timedelta(seconds=seconds)) == words


def test_a_record_from_the_future_is_not_due() -> None:
    """A clock set back makes nothing older."""
    point = make_point(every_days=30)
    assert stand(point, Told().check("saw.blade"), NOW - 400 * DAY).state == "true"


def test_a_voided_result_falls_back_to_the_one_before(journal: Store) -> None:
    """And to unproven when none is left."""
    shop = make_shop(make_point())
    first, second = do(journal, shop, "saw.blade", TRUE), do(journal, shop, "saw.blade", OUT)
    assert stands(journal, shop, "saw.blade").state == "out"
    journal.void(second, "wrong leaf")
    assert stands(journal, shop, "saw.blade").state == "true"
    journal.void(first, "wrong square")
    assert stands(journal, shop, "saw.blade").state == "unproven"


def test_a_voided_happening_undoes_nothing(journal: Store) -> None:
    """It did not happen."""
    shop = make_shop(make_point(undone_by=("knocked",)))
    do(journal, shop, "saw.blade", TRUE)
    knock = record_happening(journal, "saw", "knocked")
    assert stands(journal, shop, "saw.blade").state == "due"
    journal.void(knock.uid, "it was the other machine")
    assert stands(journal, shop, "saw.blade").state == "true"


@pytest.mark.parametrize("others", [0, 7, 8, 70])
def test_many_other_happenings_hide_nothing_hides_the_one_that_undoes(
    journal: Store, others: int
) -> None:
    """A blade change stays one, however often the machine is knocked after it."""
    shop = make_shop(make_point(undone_by=("blade changed",)))
    do(journal, shop, "saw.blade", TRUE)
    record_happening(journal, "saw", "blade changed")
    for _ in range(others):
        record_happening(journal, "saw", "knocked")
    assert stands(journal, shop, "saw.blade").state == "due"


def test_a_move_in_the_journal_makes_the_point_unproven(journal: Store, clock: Clock) -> None:
    """From the moment the person says that it is moved, until it is measured as left."""
    shop = make_shop(make_point(adjuster=SCREW))
    sitting, person = start(journal, shop, shop.points["saw.blade"]), Person(OUT, then=(TRUE,))
    states = {}
    while sitting.step is not None:
        states[sitting.step.key] = stands(journal, shop, "saw.blade", clock()).state
        sitting.answer(person.answer(sitting.step, sitting.job))
    assert states["next"] == states["left.adjust"] == "out"
    assert states["left.turned_by"] == states["left.record"] == "unproven"
    assert stands(journal, shop, "saw.blade").state == "true"


def test_a_single_day_is_said_as_one() -> None:
    daily = make_shop(make_point("saw.blade", every_days=1, every="1 day"))
    past = Past({("saw", "blade"): record("saw.blade")}, {}, ())
    found = shop_standing(daily, past, NOW + 2 * DAY).of_point("saw.blade")
    assert found is not None
    assert found.reason.endswith("good for 1 day")
