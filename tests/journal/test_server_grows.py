"""What is asked of a journal on a server costs what its places cost, not its years.

Counted are the pages that the server says it looked at (documentation, 14.1: EXPLAIN, BUFFERS).
"""

from __future__ import annotations

from contextlib import closing

from tests.bench.benches import opened, pages_of, questions
from tests.bench.filling_server import Filling
from tests.server import database, the_server


def pages(name: str) -> dict[str, int]:
    with closing(opened(the_server().place(name))) as journal:
        return {what: pages_of(ask) for what, ask in questions(journal).items() if what != "append"}


def test_a_journal_three_times_as_long_is_asked_at_the_same_cost() -> None:
    with database() as name:
        filling = Filling(the_server().url(name), 2, 30_000)
        filling.fill_to(10_000)
        before = pages(name)
        filling.fill_to(30_000)
        after = pages(name)
    assert min(before.values()) > 0, before
    # an index of three times as many entries may be a page deeper
    more = {what: (n, after[what]) for what, n in before.items() if after[what] > 1.2 * n + 30}
    assert more == {}
