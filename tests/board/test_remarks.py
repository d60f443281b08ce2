"""A note about a result: one key writes it; history, sheet, CSV and JSON show it."""

from __future__ import annotations

import json
from contextlib import closing

import pytest

from shopboard.cli import main
from shopboard.journal import open_journal
from tests.board.conftest import Place
from tests.board.test_path import NO_LIGHT, READY, TO_CHECK

WORDS = "table still warm"


@pytest.mark.parametrize("key", ["n"])
async def test_a_result_is_given_a_note_by_one_key(
    place: Place, capsys: pytest.CaptureFixture[str], key: str
) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK)
        await board.press("escape")
        assert "there is no result yet to note anything about" in await board.press(key)
        await board.press("1", *READY, *NO_LIGHT, "enter", "2", "enter")
        assert "What is the note about this result?" in await board.press(key)
        await board.press("1", "enter")
        assert board.says("1 alone says nothing later")
        await board.press("ctrl+u", *"wrong", "enter", key)
        assert board.says("Noted so far: wrong. A new note replaces it.")
        await board.press(*WORDS, "enter")
        assert board.says("Noted with the result.")
        assert f"note: {WORDS}" in board.text
        assert "wrong" not in board.text
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        (result,) = journal.recent("check", "saw", "blade")
        notes = journal.recent("remark", "saw", "blade")
        assert [one.body["words"] for one in notes] == [WORDS, "wrong"]
        assert {one.refers for one in notes} == {result.uid}
    files = ["--shop", str(place.shop_file), "--journal", str(place.journal_file)]
    capsys.readouterr()
    for command in (["history", "saw.blade"], ["sheet", "saw"], ["export", "all", "--csv"]):
        assert main([*command, *files]) == 0
        assert WORDS in capsys.readouterr().out
    main(["history", "saw.blade", "--json", *files])
    assert json.loads(capsys.readouterr().out)["results"][0]["remark"] == WORDS
