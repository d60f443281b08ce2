"""An entry that an index hides is found between the keys, and the board says so and goes on."""

from __future__ import annotations

import asyncio
import re
from contextlib import closing
from datetime import UTC, datetime

from shopboard.board.app import KEYS_REST
from shopboard.desk import Desk
from shopboard.upkeep.tags import record_tag
from tests.board.conftest import Place

LONGEST = 20.0


async def test_a_hidden_tag_is_found_between_the_keys(place: Place) -> None:
    """The index lost the key of a DO NOT USE: no question finds it, and no seal is wrong."""
    with closing(Desk(place.shop_file, place.journal_file, lambda: datetime.now(UTC))) as desk:
        machine = desk.shop.machines[0].id
        record_tag(machine, "the belt is torn", desk.journal)
    raw = bytearray(place.journal_file.read_bytes())
    keys = [one.start() for one in re.finditer(f"tag{machine}".encode(), raw)]
    assert len(keys) == 2  # in the row, and in the index behind it
    raw[keys[1]] ^= 1
    place.journal_file.write_bytes(raw)
    async with place.open() as board:
        board.app.monotonic = asyncio.get_running_loop().time
        waited = 0.0
        while board.app.desk.journal.damage is None and waited < LONGEST:
            await asyncio.sleep(KEYS_REST)
            waited += KEYS_REST
        damage = board.app.desk.journal.damage
        assert damage is not None
        assert f"entry {damage.seq} is not found where it was recorded" in await board.press("down")
        await board.press("1", "escape")
        assert board.app.desk.standing.count("unproven") > 0
        assert board.app.desk.standing.count("true") == 0
