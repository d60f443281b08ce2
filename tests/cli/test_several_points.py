"""Every point of a machine that shows in a cut counts, each with what it adds: a metric shop.

Expected misfits are plain trigonometry of the work: height times the tangent of each error.
"""

from __future__ import annotations

import math

import pytest

from tests.cli.program import Program
from tests.shop_head import metric_head

SHOP = (
    metric_head(
        "Loft", "0.04, 0.05, 0.06, 0.08, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0"
    )
    + """\
leaf_tolerance = "0.003 mm"
most_leaves = 2

[[machine]]
id = "band"
name = "Bandsaw"
kind = "bandsaw"

[[machine.point]]
id = "table"
name = "Table to the blade"
check = "square"
datum = "table"
face = "side of the blade"
lever = "120 mm"
tolerance = "2 mm/m"
shows_in = "resaw"

[[machine.point]]
id = "fence"
name = "Fence to the table"
check = "square"
datum = "table"
face = "fence"
lever = "120 mm"
tolerance = "2 mm/m"
shows_in = "resaw"

[[project]]
id = "box"
name = "Box"

[[project.joint]]
id = "leaves"
name = "Leaves of the lid"
kind = "veneer"
height = "150 mm"

[project.joint.fit]
thickness = "0.5 mm"
"""
)
TRUE = 'light = "none"\nboth = "neither"\n'


def leans(thou_goes: str, won_t: str) -> str:
    """Light at the top, between two leaves over 120 mm."""
    return f'light = "top"\ngoes = "{thou_goes} mm"\nrefused = "{won_t} mm"\n'


@pytest.fixture
def loft(program: Program) -> Program:
    program.write("shop.toml", SHOP)
    return program


def test_the_second_point_of_a_cut_holds_it_up_as_the_first_does(loft: Program) -> None:
    for crooked, straight in (("band.table", "band.fence"), ("band.fence", "band.table")):
        assert loft.check(straight, TRUE).code == 0
        loft.check(crooked, leans("0.60", "0.65"))
        done = loft("glueup", "box", "leaves")
        assert done.code == 1
        named = "Table to the blade" if crooked == "band.table" else "Fence to the table"
        assert f"Bandsaw: {named} accounts for most of it" in done.out
        loft.check(crooked, TRUE)
        assert loft("glueup", "box", "leaves").code == 0


def test_one_that_was_never_checked_holds_it_up(loft: Program) -> None:
    loft.check("band.table", TRUE)
    done = loft("glueup", "box", "leaves")
    assert done.code == 1
    assert "Fence to the table is unproven" in done.out


def test_what_each_adds_adds_up(loft: Program) -> None:
    """150 mm x tan of either error; both measured between 0.20 and 0.25 mm over 120 mm."""
    for name in ("band.table", "band.fence"):
        loft.check(name, leans("0.20", "0.25"))
    (joint,) = loft("project", "box", "--json").json["projects"][0]["joints"]
    (misfit,) = joint["effects"]
    assert misfit["likely"]["mm"] == pytest.approx(2 * 150 * 0.225 / 120, rel=1e-3)
    assert joint["made_on"] == {"resaw": ["band.table", "band.fence"]}


def test_one_point_named_counts_alone(loft: Program) -> None:
    loft.write("shop.toml", f'{SHOP}[project.joint.made_on]\nresaw = "band.fence"\n')
    loft.check("band.fence", leans("0.20", "0.25"))
    (joint,) = loft("project", "box", "--json").json["projects"][0]["joints"]
    (misfit,) = joint["effects"]
    assert misfit["likely"]["mm"] == pytest.approx(150 * math.tan(0.225 / 120), rel=1e-3)
    assert loft("glueup", "box", "leaves").code == 0


TURNED = """
[[machine]]
id = "top"
name = "Surfacer"
kind = "jointer"

[[machine.point]]
id = "seated"
name = "Knives seated"
check = "go-no-go"
undone_by = ["knives turned"]
shows_in = "edge line"

[[machine.point]]
id = "tables"
name = "Tables in one plane"
check = "leaf-gap"
datum = "straightedge"
face = "infeed table"
tolerance = "0.1 mm"
shows_in = "edge line"

[[machine.point]]
id = "fence"
name = "Fence upright"
check = "square"
datum = "table"
face = "fence"
lever = "120 mm"
tolerance = "2 mm/m"
shows_in = "edge angle"

[[project]]
id = "seat"
name = "Seat"

[[project.joint]]
id = "panel"
name = "Panel of the seat"
kind = "panel"
pieces = 4
width = "90 mm"
length = "300 mm"
thickness = "20 mm"
alternate = true
fit = { gap = "0.5 mm" }
"""


NARROW = 'leaf1 = "typed"\ngoes = "0.04 mm"\nrefused = "0.05 mm"\n'


def test_knives_that_are_not_seated_show_in_an_edge_though_they_have_no_size(loft: Program) -> None:
    """No one gets a straight edge from a knife that stands off its pins (common practice)."""
    loft.write("shop.toml", SHOP + TURNED)
    assert loft.check("top.fence", TRUE).code == 0
    assert loft.check("top.tables", NARROW).code == 0
    asked = ("glueup", "seat", "panel")
    assert "Knives seated is unproven" in loft(*asked).out
    assert loft.check("top.seated", 'answer = "yes"\n').code == 0
    assert loft(*asked).code == 0, loft(*asked).out
    (joint,) = loft("project", "seat", "--json").json["projects"][0]["joints"]
    assert joint["effects"][0]["at_most"]["mm"] > 0  # of the tables alone
    loft.check("top.seated", 'answer = "no"\nwrong = "one rocks"\n')
    assert "Knives seated is out: one rocks" in loft(*asked).out
    loft.check("top.seated", 'answer = "yes"\n')
    assert loft("happened", "top", "knives turned").code == 0
    done = loft(*asked)
    assert done.code == 1
    assert "Knives seated is due: knives turned" in done.out


@pytest.mark.parametrize(("point", "answers"), [("seated", 'answer = "yes"\n'), ("fence", TRUE)])
def test_what_a_hold_tells_to_check_can_be_checked_for_it(
    loft: Program, point: str, answers: str
) -> None:
    """A joint asks of some points only to be proven: they have no size, or their error cancels."""
    loft.write("shop.toml", SHOP + TURNED)
    others = {"tables": NARROW, "fence": TRUE, "seated": 'answer = "yes"\n'}
    for other in others.keys() - {point}:
        loft.check(f"top.{other}", others[other])
    assert f"check top.{point} --for seat.panel" in loft("glueup", "seat", "panel").out
    done = loft.check(f"top.{point}", answers, "--for", "seat.panel")
    assert done.code == 0, done.err
