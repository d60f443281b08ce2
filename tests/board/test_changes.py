"""What comes from outside while the board is open: other programs, edits, a clock, a full disk."""

from __future__ import annotations

import os
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import JournalLocked, open_journal
from shopboard.upkeep.happenings import record_happening
from tests.bench.filling import write_shop
from tests.board.conftest import Board, Place
from tests.board.test_path import READY, TO_CHECK, TRUE_READING, body, keep_a_true_finding


def edit(path: Path, old: str, new: str) -> None:
    """Change a file as an editor does, with a time of change of its own."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    changed = path.stat().st_mtime_ns + 1_000_000
    os.utime(path, ns=(changed, changed))


async def test_an_edit_of_the_shop_file_shows_by_itself(place: Place) -> None:
    async with place.open() as board:
        edit(place.shop_file, '"The old boathouse"', '"The new shed"')
        assert "The new shed" in (await board.look()).split("\n")[0]


async def test_a_broken_edit_keeps_the_last_good_shop_and_shows_the_problem(place: Place) -> None:
    async with place.open() as board:
        edit(place.shop_file, 'lever = "3 in"', 'lever = "0 in"')
        shown = await board.look()
        assert "The old boathouse" in shown
        assert "Table saw" in shown
        assert board.says("1 error in the shop file; the last good one is shown")
        problems = await board.press("p")
        assert "0 in" in problems
        assert "^" in problems
        edit(place.shop_file, 'lever = "0 in"', 'lever = "3 in"')
        await board.look()
        assert board.says("Nothing is wrong in the shop file now")
        await board.press("minus")
        assert not board.says(" error")


async def test_a_machine_taken_out_of_the_file_does_not_stop_its_screens(place: Place) -> None:
    async with place.open() as board:
        await board.press("3", "1")
        text = place.shop_file.read_text(encoding="utf-8")
        cut = text.index('[[machine]]\nid = "planer"')
        end = text.index("[[machine]]", cut + 5)
        edit(place.shop_file, text[cut:end], "")
        await board.look()
        assert board.says("no longer in the shop file")
        assert "no longer" in await board.press("minus")
        assert "The old boathouse" in await board.press("minus")
        assert "planer" not in board.text


async def test_the_first_start_offers_the_sample_and_says_where_the_file_goes(bare: Place) -> None:
    async with bare.open() as board:
        assert board.says("no shop file yet")
        assert str(bare.shop_file) in board.text.replace("\n", "").replace(" ", "")
        assert not bare.shop_file.exists()
        assert "The tide mill" in await board.press("3")
    assert bare.shop_file.exists()


async def test_a_shop_file_that_appears_is_opened(bare: Place) -> None:
    async with bare.open() as board:
        bare.shop_file.write_text("", encoding="utf-8")
        assert " error" in (await board.look()).split("\n")[0] or "1 t" in board.lines[0]
        write_shop(bare.shop_file, 5)
        assert "Shop of 5 machines" in (await board.look()).split("\n")[0]


async def test_a_file_that_is_broken_at_the_start_is_shown_with_its_places(place: Place) -> None:
    edit(place.shop_file, 'unit = "inch"', 'unit = "ell"')
    async with place.open() as board:
        assert "1 error" in board.lines[0]
        assert "ell" in board.text
        edit(place.shop_file, 'unit = "ell"', 'unit = "inch"')
        assert "nothing checked yet" in await board.look()


async def test_a_clock_that_went_back_is_named(place: Place) -> None:
    async with place.open() as board:
        await keep_a_true_finding(board)
    place.clock.pass_by(days=-30)
    async with place.open() as board:
        assert board.says("The clock looks wrong: it says Sat 2 May 2026")
        assert "■ true" in await board.press("1")


async def test_what_another_program_records_shows_by_itself(place: Place) -> None:
    async with place.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter", "minus")
        assert "■ true" in board.text
        with closing(open_journal(place.journal_file, place.clock)) as other:
            record_happening(other, "saw", "machine moved")
        shown = await board.look()
        assert "○ due" in shown
        assert board.says("machine moved on Mon 1 Jun 2026")


class Refusal:
    """Makes a journal's recording fail until told otherwise, as a full disk does."""

    def __init__(self, board: Board, monkeypatch: pytest.MonkeyPatch) -> None:
        from shopboard.journal import JournalCannotWrite

        journal = board.app.open_shop.journal
        self._patch = monkeypatch

        def fail(*_: object) -> None:
            raise JournalCannotWrite("The disk is full.", "Make room, then try again.")

        monkeypatch.setattr(journal, "append", fail)

    def end(self) -> None:
        self._patch.undo()


