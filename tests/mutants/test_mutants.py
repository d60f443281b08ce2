"""The tool itself: a change that matters is seen, one that does not is not."""

from __future__ import annotations

import builtins
from pathlib import Path
from typing import Any

import pytest

from tests.mutants.__main__ import Timed, concerned, is_seen, rooms
from tests.mutants.seen import TELLS, telling
from tests.mutants.sites import Mutant, mutants_of

MODULE = '''
def larger(one: int, other: int) -> int:
    return one if one > other else other


def far(size: float) -> bool:
    """Tell."""
    return abs(size) >= 2.0 and isinstance(size, float)
'''
CLASS = """
class Holder:
    size = 7

    def value(self) -> int:
        def inner() -> int:
            return self.size

        return inner()
"""
TESTS = """
from shopboard.two import far, larger


def test_larger():
    assert [larger(1, 2), larger(2, 1), larger(2, 2)] == [2, 2, 2]


def test_far():
    assert [far(1.0), far(-2.5)] == [False, True]
"""


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A project of one module and its tests."""
    (tmp_path / "shopboard").mkdir()
    (tmp_path / "shopboard/__init__.py").touch()
    (tmp_path / "shopboard/two.py").write_text(MODULE)
    (tmp_path / "test_two.py").write_text(TESTS)
    return tmp_path


def mutants(project: Path) -> dict[str, Mutant]:
    return {f"{one.was} -> {one.text[1:-1]}": one for one in mutants_of(project, project / FILE)}


FILE = "shopboard/two.py"


def test_what_is_changed(project: Path) -> None:
    """Each place once; no words, no types, nothing that only fails when it is swapped."""
    assert sorted(mutants(project)) == [
        "2.0 -> 3.0",
        "abs(size) >= 2.0 -> abs(size) > 2.0",
        "abs(size) >= 2.0 and isinstance(size, float) -> "
        "abs(size) >= 2.0 or isinstance(size, float)",
        "one > other -> one >= other",
        "one if one > other else other -> other if one > other else one",
    ]


def test_a_planted_mutant_is_seen_and_one_that_is_alike_is_not(project: Path) -> None:
    """Nor is one that no test tries; the file is left as it was."""
    every = mutants(project)
    tests = [Timed(0.1, f"test_two.py::test_{name}", frozenset()) for name in ("larger", "far")]
    assert is_seen(
        every["one if one > other else other -> other if one > other else one"], tests, project
    )
    assert is_seen(every["2.0 -> 3.0"], tests, project)
    assert not is_seen(every["one > other -> one >= other"], tests, project)
    assert not is_seen(every["abs(size) >= 2.0 -> abs(size) > 2.0"], tests, project)
    assert (project / FILE).read_text() == MODULE


def test_the_tests_of_a_mutant_are_those_that_call_its_function(project: Path) -> None:
    mutant = mutants(project)["2.0 -> 3.0"]
    tests = [
        Timed(1, "other", frozenset({f"{FILE}:larger"})),
        Timed(2, "far", frozenset({f"{FILE}:far"})),
    ]
    assert [one.name for one in concerned(mutant, tests)] == ["far"]
    tests.insert(0, Timed(1, "elsewhere", frozenset({"shopboard/one.py:far"})))
    told = [one.name for one in concerned(mutant._replace(function=""), tests)]
    assert told == ["other", "far", "elsewhere"]


def test_what_a_class_holds_is_in_no_function_and_what_its_methods_do_is_in_it(
    tmp_path: Path,
) -> None:
    (tmp_path / FILE).parent.mkdir()
    (tmp_path / FILE).write_text(CLASS.replace("self.size", "self.size + 3"))
    found = [(one.was, one.function) for one in mutants_of(tmp_path, tmp_path / FILE)]
    assert sorted(found) == [("3", "Holder"), ("7", ""), ("self.size + 3", "Holder")]


def test_what_runs_is_told_by_the_outermost_function(monkeypatch: pytest.MonkeyPatch) -> None:
    """And nothing else of the module is changed: not what it says of itself, nor its lines."""
    told: list[str] = []
    monkeypatch.setattr(builtins, TELLS, told.append, raising=False)
    names: dict[str, Any] = {}
    exec(compile(telling(f"{MODULE}{CLASS}".encode(), FILE), FILE, "exec"), names)
    assert told == []
    assert names["larger"](1, 2) == 2
    assert names["far"](2.5) is True
    assert names["Holder"]().value() == 7
    assert told == [f"{FILE}:{name}" for name in ("larger", "far", "Holder", "Holder")]
    assert names["far"].__doc__ == "Tell."
    assert names["far"].__code__.co_firstlineno == 6


def test_every_room_has_tests() -> None:
    assert {"metrology", "checks", "prep", "journal"} <= rooms().keys()
