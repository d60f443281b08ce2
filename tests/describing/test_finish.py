"""The shop file is as before or as wanted, and what was told of the days before counts once."""

from __future__ import annotations

import os
from contextlib import closing, suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from shopboard.base.locations import answers_path
from shopboard.describing.description import Description
from shopboard.describing.draft import DraftError, put_aside_path
from shopboard.describing.finish import NOTE, is_ours, record, write
from shopboard.describing.reading import file_text
from shopboard.journal import kinds
from shopboard.open_shop import OpenShop
from shopboard.prep.year_cost import use_of
from shopboard.upkeep.task_marks import record_task
from shopboard.writing.saving import NotSavedError
from tests.describing.disk import Disk, EndedError
from tests.describing.person import DAY, beginning
from tests.in_turn import few

NOON = datetime(2027, 3, 1, 12, tzinfo=UTC)

TOLD = {
    "machines": "hand tools",
    "hand-tools.tasks": "hone-chisels",
    "hand-tools.tasks.hone-chisels.last": "week",
}
"""One task was done a week ago, the others today."""


@pytest.fixture(autouse=True)
def _greenwich(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "UTC")


@pytest.fixture
def shop_file(tmp_path: Path) -> Path:
    return tmp_path / "shop" / "shop.toml"


def description(shop_file: Path, day: date = DAY) -> Description:
    return Description(shop_file, beginning(), lambda: day)


def answer_all(one: Description) -> None:
    """Answer what is left, by what is known or by Enter."""
    known = dict(TOLD)
    for key, _ in ((question.key, text) for question, text in one.stand.answered):
        known.pop(key, None)
    while one.question is not None:
        one.answer(known.pop(one.question.key, ""))


def finish(one: Description, tmp_path: Path, now: datetime = NOON) -> int:
    with closing(OpenShop(one.shop_file, tmp_path / "journal", lambda: now)) as shop:
        return record(one, shop.journal, shop.shop, now)


def done_in(tmp_path: Path, shop_file: Path) -> dict[str, str]:
    """Give the day of each task that is on record; each of them once."""
    with closing(OpenShop(shop_file, tmp_path / "journal", lambda: NOON)) as shop:
        entries = shop.journal.machine_entries(kinds.TASK.name, "hand-tools")
        said = [kinds.TASK.read(one) for one in entries]
    assert len({one.point for one in entries}) == len(entries), "one counts twice"
    assert {one.note for one in said} == {NOTE}
    return {
        one.point: (told.on or one.when).date().isoformat()
        for one, told in zip(entries, said, strict=True)
    }


ON_RECORD = {
    "hone-chisels": "2027-02-22",
    "grind-chisels": "2027-03-01",
    "hone-planes": "2027-03-01",
    "oil-tools": "2027-03-01",
}


def test_the_file_is_written_and_what_was_done_is_on_record(
    shop_file: Path, tmp_path: Path
) -> None:
    with closing(description(shop_file)) as one:
        answer_all(one)
        wanted = file_text(one.stand.result)  # type: ignore[arg-type]
        write(one)
        assert shop_file.read_text(encoding="utf-8") == wanted
        assert finish(one, tmp_path) == len(ON_RECORD)
    assert done_in(tmp_path, shop_file) == ON_RECORD
    assert sorted(one.name for one in shop_file.parent.iterdir()) == [
        "shop.toml",
        "shop.toml.answers-done",
    ]

    assert "hone-chisels" in put_aside_path(shop_file).read_text(encoding="utf-8")


def test_what_was_told_is_no_work_of_today(shop_file: Path, tmp_path: Path) -> None:
    with closing(description(shop_file)) as one:
        answer_all(one)
        write(one)
        finish(one, tmp_path)
    later = NOON + timedelta(minutes=10)
    with closing(OpenShop(shop_file, tmp_path / "journal", lambda: later)) as shop:
        assert use_of(shop).year.minutes == 0
        (tools,) = shop.standing.machines
        assert {one.task.id for one in tools.tasks if one.done} == {*ON_RECORD}
        record_task(shop.journal, "hand-tools", "hone-planes")
        shop.refresh()
        assert use_of(shop).year.minutes > 0


def test_told_today_and_recorded_tomorrow_it_was_today(shop_file: Path, tmp_path: Path) -> None:
    with closing(description(shop_file)) as one:
        answer_all(one)
        write(one)
    next_day = datetime(2027, 3, 2, 9, tzinfo=UTC)
    with closing(description(shop_file, date(2027, 3, 2))) as one:
        finish(one, tmp_path, next_day)
    assert done_in(tmp_path, shop_file) == ON_RECORD


