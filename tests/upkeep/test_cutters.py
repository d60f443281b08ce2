"""Cutters: any row of acts leaves a state that can be, and the newest act can be withdrawn."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopboard.journal import Entry, NewEntry, SqliteJournal, new_uid, open_journal
from shopboard.journal.kinds.cutters import CutterUse, UseUnit
from shopboard.shop.machine import Life, Sharpness
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.upkeep.changing import changing
from shopboard.upkeep.cutter_acts import ACTS, ActError, after, possible
from shopboard.upkeep.cutter_changes import CHANGES, change
from shopboard.upkeep.cutter_journal import (
    newest_act,
    record_act,
    record_change,
    standings_now,
    take_back,
)
from shopboard.upkeep.cutter_words import blunt_words, state_words, use_words
from shopboard.upkeep.cutters import CutterStanding, cutter_standings, group_of
from shopboard.upkeep.happenings import newest_happenings, record_happening
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.upkeep.cutter_shop import (
    CROSS,
    RIP,
    RIP_2,
    SHOP,
    first_standings,
    machine_of,
    now_standing,
    shop_of,
)

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
STATES: tuple[Sharpness, ...] = get_args(Sharpness)

Step = tuple[int, str, Sharpness, float]
STEPS = st.lists(
    st.tuples(
        st.integers(0, 4),
        st.sampled_from([*(act.name for act in ACTS), "hours run", "project finished"]),
        st.sampled_from(STATES),
        st.floats(0.1, 5000),
    ),
    max_size=25,
)
"""Which cutter, what is done, how the one that comes off is found, an amount."""


def is_legal(here: Sequence[CutterStanding]) -> bool:
    """Whether cutters can stand so."""
    mounted = [one.cutter.kind for one in here if one.mounted]
    return len(mounted) == len(set(mounted)) and all(
        1 <= one.edge <= one.cutter.edges
        and min(one.use) >= 0
        and (one.sharpenings is None or one.sharpenings >= 0)
        and (one.sent is None or one.where == "at the sharpener")
        and len(one.lives) <= 5
        and all(min(life) >= 0 for life in one.lives)
        and not (one.state == "worn out" and one.where == "at the sharpener")
        for one in here
    )


def purely(here: Sequence[CutterStanding], step: Step) -> list[CutterStanding]:
    """Do a step without a journal."""
    index, name, came_off, amount = step
    one = here[index]
    stands = {other.id: other for other in here}
    if name in ("hours run", "project finished"):
        unit: UseUnit = "minutes" if name == "hours run" else "projects"
        for other in here:
            if other.mounted:
                stands[other.id] = other._replace(use=other.use.plus(unit, amount))
    elif name in CHANGES and (name != "new" or one.mounted):
        stands |= {done.after.id: done.after for done in change(one, name, came_off, here)}
    else:
        stands[one.id] = after(one, name, NOW, amount, "words")
    return [*stands.values()]


@settings(max_examples=part(300), deadline=None)
@given(STEPS)
def test_any_row_of_acts_leaves_a_state_that_can_be(steps: list[Step]) -> None:
    here: Sequence[CutterStanding] = first_standings()
    for step in steps:
        offered = {act.name for act in possible(here[step[0]])}
        try:
            here = purely(here, step)
        except ActError:
            assert step[1] not in offered
        else:
            assert step[1] in offered or step[1] in ("hours run", "project finished")
        assert is_legal(here)


def recorded(journal: SqliteJournal, step: Step) -> Entry | None:
    """Do a step in the journal; give the entry by which it can be withdrawn."""
    index, name, came_off, amount = step
    here = standings_now(SHOP, "saw", journal)
    one = here[index]
    if name in ("hours run", "project finished"):
        return record_happening(journal, "saw", name, amount, shop=SHOP)
    if name in CHANGES and (name != "new" or one.mounted):
        return record_change(change(one, name, came_off, here), journal)[-1]
    return record_act(one, name, NOW, journal, amount, "words")


def stands(journal: SqliteJournal) -> list[CutterStanding]:
    """How all cutters stand, whichever entries say so."""
    return [one._replace(seq=0) for one in standings_now(SHOP, "saw", journal)]


@settings(
    max_examples=part(25),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(STEPS)
def test_taking_the_newest_act_back_restores_what_was_before(
    tmp_path: Path, steps: list[Step]
) -> None:
    """Each act is done, withdrawn, and done again: through the journal, as the board does it."""
    with closing(open_journal(tmp_path / f"{new_uid()}.sqlite3", Clock())) as journal:
        for step in steps[:10]:
            before, count = stands(journal), journal.count()
            try:
                entry = recorded(journal, step)
            except ActError:
                assert journal.count() == count
                continue
            assert entry is not None
            done = stands(journal)
            take_back(entry, "a trial", journal)
            assert stands(journal) == before
            recorded(journal, step)
            assert stands(journal) == done
            assert is_legal(done)
        assert journal.verify() is None


def test_use_is_recorded_with_the_happening_or_not_at_all(journal: SqliteJournal) -> None:
    """One recording: the hours and every cutter that was on the machine, none that lay by."""
    hours = record_happening(journal, "saw", "hours run", 90, shop=SHOP)
    assert [one.point for one in journal.thread(hours.uid)] == ["rip", "knives"]
    assert now_standing(journal, "rip").use == CutterUse(minutes=90)
    assert now_standing(journal, "rip-2").use == CutterUse()
    record_happening(journal, "saw", "cuts made", 40, shop=SHOP)
    record_happening(journal, "saw", "length cut", 3048, shop=SHOP)
    record_happening(journal, "jointer", "project finished", shop=SHOP)
    assert now_standing(journal, "knives").use == CutterUse(90, 40, 3048, 1)


def test_a_note_of_what_happened_is_no_use(journal: SqliteJournal) -> None:
    record_happening(journal, "saw", "note", note="smells hot", shop=SHOP)
    record_happening(journal, "saw", "knocked", shop=SHOP)
    assert journal.latest("cutter") == {}


def test_hours_that_are_taken_back_come_off_the_cutters_too(journal: SqliteJournal) -> None:
    """By the list of happenings as well; also from under an act that was recorded on top."""
    record_happening(journal, "saw", "hours run", 60, shop=SHOP)
    wrong = record_happening(journal, "saw", "hours run", 600, shop=SHOP)
    assert newest_happenings(journal, "saw", 1) == [wrong]
    take_back(wrong, "typed a nought too many", journal)
    assert now_standing(journal, "rip").use.minutes == 60
    again = record_happening(journal, "saw", "hours run", 30, shop=SHOP)
    assert again.body["total"] == 90
    record_act(now_standing(journal, "rip"), "dull", NOW, journal)
    take_back(again, "no", journal)
    rip = now_standing(journal, "rip")
    assert (rip.state, rip.use.minutes, rip.lives[0].minutes) == ("dull", 60, 60)
    older = journal.recent("happening", "saw", "hours run")[-1]
    take_back(older, "no", journal)
    assert now_standing(journal, "rip").use.minutes == 0


def test_a_change_is_taken_back_whole_from_either_end(journal: SqliteJournal) -> None:
    """Both blades and the happening: by the cutter's record or by the list of happenings."""
    for by in ("happening", "cutter"):
        here = standings_now(SHOP, "saw", journal)
        cross = next(one for one in here if one.id == "cross")
        record_change(change(cross, "put on", "dull", here), journal)
        assert now_standing(journal, "cross").mounted
        assert now_standing(journal, "rip").state == "dull"
        entry = (
            newest_happenings(journal, "saw", 1)[0]
            if by == "happening"
            else newest_act(now_standing(journal, "rip"), journal)
        )
        assert entry is not None
        assert len(take_back(entry, "a trial", journal)) == 3
        assert newest_happenings(journal, "saw", 1) == []
        assert [one._replace(seq=0) for one in standings_now(SHOP, "saw", journal)] == [
            *first_standings()
        ]


