"""An empty value, as a script gives it that lost a name, is refused: nothing is taken for it."""

from __future__ import annotations

import pytest

from tests.cli.program import BLADE_TRUE, Program


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("void", "saw.blade", "", "--reason", "misread"), "a value is empty"),
        (("void", "saw.blade", " ", "--reason", "misread"), "a value is empty"),
        (("void", "saw.blade", "x", "--reason", ""), "--reason is empty"),
        (("check", "saw.blade", "--answers", ""), "--answers is empty"),
        (("check", "saw.blade", "--answers="), "--answers is empty"),
        (("check", "saw.blade", "--method", ""), "--method is empty"),
        (("export", "all", "--csv", "--to", ""), "--to is empty"),
        (("reckon", "square", "goes=", "refused=.02in"), "goes= is empty"),
    ],
)
def test_an_empty_value_is_a_usage_error(
    program: Program, words: tuple[str, ...], says: str
) -> None:
    """Named where it has a name; and the one result is not withdrawn by ``void POINT ""``."""
    assert program.check("saw.blade", BLADE_TRUE).code == 0
    ran = program(*words)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err
    (kept,) = program.results("saw.blade")
    assert kept["void"] is None


@pytest.mark.parametrize("name", ["--shop", "--journal"])
@pytest.mark.parametrize("empty", ["", "  "])
@pytest.mark.parametrize("command", [(), ("status",), ("proofread",)])
def test_an_empty_name_of_a_file_is_not_the_usual_file(
    program: Program, name: str, empty: str, command: tuple[str, ...]
) -> None:
    """Neither at the plain start of the board nor by a command."""
    given = {"--shop": str(program.shop), "--journal": str(program.journal), name: empty}
    for ran in (
        program.bare(*(word for pair in given.items() for word in pair), *command),
        program.bare(*command, *(f"{option}={value}" for option, value in given.items())),
    ):
        assert (ran.code, ran.out) == (2, "")
        assert f"{name} is empty" in ran.err


@pytest.mark.parametrize("variable", ["SHOPBOARD_SHOP", "SHOPBOARD_JOURNAL"])
@pytest.mark.parametrize("command", [(), ("status",)])
def test_an_empty_name_in_the_environment_is_refused_unless_an_option_outweighs_it(
    program: Program, monkeypatch: pytest.MonkeyPatch, variable: str, command: tuple[str, ...]
) -> None:
    """An empty variable is a lost name, too."""
    monkeypatch.setenv("SHOPBOARD_SHOP", str(program.shop))
    monkeypatch.setenv("SHOPBOARD_JOURNAL", str(program.journal))
    assert program.bare(*command).code == 0
    monkeypatch.setenv(variable, "")
    ran = program.bare(*command)
    assert (ran.code, ran.out) == (2, "")
    assert f"{variable} in the environment is empty" in ran.err
    assert program(*command).code == 0