def test_told_before_the_clock_was_put_back_it_was_today(shop_file: Path, tmp_path: Path) -> None:
    with closing(description(shop_file, date(2027, 3, 9))) as one:
        answer_all(one)
        write(one)
        finish(one, tmp_path)
    assert done_in(tmp_path, shop_file) == {**ON_RECORD, "hone-chisels": "2027-03-01"}


def test_a_file_that_appeared_meanwhile_is_left(shop_file: Path) -> None:
    with closing(description(shop_file)) as one:
        answer_all(one)
        shop_file.write_bytes(b"somebody else's\n")
        with pytest.raises(NotSavedError, match="is there already; it is as it was"):
            write(one)
        assert not is_ours(one)
    assert shop_file.read_bytes() == b"somebody else's\n"
    assert answers_path(shop_file).exists(), "the answers are lost"
    assert not shop_file.with_name(".shop.toml.new").exists()


def test_one_that_appears_at_the_last_moment_is_left(
    shop_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sync = os.fsync

    def slow(handle: int) -> None:
        sync(handle)
        shop_file.write_bytes(b"an editor's\n")

    with closing(description(shop_file)) as one:
        answer_all(one)
        monkeypatch.setattr(os, "fsync", slow)
        with pytest.raises(NotSavedError, match="is there already"):
            write(one)
    assert shop_file.read_bytes() == b"an editor's\n"


def test_where_no_file_has_two_names_it_is_given_its_name(
    shop_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "no links here")

    with closing(description(shop_file)) as one:
        answer_all(one)
        monkeypatch.setattr(os, "link", refuse)
        write(one)
        assert is_ours(one)


def test_a_file_that_was_edited_since_is_still_that_of_the_answers(
    shop_file: Path, tmp_path: Path
) -> None:
    """Killed before the records: at the next start they are made, for the tasks still there."""
    with closing(description(shop_file)) as one:
        answer_all(one)
        write(one)
    text = shop_file.read_text(encoding="utf-8")
    shop_file.write_text(text.replace('"oil-tools"', '"oil-soles"'), encoding="utf-8")
    with closing(description(shop_file)) as one:
        assert is_ours(one)
        assert finish(one, tmp_path) == len(ON_RECORD) - 1


def test_ended_at_any_call_it_is_finished_at_the_next_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the last answer, the file, the records and the putting aside are on their way."""
    disk = Disk(monkeypatch)
    calls, wanted = _ended_at(10**6, disk, tmp_path / "never")
    assert calls > 12
    for at in few(range(1, calls + 1), 3):
        _, text = _ended_at(at, disk, tmp_path / str(at))
        assert text == wanted


def _ended_at(at: int, disk: Disk, here: Path) -> tuple[int, str]:
    """End the program at a call, then start it again; give how many calls it made, and the file."""
    shop_file = here / "shop" / "shop.toml"
    with closing(description(shop_file)) as one:
        answer_all(one)
        one.back()
        with suppress(EndedError), disk.struck(at):
            answer_all(one)
            write(one)
            finish(one, here)
    if not put_aside_path(shop_file).exists():
        with closing(description(shop_file)) as again:
            assert len(again.draft.answers) >= len(one.stand.answered)
            answer_all(again)
            if shop_file.exists():
                text = file_text(again.stand.result)  # type: ignore[arg-type]
                assert shop_file.read_text(encoding="utf-8") == text, "neither none nor whole"
            write(again)
            finish(again, here)
    assert done_in(here, shop_file) == ON_RECORD
    return disk.made, shop_file.read_text(encoding="utf-8")


def test_on_a_full_disk_nothing_is_there_and_nothing_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    disk, tries = Disk(monkeypatch), 0
    shop_file, said = tmp_path / "shop" / "shop.toml", list[str]()
    with closing(description(shop_file)) as one:
        answer_all(one)
        full = True
        while full:
            tries += 1
            try:
                with disk.struck(tries, full=True):
                    write(one)
            except (NotSavedError, DraftError) as error:
                said.append(str(error))
                if shop_file.exists():
                    assert is_ours(one)
            else:
                full = False
        assert finish(one, tmp_path) == len(ON_RECORD)
    assert tries > 3
    assert all("the disk is full" in one or "No space left" in one for one in said), said
    assert done_in(tmp_path, shop_file) == ON_RECORD