@pytest.mark.parametrize(
    ("one", "act", "what"),
    [
        ("cross", "put on", "blade changed"),
        ("knives-2", "put on", "knives changed"),
        ("knives", "turn", "knives turned"),
        ("knives", "new", "knives changed"),
        ("rip", "take off", ""),
    ],
)
def test_a_change_makes_due_what_it_undoes(
    journal: SqliteJournal, one: str, act: str, what: str
) -> None:
    """What has happened is what the points of the shop file listen to."""
    here = standings_now(SHOP, "saw", journal)
    chosen = next(standing for standing in here if standing.id == one)
    record_change(change(chosen, act, "dirty", here), journal)
    happened = [happening.what for happening in gather(journal).happenings]
    assert happened == ([what] if what else [])
    undone = [p.id for p in SHOP.machines[0].points if what in p.undone_by]
    assert bool(undone) == bool(what)


def test_a_bit_undoes_nothing(journal: SqliteJournal) -> None:
    bit = RIP._replace(id="bit", kind="bit", where="on the shelf")
    shop = shop_of(bit)
    here = standings_now(shop, "saw", journal)
    record_change(change(here[0], "put on", "sharp", here), journal)
    assert gather(journal).happenings == []


def test_how_long_it_stays_sharp_is_learnt_from_the_times_it_was_dull(
    journal: SqliteJournal,
) -> None:
    """The shop file's word stands until it was dull twice; then the middle of the last three."""
    learnt = []
    for hours in (10, 14, 30, 12):
        record_happening(journal, "saw", "hours run", hours * 60, shop=SHOP)
        for act in ("dull", "take off", "send out", "back", "put on"):
            here = standings_now(SHOP, "saw", journal)
            rip = next(one for one in here if one.id == "rip")
            if act in CHANGES:
                record_change(change(rip, act, "dull", here), journal)
            else:
                record_act(rip, act, NOW, journal)
        life = now_standing(journal, "rip").life
        assert life is not None
        learnt.append((life.amount / 60, life.times))
    assert learnt == [(20, 0), (12, 2), (14, 3), (14, 4)]
    assert now_standing(journal, "rip").sharpenings == 1
    assert now_standing(journal, "rip").use == CutterUse()


