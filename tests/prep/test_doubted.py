"""No GO while a point that shows in the joint was measured with a tool since found bad.

The shop of these tests has one square. It is dropped now and then, which nobody notices, and
proven now and then, which shows by how much it is off; whoever checks a point sets it until the
square shows no light, so that the point is off by what the square is off from what it is taken for.
"""

from __future__ import annotations

import math
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple

from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.open_shop import OpenShop
from shopboard.prep.answers import answers_of
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.sittings.check import start
from tests.builders import Person
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.prep.test_known import add
from tests.prep.woodshop import SHOP
from tests.results.test_references import prove

BENCH = """
[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "6 in"
within = "1 thou"

[[machine]]
id = "bench"
name = "Bench"

[[machine.point]]
id = "square"
name = "Square proven"
check = "square-flip"
proves = "square"
tolerance = "4 thou/ft"
[machine.point.sizes]
length = "6 in"
"""
WIDE = SHOP.replace('gap = "1/64 in"', 'gap = "1/8 in"')
"""Even a panel whose edges are off by 15 thou/ft closes well enough."""


@contextmanager
def shop_of(text: str = SHOP) -> Iterator[OpenShop]:
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder, "shop.toml")
        shop.write_text(text + BENCH, encoding="utf-8")
        with closing(OpenShop(shop, Path(folder, "journal.sqlite3"), Clock())) as open_shop:
            add(open_shop, "jointer.tables", 0.0, 0.0005, "length")
            yield open_shop


def check(open_shop: OpenShop, shows: float) -> None:
    """Check the jointer's fence; the square shows a slope of `shows`, rad."""
    point = open_shop.shop.points["jointer.fence"]
    sitting, person = start(open_shop.journal, open_shop.shop, point), Person(shows)
    while sitting.step is not None:
        sitting.answer(person.answer(sitting.step, sitting.job))
    open_shop.refresh()


def proof(open_shop: OpenShop, off: float) -> str:
    """Prove the square by two lines; give the uid of the result."""
    gap = 2 * 6 * math.tan(abs(off))
    lies = "none" if off == 0 else "right" if off > 0 else "left"
    answers = {"at": "6 in", "lies": lies, "gap": f"{gap:.5f} in"}
    square = open_shop.shop.points["bench.square"]
    sitting = prove(open_shop.journal, open_shop.shop, square, answers)  # type: ignore[arg-type]
    open_shop.refresh()
    return sitting.recorded["record"].uid


def panel(open_shop: OpenShop) -> GlueUpAnswer:
    """Whether the lid may be glued up."""
    return answers_of(open_shop, (open_shop.shop.projects[0].joints[0],))[0]


def test_a_square_found_bad_holds_up_the_glue_up_and_says_why() -> None:
    """Though by its numbers the panel would do; checked again, or the proof withdrawn, it is go.

    15 thou/ft, as lines 15 thou apart at 6 in show.
    """
    with shop_of(WIDE) as open_shop:
        check(open_shop, 0.0)
        assert panel(open_shop).go
        uid = proof(open_shop, math.atan(0.015 / 12))
        found = panel(open_shop)
        assert not found.go
        assert "measured with Square, found 15.0 thou/ft out on" in found.reasons[0].words
        assert found.reasons[0].points == ("jointer.fence",)
        open_shop.journal.void(uid, "misread")
        open_shop.refresh()
        assert panel(open_shop).go
        proof(open_shop, math.atan(0.015 / 12))
        check(open_shop, math.atan(0.015 / 12))  # the fence is true; the square shows its own error
        assert panel(open_shop).go


class Act(NamedTuple):
    what: str
    thou_per_ft: int = 0


ACTS = st.lists(
    st.one_of(
        st.just(Act("check")),
        st.just(Act("prove")),
        st.builds(Act, st.just("drop"), st.sampled_from([-30, -15, 0, 15, 30])),
        st.just(Act("take back")),
    ),
    max_size=9,
)


@given(ACTS)
@settings(max_examples=part(40), deadline=None)
def test_never_go_on_what_a_bad_square_measured(acts: Sequence[Act]) -> None:
    """Held against what is known beforehand: taken for what, and proven to be what next."""
    with shop_of(WIDE) as open_shop:
        off = 0.0
        proofs: list[tuple[int, str, float]] = []
        taken: tuple[int, float] | None = None
        for at, act in enumerate(acts):
            if act.what == "drop":
                off = math.atan(act.thou_per_ft / 12_000)
            elif act.what == "prove":
                proofs.append((at, proof(open_shop, off), off))
            elif act.what == "check":
                taken = at, proofs[-1][2] if proofs else 0.0
                check(open_shop, taken[1])  # set until the square shows what a true face would
            elif proofs:
                _, uid, _ = proofs.pop()
                open_shop.journal.void(uid, "by mistake")
                open_shop.refresh()
        if taken is None:
            return
        shown = next((found for at, _, found in proofs if at > taken[0]), taken[1])
        if shown != taken[1]:
            assert not panel(open_shop).go
        elif not any(act.what == "take back" for act in acts):
            assert panel(open_shop).go
