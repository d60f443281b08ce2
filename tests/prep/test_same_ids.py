"""Two modes of one machine may each have a cutter of one id: a change means that of its mode.

What is to come of each shop is told by hand.
"""

from __future__ import annotations

from datetime import UTC, datetime

from shopboard.prep.due_changes import cutter_of, planned_changes
from shopboard.prep.job_list import KnownNow
from shopboard.prep.work import to_do
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import Past, ShopStanding
from tests.combination import cutter, machine

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
HEAD = '[shop]\nname = "The sluice"\nunit = "mm"\n'


def stands(text: str) -> tuple[Shop, ShopStanding]:
    shop = read_shop_text(HEAD + text).shop
    return shop, shop_standing(shop, Past(), NOW)


def one(ident: str, kind: str, state: str, more: str) -> str:
    return cutter(ident, kind, more).replace('"sharp"', f'"{state}"')


def test_the_spare_that_goes_on_is_that_of_the_mode_it_belongs_to() -> None:
    """The day is for the spindle alone; its own bit bears the id of the saw's sharp blade."""
    serves = 'serves = "spindle"\n'
    _, standing = stands(
        machine("saw", "Sawing", "table saw")
        + one("first", "blade", "dull", serves + 'where = "on the machine"')
        + one("second", "blade", "sharp", serves + 'where = "on the shelf"\nspare_for = "first"')
        + machine("spindle", "Shaping", "shaper")
        + one("second", "bit", "sharp", 'where = "on the machine"').replace("The second", "The bit")
    )
    spindle = standing.machines[1]
    (change,) = planned_changes(spindle, ["spindle"], [])
    assert (change.piece.name, change.happened) == ("The second on", "blade changed")
    meant = cutter_of(change.piece, spindle.cutters)
    assert meant is not None
    assert (meant.machine, meant.id, meant.cutter.kind) == ("saw", "second", "blade")


def test_before_means_the_cutter_of_its_own_machine() -> None:
    """Wax before the bit of that mode is changed; the knives of the other mode are not meant."""
    shop, standing = stands(
        machine("top", "Surfacing", "jointer")
        + one("k", "knives", "dull", 'edges = 2\nserves = "thick"\nwhere = "on the machine"')
        + machine("thick", "Thicknessing", "planer")
        + one("k", "bit", "sharp", 'where = "on the machine"')
        + '[[machine.task]]\nid = "oil"\nname = "Grease"\nevery = "4 weeks"\nbefore = "k"\n'
    )
    jobs = {job.id: job for job in to_do(KnownNow(shop, standing, NOW, lambda _: 6.0)).jobs}
    assert {*jobs} == {"cutter top.k", "task thick.oil 0"}
    assert "task thick.oil 0" not in dict(jobs["cutter top.k"].after)
