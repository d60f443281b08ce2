"""A change of cutter: durable step by step, resumed after anything, recorded whole or not."""

from __future__ import annotations

import re
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shopboard.checks.steps import AnswerError, Caution, Choice, Step
from shopboard.journal import (
    JournalCannotWrite,
    JournalLocked,
    NewEntry,
    SqliteJournal,
    Store,
    kinds,
    open_journal,
)
from shopboard.shop.machine import CutterKind, MachineKind
from shopboard.shop.model import Shop
from shopboard.sittings.cutter_change import GIVEN_UP, CutterSitting, begin, resume
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.upkeep.change_steps import ChangeJob, follow
from shopboard.upkeep.cutter_acts import ActError
from shopboard.upkeep.cutter_journal import newest_act, record_act, standings_now, take_back
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.undone import first_of, undone_by
from tests.builders import make_point
from tests.journal.helpers import Clock
from tests.sittings.test_check import failing
from tests.upkeep import cutter_shop
from tests.upkeep.cutter_shop import CROSS, KNIVES, RIP, RIP_2, SPARE_KNIVES, shop_of

SHOP = shop_of(RIP, RIP_2, CROSS._replace(state="sharp"), KNIVES, SPARE_KNIVES)
DIRTY = cutter_shop.SHOP
"""The same with a crosscut blade that is dirty."""


def now_standing(journal: Store, ident: str) -> CutterStanding:
    return cutter_shop.now_standing(journal, ident, SHOP)


def answer_to(step: Step) -> str:
    """What a person says who has done it."""
    return "1" if isinstance(step, Choice) else ""


def go_on(change: CutterSitting, most: int = 20) -> CutterSitting:
    """Answer to the end."""
    for _ in range(most):
        if change.step is None:
            return change
        change.answer(answer_to(change.step))
    raise AssertionError("no end")


def started(journal: SqliteJournal, ident: str = "cross", act: str = "put on") -> CutterSitting:
    return begin(journal, SHOP, now_standing(journal, ident), act)


def test_after_every_single_step_it_goes_on_there_in_a_fresh_program(
    journal_path: Path, clock: Clock
) -> None:
    """The journal is opened anew after each answer; the end is that of one sitting."""
    with closing(open_journal(journal_path, clock)) as journal:
        change = started(journal)
        assert journal.count() == 0
        assert change.step is not None
        change.answer(answer_to(change.step))
        there = change.walk
    steps = 1
    while there.step is not None:
        with closing(open_journal(journal_path, clock)) as journal:
            assert shop_standing(SHOP, gather(journal), clock()).machines[0].changing is not None
            taken_up = resume(journal, SHOP, "saw", clock())
            assert taken_up is not None
            assert taken_up.walk == there
            assert taken_up.step is not None
            taken_up.answer(answer_to(taken_up.step))
            there = taken_up.walk
            steps += 1
    assert steps == 7
    with closing(open_journal(journal_path, clock)) as journal:
        assert now_standing(journal, "cross").mounted
        assert (now_standing(journal, "rip").where, now_standing(journal, "rip").state) == (
            "on the shelf",
            "dirty",
        )
        assert [one.what for one in gather(journal).happenings] == ["blade changed"]
        assert resume(journal, SHOP, "saw", clock()) is None
        assert shop_standing(SHOP, gather(journal), clock()).machines[0].changing is None
        assert journal.verify() is None


def test_the_end_is_recorded_whole_or_not_at_all(journal: SqliteJournal) -> None:
    """A full disk at the last step: nothing of it is there, and the step can be answered again."""
    change = started(journal)
    while change.step is not None and change.step.key != "clear":
        change.answer(answer_to(change.step))
    count = journal.count()
    store: Any = change
    store._journal = failing(journal)
    with pytest.raises(JournalCannotWrite):
        change.answer("")
    assert journal.count() == count
    assert change.step is not None
    assert now_standing(journal, "rip").mounted
    change.answer("")
    assert change.step is None
    assert change.happened == "blade changed"
    assert journal.count() == count + 4


