"""What was gathered of the journal, brought up to date: the same as gathered anew.

The oracle is `gather`, which reads the newest entry of every place from the file.
"""

from __future__ import annotations

import errno
import os
import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import Damage, NewEntry, SqliteJournal, new_uid, open_journal
from shopboard.open_shop import OpenShop
from shopboard.standing import gathered as gathered_module
from shopboard.standing.gather import gather
from shopboard.standing.gathered import Gathered, gathered_on
from shopboard.standing.model import Past
from shopboard.upkeep.happenings import record_happening
from tests.builders import METHOD
from tests.cli.program import SHOP
from tests.in_turn import few
from tests.journal.helpers import Clock, voided
from tests.test_open_shop import check, edit, state

_READING = {"lever": "4in", "light": "top", "tolerance": "0.1deg", "refused": "0.004in"}


def bodies(rng: random.Random) -> dict[str, dict[str, object]]:
    """One body of each kind that changes a place, some of a later program."""
    from tests.builders import check_body

    found = check_body(METHOD.reckon({"goes": rng.choice(["0.002in", "0.003in"]), **_READING}), "x")
    proves = {**found, "readings": {"proves": "square-6"}}
    return {
        "check": rng.choice([found, found, found, found, proves, {"v": 99}]),
        "moved": {"v": 1},
        "happening": {"v": 1, "what": "hours run", "amount": 5.0, "total": rng.random() * 100},
        "task": {"v": 1, "minutes": rng.random() * 100, "projects": 2.0},
        "cutter": {"v": 1, "what": "used", "of": "hours run", "amount": 3.0, "minutes": 9.0},
        "tag": {"v": 1, "out_of_use": rng.random() < 0.5, "why": "guard off"},
        "round": {"v": rng.choice([1, 1, 1, 99]), "round": "r", "of": 3, "number": 1},
    }


def some_entry(rng: random.Random, journal: SqliteJournal, known: list[str]) -> None:
    """Record one thing at a place drawn by lot: now and then withdraw one or set the clock."""
    lot = rng.random()
    if lot < 0.08 and known:
        voided(journal, known.pop(rng.randrange(len(known))), "a slip")
        return
    if lot < 0.1:
        journal.append([NewEntry(new_uid(), "clock", body={"v": 1})])
        return
    kind, body = rng.choice([*bodies(rng).items()])
    point = rng.choice(["hours run", "knocked"]) if kind == "happening" else rng.choice("abc")
    machine = rng.choice(["saw", "jointer"])
    entry = NewEntry(new_uid(), kind, machine, "" if kind in ("tag", "round") else point, body)
    known.append(journal.append([entry])[0].uid)


def same(one: Past, other: Past) -> bool:
    """Compare; the happenings stand in any order."""
    return one._replace(happenings=sorted(one.happenings)) == other._replace(
        happenings=sorted(other.happenings)
    )


@pytest.mark.parametrize("seed", few(range(12), 2))
def test_brought_up_to_date_it_is_as_gathered_anew(
    seed: int, journal: SqliteJournal, clock: Clock
) -> None:
    rng = random.Random(seed)
    gathered, known = Gathered(journal, "x"), list[str]()
    for _ in range(60):
        for _ in range(rng.randint(0, 3)):
            clock.pass_by(hours=rng.choice([1, 1, 1, -30]))
            some_entry(rng, journal, known)
        assert same(gathered.now(journal), gather(journal))


def test_what_was_kept_before_is_recalled_until_it_is_gathered_anew(
    journal: SqliteJournal,
) -> None:
    """What was withdrawn is looked for in the file, so that no look at the whole has to follow."""
    journal.append([NewEntry("a", "moved", "saw", "a", {"v": 1})])
    before = Gathered(journal, "x")
    assert not before.is_recalled
    before.now(journal)
    assert not before.is_recalled
    before.save()
    after = Gathered(journal, "x")
    after.recall()
    assert after.is_recalled
    assert same(after.now(journal), gather(journal))
    assert after.is_recalled
    voided(journal, "a", "a slip")
    assert same(after.now(journal), gather(journal))
    assert not after.is_recalled
    other = Gathered(journal, "of another shop file")
    other.recall()
    assert not other.is_recalled


def test_damage_that_is_met_meanwhile_has_all_gathered_anew(journal: SqliteJournal) -> None:
    journal.append([NewEntry("a", "moved", "saw", "a", {"v": 1})])
    past = gather(journal)
    journal.append([NewEntry("b", "moved", "saw", "b", {"v": 1})])
    assert gathered_on(journal, past, 1, 2) == gather(journal)

    class Met(SqliteJournal):
        """A journal in which damage was met on reading."""

        damage = Damage(None, "an index of it is out of order")

    journal.__class__ = Met
    assert gathered_on(journal, past, 1, 2) is None


