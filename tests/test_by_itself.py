"""A point that is true by itself waits for what it rests on: no check to do, and no GO either."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopboard.base.state_words import STATE_WORDS
from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES
from shopboard.board.machine_view import machine_lines
from shopboard.board.paint import plain
from shopboard.board.point_view import point_lines
from shopboard.commands.status_lines import machine_head
from shopboard.handbook.tables import STATES
from shopboard.prep.due_checks import comes_back
from shopboard.shop.model import Shop
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import WORST_FIRST, ShopStanding
from tests.builders import make_point, make_shop
from tests.standing.test_judge import NEAR, NOW, OUT, TRUE, Told

README = Path(__file__).parent.parent / "README.md"


def two_machines() -> Shop:
    """A slot on the saw; on a bench of its own, a sled that was measured from it."""
    return make_shop(make_point("saw.slot"), make_point("bench.sled", rests_on=("saw.slot",)))


def stood(told: Told, shop: Shop | None = None) -> ShopStanding:
    return shop_standing(shop or two_machines(), told.past(), NOW)


@pytest.mark.parametrize(
    ("base", "words"),
    [
        (None, "depends on Slot (Saw), never checked"),
        (NEAR, "depends on Slot (Saw), which is borderline: checking Sled again cannot help"),
        (OUT, "depends on Slot (Saw), which is out"),
    ],
)
def test_just_measured_true_it_waits_and_is_no_check_to_do(base: float | None, words: str) -> None:
    """Its machine waits with it; the base is what is to be checked."""
    told = Told()
    if base is not None:
        told.check("saw.slot", base)
    found = stood(told.check("bench.sled"))
    sled, bench = found.of_point("bench.sled"), found.of_machine("bench")
    assert sled is not None
    assert bench is not None
    assert (sled.state, sled.reason) == ("waits", f"true by itself; {words}")
    assert not sled.stands
    assert (bench.state, bench.to_check) == ("waits", 0)
    assert bench.first == found.of_point("saw.slot")
    assert found.order == ("saw.slot",)
    assert not found.all_true
    assert stood(told.check("saw.slot", TRUE)).all_true


def test_a_base_set_anew_makes_it_due() -> None:
    """Measured from where the base was before, it says nothing now; nor does one farther up."""
    told = Told().check("bench.sled").move("saw.slot")
    for after in (told, told.check("saw.slot")):
        sled = stood(after).of_point("bench.sled")
        assert sled is not None
        assert sled.state == "due"


def test_too_old_by_itself_it_is_due() -> None:
    """Whatever its base is."""
    sled = make_point("bench.sled", rests_on=("saw.slot",), undone_by=("knocked",))
    shop = make_shop(make_point("saw.slot"), sled)
    told = Told().check("saw.slot", NEAR).check("bench.sled").happen("bench", "knocked")
    found = stood(told, shop).of_point("bench.sled")
    assert found is not None
    assert (found.state, found.to_check) == ("due", True)


def test_near_before_something_undid_it_is_unproven() -> None:
    """Its old reading says nothing of how it is now: it was never proven, and is not shown."""
    point = make_point("jointer.knives", undone_by=("knives changed",))
    told = Told().check("jointer.knives", NEAR).happen("jointer", "knives changed")
    found = stood(told, make_shop(point)).of_point("jointer.knives")
    assert found is not None
    assert found.state == "unproven"
    assert found.reason == "knives changed on Mon 1 Jun 2026; it was borderline before that"
    machine = stood(told, make_shop(point)).machines[0]
    size = (80, 21)
    screen = [plain(line) for line in machine_lines(machine, 0, NOW, "inch", size)]
    large = [plain(line) for line in point_lines(found, [], [], [], 0, NOW, "inch", size)]
    tolerance = point.tolerance.words("inch").partition(" (")[0] if point.tolerance else ""
    read = [line.replace(tolerance, "") for line in (*screen, *large)]
    assert not any("thou/ft" in line or "%" in line for line in read)
    assert any("last read just now" in line for line in large)


@pytest.mark.parametrize(("base", "back"), [(NEAR, True), (OUT, False), (None, True)])
def test_what_waits_is_planned_again_only_where_its_base_has_to_be_set(
    base: float | None, back: bool
) -> None:
    """A base that is near is measured again, and may well be left as it is."""
    told = Told()
    if base is not None:
        told.check("saw.slot", base)
    found = stood(told.check("bench.sled"))
    sled = found.of_point("bench.sled")
    assert sled is not None
    assert comes_back(sled, found) is back


def test_a_base_that_a_bad_square_set_has_to_be_set_again() -> None:
    """So what rests on it is checked again after it."""
    found = stood(Told().check("saw.slot", NEAR).check("bench.sled"))
    sled = found.of_point("bench.sled")
    assert sled is not None
    machines = tuple(
        one._replace(
            points=tuple(
                each._replace(state="due", doubted=True) if each != sled else each
                for each in one.points
            )
        )
        for one in found.machines
    )
    assert not comes_back(sled, found._replace(machines=machines))


def test_status_tells_the_last_check_apart_from_the_state() -> None:
    """A machine with one point true and one never checked is not unproven just now."""
    shop = make_shop(make_point("saw.slot"), make_point("saw.fence"))
    found = stood(Told().check("saw.slot"), shop)
    (line,) = machine_head(found.machines[0], NOW)
    assert (line[:8], line[-18:]) == ("unproven", ", checked just now")
    (never,) = machine_head(stood(Told(), shop).machines[0], NOW)
    assert (never[:8], never[-15:]) == ("unproven", ", never checked")


def test_readme_and_help_tell_every_state_with_its_mark() -> None:
    """One table of words, in the file and on the screen."""
    rows = re.findall(r"^\| ([\w ]+) \| `(.)` \|", README.read_text(encoding="utf-8"), re.MULTILINE)
    assert dict(rows) == {STATE_WORDS[state]: mark for state, mark in STATE_MARKS.items()}
    assert STATES.keys() == STATE_MARKS.keys() == STATE_PICTURES.keys()
    assert {*WORST_FIRST, "kept"} <= STATE_MARKS.keys()
