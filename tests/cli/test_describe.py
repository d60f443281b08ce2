"""A shop is described as plain lines: what is asked, what comes out, what is left alone."""

from __future__ import annotations

import pytest

from shopboard.checks.registry import facts, names
from shopboard.shop.reader import read_shop
from tests.cli.program import Program


@pytest.fixture(autouse=True)
def _british(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    program.shop.unlink()
    monkeypatch.setenv("LC_ALL", "en_GB.UTF-8")


def test_lines_lead_to_a_shop_file_with_its_records(program: Program) -> None:
    lines = ["Stable", "1", "back", "2", "", "", "3 9", "", "none", *[""] * 30]
    ran = program("describe", typed="\n".join(lines))
    assert ran.code == 0, ran.err
    assert "the shop: What is your shop called?" in ran.out
    assert "   1  [ ] Table saw" in ran.out
    assert "   Enter: pounds" in ran.out
    assert f"Written: {program.shop}" in ran.out
    shop = read_shop(program.shop, names(), facts()).shop
    assert (shop.name, shop.unit, shop.money) == ("Stable", "mm", "pounds")
    assert [one.kind for one in shop.machines] == ["bandsaw", "lathe"]
    tasks = program("tasks", "--json").json["tasks"]
    assert tasks
    assert not any(one["due"] for one in tasks)
    assert program("proofread").code == 0


def test_it_is_left_and_gone_on_with(program: Program) -> None:
    ran = program("describe", typed="Stable\n\nleave\n")
    assert ran.code == 0
    assert "Left; the answers are kept in" in ran.err
    assert not program.shop.exists()
    ran = program("describe", typed="")
    assert "What are costs counted in?" in ran.out
    assert "What is your shop called?" not in ran.out
    assert not program.shop.exists(), "the end of input is no Enter"


def test_what_is_wrong_is_refused_in_a_sentence(program: Program) -> None:
    ran = program("describe", typed="42\nShed\n3\nmm\n\n\n99\nnone\nlathe\nleave\n")
    assert "! 42: a name has a letter in it" in ran.err
    assert "! there is no answer 3 here: press 1 to 2" in ran.err
    assert "! '99' is none of these: write numbers from 1 to 12" in ran.err
    assert "! tick what is there" in ran.err


def test_a_shop_file_that_is_there_is_left(program: Program) -> None:
    program.write("shop.toml", "# mine\n")
    ran = program("describe", typed="\n" * 60)
    assert ran.code == 2
    assert f"there is a shop file already, {program.shop}; it is left as it is" in ran.err
    assert program.shop.read_text(encoding="utf-8") == "# mine\n"
