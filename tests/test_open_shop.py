"""The open shop file and journal: kept up to date, and the last good shop kept in sight."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.journal import JournalError, JournalForeign, open_journal
from shopboard.open_shop import OpenShop
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
def open_shop(shop_file: Path, journal_path: Path, clock: Clock) -> Iterator[OpenShop]:
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        yield open_shop


def edit(path: Path, old: str, new: str) -> None:
    """Change the file as an editor does, and make sure that its time differs."""
    before = path.stat()
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns + 1_000_000))


def check(open_shop: OpenShop, point: str = "jointer.fence", error: float = 0.0) -> None:
    sitting, person = (
        start(open_shop.journal, open_shop.shop, open_shop.shop.points[point]),
        Person(error),
    )
    while sitting.step is not None:
        sitting.answer(person.answer(sitting.step, sitting.job))


def state(open_shop: OpenShop, point: str = "jointer.fence") -> str:
    found = open_shop.standing.of_point(point)
    assert found is not None
    return found.state


def test_it_opens_with_the_standing_worked_out(open_shop: OpenShop) -> None:
    """Nothing checked yet: every point unproven, and no problem in sight."""
    assert open_shop.standing.count("unproven") == 3
    assert open_shop.problems == ()
    assert open_shop.history("saw.blade") == []


def test_nothing_changed_is_nothing_done(open_shop: OpenShop) -> None:
    """Looking again costs next to nothing."""
    assert open_shop.poll() is False
    standing = open_shop.standing
    assert open_shop.poll() is False
    assert open_shop.standing is standing


def test_what_another_program_records_is_seen(
    open_shop: OpenShop, shop_file: Path, journal_path: Path, clock: Clock
) -> None:
    """Two programs at one journal: each sees what the other did at its next look."""
    with closing(OpenShop(shop_file, journal_path, clock)) as other:
        check(other)
    assert state(open_shop) == "unproven"
    assert open_shop.poll() is True
    assert state(open_shop) == "true"
    assert open_shop.poll() is False


def test_an_edited_shop_file_is_taken_in(open_shop: OpenShop, shop_file: Path) -> None:
    """A tolerance made narrower judges the old result anew."""
    check(open_shop, error=0.002)
    open_shop.refresh()
    assert state(open_shop) == "true"
    edit(shop_file, 'tolerance = "0.2 deg"', 'tolerance = "0.05 deg"')
    assert open_shop.poll() is True
    assert state(open_shop) == "out"


def test_a_broken_edit_keeps_the_last_good_shop(open_shop: OpenShop, shop_file: Path) -> None:
    """With the problem beside it, until the file is right again."""
    edit(shop_file, 'lever = "4 in"', 'lever = "four"')
    assert open_shop.poll() is True
    wanted = [n for n, line in enumerate(SHOP.splitlines(), 1) if line == 'lever = "4 in"']
    assert [one.line for one in open_shop.problems] == wanted
    assert len(open_shop.shop.points) == 3
    assert open_shop.poll() is False
    edit(shop_file, 'lever = "four"', 'lever = "5 in"')
    assert open_shop.poll() is True
    assert not open_shop.problems
    assert open_shop.shop.points["jointer.fence"].geometry.lever == pytest.approx(127)


def test_a_shop_file_that_vanishes_is_a_broken_edit(open_shop: OpenShop, shop_file: Path) -> None:
    """Some editors delete and write anew."""
    text = shop_file.read_text(encoding="utf-8")
    shop_file.unlink()
    assert open_shop.poll() is True
    assert len(open_shop.problems) == 1
    assert len(open_shop.shop.points) == 3
    shop_file.write_text(text, encoding="utf-8")
    assert open_shop.poll() is True
    assert not open_shop.problems


def test_a_lagging_clock_makes_nothing_younger(open_shop: OpenShop, clock: Clock) -> None:
    """The time is never before the newest record; that the clock is wrong is known."""
    check(open_shop)
    now = clock()
    clock.now -= timedelta(days=30)
    open_shop.refresh()
    assert open_shop.now() == now
    assert open_shop.clock_is_wrong
    clock.now = now - timedelta(minutes=2)
    assert not open_shop.clock_is_wrong


def test_time_alone_makes_due(open_shop: OpenShop, shop_file: Path, clock: Clock) -> None:
    """After the interval, at the next working out, without anybody touching anything."""
    edit(shop_file, 'face = "fence"', 'face = "fence"\nevery = "30 days"')
    open_shop.poll()
    check(open_shop)
    open_shop.refresh()
    assert state(open_shop) == "true"
    clock.pass_by(days=30)
    open_shop.refresh()
    assert state(open_shop) == "due"


def test_an_unfinished_check_is_told_until_it_is_too_old(open_shop: OpenShop, clock: Clock) -> None:
    """By the point's full name."""
    start(open_shop.journal, open_shop.shop, open_shop.shop.points["saw.blade"])
    open_shop.refresh()
    assert set(open_shop.waiting) == {"saw.blade"}
    clock.pass_by(days=2)
    open_shop.refresh()
    assert open_shop.waiting == {}


def test_points_that_left_the_shop_file_are_no_longer_told(
    open_shop: OpenShop, shop_file: Path
) -> None:
    """Their records stay in the journal, and come back with them."""
    check(open_shop)
    text = shop_file.read_text(encoding="utf-8")
    edit(shop_file, text[text.index('[[machine]]\nid = "jointer"') :], "")
    open_shop.poll()
    assert open_shop.standing.of_point("jointer.fence") is None
    assert len(open_shop.history("jointer.fence")) == 1
    edit(shop_file, shop_file.read_text(encoding="utf-8"), text)
    open_shop.poll()
    assert state(open_shop) == "true"


def test_a_happening_recorded_here_is_seen_at_once(open_shop: OpenShop) -> None:
    """After working out anew."""
    check(open_shop, "saw.blade")
    record_happening(open_shop.journal, "saw", "blade changed")
    open_shop.refresh()
    assert state(open_shop, "saw.blade") == "due"


def test_a_bad_shop_file_opens_no_journal(tmp_path: Path, journal_path: Path, clock: Clock) -> None:
    """Every problem is told; nothing is made."""
    (tmp_path / "shop.toml").write_text("[shop", encoding="utf-8")
    with pytest.raises(ShopFileError):
        OpenShop(tmp_path / "shop.toml", journal_path, clock)
    assert not journal_path.exists()


def test_a_journal_that_is_none_is_told(shop_file: Path, tmp_path: Path, clock: Clock) -> None:
    """A folder is no journal."""
    with pytest.raises(JournalForeign):
        OpenShop(shop_file, tmp_path, clock)


def test_a_journal_that_cannot_be_read_now_is_taken_in_later(
    open_shop: OpenShop, shop_file: Path, journal_path: Path
) -> None:
    """The shop file changed while the journal was away: nothing of either is missed."""
    check(open_shop)
    aside = journal_path.with_name("aside")
    journal_path.rename(aside)
    edit(shop_file, 'tolerance = "0.2 deg"', 'tolerance = "0.3 deg"')
    with pytest.raises(JournalError):
        open_shop.poll()
    aside.rename(journal_path)
    assert open_shop.poll() is True
    assert state(open_shop) == "true"
    assert open_shop.shop.points["jointer.fence"].tolerance.typed == "0.3 deg"


def test_closing_lets_go_of_the_journal(
    open_shop: OpenShop, journal_path: Path, clock: Clock
) -> None:
    """Twice is harmless; the file is free for others."""
    open_shop.close()
    open_shop.close()
    with closing(open_journal(journal_path, clock, wait_seconds=0.05)) as journal:
        assert journal.verify() is None
