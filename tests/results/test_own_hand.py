"""What the own hand repeats to: which records tell it, and what a check makes of it."""

from __future__ import annotations

import random
import statistics
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.checks.job import Geometry
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Choice, Finding, Number
from shopboard.journal import Entry, NewEntry, SqliteJournal, new_uid, open_journal
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer, OtherTool
from shopboard.results.own_hand import own_hands, repeats_of
from shopboard.results.record import read_check
from shopboard.shop.model import Shop
from shopboard.sittings.check import resume, start
from shopboard.sittings.point_job import job_for
from shopboard.upkeep.happenings import record_happening
from tests.builders import make_point, make_shop
from tests.journal.helpers import Clock

DIAL = OtherTool("dial", "Dial", "indicator", 25.0, 0.002)
SWEEP = make_point(
    "saw.slot",
    checks=("sweep",),
    geometry=Geometry("slot", "blade", 0.0),
    tolerance=Tolerance(-0.001, 0.001, "1 mm/m"),
    sizes={"span": 250.0},
)
SHOP = make_shop(SWEEP, unit="mm", drawer=Drawer((), (), (), (DIAL,)))


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def journal(tmp_path: Path, clock: Clock) -> Iterator[SqliteJournal]:
    with closing(open_journal(tmp_path / "journal.sqlite3", clock)) as opened:
        yield opened


def check(
    journal: SqliteJournal, answers: Mapping[str, str], shop: Shop = SHOP, name: str = "saw.slot"
) -> tuple[Entry, Outcome]:
    """Do a whole check, Enter wherever nothing else is said."""
    sitting = start(journal, shop, shop.points[name])
    outcome = None
    while (step := sitting.step) is not None:
        said = answers.get(step.key)
        if said is None and isinstance(step, Choice):
            said = step.default or step.options[0].value
        if said is None and isinstance(step, Number):
            said = step.default
        if isinstance(step, Finding):
            outcome = step.outcome
        sitting.answer(said or "done")
    assert outcome is not None
    return sitting.recorded["record"], outcome


def sets_of(*fronts: float) -> dict[str, str]:
    """Answers of a sweep read so many times, its back always at 0."""
    answers = {"next": "done"}  # nothing is set
    for number, front in enumerate(fronts, 1):
        here = "" if number == 1 else f"again{number}."
        answers |= {f"{here}front": f"{front:.4f} mm", f"{here}back": "0 mm"}
        answers[f"repeat{number}"] = "yes" if number < len(fronts) else "no"
    return answers


def pairs_at_the_dial(journal: SqliteJournal, count: int, spread: float) -> list[float]:
    """Record so many checks of two readings each, and give the variance of each pair."""
    rng = random.Random(3)
    variances = []
    for _ in range(count):
        two = [round(rng.gauss(0.05, spread), 4) for _ in range(2)]
        check(journal, sets_of(*two))
        variances.append(statistics.variance(two))
    return variances


def test_14_checks_read_twice_tell_what_the_hand_repeats_to(journal: SqliteJournal) -> None:
    variances = pairs_at_the_dial(journal, 14, 0.03)
    (hand,) = own_hands(journal, SHOP)
    assert (hand.sort, hand.pairs) == ("dial", 14)
    assert 8 < hand.dof < 14  # the dial is read in steps: some of what 14 pairs tell is lost
    (record,) = (read_check(one) for one in journal.recent("check", "saw", "slot", 1))
    repeats = repeats_of(record)
    assert repeats is not None
    ours = hand.ratio * repeats.assumed["dial"] * 250.0
    assert ours == pytest.approx(statistics.fmean(variances) ** 0.5, rel=0.1)


def test_the_next_check_goes_by_it_and_says_so(journal: SqliteJournal) -> None:
    _, before = check(journal, sets_of(0.05))
    pairs_at_the_dial(journal, 14, 0.03)
    entry, after = check(journal, sets_of(0.05))
    assert after.estimate.budget.expanded > before.estimate.budget.expanded
    names = [one.label for one in read_check(entry).budget]
    assert "how well it repeats (your own, from 14 pairs)" in names
    assert "how well it repeats" in [one.name for one in before.estimate.budget.sources]


