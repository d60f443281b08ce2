"""A shop with cutters of every kind, for the tests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shopboard.journal import Store
from shopboard.shop.machine import Cutter, Life, Machine
from shopboard.shop.model import Shop
from shopboard.upkeep.cutter_journal import standings_now
from shopboard.upkeep.cutters import CutterStanding, cutter_standings
from tests.builders import make_point, make_shop

HOURS_20 = Life(1200, "minutes", "20 hours")

RIP = Cutter(
    "rip", "Rip blade", "on the machine", "sharp",
    lasts=HOURS_20, sharpenings=5, cost=18.0, away_days=10, money="euros",
)  # fmt: skip
RIP_2 = RIP._replace(id="rip-2", name="Second rip blade", where="on the shelf", spare_for="rip")
CROSS = RIP._replace(id="cross", name="Crosscut blade", where="on the shelf", state="dirty")
KNIVES = Cutter(
    "knives", "Indexed knives", "on the machine", "sharp",
    kind="knives", edges=2, lasts=HOURS_20, sharpenings=0, cost=42.0, away_days=7,
)  # fmt: skip
SPARE_KNIVES = KNIVES._replace(id="knives-2", where="on the shelf", sharpenings=None)

BLADE = make_point("saw.blade", undone_by=("blade changed",), cutter_near=True)
GAUGE = make_point("saw.gauge", undone_by=("blade changed",), rests_on=("saw.blade",))
SEATED = make_point("saw.seated", undone_by=("knives changed", "knives turned"))


def shop_of(*cutters: Cutter, points: Sequence[object] = (BLADE, GAUGE, SEATED)) -> Shop:
    """A shop of one machine, the saw, with these cutters."""
    shop = make_shop(*points)  # type: ignore[arg-type]
    saw = shop.machines[0]._replace(cutters=cutters)
    return replace(shop, machines=(saw, *shop.machines[1:]))


SHOP = shop_of(RIP, RIP_2, CROSS, KNIVES, SPARE_KNIVES)


def first_standings(shop: Shop = SHOP) -> tuple[CutterStanding, ...]:
    """How the saw's cutters stand before anything is recorded."""
    return cutter_standings(shop.machines[0], {}, {}, feet=True)


def now_standing(journal: Store, ident: str, shop: Shop = SHOP) -> CutterStanding:
    """How one of the saw's cutters stands by the journal."""
    return next(one for one in standings_now(shop, "saw", journal) if one.id == ident)


def machine_of(*cutters: Cutter) -> Machine:
    """A machine without points."""
    return Machine("saw", "Table saw", cutters=cutters)
