"""The safety questions of a shop file: read, and refused at their place."""

from __future__ import annotations

import pytest

from shopboard.shop.machine import SafetyQuestion
from tests.shop.texts import SHOP, load, problems_of, spoilt, unmark

GUARD = """
[[machine.safety]]
id = "guard"
ask = "Look at the guard."
wanted = "it is on"
others = ["it is off", "it binds"]
"""
DOOR = """
[[safety]]
id = "door"
ask = "Try the door."
wanted = ["it opens", "it stands open"]
others = "it sticks"
"""
KIND = 'name = "Table saw"\n'
UNIT = 'unit = "inch"\n'


def test_questions_about_the_machine_and_about_the_shop() -> None:
    """One answer or a list, either way."""
    shop = load(SHOP + GUARD + "running = true\n" + DOOR).shop
    guard = SafetyQuestion("guard", "Look at the guard.", ("it is on",), ("it is off", "it binds"))
    assert shop.machines[0].safety == (guard._replace(running=True),)
    assert shop.safety == (
        SafetyQuestion("door", "Try the door.", ("it opens", "it stands open"), ("it sticks",)),
    )


def test_the_sort_of_machine_and_what_is_not_asked() -> None:
    text = spoilt(KIND, KIND + 'kind = "table saw"\nnot_asked = ["riving-knife", "push-sticks"]\n')
    text = text.replace(UNIT, UNIT + 'not_asked = "oily-rags"\n')
    shop = load(text).shop
    assert shop.machines[0].kind == "table saw"
    assert shop.machines[0].not_asked == ("riving-knife", "push-sticks")
    assert shop.not_asked == ("oily-rags",)


def test_plate_and_kerf_of_a_blade() -> None:
    text = '[[machine.cutter]]\nid = "b"\nname = "B"\nwhere = "on the machine"\nstate = "sharp"\n'
    cutter = load(SHOP + text + 'plate = "2.2 mm"\nkerf = 0.126\n').shop.machines[0].cutters[0]
    assert cutter.plate == pytest.approx(2.2)
    assert cutter.kerf == pytest.approx(3.2004)


def guard(old: str, new: str) -> str:
    assert GUARD.count(old) == 1
    return SHOP + GUARD.replace(old, new)


def door(old: str, new: str) -> str:
    assert DOOR.count(old) == 1
    return SHOP + DOOR.replace(old, new)


CUTTER = """
[[machine.cutter]]
id = "b"
name = "B"
where = "on the machine"
state = "sharp"
"""

ERRORS = [
    ("no-ask", guard("[[mac", "»[[mac").replace('ask = "Look at the guard."\n', ""), ["ask is mi"]),
    ("no-wanted", guard("[[m", "»[[m").replace('wanted = "it is on"\n', ""), ["wanted is missing"]),
    ("no-others", door("[[s", "»[[s").replace('others = "it sticks"\n', ""), ["others is missing"]),
    ("unknown-key", guard("others", "»otters"), ['"otters" is not a key', 'mean "others"']),
    ("wanted-number", guard('"it is on"', "»1"), ["a number"]),
    ("wanted-empty", guard('"it is on"', "»[]"), ["an empty list"]),
    ("others-empty", guard('["it is off", "it binds"]', "»[]"), ["an empty list"]),
    ("other-no-text", guard('"it binds"', "»true"), ["true where text"]),
    ("answer-long", guard('"it binds"', f'»"{"x" * 61}"'), ["61 characters", "at most 60"]),
    ("answer-escape", guard('"it binds"', '"»\\u001b[2J"'), ["U+001B"]),
    ("ask-long", guard('"Look at the guard."', f'»"{"x" * 121}"'), ["at most 120"]),
    ("ask-two-lines", guard('"Look at the guard."', '"Look »\\n at it."'), ["more than one line"]),
    ("same-answer", guard('"it binds"', '»"It  IS on"'), ["an answer of this question already"]),
    ("same-lone-answer", door('"it sticks"', '»"it opens"'), ["already", "each state once"]),
    (
        "ten-answers",
        guard(
            'others = ["it is off", "it binds"]', f"»others = {[f'state {n}' for n in range(9)]}"
        ),
        ["too many answers", "9 in all"],
    ),
    ("running-text", guard("others", 'running = »"yes"\nothers'), ["write true, without quotes"]),
    ("running-shop", door("others", "»running = true\nothers"), ["[[machine.safety]]"]),
    ("id-bad", guard('"guard"', '»"The Guard"'), ["cannot be an id", 'mean "the-guard"']),
    (
        "same-id",
        SHOP + GUARD + GUARD.replace('"guard"', '»"guard"'),
        ["another safety question of"],
    ),
    (
        "same-shop-id",
        SHOP + DOOR + DOOR.replace('"door"', '»"door"'),
        ["another safety question ha"],
    ),
    ("one-bracket", guard("[[machine.safety]]", "[machine.»safety]"), ["[[machine.safety]]"]),
    ("one-bracket-shop", door("[[safety]]", "[»safety]"), ["write [[safety]]"]),
    ("kind", spoilt(KIND, KIND + 'kind = »"table sow"\n'), ["not known here", 'mean "table saw"']),
    ("kind-empty", spoilt(KIND, KIND + 'kind = »""\n'), ["nothing between the quotes"]),
    (
        "not-asked",
        spoilt(KIND, KIND + 'kind = "jointer"\nnot_asked = ["guard", »"push-block"]\n'),
        ["not among the usual", 'mean "push-blocks"'],
    ),
    (
        "not-asked-of-this-kind",
        spoilt(KIND, KIND + 'kind = "jointer"\nnot_asked = »"riving-knife"\n'),
        ["not among the usual", "there are: plug, cutter, guard, push-blocks, stop-button"],
    ),
    (
        "not-asked-of-shop",
        spoilt(UNIT, UNIT + 'not_asked = ["floor", »"guard"]\n'),
        ["not among the usual", "extinguisher"],
    ),
    ("not-asked-number", spoilt(UNIT, UNIT + "not_asked = »3\n"), ["a number"]),
    ("kerf", SHOP + CUTTER + 'plate = "2 mm"\n»kerf = "2 mm"\n', ["not wider than plate"]),
    ("plate-unit", SHOP + CUTTER + "plate = »2.2\n", ["out of range", 'mean "2.2 mm"']),
]


@pytest.mark.parametrize(("marked", "words"), [c[1:] for c in ERRORS], ids=[c[0] for c in ERRORS])
def test_error_at_its_place(marked: str, words: list[str]) -> None:
    """Each mistake is shown at its line and column, with what is allowed or was meant."""
    text, line, column = unmark(marked)
    problems = problems_of(text)
    places = [(one.line, one.column, one.sentence) for one in problems]
    here = [one for one in problems if (one.line, one.column) == (line, column)]
    assert here, (places, (line, column))
    for word in words:
        assert word in here[0].sentence
    assert len(problems) == 1, places


def test_a_machine_of_questions_alone_is_not_empty() -> None:
    other = SHOP + '\n[[machine]]\nid = "dust"\nname = "Dust"\n'
    assert [one.what for one in load(other).warnings] == ["nothing on this machine yet"]
    assert load(other + GUARD).warnings == ()