def test_a_life_is_learnt_in_projects_where_only_those_are_recorded(
    journal: SqliteJournal,
) -> None:
    """The shop file says hours, but nobody writes any down: a project's worth must be enough."""
    for projects in (3, 5):
        for _ in range(projects):
            record_happening(journal, "", "project finished", shop=SHOP)
        record_act(now_standing(journal, "rip"), "dull", NOW, journal)
        here = standings_now(SHOP, "saw", journal)
        rip = next(one for one in here if one.id == "rip")
        record_change(change(rip, "take off", "dull", here), journal)
        record_act(now_standing(journal, "rip"), "sharpened", NOW, journal)
        here = standings_now(SHOP, "saw", journal)
        rip = next(one for one in here if one.id == "rip")
        record_change(change(rip, "put on", "dull", here), journal)
    assert now_standing(journal, "rip").life == (4, "projects", 2)
    for _ in range(4):
        record_happening(journal, "", "project finished", shop=SHOP)
    assert now_standing(journal, "rip").blunt
    assert use_words(now_standing(journal, "rip")) == "4 of 4 projects"


def test_a_life_in_the_shop_files_measure_is_not_drowned_by_projects(
    journal: SqliteJournal,
) -> None:
    rip = now_standing(journal, "rip")
    lives = (CutterUse(600, projects=3), CutterUse(0, projects=2), CutterUse(0, projects=2))
    assert rip._replace(lives=lives).life == (1200, "minutes", 0)


