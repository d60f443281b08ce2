"""How long a result holds once another one is withdrawn that it was judged with."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.open_shop import OpenShop
from shopboard.results.record import CheckRecord
from shopboard.upkeep.taken_back import results_gone
from tests.histories import THOU_PER_FT, check_over_the_years
from tests.journal.helpers import Clock
from tests.two_shops import METRIC

TYPO = 40 * THOU_PER_FT
RIGHT = 2 * THOU_PER_FT


@pytest.fixture
def open_shop(tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    """A shop in which the blade is checked every 3 months."""
    file = tmp_path / "shop.toml"
    file.write_text(METRIC, encoding="utf-8")
    with closing(OpenShop(file, tmp_path / "journal.db", clock)) as opened:
        yield opened


def checked(open_shop: OpenShop, clock: Clock, error: float, days: float) -> CheckRecord:
    """Check the blade after so many days."""
    check_over_the_years(open_shop.journal, clock, open_shop.shop, "saw.blade", [error], days)
    return newest(open_shop)


def newest(open_shop: OpenShop) -> CheckRecord:
    open_shop.poll()
    stands = open_shop.standing.of_point("saw.blade")
    assert stands is not None
    assert stands.record is not None
    return stands.record


def due_in(open_shop: OpenShop) -> int:
    stands = open_shop.standing.of_point("saw.blade")
    assert stands is not None
    assert stands.record is not None
    assert stands.due_on is not None
    return (stands.due_on - stands.record.when).days


def test_a_withdrawn_typo_makes_no_good_result_fall_due(open_shop: OpenShop, clock: Clock) -> None:
    """As if it had never been: also at the next start, in words, and on a day looked back to."""
    checked(open_shop, clock, RIGHT, 1)
    typo = checked(open_shop, clock, TYPO, 29)
    right = checked(open_shop, clock, RIGHT, 1)
    assert right.holds is not None
    assert due_in(open_shop) < 30
    then = clock.now
    clock.pass_by(hours=1)
    open_shop.journal.void(typo.uid, "a wrong key")
    assert newest(open_shop).uid == right.uid
    assert newest(open_shop).holds is None
    assert due_in(open_shop) in (91, 92)
    (words,) = open_shop.wander_words("saw.blade")
    assert "When the newest result was taken" not in words
    clock.pass_by(hours=1)
    for when, limited in ((then, True), (clock.now, False)):
        stood = open_shop.stood(when).standing.of_point("saw.blade")
        assert stood is not None
        assert stood.record is not None
        assert (stood.record.holds is not None) == limited
    with closing(
        OpenShop(open_shop.shop_file, open_shop.shop_file.parent / "journal.db", clock)
    ) as later:
        assert newest(later).holds is None


def test_a_drift_that_still_shows_without_it_goes_on_limiting(
    open_shop: OpenShop, clock: Clock
) -> None:
    """Held as long as it would have been, had the typo never been recorded."""
    for at in range(5):
        checked(open_shop, clock, 1.5 * RIGHT * at, 30)
    without = checked(open_shop, clock, 7 * RIGHT, 15).holds
    open_shop.journal.void(newest(open_shop).uid, "to be taken again")
    typo = checked(open_shop, clock, TYPO, 0)
    with_it = checked(open_shop, clock, 7 * RIGHT, 0).holds
    open_shop.journal.void(typo.uid, "a wrong key")
    held = newest(open_shop).holds
    assert held is not None
    assert without is not None
    assert (held.days, held.why) == (without.days, without.why)
    assert held != with_it


def test_what_was_withdrawn_before_the_newest_result_changes_nothing(
    open_shop: OpenShop, clock: Clock
) -> None:
    """That was judged without it already."""
    checked(open_shop, clock, RIGHT, 1)
    typo = checked(open_shop, clock, TYPO, 29)
    open_shop.journal.void(typo.uid, "a wrong key")
    assert checked(open_shop, clock, RIGHT, 1).holds is None
    assert results_gone(open_shop.journal, open_shop.journal.latest("check")).among == set()
