"""Which project is finished, told by its id on the command line."""

from __future__ import annotations

import pytest

from tests.cli.program import Program
from tests.prep.workshop import SHOP

FINISHED = ("happened", "shop", "project finished")


@pytest.fixture
def loft(program: Program) -> Program:
    """A small workshop with a project, which is cut on its saw."""
    program.write("shop.toml", SHOP)
    return program


def test_it_is_recorded_with_its_name(loft: Program) -> None:
    ran = loft(*FINISHED, "chest")
    assert ran.code == 0
    assert "Recorded: project finished, Blanket chest, cut on Table saw." in ran.err
    assert loft(*FINISHED).err.startswith("Recorded: project finished.")


def test_one_that_is_not_there_is_refused_with_what_was_meant(loft: Program) -> None:
    ran = loft(*FINISHED, "chst")
    assert (ran.code, "did you mean chest" in ran.err) == (2, True)


def test_the_same_uid_for_another_project_is_refused(loft: Program) -> None:
    uid = ("--uid", "0123456789abcdef0123456789abcdef")
    assert loft(*FINISHED, "chest", *uid).code == 0
    assert "Nothing new" in loft(*FINISHED, "chest", *uid).err
    assert loft(*FINISHED, *uid).code == 2


def test_the_newest_is_withdrawn_without_its_name(loft: Program) -> None:
    loft(*FINISHED, "chest")
    ran = loft(*FINISHED, "chest", "--withdraw", "not yet")
    assert (ran.code, "the newest is withdrawn" in ran.err) == (2, True)
    assert "Withdrawn" in loft(*FINISHED, "--withdraw", "not yet").err