def test_a_dull_edge_is_dull_once(journal: SqliteJournal) -> None:
    """Used on although dull, it tells no second life when it comes off at last."""
    record_happening(journal, "saw", "hours run", 600, shop=SHOP)
    record_act(now_standing(journal, "rip"), "dull", NOW, journal)
    record_happening(journal, "saw", "hours run", 60, shop=SHOP)
    here = standings_now(SHOP, "saw", journal)
    cross = next(one for one in here if one.id == "cross")
    record_change(change(cross, "put on", "dull", here), journal)
    assert now_standing(journal, "rip").lives == (CutterUse(minutes=600),)


def test_cleaning_does_not_sharpen(journal: SqliteJournal) -> None:
    record_happening(journal, "saw", "hours run", 600, shop=SHOP)
    rip = now_standing(journal, "rip")
    record_act(rip, "dirty", NOW, journal)
    record_act(now_standing(journal, "rip"), "cleaned", NOW, journal)
    assert now_standing(journal, "rip").state == "sharp"
    assert now_standing(journal, "rip").use.minutes == 600
    record_act(now_standing(journal, "rip"), "dull", NOW, journal)
    with pytest.raises(ActError, match="cleaning does not make it sharp"):
        record_act(now_standing(journal, "rip"), "cleaned", NOW, journal)


def test_a_new_one_begins_anew_and_what_it_cost_is_no_sharpening() -> None:
    """Only of what is thrown away the price is that of an edge."""
    worn = first_standings()[0]._replace(state="worn out", sharpenings=0, where="on the shelf")
    renewed = after(worn, "new", NOW, 95.0)
    assert (renewed.state, renewed.sharpenings, renewed.cost) == ("sharp", 5, 18.0)
    knives = first_standings()[3]._replace(state="dull", where="on the shelf", edge=2)
    renewed = after(knives, "new", NOW, 45.0)
    assert (renewed.state, renewed.edge, renewed.cost) == ("sharp", 1, 45.0)


def test_the_record_outweighs_the_shop_file(journal: SqliteJournal) -> None:
    """A file that was edited to put a second blade on the machine does not put it there."""
    here = standings_now(SHOP, "saw", journal)
    cross = next(one for one in here if one.id == "cross")
    record_change(change(cross, "put on", "sharp", here), journal)
    edited = shop_of(RIP._replace(id="third"), CROSS, RIP)
    where = {one.id: one.where for one in standings_now(edited, "saw", journal)}
    assert where == {"third": "on the shelf", "cross": "on the machine", "rip": "on the shelf"}


def test_dull_or_past_its_life_is_said_with_the_use(journal: SqliteJournal) -> None:
    record_happening(journal, "saw", "hours run", 1320, shop=SHOP)
    rip = now_standing(journal, "rip")
    assert rip.blunt
    assert blunt_words(rip) == "Rip blade: still sharp? past its rated life (22 h of 20 h)"
    assert state_words(rip) == "still sharp? past its rated life, on the machine, 22 h of 20 h"
    record_act(rip, "dull", NOW, journal)
    assert blunt_words(now_standing(journal, "rip")) == "Rip blade: dull (22 h of 20 h)"
    standing = shop_standing(SHOP, gather(journal), NOW).machines[0]
    assert [one.id for one in standing.blunt] == ["rip", "knives"]


@pytest.mark.parametrize(
    ("life", "use", "words"),
    [
        (Life(1200, "minutes", "20 hours"), CutterUse(minutes=45), "0.8 h of 20 h"),
        (Life(1200, "minutes", "20 hours"), CutterUse(minutes=1320), "22 h of 20 h"),
        (Life(1200, "minutes", "20 hours"), CutterUse(cuts=7), "0 h of 20 h, 7 cuts"),
        (Life(1200, "minutes", "20 hours"), CutterUse(60, projects=3), "1 h of 20 h"),
        (Life(400, "cuts", "400 cuts"), CutterUse(projects=1), "0 of 400 cuts, 1 project"),
        (Life(1500, "cuts", "1500 cuts"), CutterUse(cuts=1), "1 of 1,500 cuts"),
        (Life(3, "projects", "3 projects"), CutterUse(projects=2), "2 of 3 projects"),
        (Life(609_600, "mm", "2000 ft"), CutterUse(mm=304_800), "1,000 ft of 2,000 ft"),
    ],
)
def test_use_in_words(life: Life, use: CutterUse, words: str) -> None:
    cutter = RIP._replace(lasts=life)
    assert use_words(first_standings()[0]._replace(cutter=cutter, use=use, feet=True)) == words


