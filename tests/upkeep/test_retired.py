"""What the file no longer has: found, shown as retired, with a guess at what it became."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopboard.journal import NewEntry, SqliteJournal
from shopboard.shop.machine import Machine
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from shopboard.sittings.check import start
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.rename_hints import rename_hints
from shopboard.upkeep.retired import Retired, find_retired
from tests.builders import Person, make_point, make_shop
from tests.journal.helpers import Clock
from tests.shop.texts import ANOTHER_POINT, SHOP
from tests.sittings.test_check import go_on


def check(journal: SqliteJournal, name: str, called: str = "", error: float = 0.0) -> str:
    """Do a whole check of a point of that name; give the uid of its result."""
    point = make_point(name)
    point = point._replace(name=called or point.name)
    return go_on(start(journal, make_shop(point), point), Person(error)).recorded["record"].uid


def became(journal: SqliteJournal, *names: str) -> dict[str, str]:
    """What each retired name probably became in a shop of points of these names."""
    shop = make_shop(*(make_point(name) for name in names))
    return {one.full_name: one.became for one in find_retired(shop, journal)}


def test_what_the_file_has_is_not_retired(journal: SqliteJournal) -> None:
    check(journal, "saw.blade")
    record_happening(journal, "saw", "knocked")
    record_happening(journal, "", "project finished")
    assert became(journal, "saw.blade") == {}


def test_a_point_that_is_gone_is_shown_with_its_name_and_its_newest_result(
    journal: SqliteJournal, clock: Clock
) -> None:
    check(journal, "saw.mitre", "Mitre gauge", 0.006)
    when = clock()
    (one,) = find_retired(make_shop(make_point("saw.blade")), journal)
    seq = journal.recent("check", "saw", "mitre")[0].seq
    assert one == Retired("saw", "mitre", "Mitre gauge", seq, when, "out")
    assert one.full_name == "saw.mitre"


def test_a_point_whose_results_are_all_taken_back_still_has_records(
    journal: SqliteJournal,
) -> None:
    journal.void(check(journal, "saw.mitre"), "only a trial")
    (one,) = find_retired(make_shop(make_point("saw.blade")), journal)
    assert (one.full_name, one.verdict) == ("saw.mitre", "")


@pytest.mark.parametrize("kind", ["tag", "round"])
def test_a_machine_of_which_only_a_tag_or_a_round_is_on_record_has_records_too(
    journal: SqliteJournal, kind: str
) -> None:
    journal.append([NewEntry("t", kind, "router", "", {"v": 1, "out_of_use": True, "why": "x"})])
    journal.append([NewEntry("s", "round", "", "", {"v": 1})])  # of the shop: it is there
    (one,) = find_retired(make_shop(make_point("saw.blade")), journal)
    assert one.full_name == "router"


def test_a_check_that_was_only_begun_leaves_nothing_to_keep(journal: SqliteJournal) -> None:
    point = make_point("saw.mitre")
    start(journal, make_shop(point), point)
    assert became(journal, "saw.blade") == {}


@pytest.mark.parametrize(
    ("old", "now", "guess"),
    [
        ("saw.blade-90", ("saw.blade",), "saw.blade"),
        ("saw.blade", ("saw.blade-90", "saw.fence"), "saw.blade-90"),
        ("saw.blade-90", ("saw.fence", "saw.blade-45", "saw.blade-90deg"), "saw.blade-90deg"),
        ("saw.blade", ("saw.mitre",), ""),
        ("saw.blade-90", ("jointer.blade",), ""),  # another machine: nothing speaks for it
    ],
)
def test_a_successor_is_alike_and_on_the_same_machine(
    journal: SqliteJournal, old: str, now: tuple[str, ...], guess: str
) -> None:
    check(journal, old, "An old name")
    assert became(journal, *now)[old] == guess


def test_the_same_name_tells_more_than_the_id(journal: SqliteJournal) -> None:
    """Points of `make_point` are called as their id is."""
    check(journal, "saw.b90", "Blade")
    assert became(journal, "saw.blade") == {"saw.b90": "saw.blade"}


def test_what_had_results_of_its_own_before_is_no_successor(journal: SqliteJournal) -> None:
    check(journal, "saw.blade-45")
    check(journal, "saw.blade-90")
    check(journal, "saw.blade-45")
    assert became(journal, "saw.blade-45") == {"saw.blade-90": ""}


def test_what_was_first_checked_after_the_old_one_ended_is_one(journal: SqliteJournal) -> None:
    check(journal, "saw.blade-90")
    check(journal, "saw.blade")
    assert became(journal, "saw.blade") == {"saw.blade-90": "saw.blade"}


def test_two_old_names_do_not_become_one(journal: SqliteJournal) -> None:
    """The newer one comes first."""
    check(journal, "saw.blade-1")
    check(journal, "saw.blade-2")
    assert became(journal, "saw.blade") == {"saw.blade-1": "", "saw.blade-2": "saw.blade"}


def test_a_machine_that_is_gone_is_named_once_for_all_its_points(journal: SqliteJournal) -> None:
    """By its points, or by an id that is alike."""
    for name in ("saw.blade", "saw.fence", "planer.bed"):
        check(journal, name)
    shop = make_shop(*(make_point(n) for n in ("bench.blade", "bench.fence", "planers.bed")))
    found = {one.full_name: (one.became, one.was) for one in find_retired(shop, journal)}
    assert found == {
        "saw": ("bench", "saw"),
        "saw.blade": ("", "saw.blade"),
        "saw.fence": ("", "saw.fence"),
        "planer": ("planers", "planer"),
        "planer.bed": ("", "planer.bed"),
    }


def test_one_point_alone_speaks_for_a_machine_only_by_its_name(journal: SqliteJournal) -> None:
    check(journal, "saw.fence", "Rip fence")
    check(journal, "lathe.fence", "Fence")
    assert became(journal, "jointer.fence") == {
        "lathe.fence": "",
        "lathe": "jointer",
        "saw.fence": "",
    }


def test_a_machine_of_tasks_alone_is_retired_too(journal: SqliteJournal) -> None:
    """Hand tools have no points; what was done to them is on record all the same."""
    journal.append([NewEntry("t", "task", "scrapers", "hone", {"v": 1})])
    record_happening(journal, "gouges", "knocked")
    shop = make_shop(make_point("saw.blade"))
    assert [one.full_name for one in find_retired(shop, journal)] == ["gouges", "scrapers"]
    now = Shop("S", "inch", (Machine("hand-scrapers", "Hand scrapers"),))
    found = {one.full_name: one.became for one in find_retired(now, journal)}
    assert found == {"gouges": "", "scrapers": "hand-scrapers"}


def test_a_hint_stands_at_the_id_of_the_successor(journal: SqliteJournal, tmp_path: Path) -> None:
    """With what to write there."""
    path = tmp_path / "shop.toml"
    path.write_text(SHOP + ANOTHER_POINT, encoding="utf-8")
    shop = read_shop_text(SHOP + ANOTHER_POINT).shop
    check(journal, "saw.blade-90")
    check(journal, "tablesaw.rip")
    (hint,) = rename_hints(path, shop, find_retired(shop, journal))
    line = SHOP.splitlines().index('id = "blade"') + 1
    assert (hint.problem.line, hint.problem.column) == (line, 6)
    assert hint.problem.sentence == (
        "records of saw.blade-90 are not in the file;"
        ' did it become saw.blade? write was = "blade-90" below its id'
    )
    assert hint.problem.severity == "warning"
    path.unlink()
    assert rename_hints(path, shop, find_retired(shop, journal)) == ()


PARTS = (
    '\n[[machine.task]]\nid = "wax"\nname = "Wax"\n'
    '\n[[machine.cutter]]\nid = "rip-24"\nname = "Rip"\nwhere = "on the shelf"\nstate = "dull"\n'
)


def test_a_task_and_a_cutter_that_are_gone_are_retired_and_asked_after(
    journal: SqliteJournal, tmp_path: Path
) -> None:
    """A blade that lost its id would begin anew with no use and all of its sharpenings."""
    path = tmp_path / "shop.toml"
    path.write_text(SHOP + PARTS, encoding="utf-8")
    shop = read_shop_text(SHOP + PARTS).shop
    for kind, name in (("task", "wax-table"), ("task", "oil"), ("cutter", "rip-20")):
        journal.append([NewEntry(f"{kind}-{name}", kind, "saw", name, {"v": 1})])
    journal.append([NewEntry("way", "cutter", "saw", "", {"v": 1})])  # a change under way
    found = find_retired(shop, journal)
    assert [(one.full_name, one.sort, one.became) for one in found] == [
        ("saw.oil", "task", ""),
        ("saw.rip-20", "cutter", "saw.rip-24"),
        ("saw.wax-table", "task", "saw.wax"),
    ]
    lines = (SHOP + PARTS).splitlines()
    told = {one.problem.sentence: one.problem.line for one in rename_hints(path, shop, found)}
    assert told == {
        "records of the task saw.wax-table are not in the file; did it become saw.wax?"
        ' write was = "wax-table" below its id': lines.index('id = "wax"') + 1,
        "records of the cutter saw.rip-20 are not in the file; did it become saw.rip-24?"
        ' write was = "rip-20" below its id': lines.index('id = "rip-24"') + 1,
    }


def test_another_name_that_made_another_id_is_asked_after(
    journal: SqliteJournal, tmp_path: Path
) -> None:
    """Nothing was written that leads to the records, and the two ids are not alike."""
    check(journal, "saw.rip-fence-face", "Rip fence face")
    text = SHOP.replace('id = "blade"\nname = "Blade at 90"', 'name = "Guide of the table"')
    shop = read_shop_text(text).shop
    assert shop.made_ids == {"point saw.guide-of-the-table"}
    retired = find_retired(shop, journal)
    assert [(one.full_name, one.became) for one in retired] == [
        ("saw.rip-fence-face", "saw.guide-of-the-table")
    ]
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    (hint,) = rename_hints(path, shop, retired)
    assert 'write id = "rip-fence-face" above its name' in hint.problem.sentence
    mended = text.replace(
        'name = "Guide of the table"', 'id = "rip-fence-face"\nname = "Guide of the table"'
    )
    assert find_retired(read_shop_text(mended).shop, journal) == []


def test_a_task_that_has_records_from_before_became_nothing_else(journal: SqliteJournal) -> None:
    shop = read_shop_text(SHOP + PARTS).shop
    for number, name in enumerate(("wax", "wax-table")):
        journal.append([NewEntry(f"t{number}", "task", "saw", name, {"v": 1})])
    (one,) = find_retired(shop, journal)
    assert (one.full_name, one.became) == ("saw.wax-table", "")
