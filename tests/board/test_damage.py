"""An entry that an index hides is found between the keys, and the board says so and goes on."""

from __future__ import annotations

import asyncio
import re
import sqlite3
from contextlib import closing
from datetime import UTC, datetime

from shopboard.board.app import KEYS_REST
from shopboard.open_shop import OpenShop
from shopboard.upkeep.tags import record_tag
from tests.board.conftest import Place
from tests.board.test_path import keep_a_true_finding

LONGEST = 20.0


async def test_a_hidden_tag_is_found_between_the_keys(place: Place) -> None:
    """The index lost the key of a DO NOT USE: no question finds it, and no seal is wrong."""
    with closing(
        OpenShop(place.shop_file, place.journal_file, lambda: datetime.now(UTC))
    ) as open_shop:
        machine = open_shop.shop.machines[0].id
        record_tag(machine, "the belt is torn", open_shop.journal)
    raw = bytearray(place.journal_file.read_bytes())
    keys = [one.start() for one in re.finditer(f"tag{machine}".encode(), raw)]
    assert len(keys) == 2  # in the row, and in the index behind it
    raw[keys[1]] ^= 1
    place.journal_file.write_bytes(raw)
    async with place.open() as board:
        board.app.monotonic = asyncio.get_running_loop().time
        waited = 0.0
        while board.app.open_shop.journal.damage is None and waited < LONGEST:
            await asyncio.sleep(KEYS_REST)
            waited += KEYS_REST
        damage = board.app.open_shop.journal.damage
        assert damage is not None
        assert f"entry {damage.seq} is not found where it was recorded" in await board.press("down")
        await board.press("1", "escape")
        assert board.app.open_shop.standing.count("unproven") > 0
        assert board.app.open_shop.standing.count("true") == 0


async def test_a_machine_that_may_be_tagged_is_looked_at_and_said_to_carry_none(
    place: Place,
) -> None:
    """Its screen asks what the tag on it says; the first line twice keeps that there is none."""
    with closing(
        OpenShop(place.shop_file, place.journal_file, lambda: datetime.now(UTC))
    ) as open_shop:
        machine = open_shop.shop.machines[0]
        record_tag(machine.id, "the belt is torn", open_shop.journal)
    raw = place.journal_file.read_bytes()
    place.journal_file.write_bytes(raw.replace(b"the belt is torn", b"the belt is torm"))
    async with place.open() as board:
        while not board.app.open_shop.look_on(1.0):
            pass
        shown = await board.press("down")
        assert f"{len(board.app.open_shop.shop.machines)} DO NOT USE" in shown
        shown = await board.press("1")
        assert "it may carry this tag: the journal is damaged at entry" in shown
        await board.press("1")  # a point
        assert " ! The journal is damaged at entry" in board.text
        shown = await board.press("escape", "d")
        assert "does it carry a tag DO NOT USE?" in shown
        assert "1  I looked: it carries none" in shown
        assert "press 1 once more to keep that" in await board.press("1")
        shown = await board.press("1")
        assert f"{machine.name}: it carries no tag." in shown
        assert "may carry" not in shown
        tagged = [one.machine.id for one in board.app.open_shop.standing.tagged]
        assert tagged == [one.id for one in board.app.open_shop.shop.machines[1:]]
        await board.press("escape", "2", "d")
        await board.press("2")  # it carries one: it is put on record with its words
        assert "a guard is off or damaged" in board.text


async def test_what_was_kept_is_held_against_the_file_as_soon_as_the_board_stands(
    place: Place,
) -> None:
    """The first picture goes by what was kept; damage since then is said before any key."""
    async with place.open() as board:
        await keep_a_true_finding(board)
        board.app.open_shop.poll()
        board.app.open_shop.save_memory()
    with closing(sqlite3.connect(place.journal_file)) as db:
        ((guard,),) = db.execute("SELECT sql FROM sqlite_schema WHERE name = 'entries_no_update'")
        db.execute("DROP TRIGGER entries_no_update")
        db.execute("UPDATE entries SET body = '{}' WHERE kind = 'check'")
        db.execute(guard)
        db.commit()
    async with place.open() as board:
        assert "The journal is damaged" in board.text
        assert board.app.open_shop.standing.count("true") == 0
