"""A round under way: durable answer by answer, resumed after anything, never recorded twice."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shopboard.checks.registry import names
from shopboard.checks.steps import AnswerError
from shopboard.journal import (
    JournalError,
    JournalLocked,
    NewEntry,
    SqliteJournal,
    kinds,
    open_journal,
)
from shopboard.open_shop import utc_now
from shopboard.shop.machine import Cutter, Machine, SafetyQuestion
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop
from shopboard.sittings.safety_round import RoundSitting, round_of
from shopboard.standing.gather import gather
from shopboard.upkeep.safety_record import RoundStanding, read_round, round_words, wrong_words
from shopboard.upkeep.tags import clear_tag, record_tag, standing_tag
from tests.builders import make_point, make_shop
from tests.journal.helpers import Clock
from tests.sittings.test_check import failing
from tests.sittings.test_tried_again import LateFailure
from tests.terminal import TOP
from tests.two_shops import SHOPS, written

GUARD = SafetyQuestion("guard", "Look at the guard.", ("on",), ("off", "binds"))
STICK = SafetyQuestion("push-stick", "The push stick?", ("here",), ("not here",))
STOP = SafetyQuestion("stop", "Press stop.", ("stops",), ("runs on",), running=True)
DOOR = SafetyQuestion("door", "The door?", ("opens",), ("sticks",))
PLUG_OUT = "the plug is out, where i can see it"


@pytest.fixture
def saw_shop() -> Shop:
    """A saw that is asked about plug, guard, push stick and stop, and a shop with one door."""
    saw = Machine(
        "saw", "Table saw", points=(make_point(cutter_near=True),), safety=(GUARD, STICK, STOP),
        not_asked=("cutter", "stop-button"),
    )  # fmt: skip
    ids = ("extinguisher", "way-out", "first-aid", "glasses-and-muffs", "oily-rags", "cords")
    return replace(make_shop(), machines=(saw,), safety=(DOOR,), not_asked=(*ids, "floor"))


Begin = Callable[..., RoundSitting]


@pytest.fixture
def begin(saw_shop: Shop, journal: SqliteJournal, clock: Clock) -> Begin:
    def begun(machine: str = "saw", shop: Shop = saw_shop) -> RoundSitting:
        return round_of(shop, machine, clock(), journal)

    return begun


def key(walked: RoundSitting) -> str:
    assert walked.step is not None
    return walked.step.key


def stands(journal: SqliteJournal, machine: str = "saw") -> RoundStanding:
    return gather(journal).rounds[machine]


def test_the_questions_come_one_by_one_to_the_end(begin: Begin, journal: SqliteJournal) -> None:
    walked = begin()
    assert (walked.number, journal.count()) == (1, 0)  # nothing to record before an answer
    for number, (name, answer) in enumerate(
        [("plug", PLUG_OUT), ("guard", "on"), ("push-stick", "here"), ("stop", "stops")], 1
    ):
        assert (key(walked), walked.number) == (name, number)
        walked.answer(answer)
        assert journal.count() == number  # on disk before the next question
    assert walked.step is None
    assert walked.summary == "4 of 4 answered, 4 in order."
    found = stands(journal)
    assert (found.finished, found.of, found.wrong) == (True, 4, ())
    with pytest.raises(AnswerError, match="finished"):
        walked.answer("1")


def test_an_answer_not_as_wanted_is_said_and_kept(
    begin: Begin, journal: SqliteJournal, clock: Clock
) -> None:
    walked = begin()
    walked.answer(PLUG_OUT)
    walked.answer("off")
    assert key(walked) == "guard.then"
    walked.answer("go on")
    walked.answer("not here")
    walked.answer("go on")
    walked.answer("stops")
    assert standing_tag("saw", journal) == ""
    assert walked.summary.endswith("2 in order. Not right: guard, off; push stick, not here.")
    clock.pass_by(days=3)
    words = round_words(gather(journal).rounds["saw"], clock())
    assert words == "done 3 days ago, 2 problems: guard, off; push stick, not here"


def test_what_is_not_as_wanted_is_told_in_the_order_asked(
    begin: Begin, journal: SqliteJournal, clock: Clock, saw_shop: Shop
) -> None:
    (saw,) = saw_shop.machines
    late, early = GUARD._replace(id="zinc"), GUARD._replace(id="arm")
    saw = saw._replace(safety=(late, early), not_asked=("guard", *saw.not_asked))
    walked = begin("saw", replace(saw_shop, machines=(saw,)))
    for answer in (PLUG_OUT, "off", "go on", "binds"):
        walked.answer(answer)
    assert round_words(stands(journal), clock()).endswith(": zinc, off; arm, binds")


def test_a_tag_and_the_answer_that_asks_for_it_are_one_record(
    begin: Begin, journal: SqliteJournal, clock: Clock
) -> None:
    walked = begin()
    walked.answer(PLUG_OUT)
    walked.answer("off")
    before = journal.count()
    walked._journal = failing(journal)
    with pytest.raises(JournalError):
        walked.answer("tag")
    assert (journal.count(), standing_tag("saw", journal)) == (before, "")
    assert key(walked) == "guard.then"
    walked.answer("tag")
    assert journal.count() == before + 2
    assert gather(journal).tags == {"saw": "guard, off"}
    assert walked.tag == "guard, off"
    assert key(walked) == "push-stick"
    walked.answer("not here")
    assert walked.step is not None
    assert "Already tagged: guard, off" in walked.step.lines[1]
    now, tag = clock(), walked.tag
    assert wrong_words(stands(journal), now, tag) == "push stick, not here (just now)"
    walked.answer("tag")
    assert standing_tag("saw", journal) == "2 tags: push stick, not here; guard, off"
    assert wrong_words(stands(journal), now, walked.tag) == ""  # once said is enough
    assert round_words(stands(journal), now, walked.tag).endswith("2 problems: on the tag")
    assert round_words(stands(journal), now).endswith("problems: guard, off; push stick, not here")


def test_a_tag_that_went_up_unseen_goes_up_once(begin: Begin, journal: SqliteJournal) -> None:
    """Its recording is in the file though the disk said no: the same answer adds nothing."""
    walked = begin()
    walked.answer(PLUG_OUT)
    walked.answer("off")
    late: Any = LateFailure(journal)
    walked._journal = late
    with pytest.raises(JournalError):
        walked.answer("tag")
    walked.answer("tag")
    assert len(journal.recent(kinds.TAG.name, "saw", "")) == 1
    assert walked.tag == "guard, off"


def test_a_round_leaves_a_tag_where_it_is(begin: Begin, journal: SqliteJournal) -> None:
    """Four answers as wanted clear nothing: that takes a deliberate act."""
    record_tag("saw", "taken apart", journal)
    walked = begin()
    for answer in (PLUG_OUT, "on", "here", "stops"):
        walked.answer(answer)
    assert standing_tag("saw", journal) == "taken apart"


def test_what_cannot_be_cut_off_ends_the_round(begin: Begin, journal: SqliteJournal) -> None:
    walked = begin()
    walked.answer("3")
    assert key(walked) == "plug.then"
    walked.answer("tag")
    assert walked.step is None
    found = stands(journal)
    assert (found.finished, len(found.answers), found.of) == (True, 1, 4)
    assert [one.question for one in found.wrong] == ["plug"]


def test_at_every_answer_it_can_be_cut_off_and_goes_on_there(
    begin: Begin, journal: SqliteJournal
) -> None:
    """A new program each time, at an answer or at what is done about one."""
    given = [PLUG_OUT, "off", "tag", "here", "runs on", "go on"]
    keys = []
    for number, answer in enumerate(given):
        walked = begin()
        assert walked.resumed is (number > 0)
        keys.append(key(walked))
        walked.answer(answer)
        left = walked.step
        again = begin()
        assert again.step == left or left is None
    assert keys == ["plug", "guard", "guard.then", "push-stick", "stop", "stop.then"]
    assert stands(journal).finished
    assert [one.question for one in stands(journal).wrong] == ["guard", "stop"]


def test_back_takes_the_last_answer_back_on_disk_too(
    begin: Begin, journal: SqliteJournal, clock: Clock
) -> None:
    walked = begin()
    with pytest.raises(AnswerError, match="first question"):
        walked.back()
    walked.answer(PLUG_OUT)
    walked.answer("off")
    walked.back()  # from what is done about it, to the guard
    assert key(walked) == "guard"
    assert stands(journal).wrong == ()
    walked.answer("binds")
    walked.answer("go on")
    walked.back()
    assert key(walked) == "guard.then"
    walked.back()
    assert key(walked) == "guard"
    walked.answer("on")
    walked.back()
    assert key(begin()) == "guard"
    walked.back()
    assert key(begin()) == "plug"
    assert round_words(stands(journal), clock()) == "started just now, nothing answered yet"


def test_back_does_not_take_a_tag_off(begin: Begin, journal: SqliteJournal) -> None:
    walked = begin()
    for answer in (PLUG_OUT, "off", "tag"):
        walked.answer(answer)
    count = journal.count()
    with pytest.raises(AnswerError, match="tag is cleared on its own screen"):
        walked.back()
    assert (key(walked), journal.count()) == ("push-stick", count)


@pytest.mark.parametrize(("hours", "goes_on"), [(11.9, True), (12, True), (12.1, False)])
def test_a_round_older_than_12_hours_is_begun_anew(
    begin: Begin, clock: Clock, hours: float, goes_on: bool
) -> None:
    walked = begin()
    walked.answer(PLUG_OUT)
    walked.answer("on")
    clock.pass_by(hours=hours)
    again = begin()
    assert again.resumed is goes_on
    assert (again.uid == walked.uid) is goes_on
    assert key(again) == "plug"  # a new round, or the plug after the pause
    if goes_on:
        again.answer(PLUG_OUT)
        assert key(again) == "push-stick"


def test_12_hours_count_from_the_last_answer(begin: Begin, clock: Clock) -> None:
    for answer in (PLUG_OUT, "on"):
        walked = begin()
        walked.answer(answer)
        clock.pass_by(minutes=5)
    clock.pass_by(hours=11)
    assert begin().resumed


@pytest.mark.parametrize(("minutes", "asks"), [(9, "guard"), (11, "plug")])
def test_after_a_pause_the_plug_is_asked_for_again(
    begin: Begin, clock: Clock, minutes: int, asks: str
) -> None:
    """Somebody may have used the machine meanwhile."""
    begin().answer(PLUG_OUT)
    clock.pass_by(minutes=minutes)
    assert key(begin()) == asks


def test_before_what_must_run_the_plug_is_not_asked_for_again(begin: Begin, clock: Clock) -> None:
    walked = begin()
    for answer in (PLUG_OUT, "on", "here"):
        walked.answer(answer)
    clock.pass_by(hours=1)
    assert key(begin()) == "stop"


def test_a_new_round_carries_along_what_it_has_not_come_to(
    begin: Begin, journal: SqliteJournal, clock: Clock
) -> None:
    """A guard that was off stays on the board until somebody looks at it again."""
    walked = begin()
    for answer in (PLUG_OUT, "off", "go on", "not here", "go on", "stops"):
        walked.answer(answer)
    clock.pass_by(days=9)
    walked = begin()
    assert not walked.resumed
    walked.answer(PLUG_OUT)
    words = "1 of 4 answered just now, 2 problems: guard, off (9 days ago); "
    assert round_words(stands(journal), clock()) == f"{words}push stick, not here (9 days ago)"
    clock.pass_by(minutes=2)
    walked = begin()  # cut off meanwhile: nothing of it is lost
    walked.answer("on")
    words = round_words(stands(journal), clock())
    assert words == "2 of 4 answered just now, 1 problem: push stick, not here (9 days ago)"
    walked.answer("here")
    walked.answer("stops")
    assert round_words(stands(journal), clock()) == "done just now, 4 in order"
    assert stands(journal).older == ()


def test_a_question_that_is_asked_no_more_is_carried_no_further(
    begin: Begin, journal: SqliteJournal, clock: Clock, saw_shop: Shop
) -> None:
    walked = begin()
    for answer in (PLUG_OUT, "off", "go on"):
        walked.answer(answer)
    (saw,) = saw_shop.machines
    own = SafetyQuestion("other", "Look.", ("good",), ("bad",))
    changed = replace(saw_shop, machines=(saw._replace(kind="planer", safety=(own, STICK)),))
    clock.pass_by(days=1)
    begin("saw", changed).answer(PLUG_OUT)
    assert [one.question for one in stands(journal).wrong] == ["guard"]  # the planer's own guard
    gone = replace(saw_shop, machines=(saw._replace(safety=(own, STICK), not_asked=("guard",)),))
    begin("saw", gone).answer("sound, clean and tight")
    assert stands(journal).wrong == ()


def test_a_question_that_was_reworded_meanwhile_is_asked_again(
    begin: Begin, saw_shop: Shop
) -> None:
    walked = begin()
    for answer in (PLUG_OUT, "off", "go on"):
        walked.answer(answer)
    (saw,) = saw_shop.machines
    guard = GUARD._replace(others=("missing", "binds"))
    changed = replace(saw_shop, machines=(saw._replace(safety=(guard, STICK, STOP)),))
    again = begin("saw", changed)
    assert again.resumed
    assert key(again) == "guard"


def test_the_shop_itself_has_its_round(begin: Begin, journal: SqliteJournal, clock: Clock) -> None:
    walked = begin("")
    assert walked.name == "The old boathouse"
    walked.answer("sticks")
    assert key(walked) == "door.then"
    walked.answer("")
    assert walked.step is None
    assert gather(journal).tags == {}
    assert round_words(gather(journal).rounds[""], clock()).endswith("1 problem: door, sticks")


def test_two_programs_at_one_round_do_not_mix(begin: Begin, journal: SqliteJournal) -> None:
    begin().answer(PLUG_OUT)
    one, other = begin(), begin()
    one.answer("on")
    with pytest.raises(JournalLocked, match="Another program"):
        other.answer("off")
    assert key(other) == "guard"
    count = journal.count()
    other.answer("on")  # the same answer again adds nothing
    assert journal.count() == count
    assert key(begin()) == "push-stick"


def test_a_full_disk_keeps_the_question(begin: Begin, journal: SqliteJournal) -> None:
    walked = begin()
    walked._journal = failing(journal)
    with pytest.raises(JournalError):
        walked.answer(PLUG_OUT)
    assert key(walked) == "plug"
    walked.answer(PLUG_OUT)
    assert key(walked) == "guard"


def test_the_cutter_that_is_on_by_the_journal_gives_its_numbers(
    journal: SqliteJournal, clock: Clock
) -> None:
    """A blade that was swapped since the shop file was written."""
    thick = Cutter("rip", "Rip", "on the machine", "sharp", plate=2.2, kerf=3.2)
    thin = Cutter("thin", "Thin", "on the shelf", "sharp", plate=1.4, kerf=2.0)
    saw = Machine("saw", "Saw", points=(make_point(),), cutters=(thick, thin), kind="table saw")
    shop = replace(make_shop(), machines=(saw,), unit="mm")

    def asked() -> str:
        questions = round_of(shop, "saw", clock(), journal).questions
        return next(one.ask for one in questions if one.id == "riving-knife")

    assert "2.20 mm" in asked()
    for cutter, where in (("rip", "at the sharpener"), ("thin", "on the machine")):
        body = {"v": 1, "what": "swapped", "where": where}
        journal.append([NewEntry(f"c-{cutter}", "cutter", "saw", cutter, body)])
    assert "1.40 mm" in asked()
    assert "2.20 mm" not in asked()


HOSTILE: list[dict[str, object]] = [
    {},
    {"v": 2, "of": 4, "number": 1},
    {"v": 1, "of": "4", "number": 1},
    {"v": 1, "of": True, "number": 1},
    {"v": 1, "of": 4, "number": None},
]


@pytest.mark.parametrize("body", HOSTILE)
def test_what_is_no_round_of_this_program_is_passed_over(
    journal: SqliteJournal, body: dict[str, object]
) -> None:
    journal.append([NewEntry("r-1", kinds.ROUND.name, "saw", "", body)])
    assert gather(journal).rounds == {}


def test_a_round_with_odd_insides_is_read_as_far_as_it_goes(
    begin: Begin, journal: SqliteJournal, clock: Clock
) -> None:
    older = {
        "a": 3,
        "b": {"text": "x", "when": "yesterday", "wrong": True},
        "c": {"text": "x", "when": "2026-01-01T00:00:00", "wrong": True},  # of no zone
        "d": {"text": "x", "when": "2026-01-01T00:00:00+00:00"},
    }
    body = {
        "v": 1, "of": 4, "number": 1, "answers": {"guard": 7, "plug": ["x"]},
        "wrong": [["guard"], {}, 3], "decided": [1], "older": older, "finished": "yes",
    }  # fmt: skip
    entry = journal.append([NewEntry("r-1", kinds.ROUND.name, "saw", "", body)])[0]
    found = read_round(entry)
    assert found is not None
    assert [one.question for one in found.wrong] == ["d"]  # what is not known to be as wanted
    assert not found.finished
    assert key(begin()) == "plug"
    round_words(found, clock())


KILLED = """
import os, sys
from pathlib import Path
from shopboard.open_shop import utc_now
from shopboard.journal import open_journal
from shopboard.sittings.safety_round import round_of
from shopboard.shop.reader import read_shop
from shopboard.checks.registry import names
shop = read_shop(Path(sys.argv[2]), names()).shop
journal = open_journal(Path(sys.argv[1]), utc_now)
walked = round_of(shop, "saw", utc_now(), journal)
for answer in sys.argv[3:]:
    walked.answer(answer)