def test_two_programs_do_not_both_go_on(journal: SqliteJournal, clock: Clock) -> None:
    """The same answer twice is one answer; another answer to the same step is refused."""
    change = started(journal)
    change.answer("1")
    other = resume(journal, SHOP, "saw", clock())
    assert other is not None
    for said in ("", "", "dull"):
        other.answer(said)
    count = journal.count()
    change.answer("")
    change.answer("")
    assert journal.count() == count
    with pytest.raises(JournalLocked, match="carried on with this change"):
        change.answer("dirty")
    assert change.step is not None
    assert change.step.key == "came off"


def test_back_takes_one_answer_back_and_the_first_step_leaves_nothing_under_way(
    journal: SqliteJournal, clock: Clock
) -> None:
    change = started(journal)
    with pytest.raises(AnswerError, match="first step"):
        change.back()
    change.answer("1")
    change.answer("")
    change.back()
    assert change.step is not None
    assert change.step.key == "hands"
    change.back()
    assert change.step.key == "unplugged"
    assert resume(journal, SHOP, "saw", clock()) is None
    go_on(change)
    assert now_standing(journal, "cross").mounted


def test_given_up_nothing_is_changed(journal: SqliteJournal, clock: Clock) -> None:
    change = started(journal)
    change.answer("1")
    change.discard(GIVEN_UP)
    assert change.step is None
    assert resume(journal, SHOP, "saw", clock()) is None
    assert now_standing(journal, "rip").mounted
    assert gather(journal).happenings == []
    go_on(started(journal))
    assert now_standing(journal, "cross").mounted


def test_given_up_before_anything_was_done_nothing_is_recorded(journal: SqliteJournal) -> None:
    started(journal).discard(GIVEN_UP)
    assert journal.count() == 0


def test_after_a_pause_the_plug_is_asked_for_again(journal: SqliteJournal, clock: Clock) -> None:
    change = started(journal)
    change.answer("1")
    change.answer("")
    there = change.walk
    clock.pass_by(hours=40)
    again = resume(journal, SHOP, "saw", clock())
    assert again is not None
    assert isinstance(again.step, Caution)
    assert again.step.title == "Is the machine still unplugged?"
    again.answer("1")
    assert again.walk == there
    once_more = resume(journal, SHOP, "saw", clock())
    assert once_more is not None
    assert once_more.step == there.step
    go_on(once_more)
    assert now_standing(journal, "cross").mounted