def test_use_without_a_life_is_told_in_what_was_recorded() -> None:
    plain = cutter_standings(machine_of(RIP._replace(lasts=None)), {}, {}, feet=True)[0]
    assert use_words(plain) == ""
    assert use_words(plain._replace(use=CutterUse(mm=30480))) == "100 ft"
    assert use_words(plain._replace(use=CutterUse(mm=30480), feet=False)) == "30 m"
    assert use_words(plain._replace(use=CutterUse(cuts=1))) == "1 cut"
    assert use_words(plain._replace(use=CutterUse(projects=2))) == "2 projects"


def test_spares_are_followed_in_chains() -> None:
    third = RIP._replace(id="rip-3", where="on the shelf", spare_for="rip-2")
    here = cutter_standings(machine_of(third, CROSS, RIP_2, RIP), {}, {})
    assert [one.id for one in group_of(here[3], here)] == ["rip-3", "rip-2", "rip"]
    assert [one.id for one in group_of(here[1], here)] == ["cross"]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=5,
)
KEYS = st.sampled_from(
    [
        *("where", "state", "edge", "minutes", "cuts", "mm", "projects", "sharpenings_left"),
        *("lives", "cost", "sent", "note", "open", "kind"),
    ]
)


@settings(max_examples=part(200), deadline=None)
@given(st.dictionaries(KEYS, JSON))
def test_whatever_a_later_program_wrote_is_read_as_a_state_that_can_be(
    body: dict[str, object],
) -> None:
    entry = Entry(7, "u", NOW, "cutter", "saw", "rip", "", body, None, True)
    entries = {("saw", one): entry for one in ("rip", "knives", "cross", "")}
    here = cutter_standings(SHOP.machines[0], entries, {}, feet=True)
    assert is_legal([one._replace(sent=None) for one in here if one.state != "worn out"])
    for one in here:
        assert state_words(one)
    changing(entries, "saw")


def test_only_the_newest_entry_of_each_is_read_at_the_start(journal: SqliteJournal) -> None:
    """As the standing needs it: no history."""
    record_happening(journal, "saw", "hours run", 60, shop=SHOP)
    asked: list[str] = []

    class Watching:
        def __getattr__(self, name: str) -> object:
            asked.append(name)
            return getattr(journal, name)

    gather(Watching())  # type: ignore[arg-type]
    assert set(asked) == {"latest", "recent", "damage"}
    assert asked.count("recent") == 2  # whether the clock was set right, and it was salvaged


def test_an_older_journal_with_a_blade_change_of_no_cutter_is_taken_back_as_ever(
    journal: SqliteJournal,
) -> None:
    body = {"v": 1, "what": "blade changed"}
    (entry,) = journal.append([NewEntry(new_uid(), "happening", "saw", "blade changed", body)])
    assert take_back(entry, "a mistake", journal) == [entry]
    assert newest_happenings(journal, "saw") == []


def test_sent_is_when_it_went_out_however_often_it_is_written_about(
    journal: SqliteJournal,
) -> None:
    record_act(now_standing(journal, "cross"), "send out", NOW, journal)
    record_act(
        now_standing(journal, "cross"), "note", NOW + timedelta(days=3), journal, None, "call"
    )
    assert now_standing(journal, "cross").sent == NOW
    assert now_standing(journal, "cross").note == "call"
    with pytest.raises(ActError, match="on the machine: take it off first"):
        record_act(now_standing(journal, "knives"), "send out", NOW, journal)
