"""What fits into the time one has: rules that hold of every day, found by looking at each anew.

The oracle is a walk through the plan by the clock, written here and not shared with the program:
who is there, what is over by when, what must have come before. What would have fitted is tried by
the exact search of the optimiser, which CP-SAT holds to account (test_schedule_exact).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from random import Random

import pytest

from shopboard.prep.fill_window import Room
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.shortest_day import schedule
from shopboard.prep.share_out import Pauses, Shared, share_out
from tests.campaigns import prep_days
from tests.in_turn import few
from tests.prep.days import day_of, patient

SEEDS = [*range(40)]


def random_day(rng: Random) -> tuple[Workday, list[str], list[Room], set[str]]:
    """Chains with waits and chances, some after others, on a few machines; a few windows."""
    jobs: list[Job] = []
    alone: set[str] = set()
    for chain in range(rng.randint(2, 6)):
        place = f"machine {rng.randint(0, 2)}"
        before = rng.choice(jobs).id if jobs and rng.random() < 0.3 else ""
        after: tuple[tuple[str, float], ...] = ((before, 0.0),) if before else ()
        length = rng.randint(1, 3)
        for number in range(length):
            wait = float(rng.choice([5, 20, 90, 600])) if number < length - 1 else 0.0
            ident = f"{chain}.{number}"
            opens = place if length > 1 and number == 0 else ""
            closes = place if length > 1 and number == length - 1 else ""
            minutes = float(rng.randint(2, 25))
            jobs.append(Job(ident, minutes, place, "", "", after, wait, opens=opens, closes=closes))
            if wait and rng.random() < 0.3:
                alone.add(ident)
            after = ((ident, wait),)
    worth = [job.id for job in jobs]
    rng.shuffle(worth)
    spans, at = list[Room](), 0.0
    for _ in range(rng.randint(1, 3)):
        room = float(rng.choice([15, 30, 60, 240]))
        spans.append((at, at + room))
        at += room + rng.choice([30, 900])
    return Workday(tuple(jobs)), worth, spans, alone


def harmful(day: Workday, rng: Random) -> Workday:
    """Let it do harm to leave some of the waits of a day much longer."""
    return day._replace(
        jobs=tuple(
            job._replace(harms=True, patience=float(rng.choice([0, 10, 400])))
            if any(lag for _, lag in job.after) and rng.random() < 0.6
            else job
            for job in day.jobs
        )
    )


def times(shared: Shared, spans: list[Room]) -> dict[str, tuple[float, float]]:
    """Give when each job that is planned begins and ends."""
    return {
        name: (spans[one.window][0] + start, spans[one.window][0] + start + job.minutes)
        for one in shared.stints
        for job in one.workday.jobs
        for name, start in [(job.id, one.found.starts[job.id])]
    }


@pytest.mark.parametrize("seed", few(SEEDS, 3))
def test_every_plan_keeps_to_the_time_one_has(seed: int) -> None:
    """Each job lies in a window, after what it needs; each wait is over when somebody is there."""
    day, worth, spans, alone = random_day(Random(seed))
    if seed % 2:
        day = harmful(day, Random(seed))
    shared = share_out(day, worth, spans, alone)
    when, jobs = times(shared, spans), {job.id: job for job in day.jobs}
    for name, (start, end) in when.items():
        assert any(begin <= start + 1e-6 and end <= until + 1e-6 for begin, until in spans)
        for other, lag in jobs[name].after:
            assert other in when, f"{name} without {other}"
            assert when[other][1] + lag <= start + 1e-6
            if lag and jobs[name].harms:
                assert start <= when[other][1] + lag + jobs[name].patience + 1e-6
        over = end + jobs[name].tail
        seen = any(begin - 1e-6 <= over <= until + 1e-6 for begin, until in spans)
        assert seen or not jobs[name].tail or name in alone
    busy = sorted(when.values())
    assert all(one[1] <= two[0] + 1e-6 for one, two in pairwise(busy))
    assert sorted((*when, *shared.left)) == sorted(jobs), "each is planned or named, and once"


@pytest.mark.parametrize("seed", few(SEEDS, 3))
def test_past_the_end_one_stays_for_what_was_begun_and_no_longer_than_need_be(seed: int) -> None:
    """What hazes is done in the first window, past its end only where it cannot be done before."""
    rng = Random(seed)
    day, worth, spans, alone = random_day(rng)
    end = spans[0][1]
    ready = float(rng.randint(0, int(end) + 9))
    buff = Job("buff", float(rng.randint(1, 8)), "saw", ready=ready, patience=10, harms=True)
    day = day._replace(jobs=(*day.jobs, buff))
    shared = share_out(day, [*worth, "buff"], spans, alone, past={"buff": 10.0})
    when = times(shared, spans)
    in_first = [job.id for one in shared.stints if not one.window for job in one.workday.jobs]
    assert ("buff" in in_first) == (ready + buff.minutes <= end + 10)
    for name in in_first:
        least = max(end, ready + buff.minutes) if name == "buff" else end
        assert when[name][1] <= least + 1e-6


def needs(jobs: Mapping[str, Job], name: str, alone: set[str]) -> set[str]:
    """Give a job with all before it, and with what ends the waits of these."""
    found: set[str] = set()
    ahead = [name]
    while ahead:
        one = ahead.pop()
        if one not in found:
            found.add(one)
            ahead += [other for other, _ in jobs[one].after]
            ends = [
                job.id for job in jobs.values() if any(o == one and lag for o, lag in job.after)
            ]
            ahead += ends if one not in alone else []
    return found


@pytest.mark.parametrize("seed", few(SEEDS, 5))
def test_nothing_is_left_out_for_what_is_worth_less(seed: int) -> None:
    """In one window: with what is worth more than it, and what that needs, it would not fit."""
    day, worth, spans, alone = random_day(Random(seed))
    length = spans[0][1]
    shared = share_out(day, worth, [(0.0, length)], alone)
    jobs = {job.id: job for job in day.jobs}
    planned = {job.id for one in shared.stints for job in one.workday.jobs}
    for name in shared.left:
        dearer = [one for one in worth[: worth.index(name)] if one in planned]
        wanted = set[str]().union(*(needs(jobs, one, alone) for one in (*dearer, name)))
        some = tuple(
            job._replace(after=tuple(one for one in job.after if one[0] in wanted))
            for job in day.jobs
            if job.id in wanted
        )
        try:
            found = schedule(Workday(some))
        except ValueError:  # two machines would stand open at once
            continue
        ends = [found.starts[job.id] + job.minutes for job in some]
        assert max(ends) > length - 1e-6, f"{name} would have fitted beside {dearer}"


def test_all_that_fits_into_a_time_without_end_is_planned_as_ever() -> None:
    day, worth, _, alone = random_day(Random(1))
    shared = share_out(day, worth, [(0.0, math.inf)], alone)
    assert shared.left == ()
    assert shared.stints[0].found == schedule(day)


def test_a_long_soak_is_begun_so_that_somebody_is_there_at_its_end() -> None:
    """Glue of 8 hours: in a day of nine it is not begun at noon, but overnight where it may."""
    glue = Job("glue", 10, "bench", tail=480)
    clean = Job("clean", 5, "bench", after=(("glue", 480.0),))
    day, spans = Workday((glue, clean)), [(0.0, 240.0), (1440.0, 1680.0)]
    assert share_out(day, ["glue", "clean"], spans, ()).left == ("glue", "clean")
    shared = share_out(day, ["glue", "clean"], spans, {"glue"})
    assert shared.left == ()
    assert times(shared, spans) == {"glue": (0.0, 10.0), "clean": (1440.0, 1445.0)}


def test_no_wait_that_it_harms_to_leave_runs_on_over_a_pause() -> None:
    """Solvent on at the end of the morning would dry on over noon: it goes on after it."""
    on = Job("on", 10, "bench", tail=30)
    off = Job("off", 5, "bench", after=(("on", 30.0),), patience=10, harms=True)
    saw = Job("saw", 200, "saw")
    day, spans = Workday((saw, on, off)), [(0.0, 240.0), (300.0, 540.0)]
    shared = share_out(day, ["saw", "on", "off"], spans, {"on"})
    assert times(shared, spans) == {"saw": (0, 200), "on": (300, 310), "off": (340, 345)}
    soft = day._replace(jobs=(saw, on, off._replace(harms=False)))
    shared = share_out(soft, ["saw", "on", "off"], spans, {"on"})
    assert times(shared, spans) == {"on": (0, 10), "saw": (10, 210), "off": (210, 215)}


def test_a_wait_that_began_on_the_day_before_has_no_more_patience_than_is_left() -> None:
    """Its bath may last until 20 minutes after opening; the long check comes after it."""
    bath = Job("bath", 10, "tray", tail=600)
    out = Job("out", 5, "tray", after=(("bath", 600.0),), patience=850, harms=True)
    long = Job("long", 60, "saw", after=(("bath", 0.0),))
    day, spans = Workday((bath, out, long)), [(0.0, 30.0), (1440.0, 1680.0)]
    shared = share_out(day, ["bath", "long", "out"], spans, {"bath"})
    assert times(shared, spans)["out"][0] <= 10 + 600 + 850
    assert times(shared, spans)["long"][0] == 1445


def test_what_was_begun_before_the_day_is_not_left_so_that_more_fits() -> None:
    """The oil is to be wiped off by 15; then the 95 of the other do not fit, and it is left.

    Where the oil can only come after the other it is late, and planned all the same.
    """
    wipe = Job("wipe", 5, "saw", ready=10, patience=5, harms=True)
    long = Job("long", 60, "bench", tail=30)
    ends = Job("ends", 5, "bench", after=(("long", 30.0),))
    day, spans = Workday((wipe, long, ends)), [(0.0, 96.0)]
    shared = share_out(day, ["wipe", "long", "ends"], spans, ())
    assert times(shared, spans) == {"wipe": (10, 15)}
    assert shared.left == ("long", "ends")
    late = day._replace(jobs=(wipe._replace(after=(("long", 0.0),)), long, ends))
    shared = share_out(late, ["wipe", "long", "ends"], spans, ())
    assert times(shared, spans)["wipe"][0] == 60


def test_what_can_but_be_late_is_done_late_and_not_left_undone() -> None:
    """Wiped by 0 and by 7, both can be; but the first wipe asks for a second 5 minutes after it.

    That takes from 10 to 20, and the other five minutes from 7 on: either the other is 13 minutes
    late, or the first 2.
    """
    first = Job("first", 5, "saw", patience=0, harms=True, tail=5)
    other = Job("other", 5, "bench", ready=7, patience=0, harms=True)
    after = (("first", 5.0),)
    second = Job("second", 10, "saw", after=after, patience=0, harms=True, tail=100)
    day, worth = Workday((first, other, second)), ["first", "second", "other"]
    shared = share_out(day, worth, [(0.0, 200.0)], {"second"})
    assert times(shared, [(0.0, 200.0)]) == {"first": (2, 7), "other": (7, 12), "second": (12, 22)}


def test_past_closing_one_does_what_hazes_and_not_what_follows_it_a_day_later() -> None:
    """Buffed at 8 until 13, three past the end; the second coat waits a day, and is done then."""
    buff = Job("buff", 5, "saw", ready=8, patience=5, harms=True, tail=1440)
    coat = Job("coat", 5, "saw", after=(("buff", 1440.0),))
    spans = [(0.0, 10.0), (1440.0, 1680.0)]
    shared = share_out(Workday((buff, coat)), ["buff", "coat"], spans, (), past={"buff": 10.0})
    assert times(shared, spans) == {"buff": (8, 13), "coat": (1453, 1458)}


@pytest.mark.parametrize("closed", [True, False])
def test_what_stands_open_after_a_window_keeps_others_shut_in_the_next(*, closed: bool) -> None:
    """The saw's blade goes on again, or does not; then no knives are taken out (20 fit no 30)."""
    saw = Job("saw", 5, "saw", closes="saw" if closed else "")
    knives = Job("knives", 30, "jointer", opens="jointer", closes="jointer")
    day, spans = Workday((saw, knives), open_now="saw"), [(0.0, 20.0), (1440.0, 1680.0)]
    shared = share_out(day, ["saw", "knives"], spans, ())
    found = times(shared, spans)
    assert found.pop("saw") == (0, 5)
    assert found == ({"knives": (1440, 1470)} if closed else {})