def test_a_result_found_again_counts_unless_something_happened(
    journal: SqliteJournal, clock: Clock
) -> None:
    for front in (0.05, 0.08, 0.02, 0.06, 0.10, 0.05):
        check(journal, sets_of(front))
        clock.pass_by(hours=1)
    (hand,) = own_hands(journal, SHOP)
    assert hand.pairs == 5
    record_happening(journal, "saw", "knocked")
    check(journal, sets_of(0.4))
    clock.pass_by(days=3)
    check(journal, sets_of(0.3))
    (after,) = own_hands(journal, SHOP)
    assert after == hand


def test_one_hand_is_not_anothers(tmp_path: Path, clock: Clock) -> None:
    """Who records under a name goes by that name's readings alone, and by those without one."""
    path = tmp_path / "both.sqlite3"
    for who, spread in (("bench 1", 0.06), ("bench 2", 0.02)):
        with closing(open_journal(path, clock, who=lambda who=who: who)) as journal:  # type: ignore[misc]
            pairs_at_the_dial(journal, 14, spread)
    hands = {}
    for who in ("bench 1", "bench 2", "bench 3", ""):
        with closing(open_journal(path, clock, who=lambda who=who: who)) as journal:  # type: ignore[misc]
            hands[who] = own_hands(journal, SHOP)
    (first,), (second,) = hands["bench 1"], hands["bench 2"]
    assert (first.pairs, second.pairs, hands["bench 3"], hands[""]) == (14, 14, (), ())
    assert first.ratio > 2 * second.ratio
    with closing(open_journal(path, clock)) as journal:
        pairs_at_the_dial(journal, 14, 0.03)
    with closing(open_journal(path, clock, who=lambda: "bench 3")) as journal:
        (third,) = own_hands(journal, SHOP)
        assert third.pairs == 14


def test_what_was_taken_back_tells_nothing(journal: SqliteJournal) -> None:
    entry, _ = check(journal, sets_of(0.0, 0.05, 0.1))
    assert own_hands(journal, SHOP)
    journal.void(entry.uid, "misread")
    assert own_hands(journal, SHOP) == ()


def test_records_of_before_tell_it_too(journal: SqliteJournal) -> None:
    """What sorts of reading there are was not kept then: it is read from the budget's words."""
    entry, _ = check(journal, sets_of(0.0, 0.05, 0.1))
    kept = repeats_of(read_check(entry))
    readings = entry.body["readings"]
    assert kept is not None
    assert isinstance(readings, dict)
    older = {**entry.body, "readings": {k: v for k, v in readings.items() if k != "repeats"}}
    found = repeats_of(read_check(entry._replace(body=older)))
    assert found is not None
    assert found.errors == pytest.approx(kept.errors, abs=1e-9)
    assert found.assumed == pytest.approx(dict(kept.assumed), abs=1e-9)
    assert found.half == pytest.approx(kept.half, abs=2e-9)


@pytest.mark.parametrize(
    "repeats",
    [
        7,
        {},
        {"errors": [], "hand": {}, "half": 1},
        {"errors": [True], "hand": {"dial": 1}, "half": 1},
        {"errors": [1, "2"], "hand": {"dial": 1}, "half": 1},
        {"errors": [1, 2], "hand": {"dial": 0}, "half": 1},
        {"errors": [1, 2], "hand": {"dial": 4.5}, "half": 1},
    ],
)
def test_what_a_later_program_may_keep_there_stops_nothing(
    journal: SqliteJournal, repeats: object
) -> None:
    entry, _ = check(journal, sets_of(0.05))
    readings = entry.body["readings"]
    assert isinstance(readings, dict)
    body = {**entry.body, "readings": {**readings, "repeats": repeats}}
    journal.append([NewEntry(new_uid(), "check", "saw", "slot", body)])
    assert own_hands(journal, SHOP) == ()


def test_a_check_that_is_gone_on_with_keeps_the_hand_it_began_with(
    journal: SqliteJournal, clock: Clock
) -> None:
    begun = start(journal, SHOP, SWEEP)
    step = begun.step
    assert step is not None
    begun.answer("done" if not isinstance(step, Choice) else step.options[0].value)
    assert begun.job.hands == ()
    pairs_at_the_dial(journal, 14, 0.03)
    entry = journal.get(begun.uid)
    assert entry is not None
    again = resume(journal, SHOP, SWEEP, entry, clock())
    assert again is not None
    assert again.job.hands == ()
    assert job_for(SHOP, SWEEP, journal).hands