def test_while_a_change_is_under_way_no_cutter_is_pulled_from_under_it(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Neither another change nor another act; a note may be written."""
    started(journal).answer("1")
    with pytest.raises(ActError, match="a blade change is in progress"):
        started(journal, "rip-2")
    with pytest.raises(ActError, match="a blade change is in progress"):
        record_act(now_standing(journal, "cross"), "send out", clock(), journal)
    record_act(now_standing(journal, "cross"), "note", clock(), journal, None, "bought in May")


def test_cutters_changed_elsewhere_stop_the_change(journal: SqliteJournal, clock: Clock) -> None:
    """Begun twice before either was answered: the second to end says so and records nothing."""
    first, second = started(journal), started(journal, "rip-2")
    go_on(first)
    with pytest.raises(ActError, match="changed elsewhere meanwhile"):
        go_on(second)
    assert now_standing(journal, "cross").mounted
    assert not now_standing(journal, "rip-2").mounted


def test_a_cutter_gone_from_the_shop_file_ends_the_change(
    journal: SqliteJournal, clock: Clock
) -> None:
    started(journal).answer("1")
    assert resume(journal, shop_of(RIP, RIP_2), "saw", clock()) is None
    assert resume(journal, SHOP, "saw", clock()) is None  # it is given up, not forgotten


def test_who_still_goes_on_with_a_change_sees_that_it_was_given_up(
    journal: SqliteJournal, clock: Clock
) -> None:
    """By another program, whose shop file has no such cutter; its end has the next name."""
    change = started(journal)
    change.answer("1")
    assert resume(journal, shop_of(RIP, RIP_2), "saw", clock()) is None
    with pytest.raises(JournalLocked, match="carried on with this change"):
        change.answer("")
    assert resume(journal, SHOP, "saw", clock()) is None


def test_a_change_is_taken_back_whole_and_its_way_stays(
    journal: SqliteJournal, clock: Clock
) -> None:
    go_on(started(journal))
    newest = newest_act(now_standing(journal, "cross"), journal)
    assert newest is not None
    assert len(take_back(newest, "a trial", journal)) == 3
    assert now_standing(journal, "rip").mounted
    assert gather(journal).happenings == []
    assert resume(journal, SHOP, "saw", clock()) is None


def test_knives_are_turned_to_their_next_edge(journal: SqliteJournal) -> None:
    change = go_on(started(journal, "knives", "turn"))
    assert change.happened == "knives turned"
    knives = now_standing(journal, "knives")
    assert (knives.edge, knives.state, knives.mounted) == (2, "sharp", True)
    with pytest.raises(ActError, match="its last edge is in use"):
        started(journal, "knives", "turn")


def test_a_new_set_takes_the_place_of_one_that_is_thrown_away(journal: SqliteJournal) -> None:
    go_on(started(journal, "knives", "turn"))
    change = go_on(started(journal, "knives", "new"))
    assert change.happened == "knives changed"
    knives = now_standing(journal, "knives")
    assert (knives.edge, knives.state, knives.mounted) == (1, "sharp", True)


def test_a_blade_is_taken_off_and_another_put_on_an_empty_arbor(journal: SqliteJournal) -> None:
    change = go_on(started(journal, "rip", "take off"))
    assert change.happened == ""
    assert not now_standing(journal, "rip").mounted
    change = started(journal, "rip-2")
    assert "off" not in {step.key for step, _ in go_on(change).walk.answered}
    assert change.happened == "blade changed"


@pytest.mark.parametrize(
    ("ident", "act", "says"),
    [
        ("rip", "put on", "on the machine already"),
        ("cross", "turn", "it has one edge"),
        ("cross", "take off", "it is on the shelf"),
        ("cross", "new", "it is not worn out"),
        ("cross", "dull", "changes nothing on the machine"),
    ],
)
def test_what_cannot_be_begun_is_refused(
    journal: SqliteJournal, ident: str, act: str, says: str
) -> None:
    with pytest.raises(ActError, match=says):
        started(journal, ident, act)


KINDS: tuple[CutterKind, ...] = ("blade", "band", "knives", "bit")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("act", ["put on", "take off", "turn", "new"])
def test_the_plug_comes_first_and_guards_come_last(kind: CutterKind, act: str) -> None:
    """Every way: the plug, the hands, what comes off; in the end guards, and nothing half tight."""
    job = ChangeJob("saw", kind, act, off="Old", on="" if act == "take off" else "New", edge=2)
    answers: dict[str, str] = {}
    steps: list[Step] = []
    while (step := follow(job, answers).step) is not None:
        steps.append(step)
        answers[step.key] = step.accept(answer_to(step))
    keys = [step.key for step in steps]
    assert isinstance(steps[0], Caution)
    assert "Unplug the machine" in steps[0].title
    assert "maker's manual" in " ".join(steps[0].lines)
    assert keys[1:3] == ["hands", "off"]
    assert "Guards back on" in " ".join(steps[-1].lines)
    assert ("riving knife" in keys) == (kind == "blade" and act != "take off")
    assert ("tight" in keys) == (kind == "knives" and act != "take off")
    assert ("on" in keys) == (act != "take off")
    for step in steps:
        assert len(step.lines) <= 5, step


@pytest.mark.parametrize("act", ["put on", "turn", "new"])
@pytest.mark.parametrize("pieces", [1, 4])
def test_the_head_is_blocked_before_a_knife_is_slackened(act: str, pieces: int) -> None:
    """Of each step at the knives it is said first (common practice, no source)."""
    job = ChangeJob("saw", "knives", act, off="Old", on="New", edge=2, pieces=pieces)
    answers: dict[str, str] = {}
    at_knives = []
    while (step := follow(job, answers).step) is not None:
        if step.key == "off" or step.key.startswith("knife "):
            at_knives.append(step.lines[0])
        answers[step.key] = step.accept(answer_to(step))
    assert at_knives
    assert {*at_knives} == {
        "Block the head as the maker's manual says. Pull the wrench away from edges."
    }


@pytest.mark.parametrize("act", ["put on", "take off", "new"])
def test_a_hand_tool_has_no_plug_and_no_spindle(act: str) -> None:
    """It is laid down, looked at, laid away; nothing is turned once round."""
    job = ChangeJob("bench", "hand tool", act, off="Old", on="" if act == "take off" else "New")
    answers = _all_answers(job)
    said = [step for step, _ in follow(job, answers).answered]
    for step in said:
        words = " ".join((step.title, *step.lines)).lower()
        assert not re.search("plug|spindle|wrench|screw|guards back", words), words
    assert ("on" in answers) == (act != "take off")


def test_a_hand_tool_of_a_kind_of_one_s_own_takes_no_other_out(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Two gouges lie side by side; of another kind, changed like a blade, one is on at a time."""
    gouge = RIP._replace(id="wide", name="Wide gouge", kind="gouge", like="hand tool")
    shop = shop_of(gouge, gouge._replace(id="narrow", where="on the shelf"))
    narrow = cutter_shop.now_standing(journal, "narrow", shop)
    change = go_on(begin(journal, shop, narrow, "put on"))
    assert change.happened == ""
    record_act(cutter_shop.now_standing(journal, "narrow", shop), "dull", clock(), journal)
    dull = cutter_shop.now_standing(journal, "narrow", shop)
    record_act(dull, "sharpened", clock(), journal)
    assert cutter_shop.now_standing(journal, "narrow", shop).mounted  # as it lay
    blade = RIP._replace(id="one", kind="Sägeblatt", like="blade")
    other = shop_of(blade, blade._replace(id="two", where="on the shelf"))
    for name, one_on in (("narrow", False), ("two", True)):
        now = shop if name == "narrow" else other
        if one_on:
            two = cutter_shop.now_standing(journal, name, now)
            assert go_on(begin(journal, now, two, "put on")).happened == "blade changed"
        mounted = [one.mounted for one in standings_now(now, "saw", journal)]
        assert mounted == [not one_on, True]


def test_whoever_is_known_to_be_dull_is_not_asked_about() -> None:
    job = ChangeJob("saw", "blade", "put on", off="Old", off_is_done=True, on="New")
    assert "came off" not in dict.fromkeys(
        step.key for step, _ in follow(job, _all_answers(job)).answered
    )


def _all_answers(job: ChangeJob) -> dict[str, str]:
    answers: dict[str, str] = {}
    while (step := follow(job, answers).step) is not None:
        answers[step.key] = step.accept(answer_to(step))
    return answers


# --- What is checked first


def test_a_dirty_one_is_asked_for_before_the_machine_is_opened(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Cleaned first, or dirty all the same: as it is said it is on record."""
    for answer, state, acts in (
        ("2", "dirty", ["put on"]),
        ("1", "sharp", ["cleaned", "put on"]),
    ):
        one = cutter_shop.now_standing(journal, "cross", DIRTY)
        under_way = begin(journal, DIRTY, one, "put on")
        assert under_way.step is not None
        assert under_way.step.title == "Crosscut blade is recorded as dirty."
        with pytest.raises(AnswerError):
            under_way.answer("")
        under_way.answer(answer)
        assert resume(journal, DIRTY, "saw", clock()) is None  # nothing is open yet
        go_on(under_way)
        one = cutter_shop.now_standing(journal, "cross", DIRTY)
        assert (one.where, one.state) == ("on the machine", state)
        newest = journal.recent("cutter", "saw", "cross", include_void=False)
        assert [entry.body["what"] for entry in reversed(newest)] == acts
        newest_one = newest_act(one, journal)
        assert newest_one is not None
        take_back(newest_one, "for the next", journal)
        assert cutter_shop.now_standing(journal, "cross", DIRTY).state == "dirty"


def test_a_dull_one_goes_on_by_decision_alone(journal: SqliteJournal) -> None:
    """There is no way to make it sharp in between."""
    record_act(now_standing(journal, "cross"), "dull", Clock()(), journal)
    under_way = begin(journal, SHOP, now_standing(journal, "cross"), "put on")
    step = under_way.step
    assert isinstance(step, Choice)
    assert [option.value for option in step.options] == ["dull"]
    go_on(under_way)
    assert now_standing(journal, "cross").state == "dull"


def test_a_change_begun_before_it_was_asked_goes_on_as_it_was(
    journal: SqliteJournal, clock: Clock
) -> None:
    """An earlier version only remarked that it was dirty."""
    way = {
        "v": 1, "what": "step", "open": True, "n": 2, "act": "put on", "kind": "blade",
        "cutter": "cross", "off": "rip", "off_is_done": False, "on_state": "dirty", "edge": 2,
        "answers": {"unplugged": "plug out", "hands": ""},
    }  # fmt: skip
    journal.append([NewEntry("way", "cutter", "saw", "", way)])
    taken_up = resume(journal, DIRTY, "saw", clock())
    assert taken_up is not None
    assert taken_up.step is not None
    assert taken_up.step.key == "off"
    go_on(taken_up)
    assert cutter_shop.now_standing(journal, "cross", DIRTY).state == "dirty"


def chain(**rests: tuple[str, ...]) -> Shop:
    """A saw with points that a new blade undoes, each resting on others."""
    points = [
        make_point(
            f"saw.{name}", undone_by=("blade changed",), rests_on=tuple(f"saw.{b}" for b in bases)
        )
        for name, bases in rests.items()
    ]
    return shop_of(RIP, CROSS, points=points)


@pytest.mark.parametrize(
    ("rests", "first"),
    [
        ({"a": ()}, "a"),
        ({"b": ("a",), "a": ()}, "a"),
        ({"loose": (), "b": ("a",), "a": ()}, "a"),
        ({"c": ("b",), "b": ("a",), "a": (), "x": (), "y": ("x",)}, "a"),
        ({"one": (), "two": ()}, "one"),
    ],
)
def test_the_point_that_the_others_rest_on_is_checked_first(
    rests: dict[str, tuple[str, ...]], first: str
) -> None:
    shop = chain(**rests)
    found = first_of(undone_by(shop.machines[0], "blade changed"), shop.points)
    assert found is not None
    assert found.id == first


def test_what_lies_between_two_points_counts_too() -> None:
    """One rests on the other by way of a point that a new blade does not undo."""
    b = make_point("saw.b", undone_by=("blade changed",), rests_on=("saw.m",))
    m = make_point("saw.m", rests_on=("saw.a",))
    a = make_point("saw.a", undone_by=("blade changed",))
    shop = shop_of(RIP, points=(b, m, a))
    found = first_of(undone_by(shop.machines[0], "blade changed"), shop.points)
    assert found == a


def test_nothing_undone_nothing_first() -> None:
    assert first_of([], {}) is None


def test_the_riving_knife_is_asked_for_by_plate_and_kerf_of_the_blade_that_goes_on(
    journal: SqliteJournal,
) -> None:
    """2.2 mm is 0.087 in, 3.2 mm is 0.126 in, by the inch of 25.4 mm (ISO 31-1)."""
    shop = shop_of(RIP, CROSS._replace(state="sharp", plate=2.2, kerf=3.2))
    cross = cutter_shop.now_standing(journal, "cross", shop)
    change = begin(journal, shop, cross, "put on")
    for answer in ("plug out", "", "", "dirty"):
        change.answer(answer)
    step = change.step
    assert step is not None
    assert step.title == (
        "Riving knife: thicker than the plate, 0.087 in, thinner than the kerf, 0.126 in?"
    )
    assert "as the shop file gives for this blade" in step.lines[0]


@pytest.mark.parametrize(
    ("kind", "act", "asks"),
    [
        ("", "put on", True),
        ("table saw", "put on", True),
        ("mitre saw", "put on", False),
        ("table saw", "clean", False),
    ],
)
def test_no_riving_knife_is_asked_for_where_none_is_or_the_same_blade_goes_on(
    journal: SqliteJournal, kind: MachineKind, act: str, *, asks: bool
) -> None:
    """A head that comes down from above has none; a blade that was cleaned is as thick as it was.

    Common practice, no source.
    """
    shop = shop_of(RIP._replace(state="dirty"), CROSS._replace(state="sharp"))
    saw = shop.machines[0]._replace(kind=kind)
    shop = replace(shop, machines=(saw, *shop.machines[1:]))
    ident = "rip" if act == "clean" else "cross"
    change = begin(journal, shop, cutter_shop.now_standing(journal, ident, shop), act)
    keys = []
    while change.step is not None:
        keys.append(change.step.key)
        change.answer(answer_to(change.step))
    assert ("riving knife" in keys) == asks
    assert keys[-2:] == ["on", "clear"]


def test_a_cleaning_is_called_one(journal: SqliteJournal, clock: Clock) -> None:
    """It was a blade change on every screen, and on record a blade changed."""
    shop = shop_of(RIP._replace(state="dirty"), CROSS)
    change = begin(journal, shop, cutter_shop.now_standing(journal, "rip", shop), "clean")
    change.answer("plug out")
    under_way = shop_standing(shop, gather(journal), clock()).machines[0].changing
    assert under_way is not None
    assert under_way.what == "blade cleaning"
    go_on(change)
    newest = journal.recent(kinds.HAPPENING.name, "saw", "blade changed", 1)[0]
    assert kinds.HAPPENING.read(newest).note == "Rip blade cleaned"


AS_RECORDED: dict[str, tuple[str, ...]] = {
    "unplugged": ("plug out",),
    "hands": ("",),
    "off": ("",),
    "goes on": ("cleaned", "dirty", "dull", "worn out"),
    "came off": ("dull", "dirty", "sharp", "worn out"),
    "riving knife": ("fits", "none"),
    "on": ("",),
    "tight": ("tight",),
    "clear": ("",),
}
"""What journals of November 2026 hold of a change, whatever its steps were called then: read off
the version that was the first to ask whether a dirty one goes on (git show b48e513b)."""


@pytest.mark.parametrize("kind", ["blade", "band", "knives", "bit"])
@pytest.mark.parametrize("act", ["put on", "turn", "take off", "new"])
def test_what_was_left_half_way_under_older_words_goes_on(kind: CutterKind, act: str) -> None:
    """An answer is kept under its key and by its own word: those are as they were."""
    job = ChangeJob("saw", kind, act, off="Old", on="New", on_state="dirty")
    answers: dict[str, str] = {}
    while (step := follow(job, answers).step) is not None:
        known = AS_RECORDED[step.key]
        if isinstance(step, Choice):
            assert {one.value for one in step.options} <= {*known}
        answers[step.key] = known[0]
    assert [step.key for step, _ in follow(job, answers).answered] == [*answers]