def test_a_wait_that_runs_is_not_left_in_a_shop_where_that_once_was() -> None:
    """Its oil was to be wiped off by 8:40 and was so at 8:43, for the sake of what else fits."""
    with prep_days.CAMPAIGN.begin(8) as attempt:
        assert attempt(179) is None


def test_a_check_does_without_upkeep_for_which_there_is_no_time() -> None:
    """In half an hour the blade is proven; the bath of an hour is not begun."""
    bath = Job("bath", 40, "saw")
    check = Job("check", 6, "saw", after=(("bath", 0.0),))
    spare = {"check": {"bath"}}
    shared = share_out(Workday((bath, check)), ["check", "bath"], [(0.0, 30.0)], (), spare)
    assert shared.left == ("bath",)
    both = share_out(Workday((bath, check)), ["check", "bath"], [(0.0, 60.0)], (), spare)
    assert both.stints[0].found.order == ("bath", "check")


def at_four_machines() -> tuple[Workday, list[str]]:
    """A morning's rest with a pause in it, worth most first; ten jobs, 129 minutes."""
    head = (("hood", 0.0), ("knives", 0.0))
    jobs = (
        Job("bed", 10, "planer"),
        Job("hood", 10, "jointer"),
        Job("knives", 30, "jointer", after=(("hood", 0.0),)),
        Job("tables", 12, "jointer", after=head),
        Job("height", 15, "jointer", after=(("tables", 0.0),)),
        Job("fence", 6, "jointer", after=head),
        Job("clean", 10, "saw"),
        Job("slide", 20, "saw"),
        Job("tyres", 10, "bandsaw"),
        Job("table", 6, "bandsaw", after=(("tyres", 0.0),)),
    )
    worth = ["knives", "hood", "fence", "table", "clean", "slide", "bed", "tyres", "tables"]
    return Workday(jobs, place="planer"), [*worth, "height"]


