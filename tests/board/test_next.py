"""What to do next, on the board: reached by the cursor and Enter, with its minutes."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.commands.status_lines import next_lines
from shopboard.journal import NewEntry, new_uid
from shopboard.open_shop import OpenShop
from shopboard.prep.minutes import method_minutes
from shopboard.prep.settle_next import to_settle
from shopboard.sittings.cutter_change import begin
from shopboard.up_next.items import is_fresh, next_items
from shopboard.up_next.known import begin_with, known_minutes, work_out_next
from shopboard.up_next.under_way import all_under_way
from tests.board.conftest import Place
from tests.board.test_happened import check_all
from tests.board.workshop import SHOP
from tests.combination import LAST_HOME
from tests.combination import SHOP as COMBINATION
from tests.prep.results import result


@pytest.fixture
def loft(bare: Place) -> Place:
    """A small workshop."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


async def test_the_cursor_goes_down_from_the_panes_to_what_is_next(loft: Place) -> None:
    async with loft.open() as board:
        assert "►1 SAW" in board.lines[1]
        await board.press("down")
        (line,) = [one for one in board.lines if "►" in one]
        assert line.startswith("NEXT   ►1 SAW      ? check Table")
        assert "►1 SAW" in (await board.press("up")).split("\n")[1]
        assert "The loft" in board.lines[0]
        assert "Saw · Table" in (await board.press("down", "enter")).split("\n")[0]
        await board.press("minus")
        assert "►1 SAW      ? check Table" in board.text


async def test_a_task_that_is_next_is_opened_at_its_line(loft: Place) -> None:
    """Points first, then tasks; each once."""
    async with loft.open() as board:
        await board.press("1")
        await check_all(board)
        await board.press("minus")
        assert "nothing checked yet" not in board.text
        await board.press("down", "down")
        (line,) = [one for one in board.lines if "►" in one]
        assert "○ Empty the dust box" in line
        assert "►2 Empty the dust box" in await board.press("enter")


@pytest.mark.parametrize("text", [COMBINATION, LAST_HOME])
def test_a_head_of_two_modes_is_said_once_and_not_while_it_is_changed(
    bare: Place, text: str
) -> None:
    """Dull knives are one thing to see to, until somebody is at them."""
    dull = text.replace('kind = "knives"\nstate = "sharp"', 'kind = "knives"\nstate = "dull"')
    bare.shop_file.write_text(dull, encoding="utf-8")
    with closing(OpenShop(bare.shop_file, bare.journal_file, bare.clock)) as shop:
        shop.journal.append([NewEntry(new_uid(), "check", "saw", "blade", result(0.0, 0.0001))])
        shop.refresh()
        items = next_items(shop.standing, all_under_way(shop))
        assert [(one.sort, one.machine, one.name) for one in items if one.sort != "point"] == [
            ("cutter", "top", "head")
        ]
        head = next(
            one for machine in shop.standing.machines for one in machine.cutters if one.blunt
        )
        begin(shop.journal, shop.shop, head, "turn").answer("plug out")
        shop.refresh()
        items = next_items(shop.standing, all_under_way(shop))
        assert [one.words for one in items if one.sort != "point"] == ["go on with Knife change"]


async def test_what_is_next_has_the_minutes_of_its_method(loft: Place) -> None:
    """The method's own, as long as nothing is learnt of the point and the shop file says none."""
    async with loft.open() as board:
        open_shop = board.app.open_shop
        assert is_fresh(open_shop.standing)
        items = next_items(open_shop.standing, ())
        while work_out_next(open_shop, items, fresh=True):
            pass
        assert begin_with(open_shop) == ["saw.table", "saw.fence", "saw.stop"]
        told = f"{method_minutes('square'):.0f} min"
        assert [known_minutes(open_shop)[one.key] for one in items] == [told] * 3
        rows = [row for row in (await board.press("down")).split("\n") if "check Table" in row]
        assert rows[0].rstrip().endswith(told)


async def test_the_digits_go_on_to_the_next_nine_machines(loft: Place) -> None:
    """More than nine machines at the smallest window: a page of nine, and what is on the other."""
    more = "".join(f'[[machine]]\nid = "m{n}"\nname = "Rack {n}"\n\n' for n in range(3, 13))
    text = loft.shop_file.read_text(encoding="utf-8")
    loft.shop_file.write_text(f"{text}\n{more}", encoding="utf-8")
    async with loft.open() as board:
        assert board.says("▼ 3 more")
        assert " 9 RACK 9" in board.text
        shown = await board.press("plus")
        assert "►1 RACK 10" in shown
        assert board.says("▲ 9 more")
        assert "Rack 11" in (await board.press("2")).split("\n")[0]


@pytest.mark.parametrize(
    ("source", "sets", "again"),
    [("indicator", 1, False), ("repeats", 1, True), ("repeats", 99, False), ("apart", 2, True)],
)
def test_where_reading_again_is_no_help_it_says_what_settles_it_at_once(
    loft: Place, source: str, sets: int, again: bool
) -> None:
    """Found near once: what its result hangs on is lessened by reading again, or is not."""
    with closing(OpenShop(loft.shop_file, loft.journal_file, loft.clock)) as shop:
        high = shop.shop.points["saw.table"].tolerance.high
        body = result(0.97 * high, 0.05 * high)
        errors = {"repeats": {"errors": [body["error"]] * sets}}
        body |= {"budget_ids": [source], "readings": errors}
        shop.journal.append([NewEntry(new_uid(), "check", "saw", "table", body)])
        shop.refresh()
        one = shop.standing.of_point("saw.table")
        assert one is not None
        assert one.state == "near"
        assert (to_settle(shop, one) == "") == again
        lines = [*next_lines(shop)]
        assert any("settle Table" in line for line in lines) != again


@pytest.mark.parametrize(("width", "height"), [(80, 24), (160, 48)])
async def test_near_twice_it_says_what_settles_it_on_board_and_machine(
    loft: Place, width: int, height: int
) -> None:
    """0.97 of the tolerance, known to a twentieth of it: neither proven in nor out."""
    with closing(OpenShop(loft.shop_file, loft.journal_file, loft.clock)) as shop:
        high = shop.shop.points["saw.table"].tolerance.high
        for _ in range(2):
            body = result(0.97 * high, 0.05 * high)
            shop.journal.append([NewEntry(new_uid(), "check", "saw", "table", body)])
        shop.refresh()
        one = shop.standing.of_point("saw.table")
        assert one is not None
        assert one.state == "near"
        told = to_settle(shop, one)
    assert told
    async with loft.open(width, height) as board:
        items = next_items(board.app.open_shop.standing, ())
        while work_out_next(board.app.open_shop, items, fresh=False):
            pass
        await board.press("down")
        first = told.split(",")[0].split(" or ")[0][:18]
        assert board.says(f"settle Table: {first}") or board.asks("settle Table")
        assert not board.says("check Table")
        assert board.says("check Fence") or board.asks("check Fence")
        await board.press("enter", "minus", "1")
        await board.look()
        assert board.says(f"settle Table: {told}; then ")
