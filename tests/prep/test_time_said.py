"""Of a time that was said: nothing new is begun at its end, however late the day is by then.

Shops by chance; each of their days is lived with jobs that take longer or less than planned.
"""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from random import Random

import pytest

from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.prep.plan import PlanLine
from shopboard.prep.time_had import TimeHad
from tests.in_turn import few
from tests.journal.helpers import Clock
from tests.prep.lived import do_piece
from tests.prep.random_shop import some_shop
from tests.prep.shop_oracle import opened

_LITTLE = timedelta(minutes=5, seconds=1)
"""What the help allows what was begun in time, wax and what is in hand not counted."""


def is_new(line: PlanLine, *, is_first: bool) -> bool:
    """Tell whether nothing of a line is begun yet; a task leaves no record before it is done."""
    if line.piece.begun or line.piece.over_at is not None:
        return False
    return not (is_first and line.piece.sort == "task")


@pytest.mark.parametrize("seed", few([*range(40)], 8))
def test_nothing_new_is_begun_at_the_end_of_the_time(tmp_path: Path, seed: int) -> None:
    """Looked at every three minutes, and whenever something is recorded."""
    chance = Random(seed)
    made, clock = some_shop(chance, chance.randint(2, 4)), Clock()
    with opened(made, tmp_path, clock) as shop:
        clock.now = clock.now.astimezone().replace(hour=8, minute=0, second=0, microsecond=0)
        planner = Planner(shop)
        work = sum(line.piece.minutes for line in planner.plan().lines)
        until = clock.now + timedelta(minutes=chance.randint(20, 20 + int(work)))
        had = TimeHad(until, any_hours=True)
        planner.choose(had=had)
        begin_day(shop.journal, "", planner.plan().from_now, had=had)
        planner.choose()
        while clock.now < until + timedelta(minutes=20):
            shop.refresh()
            lines = planner.plan().lines
            for at, line in enumerate(lines):
                if is_new(line, is_first=not at):
                    told = f"{line.piece.id} at {line.start:%H:%M}, of a day until {until:%H:%M}"
                    assert line.start < until, told
                    in_time = not at or line.end < until + _LITTLE
                    assert in_time, f"{told}, over {line.end:%H:%M}"
            if not lines:
                break
            late = chance.choice((0, 0, 3, 3, 3, 6))
            if late:
                clock.pass_by(minutes=late)
            else:
                clock.now = max(clock.now, lines[0].start)
                do_piece(shop, lines[0].piece, 0.5 * lines[0].piece.minutes, clock)