async def test_an_answer_that_cannot_be_recorded_is_kept_to_be_given_again(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, "1", "3")
        before = body(await board.press(*".012"))
        refusal = Refusal(board, monkeypatch)
        assert body(await board.press("enter")) == before
        assert board.says("NOT RECORDED. The disk is full. Make room, then try again.")
        refusal.end()
        assert "thinnest that won't go" in await board.press("enter")


async def test_a_finding_that_cannot_be_recorded_is_not_called_recorded(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *TRUE_READING[:-1])
        refusal = Refusal(board, monkeypatch)
        await board.press("enter")
        assert board.says("NOT RECORDED")
        assert "As found." in board.text
        refusal.end()
        await board.press("enter")
        assert board.says("Recorded 08:00, as-found: true.")
        assert len(board.app.open_shop.history("saw.blade")) == 1


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (132, 43), (200, 60)])
async def test_every_size_shows_bar_states_and_keys(place: Place, size: tuple[int, int]) -> None:
    async with place.open() as board:
        await board.resize(*size)
        assert [len(line) for line in board.lines] == [size[0]] * size[1]
        assert "The old boathouse" in board.lines[0]
        assert " ?  keys   q  quit" in board.lines[-1]
        await board.press(*TO_CHECK)
        assert board.asks("Unplug the machine")


async def test_a_window_too_small_asks_for_a_larger_one_and_loses_nothing(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, "1", "enter")
        assert "Make the window larger" in await board.resize(50, 15)
        assert "Set its stock on" in await board.resize(80, 24)


async def test_help_shows_every_key_of_its_screen_and_goes_away_again(place: Place) -> None:
    way: list[tuple[str, ...]] = [(), ("1",), ("1",), ("1",), (*TRUE_READING[:-1], "w")]
    async with place.open() as board:
        for keys in way:
            before = await board.press(*keys) if keys else board.text
            shown_keys = board.app.screen.keys_now()  # type: ignore[attr-defined]
            shown = await board.press("question_mark")
            assert "Keys: " in shown
            for key in shown_keys:
                told = "Move the cursor." if key.label in "↑↓←→" else key.help
                assert key.label in shown, key
                assert board.says(told), key
            assert body(await board.press("question_mark")) == body(before)


async def test_a_key_that_means_nothing_changes_nothing(place: Place) -> None:
    async with place.open() as board:
        before = board.text
        assert await board.press("x", "tab", "f5", "z", "ctrl+p") == before


@pytest.mark.parametrize("key", ["ctrl+c", "ctrl+q"])
async def test_ctrl_c_and_ctrl_q_do_not_stop_a_check(place: Place, key: str) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, "1", "enter")
        assert "Set its stock on" in await board.press(key)
        assert board.says("Ctrl+C does not stop the board, nor Ctrl+Q")
        assert board.app.is_running


async def test_q_leaves_with_exit_code_0(place: Place) -> None:
    async with place.open() as board:
        await board.press("q")
    assert board.app.return_code == 0


@pytest.mark.parametrize("keys", [("1", "h", "v"), ("1", "c", "1", "v")])
async def test_a_key_says_so_when_the_journal_cannot_be_read(
    place: Place, monkeypatch: pytest.MonkeyPatch, keys: tuple[str, ...]
) -> None:
    """Another program may hold it for longer than the board waits: no key ends the board."""

    def locked(*_: object, **__: object) -> object:
        raise JournalLocked("Another program is writing.", "Try again in a moment.")

    async with place.open() as board:
        await board.press(*keys[:-1])
        for question in ("recent", "machine_entries"):
            monkeypatch.setattr(type(board.app.open_shop.journal), question, locked)
        await board.press(keys[-1])
        assert board.says("Another program is writing. Try again in a moment.")
        monkeypatch.undo()
        assert "The old boathouse" in await board.press("minus", "minus", "minus")