def test_a_pause_within_a_day_does_not_break_its_order() -> None:
    """Windows of one day: no later than by a machine a time, as worked out by hand here.

    70 minutes to the pause: bed, hood, knives, tables, fence are 68, the rest is 61.
    """
    day, worth = at_four_machines()
    spans = [(0.0, 70.0), (130.0, 370.0)]
    apart = share_out(day, worth, spans, ())
    one = share_out(day, worth, spans, (), pauses=Pauses((1, 1), {"hood", "knives"}))
    ends = [max(end for _, end in times(found, spans).values()) for found in (apart, one)]
    walks = [sum(stint.found.walks for stint in found.stints) for found in (apart, one)]
    assert not one.left
    assert ends[1] + walks[1] < ends[0] + walks[0]
    assert ends[1] <= 130 + 61 + 1
    assert times(one, spans)["knives"][1] <= 70, "what is urgent is done before the pause"


def test_one_stays_a_few_minutes_into_a_pause_where_all_is_done_then() -> None:
    """Never to begin something in it, and not into closing time."""
    day = Workday((Job("one", 20, "saw"), Job("two", 12, "saw")))
    spans = [(0.0, 30.0), (90.0, 150.0)]
    stays = Pauses((1, 1), (), 5.0)
    assert times(share_out(day, ["one", "two"], spans, (), pauses=stays), spans) in (
        {"one": (0, 20), "two": (20, 32)},
        {"two": (0, 12), "one": (12, 32)},
    )
    closing = share_out(day, ["one", "two"], spans, (), pauses=stays._replace(days=(1, 2)))
    assert [one.window for one in closing.stints] == [0, 1]
    three = Workday((Job("one", 30, "saw"), Job("two", 3, "saw")))
    found = times(share_out(three, ["one", "two"], spans, (), pauses=stays), spans)
    assert all(not 30 <= start < 90 for start, _ in found.values())


