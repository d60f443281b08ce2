"""What the own hand repeats to, by command."""

from __future__ import annotations

import pytest

from tests.cli.program import SHOP, Program

PLUG = "1\n"


def test_nothing_is_known_at_first_and_how_to_get_there_is_said(program: Program) -> None:
    done = program("hand")
    assert done.out.startswith("Nothing is known yet")
    assert "shopboard hand MACHINE.POINT" in done.out
    assert program("hand", "--json").json == {"schema": 1, "hand": []}


def test_a_study_left_goes_on_and_is_known_at_its_end(program: Program) -> None:
    """By hand a dial would do; with the shop's square it takes leaf by leaf."""
    done = program("hand", "saw.blade", typed=PLUG + "\n\n1\n")
    assert "Reading 1 of 10." in done.out
    assert "goes on with it" in done.err
    again = program("hand", "saw.blade", typed="leave\n")
    assert "Going on at step" in again.err


def test_what_goes_together(program: Program) -> None:
    assert program("hand", "saw.blade", "--json").code == 2
    assert program("hand", "--method", "square").code == 2
    done = program("hand", "saw.blade", "--method", "sweep")
    assert done.code == 2
    assert "is checked by" in done.err


@pytest.mark.parametrize("check", ["go-no-go", "note"])
def test_what_is_said_and_not_measured_tells_of_no_hand(program: Program, check: str) -> None:
    point = f'[[machine.point]]\nid = "dust"\nname = "Dust bag"\ncheck = "{check}"\n'
    program.write("shop.toml", f"{SHOP}\n{point}")
    done = program("hand", "jointer.dust")
    assert done.code == 2
    assert "says nothing about how well your hand repeats" in done.err
