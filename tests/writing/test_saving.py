"""A shop file is as before or as wanted, whatever happens while it is changed."""

from __future__ import annotations

import os
import stat
import sys
import threading
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path

import pytest

from shopboard.shop.files import LARGEST
from shopboard.writing import saving
from shopboard.writing.saving import NotSavedError, save
from tests.journal.calls import CHANGES, Call, calls_of, failed_at, killed_at
from tests.journal.helpers import need

WHEN = datetime(2027, 2, 1, 9, 30, 5, tzinfo=UTC)
DATED = f"{WHEN.astimezone():%Y-%m-%d-%H%M%S}"
OLD, NEW = b"name = 'before'\n" * 300, b"name = 'after'\n" * 400


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    path = tmp_path / "shop" / "shop.toml"
    path.parent.mkdir()
    path.write_bytes(OLD)
    return path


def beside(path: Path) -> list[str]:
    return sorted(one.name for one in path.parent.iterdir())


def test_the_file_is_as_wanted_and_the_one_before_is_kept(shop: Path) -> None:
    kept = save(shop, OLD, NEW, WHEN)
    assert kept == shop.with_name(f"shop.toml.before-{DATED}")
    assert (shop.read_bytes(), kept.read_bytes()) == (NEW, OLD)
    assert beside(shop) == ["shop.toml", kept.name]


def test_what_was_kept_before_stays(shop: Path) -> None:
    """Of three changes within a second, each file before."""
    texts = [OLD, NEW, b"third = 3\n", b"fourth = 4\n"]
    kept = [save(shop, one, after, WHEN) for one, after in pairwise(texts)]
    assert [one.read_bytes() for one in kept] == texts[:3]
    assert shop.read_bytes() == texts[3]
    assert len(beside(shop)) == 4


def test_a_file_that_was_changed_meanwhile_is_left_as_it_is(shop: Path) -> None:
    shop.write_bytes(b"somebody else's\n")
    with pytest.raises(NotSavedError, match="changed by somebody else meanwhile"):
        save(shop, OLD, NEW, WHEN)
    assert shop.read_bytes() == b"somebody else's\n"
    assert beside(shop) == ["shop.toml"]


