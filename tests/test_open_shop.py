"""The open shop file and journal: kept up to date, and the last good shop kept in sight."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.journal import JournalError, JournalForeign, open_journal
from shopboard.open_shop import Desk
from shopboard.shop.problems import ShopFileError
from shopboard.sittings.check import start
from shopboard.upkeep.happenings import record_happening
from tests.builders import Person
from tests.cli.program import SHOP
from tests.journal.helpers import Clock


@pytest.fixture
def shop_file(tmp_path: Path) -> Path:
    path = tmp_path / "shop.toml"
    path.write_text(SHOP, encoding="utf-8")
    return path


@pytest.fixture
def desk(shop_file: Path, journal_path: Path, clock: Clock) -> Iterator[Desk]:
    with closing(Desk(shop_file, journal_path, clock)) as desk:
        yield desk


def edit(path: Path, old: str, new: str) -> None:
    """Change the file as an editor does, and make sure that its time differs."""
    before = path.stat()
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns + 1_000_000))


def check(desk: Desk, point: str = "jointer.fence", error: float = 0.0) -> None:
    visit, person = start(desk.journal, desk.shop, desk.shop.points[point]), Person(error)
    while visit.step is not None:
        visit.answer(person.answer(visit.step, visit.job))


def state(desk: Desk, point: str = "jointer.fence") -> str:
    found = desk.standing.of_point(point)
    assert found is not None
    return found.state


def test_it_opens_with_the_standing_worked_out(desk: Desk) -> None:
    """Nothing checked yet: every point unproven, and no problem in sight."""
    assert desk.standing.count("unproven") == 3
    assert desk.problems == ()
    assert desk.history("saw.blade") == []


def test_nothing_changed_is_nothing_done(desk: Desk) -> None:
    """Looking again costs next to nothing."""
    assert desk.poll() is False
    standing = desk.standing
    assert desk.poll() is False
    assert desk.standing is standing


def test_what_another_program_records_is_seen(
    desk: Desk, shop_file: Path, journal_path: Path, clock: Clock
) -> None:
    """Two programs at one journal: each sees what the other did at its next look."""
    with closing(Desk(shop_file, journal_path, clock)) as other:
        check(other)
    assert state(desk) == "unproven"
    assert desk.poll() is True
    assert state(desk) == "true"
    assert desk.poll() is False


def test_an_edited_shop_file_is_taken_in(desk: Desk, shop_file: Path) -> None:
    """A tolerance made narrower judges the old result anew."""
    check(desk, error=0.002)
    desk.refresh()
    assert state(desk) == "true"
    edit(shop_file, 'tolerance = "0.2 deg"', 'tolerance = "0.05 deg"')
    assert desk.poll() is True
    assert state(desk) == "out"


def test_a_broken_edit_keeps_the_last_good_shop(desk: Desk, shop_file: Path) -> None:
    """With the problem beside it, until the file is right again."""
    edit(shop_file, 'lever = "4 in"', 'lever = "four"')
    assert desk.poll() is True
    wanted = [n for n, line in enumerate(SHOP.splitlines(), 1) if line == 'lever = "4 in"']
    assert [one.line for one in desk.problems] == wanted
    assert len(desk.shop.points) == 3
    assert desk.poll() is False
    edit(shop_file, 'lever = "four"', 'lever = "5 in"')
    assert desk.poll() is True
    assert not desk.problems
    assert desk.shop.points["jointer.fence"].geometry.lever == pytest.approx(127)


def test_a_shop_file_that_vanishes_is_a_broken_edit(desk: Desk, shop_file: Path) -> None:
    """Some editors delete and write anew."""
    text = shop_file.read_text(encoding="utf-8")
    shop_file.unlink()
    assert desk.poll() is True
    assert len(desk.problems) == 1
    assert len(desk.shop.points) == 3
    shop_file.write_text(text, encoding="utf-8")
    assert desk.poll() is True
    assert not desk.problems


def test_a_lagging_clock_makes_nothing_younger(desk: Desk, clock: Clock) -> None:
    """The time is never before the newest record; that the clock is wrong is known."""
    check(desk)
    now = clock()
    clock.now -= timedelta(days=30)
    desk.refresh()
    assert desk.now() == now
    assert desk.clock_is_wrong
    clock.now = now - timedelta(minutes=2)
    assert not desk.clock_is_wrong


def test_time_alone_makes_due(desk: Desk, shop_file: Path, clock: Clock) -> None:
    """After the interval, at the next working out, without anybody touching anything."""
    edit(shop_file, 'face = "fence"', 'face = "fence"\nevery = "30 days"')
    desk.poll()
    check(desk)
    desk.refresh()
    assert state(desk) == "true"
    clock.pass_by(days=30)
    desk.refresh()
    assert state(desk) == "due"


def test_an_unfinished_check_is_told_until_it_is_too_old(desk: Desk, clock: Clock) -> None:
    """By the point's full name."""
    start(desk.journal, desk.shop, desk.shop.points["saw.blade"])
    desk.refresh()
    assert set(desk.waiting) == {"saw.blade"}
    clock.pass_by(days=2)
    desk.refresh()
    assert desk.waiting == {}


def test_points_that_left_the_shop_file_are_no_longer_told(desk: Desk, shop_file: Path) -> None:
    """Their records stay in the journal, and come back with them."""
    check(desk)
    text = shop_file.read_text(encoding="utf-8")
    edit(shop_file, text[text.index('[[machine]]\nid = "jointer"') :], "")
    desk.poll()
    assert desk.standing.of_point("jointer.fence") is None
    assert len(desk.history("jointer.fence")) == 1
    edit(shop_file, shop_file.read_text(encoding="utf-8"), text)
    desk.poll()
    assert state(desk) == "true"


def test_a_happening_recorded_here_is_seen_at_once(desk: Desk) -> None:
    """After working out anew."""
    check(desk, "saw.blade")
    record_happening(desk.journal, "saw", "blade changed")
    desk.refresh()
    assert state(desk, "saw.blade") == "due"


def test_a_bad_shop_file_opens_no_journal(tmp_path: Path, journal_path: Path, clock: Clock) -> None:
    """Every problem is told; nothing is made."""
    (tmp_path / "shop.toml").write_text("[shop", encoding="utf-8")
    with pytest.raises(ShopFileError):
        Desk(tmp_path / "shop.toml", journal_path, clock)
    assert not journal_path.exists()


def test_a_journal_that_is_none_is_told(shop_file: Path, tmp_path: Path, clock: Clock) -> None:
    """A folder is no journal."""
    with pytest.raises(JournalForeign):
        Desk(shop_file, tmp_path, clock)


def test_a_journal_that_cannot_be_read_now_is_taken_in_later(
    desk: Desk, shop_file: Path, journal_path: Path
) -> None:
    """The shop file changed while the journal was away: nothing of either is missed."""
    check(desk)
    aside = journal_path.with_name("aside")
    journal_path.rename(aside)
    edit(shop_file, 'tolerance = "0.2 deg"', 'tolerance = "0.3 deg"')
    with pytest.raises(JournalError):
        desk.poll()
    aside.rename(journal_path)
    assert desk.poll() is True
    assert state(desk) == "true"
    assert desk.shop.points["jointer.fence"].tolerance.typed == "0.3 deg"


def test_closing_lets_go_of_the_journal(desk: Desk, journal_path: Path, clock: Clock) -> None:
    """Twice is harmless; the file is free for others."""
    desk.close()
    desk.close()
    with closing(open_journal(journal_path, clock, wait_seconds=0.05)) as journal:
        assert journal.verify() is None
