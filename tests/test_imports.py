"""What is imported when: a slow import on the wrong path costs every start."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterable, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from shopboard.board import doors

PACKAGE = Path(__file__).parent.parent / "shopboard"

ROOMS = (
    *("base", "metrology", "checks", "usual", "shop", "gauges", "writing", "journal", "upkeep"),
    *("results", "standing", "wander", "sittings", "open_shop", "prep", "up_next", "demo"),
    *("describing", "handbook", "reports", "web", "board", "commands", "cli", "__main__"),
)
"""Each imports only from itself and from rooms before it; `board` and `commands` stand side by
side. What is not a folder lies in the hall."""

HALL = {"__init__.py", "__main__.py", "cli.py", "open_shop.py"}


def loaded_by(code: str, tmp_path: Path) -> set[str]:
    """Give the modules that are there after some code has run in a fresh Python."""
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint('==', *sys.modules, sep='\\n')"],
        capture_output=True,
        text=True,
        check=True,
        cwd=PACKAGE.parent,
        env={"HOME": str(tmp_path), "PATH": ""},
    )
    return set(done.stdout.partition("==\n")[2].split("\n"))


def command(*words: str) -> str:
    """Give code that runs a command."""
    return f"from shopboard.cli import main\nmain({list(words)!r})"


COMMANDS = {
    "version": ("--version",),
    "topic": ("help", "keys"),
    "help": ("--help",),
    "reckon": ("reckon", "square", "goes=0.012in", "refused=0.015in", "lever=6in", "light=top"),
    "status": ("status", "--shop", "sample_shop.toml"),
    "proofread": ("proofread", "sample_shop.toml"),
}


@pytest.mark.parametrize("words", COMMANDS.values(), ids=COMMANDS)
def test_a_command_of_plain_lines_imports_nothing_of_the_screen(
    words: tuple[str, ...], tmp_path: Path
) -> None:
    journal = (*words, "--journal", str(tmp_path / "j")) if words[0] == "status" else words
    loaded = loaded_by(command(*journal), tmp_path)
    assert "shopboard.cli" in loaded
    assert not {"textual", "rich", "numpy"} & loaded
    assert words[0] == "help" or "shopboard.board" not in loaded


def test_a_reckoning_opens_no_journal(tmp_path: Path) -> None:
    loaded = loaded_by(command(*COMMANDS["reckon"]), tmp_path)
    assert not {"sqlite3", "shopboard.journal", "tomli"} & loaded


def test_the_board_imports_neither_numpy_nor_a_check(tmp_path: Path) -> None:
    code = (
        "from shopboard.board.app import BoardApp\nfrom pathlib import Path\n"
        f"app = BoardApp(Path('sample_shop.toml'), Path({str(tmp_path / 'j')!r}))\n"
        "async def frame():\n"
        "    async with app.run_test() as pilot:\n"
        "        await pilot.pause()\n"
        "        print('==', *__import__('sys').modules, sep='\\n')\n"
        "import asyncio, sys\nasyncio.run(frame())\napp.close()\nsys.stdout.flush()\n"
        "import os; os._exit(0)"
    )
    loaded = loaded_by(code, tmp_path)
    assert "shopboard.board.screens.board" in loaded
    assert not {"numpy", "shopboard.checks.steps", "shopboard.sittings.check"} & loaded
    walked = {"sittings.safety_round", "upkeep.safety_questions", "upkeep.tags", "board.tag_view"}
    assert not {f"shopboard.{name}" for name in walked} & loaded
    assert (
        not {"shopboard.wander.outlook", "shopboard.wander.changes", "shopboard.metrology.drift"}
        & loaded
    )
    assert not [name for name in loaded if name.startswith("shopboard.checks.methods.")]
    assert not [name for name in loaded if name.startswith("shopboard.prep")]


@pytest.mark.parametrize("room", ["metrology", "checks"])
def test_the_core_imports_no_screen_no_database_and_no_later_room(
    room: str, tmp_path: Path
) -> None:
    names = [
        ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts)
        for path in (PACKAGE / room).rglob("*.py")
        if path.name != "__init__.py"
    ]
    loaded = loaded_by("\n".join(f"import {name}" for name in names), tmp_path)
    assert set(names) <= loaded
    later = {f"shopboard.{one}" for one in ROOMS[ROOMS.index("checks") + 1 :]}
    assert not ({"textual", "rich", "sqlite3", "numpy"} | later) & loaded


def _room_of(module: str) -> str | None:
    """Give the room of a module; None for the package itself, which has nothing but a version."""
    name = module.split(".")[1] if "." in module else "__init__"
    return None if name in ("__init__", "__version__") else name


@cache
def _imports(path: Path) -> list[str]:
    """Give the package's modules that a file imports, lazily or not, those for types left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for one in tree.body:
        if isinstance(one, ast.If) and "TYPE_CHECKING" in ast.unparse(one.test):
            one.body = []
    found: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("shopboard"):
            found += [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            found += [alias.name for alias in node.names if alias.name.startswith("shopboard")]
    return found


SOURCES = sorted(PACKAGE.rglob("*.py"))


@pytest.mark.parametrize("here", ROOMS)
def test_a_room_imports_only_from_rooms_before_it(here: str) -> None:
    mine = [path for name, path in MODULES.items() if _room_of(name) == here]
    assert mine
    for path in mine:
        allowed = set(ROOMS[: ROOMS.index(here) + 1])
        if here == "commands" and path.name not in ("board.py", "help.py"):  # it tells of its keys
            allowed.discard("board")
        rooms = {_room_of(name) for name in _imports(path)} - {None}
        assert rooms <= allowed, path


def test_every_module_has_its_room() -> None:
    assert {path.name for path in PACKAGE.glob("*.py")} == HALL
    rooms = {path.parent.name for path in PACKAGE.glob("*/__init__.py")}
    assert rooms == {one for one in ROOMS if f"{one}.py" not in HALL}


def test_the_rooms_are_told_in_their_order() -> None:
    """DEVELOPERS.md is read before anything is built."""
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    told = text.split("\n## Rooms\n")[1].split("\n## ")[0]
    rows = [line.split("|")[1] for line in told.splitlines() if line.startswith("| `")]
    named = [name for row in rows for name in re.findall(r"`([a-z_]+)(?:/|.py)?`", row)]
    assert named == [one for one in ROOMS if one != "__main__"]
    picture = text.split("\n## The house\n")[1].split("```")[1]
    drawn = re.findall(r"\b([a-z_]+)(?:/|\.py)(?= |$)", picture, re.MULTILINE)
    assert set(drawn) == set(named)
    beside = [("commands", "board"), ("standing", "wander"), ("upkeep", "results")]
    left = {right: left for left, right in beside}
    assert [one for one in reversed(drawn) if one not in left] == [
        one for one in named if one not in left
    ]
    for one, other in beside[1:]:
        files = {room: (PACKAGE / room).glob("*.py") for room in (one, other)}
        rooms = {room: {_room_of(n) for f in files[room] for n in _imports(f)} for room in files}
        assert (other in rooms[one], one in rooms[other]) == (False, False)


def test_the_order_of_a_day_is_searched_without_knowing_of_shops() -> None:
    names = {name for path in (PACKAGE / "prep/schedule").glob("*.py") for name in _imports(path)}
    assert names
    own = ("shopboard.prep.schedule.", "shopboard.base.")
    assert [name for name in names if not name.startswith(own)] == []


MODULES = {
    ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): path
    for path in SOURCES
}