def test_it_is_compared_again_once_the_new_one_is_on_the_disk(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sync = os.fsync

    def slow(handle: int) -> None:
        sync(handle)
        shop.write_bytes(b"an editor's\n")

    monkeypatch.setattr(os, "fsync", slow)
    with pytest.raises(NotSavedError, match="meanwhile"):
        save(shop, OLD, NEW, WHEN)
    assert shop.read_bytes() == b"an editor's\n"
    assert beside(shop) == ["shop.toml"]


def test_a_file_that_is_gone_meanwhile_is_not_made_anew(shop: Path) -> None:
    shop.unlink()
    with pytest.raises(NotSavedError, match=r"(?i)no such file"):
        save(shop, OLD, NEW, WHEN)
    assert beside(shop) == []


def test_a_read_only_file_is_left(shop: Path) -> None:
    shop.chmod(0o444)
    with pytest.raises(NotSavedError, match="read-only; nothing was changed"):
        save(shop, OLD, NEW, WHEN)
    assert shop.read_bytes() == OLD


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write in every folder")
def test_a_folder_that_may_not_be_written_in(shop: Path) -> None:
    shop.parent.chmod(0o555)
    try:
        with pytest.raises(NotSavedError, match="may not write in its folder; it is as it was"):
            save(shop, OLD, NEW, WHEN)
    finally:
        shop.parent.chmod(0o755)
    assert shop.read_bytes() == OLD


def test_where_nothing_new_may_be_made_it_says_so(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same for root, whom no folder refuses."""

    def refuse(_: Path) -> None:
        raise PermissionError(13, "refused")

    monkeypatch.setattr(saving, "new_file", refuse)
    with pytest.raises(NotSavedError, match="may not write in its folder; it is as it was"):
        save(shop, OLD, NEW, WHEN)
    assert shop.read_bytes() == OLD
    assert beside(shop) == ["shop.toml"]


def test_a_file_of_another_account_does_not_change_hands(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "refused")

    if os.geteuid() == 0:
        os.chown(shop, 12345, 12346)
    else:
        pytest.skip("needs root to give the file to another account")
    monkeypatch.setattr(os, "chown", refuse)
    with pytest.raises(NotSavedError, match="belongs to another account"):
        save(shop, OLD, NEW, WHEN)
    assert (shop.read_bytes(), shop.stat().st_uid) == (OLD, 12345)
    assert beside(shop) == ["shop.toml"]


def test_a_link_stays_one_and_what_it_leads_to_is_changed(shop: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to("shop/shop.toml")
    kept = save(link, OLD, NEW, WHEN)
    assert link.is_symlink()
    assert link.readlink() == Path("shop/shop.toml")
    assert shop.read_bytes() == NEW
    assert kept.read_bytes() == OLD
    assert kept.parent == shop.parent


@pytest.mark.parametrize("mode", [0o600, 0o644, 0o664, 0o640])
def test_its_rights_and_owner_stay(shop: Path, mode: int) -> None:
    shop.chmod(mode)
    if os.geteuid() == 0:
        os.chown(shop, 12345, 12346)
    before = shop.stat()
    kept = save(shop, OLD, NEW, WHEN)
    for one in (shop.stat(), kept.stat()):
        assert stat.S_IMODE(one.st_mode) == mode
        assert (one.st_uid, one.st_gid) == (before.st_uid, before.st_gid)


def test_a_file_that_would_be_too_large_to_be_read_is_not_written(shop: Path) -> None:
    with pytest.raises(NotSavedError, match="1,000,001 bytes; at most 1,000,000"):
        save(shop, OLD, b"#" * (LARGEST + 1), WHEN)
    assert shop.read_bytes() == OLD


def test_where_no_file_has_two_names_a_copy_is_kept(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    assert save(shop, OLD, NEW, WHEN).read_bytes() == OLD
    assert shop.read_bytes() == NEW


def test_two_at_once_do_not_mix(shop: Path) -> None:
    """One of them is done; each other one says that the file was changed meanwhile."""
    said: list[str] = []

    def change(number: int) -> None:
        try:
            save(shop, OLD, b"%d\n" % number * 1000, WHEN)
            said.append(f"{number}")
        except NotSavedError:
            said.append("")

    runs = [threading.Thread(target=change, args=(number,)) for number in range(6)]
    for run in runs:
        run.start()
    for run in runs:
        run.join()
    (done,) = filter(None, said)
    assert shop.read_bytes() == b"%d\n" % int(done) * 1000
    assert beside(shop) == ["shop.toml", f"shop.toml.before-{DATED}"]


def test_one_that_is_held_up_says_so_and_does_not_wait_for_ever(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import fcntl

    monkeypatch.setattr(saving, "_TRIES", 3)
    handle = os.open(shop.parent, os.O_RDONLY)
    fcntl.flock(handle, fcntl.LOCK_EX)
    try:
        with pytest.raises(NotSavedError, match="another run"):
            save(shop, OLD, NEW, WHEN)
    finally:
        os.close(handle)
    assert shop.read_bytes() == OLD


# Killed, or let down by the disk, at every call by which it touches the folder.


def program(folder: Path) -> list[str]:
    script = str(Path(__file__).with_name("writer.py"))
    wanted = [folder.parent / "old", folder.parent / "new"]
    return [sys.executable, "-B", script, str(folder / "shop.toml"), *map(str, wanted)]


def ready(tmp_path: Path, name: str) -> Path:
    (tmp_path / "old").write_bytes(OLD)
    (tmp_path / "new").write_bytes(NEW)
    folder = tmp_path / name
    folder.mkdir()
    (folder / "shop.toml").write_bytes(OLD)
    (folder / "shop.toml.before").write_bytes(b"older\n")
    return folder


def calls(tmp_path: Path) -> list[Call]:
    need("strace")
    found = calls_of(program(ready(tmp_path, "trace")), tmp_path / "trace")
    touching = [one for one in found if one.name in CHANGES or one.name == "openat"]
    assert {one.name for one in touching} >= {"write", "fsync", "link", "rename"}
    return touching


def held(folder: Path) -> bool:
    """Hold what lies there; tell whether the change took place."""
    now = (folder / "shop.toml").read_bytes()
    assert now in (OLD, NEW), "neither as before nor as wanted"
    there = {one.read_bytes() for one in folder.glob("shop.toml.before*")}
    assert now == OLD or OLD in there, "the one before is lost"
    assert there <= {OLD, b"older\n"}, "no whole one is kept"
    assert b"older\n" in there, "one that was kept is lost"
    return now == NEW


def held_back(folder: Path) -> list[str]:
    """Give what was begun, and is of no use to anybody."""
    return [one for one in beside(folder / "shop.toml") if one.startswith(".")]


def test_killed_at_any_call_it_is_as_before_or_as_wanted(tmp_path: Path) -> None:
    seen = set()
    for number, call in enumerate(calls(tmp_path)):
        folder = ready(tmp_path, f"killed-{number}")
        assert killed_at(program(folder), folder, call).code < 0
        done = held(folder)
        seen.add(done)
        now = NEW if done else OLD  # what a killed one left does not stand in the way of the next
        kept = save(folder / "shop.toml", now, b"next\n", WHEN)
        assert (kept.read_bytes(), held_back(folder)) == (now, [])
    assert seen == {False, True}


@pytest.mark.parametrize("fault", ["ENOSPC", "EIO", "EROFS", "EDQUOT"])
def test_let_down_at_any_call_it_says_so(tmp_path: Path, fault: str) -> None:
    for number, call in enumerate(one for one in calls(tmp_path) if one.name in CHANGES):
        folder = ready(tmp_path, f"failed-{number}")
        told = failed_at(program(folder), folder, call.name, f"error={fault}:when={call.number}")
        done = held(folder)
        assert "Traceback" not in told.error
        if told.code == 0:
            assert done, "it said that it was saved"
        else:
            assert told.code == 6, told.error
            assert len(told.said) == 1
            assert ("did not confirm" in told.said[0]) == done, told.said
            assert not [one for one in beside(folder / "shop.toml") if one.endswith(".new")]