@pytest.mark.parametrize("seed", few(SEEDS, 3))
def test_as_one_day_nothing_is_left_that_worth_alone_takes(seed: int) -> None:
    """With pauses every rule is kept, too; what is done by worth is done, and no later."""
    day, worth, spans, alone = random_day(Random(seed))
    if seed % 2:
        day = harmful(day, Random(seed))
    apart = share_out(day, worth, spans, alone)
    one = share_out(day, worth, spans, alone, pauses=Pauses((1,) * len(spans)))
    assert {*one.left} <= {*apart.left}
    when, jobs = times(one, spans), {job.id: job for job in day.jobs}
    for name, (start, end) in when.items():
        assert any(begin <= start + 1e-6 and end <= until + 1e-6 for begin, until in spans)
        assert all(when[other][1] + lag <= start + 1e-6 for other, lag in jobs[name].after)


@pytest.mark.whole_search
@pytest.mark.parametrize(("shape", "seed"), [("open", 403), ("loose", 401), ("modes", 402)])
def test_before_a_pause_nobody_is_idle_who_could_do_what_comes_after_it(
    shape: str, seed: int
) -> None:
    """Of what waits for nothing, opens nothing and has no mode: an hour's pause is no reason."""
    day = patient(day_of(shape, 36, seed))
    names = [job.id for job in day.jobs]
    spans = [(0.0, 240.0), (300.0, 540.0), (1500.0, 2000.0)]
    first, *others = share_out(day, names, spans, names, pauses=Pauses((0, 0, 1))).stints
    assert first.window == 0
    assert others
    end = max(first.found.starts[job.id] + job.minutes for job in first.workday.jobs)
    later = {job.id for one in others for job in one.workday.jobs}
    for job in day.jobs:
        apart = job.after or job.mode or job.opens or job.closes
        if job.id in later and not apart and job.ready <= end:
            assert job.minutes > 240 - end