def _circle(graph: Mapping[str, Iterable[str]]) -> list[str]:
    """Give modules of which each imports the next, and the last one the first; none where none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def _graph() -> dict[str, set[str]]:
    """Give what each module imports of the package, lazily or not."""
    return {
        name: {one if one in MODULES else one.rpartition(".")[0] for one in _imports(path)} - {name}
        for name, path in MODULES.items()
    }


def test_no_module_imports_itself_through_others() -> None:
    graph = _graph()
    assert _circle(graph) == []
    base, board = "shopboard.board.screens.base", "shopboard.board.screens.board"
    assert base in graph[board], "the screens are among what is looked at"
    graph[base].add(board)
    assert {base, board} <= set(_circle(graph)), "a circle that is put in is found"


BEHIND_NO_DOOR = {"BoardScreen", "KeptScreen"}
"""The board comes up by itself; a list opens what is kept of one that went, out of its own file."""


def test_every_screen_has_its_door() -> None:
    """It is its file and one line; what others build on is opened by nobody."""
    classes = {
        node.name: {ast.unparse(base).partition("[")[0] for base in node.bases}
        for path in (PACKAGE / "board/screens").glob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef) and node.name.endswith("Screen")
    }
    bases = {base for each in classes.values() for base in each}
    named = {name.rpartition(".")[2] for name in _type_imports(MODULES["shopboard.board.doors"])}
    assert {*classes} - bases - named - BEHIND_NO_DOOR == set()


def test_every_door_opens_the_screen_that_it_names() -> None:
    """The type checker knows what each takes; that a file bears its name is seen here."""
    named = [name.rpartition(".")[2] for name in _type_imports(MODULES["shopboard.board.doors"])]
    assert "PointScreen" in named
    assert [name for name in named if getattr(doors, name).__name__ != name] == []


def _type_imports(path: Path) -> list[str]:
    """Give what a file imports for types alone."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    tests = (one for one in ast.walk(tree) if isinstance(one, ast.If))
    only = (one for test in tests if "TYPE_CHECKING" in ast.unparse(test.test) for one in test.body)
    imports = (one for one in only if isinstance(one, ast.ImportFrom))
    return [f"{one.module}.{alias.name}" for one in imports for alias in one.names]


def test_nobody_takes_a_screen_through_its_door_before_it_is_opened() -> None:
    """`from shopboard.board.doors import ...` would import the screen at once."""
    taken = [path.name for path in SOURCES if any(".doors." in one for one in _imports(path))]
    assert taken == []


def test_whoever_records_what_happened_tells_the_shop_whose_cutters_were_used() -> None:
    """Hours recorded without it would count on no cutter, and nobody would see."""
    calls = [
        (path.name, {keyword.arg for keyword in node.keywords})
        for path in SOURCES
        if "record_happening" in (text := path.read_text(encoding="utf-8"))
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call) and ast.unparse(node.func).endswith("record_happening")
    ]
    assert calls
    assert [name for name, keywords in calls if "shop" not in keywords] == []


@pytest.mark.parametrize("room", ["metrology", "checks"])
def test_the_core_never_looks_at_the_clock(room: str) -> None:
    for path in (PACKAGE / room).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import | ast.ImportFrom):
                names = {alias.name for alias in node.names} | {getattr(node, "module", "")}
                assert not {"time", "datetime"} & names, path
