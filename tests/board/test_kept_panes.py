"""A pane that is kept says what a pane drawn anew says, whatever happened meanwhile."""

from __future__ import annotations

import random
from datetime import timedelta

import pytest

from shopboard.board.board_view import panes
from shopboard.board.kept_panes import KeptPanes
from shopboard.up_next.items import is_fresh
from tests.board.test_board_view import ALL, MIXED, shop_of, with_states
from tests.board.test_views import NOW


@pytest.mark.parametrize("name", ALL)
def test_panes_that_are_kept_are_those_that_would_be_drawn(name: str) -> None:
    """Cursor, states, tags, what is in progress, the window and the minute change at random."""
    draw, chance = KeptPanes().pane, random.Random(8)
    shop = shop_of(name)
    stands = [
        shop,
        with_states(shop, ("true",)),
        with_states(shop, MIXED, 2),
        with_states(shop, ("out",), 1),
    ]
    standing, now, size, here, going = shop, NOW, (80, 21), True, dict[str, list[str]]()
    for _ in range(60):
        on = chance.choice(standing.machines).machine.id
        match chance.randrange(8):
            case 0:
                standing = chance.choice(stands)
            case 1:
                now += timedelta(minutes=chance.randrange(90))
            case 2:
                size = chance.choice([(80, 21), (120, 33), (160, 45)])
            case 3:
                here = not here
            case 4:
                going = {on: [f"Soak: {chance.randrange(20)} min left"]}
            case _:
                pass
        fresh = is_fresh(standing)
        anew = panes(standing, on, now, *size, going, here=here, fresh=fresh)
        kept = panes(standing, on, now, *size, going, here=here, fresh=fresh, draw=draw)
        assert kept == anew