def test_a_place_recorded_at_costs_no_other(
    journal: SqliteJournal, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Counted, not timed: nothing is gathered anew for what changes one place."""
    gathered = Gathered(journal, "x")
    gathered.now(journal)
    monkeypatch.setattr(gathered_module, "gather", lambda _: pytest.fail("gathered anew"))
    for kind in ("moved", "tag", "happening", "answer", "end"):
        journal.append([NewEntry(new_uid(), kind, "saw", "a", {"v": 1})])
        gathered.now(journal)


@pytest.fixture
def shop_file(tmp_path: Path) -> Path:
    path = tmp_path / "shop.toml"
    path.write_text(SHOP, encoding="utf-8")
    return path


def leave(shop_file: Path, journal_path: Path, clock: Clock) -> None:
    """Check a point, look closer as the board does, and leave."""
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        open_shop.look_closer()
        check(open_shop)
        open_shop.poll()


def never(*_: object) -> None:
    pytest.fail("read anew")


def test_the_next_start_reads_neither_the_shop_nor_the_places_anew(
    shop_file: Path, journal_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    leave(shop_file, journal_path, clock)
    monkeypatch.setattr(gathered_module, "gather", never)
    monkeypatch.setattr("shopboard.shop.reader.read_shop", never)
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert state(open_shop) == "true"


def test_what_was_recorded_meanwhile_is_there(
    shop_file: Path, journal_path: Path, clock: Clock
) -> None:
    leave(shop_file, journal_path, clock)
    with closing(open_journal(journal_path, clock)) as journal:
        record_happening(journal, "jointer", "knocked")
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert open_shop.standing == _anew(shop_file, journal_path, clock)


def test_an_edited_shop_file_is_read(shop_file: Path, journal_path: Path, clock: Clock) -> None:
    leave(shop_file, journal_path, clock)
    edit(shop_file, "Jointer", "Long jointer")
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert open_shop.shop.machines_by_id["jointer"].name == "Long jointer"


def test_an_edit_of_the_same_length_and_time_is_read(
    shop_file: Path, journal_path: Path, clock: Clock
) -> None:
    """A copy tool may set back the time of what it puts in place."""
    leave(shop_file, journal_path, clock)
    before, text = shop_file.stat(), shop_file.read_text(encoding="utf-8")
    shop_file.write_text(text.replace("Jointer", "Jolnter"), encoding="utf-8")
    os.utime(shop_file, ns=(before.st_atime_ns, before.st_mtime_ns))
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert open_shop.shop.machines_by_id["jointer"].name == "Jolnter"


def test_another_journal_at_the_path_is_read(
    shop_file: Path, journal_path: Path, clock: Clock
) -> None:
    """As long as the old one, and of the same place: its seals differ."""
    leave(shop_file, journal_path, clock)
    other = journal_path.with_name("other")
    with closing(open_journal(journal_path, clock)) as journal:
        entries = journal.last_seq()
    with closing(open_journal(other, clock)) as journal:
        for _ in range(entries):
            record_happening(journal, "jointer", "knocked")
    other.replace(journal_path)
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert state(open_shop) == "unproven"


def test_damage_met_since_makes_it_gather_anew(
    shop_file: Path, journal_path: Path, clock: Clock
) -> None:
    """What rests on the file as it is now is unproven, as at any start."""
    leave(shop_file, journal_path, clock)
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert state(open_shop) == "true"
        with closing(sqlite3.connect(journal_path)) as db:
            db.execute("DROP TRIGGER entries_no_update")
            db.execute("UPDATE entries SET body = '{}' WHERE kind = 'check'")
            db.commit()
        open_shop.gather_anew()
        assert state(open_shop) == "unproven"
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert state(open_shop) == "unproven"


@pytest.mark.parametrize("at", [0, 3, 4, 200, -1])
def test_what_was_kept_and_is_damaged_counts_for_nothing(
    at: int, shop_file: Path, journal_path: Path, clock: Clock, tmp_path: Path
) -> None:
    leave(shop_file, journal_path, clock)
    folder = Path(os.environ["XDG_CACHE_HOME"]) / "shopboard"
    files = [*folder.iterdir()]
    assert {one.suffix for one in files} == {".shop", ".past"}
    for file in files:
        data = bytearray(file.read_bytes())
        data[at] ^= 1
        file.write_bytes(data)
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert open_shop.standing == _anew(shop_file, journal_path, clock)


def test_a_full_disk_keeps_nothing_half(
    shop_file: Path, journal_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path) -> object:
        path.touch()
        raise OSError(errno.ENOSPC, "no room")

    with monkeypatch.context() as disk:
        disk.setattr("shopboard.base.kept.new_file", full)
        leave(shop_file, journal_path, clock)
    assert not [*(Path(os.environ["XDG_CACHE_HOME"]) / "shopboard").iterdir()]
    leave(shop_file, journal_path, clock)
    assert [*(Path(os.environ["XDG_CACHE_HOME"]) / "shopboard").iterdir()]


@pytest.mark.skipif(os.name != "posix", reason="rights of files are POSIX's")
def test_what_another_user_may_have_written_is_not_read(
    shop_file: Path, journal_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    leave(shop_file, journal_path, clock)
    for file in (Path(os.environ["XDG_CACHE_HOME"]) / "shopboard").iterdir():
        assert file.stat().st_mode & 0o777 == 0o600
        file.chmod(0o666)
    monkeypatch.setattr("shopboard.base.kept.pickle.loads", never)
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert state(open_shop) == "true"


def _anew(shop_file: Path, journal_path: Path, clock: Clock) -> object:
    """Give how everything stands by the files alone."""
    with closing(OpenShop(shop_file, journal_path, clock, thorough=True)) as open_shop:
        return open_shop.standing