os.kill(os.getpid(), 9)
"""


@pytest.mark.parametrize(
    ("answers", "asks"), [(["1"], "cutter"), (["1", "it is loose"], "cutter.then")]
)
@pytest.mark.parametrize("shop_name", SHOPS)
def test_killed_in_mid_round_nothing_answered_is_lost(
    tmp_path: Path, answers: list[str], asks: str, shop_name: str
) -> None:
    """By the signal that no program can catch, right after an answer."""
    path, shop_file = tmp_path / "j", written(shop_name, tmp_path)
    command = [sys.executable, "-c", KILLED, str(path), str(shop_file), *answers]
    assert subprocess.run(command, cwd=TOP, check=False).returncode == -9
    with closing(open_journal(path, utc_now)) as journal:
        assert journal.verify() is None
        shop = read_shop(shop_file, names()).shop
        assert key(round_of(shop, "saw", utc_now(), journal)) == asks


def test_tags_and_rounds_stand_apart(begin: Begin, journal: SqliteJournal) -> None:
    """Both are kept under the machine alone, by kinds of their own."""
    begin().answer(PLUG_OUT)
    record_tag("saw", "taken apart", journal)
    clear_tag("saw", "put together", journal)
    assert {one.kind for one in journal.machine_entries(kinds.TAG.name, "saw")} == {kinds.TAG.name}
    assert len(journal.latest(kinds.ROUND.name)) == len(journal.latest(kinds.TAG.name)) == 1
