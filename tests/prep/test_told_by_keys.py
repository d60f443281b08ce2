"""A shop file in another language plans the same day as an English one: keys tell, words need not.

The English shop says it in words alone, as shop files did before there were keys; its plan is the
reference. The words of the German one are as a cabinetmaker there says them (from memory).
"""

from __future__ import annotations

from string import Template

import pytest

from shopboard.checks.registry import names
from shopboard.shop.machine import Task
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from shopboard.shop.told_by_words import what_is_left
from tests.prep.test_work import planned
from tests.shop_head import metric_head

SHOP = Template("""
[[machine]]
id = "saw"
name = "$saw"

[[machine.point]]
id = "blade"
name = "$blade"
check = "square"
datum = "$table"
face = "$plate"
lever = "90 mm"
tolerance = "1 mm/m"
undone_by = ["blade changed"]
cutter_near = true

[[machine.point]]
id = "arbor"
name = "$arbor"
check = "go-no-go"
face = "$flange"
cutter_near = true
$flange_off

[[machine.task]]
id = "dust"
name = "$dust"
every = "2 weeks"
$dirt

[[machine.task]]
id = "belts"
name = "$belts"
every = "2 weeks"
$nothing

[[machine.task]]
id = "wax"
name = "$wax"
every = "2 weeks"
$coat
steps = [$wax_steps]

[[machine.task]]
id = "pitch"
name = "$pitch"
every = "2 weeks"
cutter_near = true
$dirt
steps = [$pitch_steps]

[[machine]]
id = "edges"
name = "$edges"

[[machine.task]]
id = "hone"
name = "$hone"
every = "2 weeks"
$dirt

[[machine.task]]
id = "grind"
name = "$grind"
every = "2 weeks"
$dirt
$undoes
""")

KEYS = ("flange_off", "dirt", "nothing", "coat", "undoes")

ENGLISH = dict.fromkeys(KEYS, "") | {
    "saw": "Saw",
    "blade": "Blade at 90",
    "table": "table",
    "plate": "blade plate",
    "arbor": "Arbor flange",
    "flange": "arbor flange, blade off",
    "dust": "Empty the dust box",
    "belts": "Look at the belts",
    "wax": "Wax the table",
    "wax_steps": '"Wax on, wait 10 min", "Buff off the haze"',
    "pitch": "Clean the blade",
    "pitch_steps": '"Blade off, into the tub", "Spray and soak, wait 10 min", '
    '"Scrub the teeth", "Blade on, nut tight", "Wipe the table"',
    "edges": "Edges",
    "hone": "Hone the gouges",
    "grind": "Grind the gouges anew",
}

GERMAN = {
    "saw": "Säge",
    "blade": "Blatt auf 90 Grad",
    "table": "Tisch",
    "plate": "Stammblatt",
    "arbor": "Flansch der Welle",
    "flange": "Flansch, Blatt heraus",
    "flange_off": "cutter_off = true",
    "dust": "Staubkasten leeren",
    "dirt": 'leaves = "dirt"',
    "belts": "Riemen ansehen",
    "nothing": 'leaves = "nothing"',
    "wax": "Tisch einwachsen",
    "coat": 'leaves = "wax"',
    "wax_steps": '{ do = "Wachs dünn auftragen", wait = "10 min" }, "Auspolieren"',
    "pitch": "Harz vom Blatt lösen",
    "pitch_steps": '{ do = "Blatt heraus, flach in eine Wanne", cutter = "off" }, '
    '{ do = "Einsprühen", wait = "10 min" }, "Zähne bürsten", '
    '{ do = "Blatt einsetzen, Mutter fest", cutter = "on" }, "Tisch abwischen"',
    "edges": "Schneiden",
    "hone": "Beitel abziehen",
    "grind": "Beitel neu schleifen",
    "undoes": 'undoes = "hone"',
}


def shop_of(words: dict[str, str]) -> Shop:
    text = f"{metric_head('Kalkofen')}{SHOP.substitute(words)}"
    loaded = read_shop_text(text, known_checks=names())
    assert loaded.warnings == ()
    return loaded.shop


def day_of(shop: Shop) -> tuple[object, ...]:
    """A planned day without its words: the jobs with what they wait for, and the order."""
    lines, todo = planned(shop)
    order = [(one.piece.id, one.start, one.end, one.piece.steps, one.piece.wait) for one in lines]
    return todo.jobs, order


def test_a_german_shop_plans_the_same_day_as_an_english_one() -> None:
    german, english = shop_of(GERMAN), shop_of(ENGLISH)
    assert day_of(german) == day_of(english)
    order = [one.piece.target for one in planned(english)[0]]
    assert order.index("dust") < order.index("wax")
    assert order.index("grind") < order.index("hone")
    assert order.index("saw.arbor") < order.index("saw.blade")


@pytest.mark.parametrize("key", [*KEYS, "pitch_steps"])
def test_each_key_is_needed_where_the_words_do_not_tell(key: str) -> None:
    """Without one of them the German day is another: none of these keys stands for nothing."""
    bare = {**GERMAN, key: ""}
    if key == "pitch_steps":
        bare[key] = GERMAN[key].replace(', cutter = "off"', "").replace(', cutter = "on"', "")
    without = shop_of(bare)
    same = day_of(without) == day_of(shop_of(GERMAN))
    assert same == (key == "nothing")  # that goes without saying there


def test_a_key_overrules_the_words() -> None:
    """Where they mislead: what is brushed may leave no dirt, and a blade may be out of sight."""
    told = {
        **ENGLISH,
        "dirt": 'leaves = "nothing"',
        "flange_off": "cutter_off = false",
        "undoes": 'undoes = "wax-edges"\n\n[[machine.task]]\nid = "wax-edges"\nname = "W"',
        "pitch_steps": '"Blade off", { do = "Brush", cutter = "stays" }, "Blade on"',
    }
    saw, edges = shop_of(told).machines
    assert [one.leaves for one in saw.tasks] == ["nothing", "nothing", "wax", "nothing"]
    assert [step.cutter for step in saw.tasks[3].steps] == ["stays"] * 3
    assert not any(point.cutter_off for point in saw.points)
    assert edges.tasks[1].undoes == ("wax-edges",)


def test_chips_that_are_blown_out_settle_on_the_wax() -> None:
    """Blowing out a cabinet makes dirt as a brush does (common practice, no source)."""
    belts = Task("belts", "Blow out the cabinet, look at the belts")
    assert [what_is_left(one) for one in (belts, Task("b", "Look at the belts"))] == [
        "dirt",
        "nothing",
    ]
