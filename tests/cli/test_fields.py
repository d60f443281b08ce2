"""The page that describes the JSON, held against what the commands give, both ways."""

from __future__ import annotations

import re
from argparse import ArgumentParser
from collections.abc import Iterator, Mapping
from contextlib import closing
from datetime import timedelta
from typing import Any

import pytest

from shopboard.checks.registry import names
from shopboard.commands.arguments import COMMANDS, command_module
from shopboard.commands.fields import all_fields
from shopboard.commands.output import SCHEMA
from shopboard.journal import open_journal
from shopboard.shop.reader import read_shop
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.happenings import record_happening
from tests.builders import do_steps
from tests.checks import readings
from tests.cli import test_whole_ways as whole_ways
from tests.cli.program import FENCE_OUT, SHOP, Program
from tests.cli.reckonings import EXAMPLES
from tests.cli.test_cutters import CUTTERS
from tests.cli.test_look_back import At
from tests.histories import GROWING, THOU_PER_FT, check_over_the_years
from tests.journal.helpers import Clock
from tests.two_shops import SHOPS
from tests.whole_shop import WHOLE_SHOP

FIELDS = all_fields()

UNITS = {
    *("deg", "dms", "thou_per_ft", "mm_per_m", "in", "thou", "mm", "psi", "MPa", "lbf", "N"),
    *("s", "ft_per_min", "m_per_s", "m_per_min", "mph", "share"),
}
"""Names of units in data; `use` of a cutter has its length by one of them, too."""

SHOWS_IN = """\
every = "6 months"
shows_in = ["mitre", "bevel"]
cutter_near = true
"""
"""Of the saw's blade."""

WAX = """
[[machine.task]]
id = "wax"
name = "Wax the table"
every = "4 weeks"
steps = ["Wipe", "Wax on, wait 10 min", "Buff"]

"""

MORE = """
[[machine]]
id = "planer"
name = "Planer"

[[machine.task]]
id = "oil"
name = "Oil the chain"
every = "4 weeks"

[[project]]
id = "box"
name = "Boxes"
start = 2031-05-04

[[project.joint]]
id = "lid"
name = "Lid"
kind = "frame"
width = "2 in"
length = "12 in"
thickness = "3/4 in"

[[project.joint]]
id = "body"
name = "Body"
kind = "panel"
pieces = 3
width = "12 in"
length = "20 in"
thickness = "3/4 in"
"""


def paths(value: Any, path: str = "") -> Iterator[str]:
    """Every path of a datum, as the page writes paths; an empty one or null by its beginning."""
    dot = f"{path}." if path else ""
    if isinstance(value, Mapping):
        units = set[str]() if path.endswith("budget[]") else UNITS  # there: of the variance
        if units & set(value):
            yield f"{dot}UNIT"
        for name, one in value.items():
            if name not in units:
                yield from paths(one, dot + re.sub(r"^standard_.*", "standard_UNIT", name))
        if not value:
            yield f"{path}?"
    elif isinstance(value, list):
        for one in value:
            yield from paths(one, f"{path}[]")
        if not value:
            yield f"{path}?"
    else:
        yield f"{path}?" if value is None else path


def declared(name: str) -> set[str]:
    """The paths that the page has for a command, what stands in brackets written out."""
    found: set[str] = set()
    for path in FIELDS[name]:
        bracket = re.fullmatch(r"(.*)\((.+)\)", path)
        if bracket is None:
            found.add(path)
        elif bracket[2] in FIELDS:
            found |= {bracket[1] + one for one in FIELDS[bracket[2]]}
    for path in FIELDS[name]:
        bracket = re.fullmatch(r"\((.+)\)", path)
        if bracket is not None and bracket[1] not in FIELDS:
            start = f"{bracket[1]}."
            found |= {one.removeprefix(start) for one in found if one.startswith(start)}
    return found


def matches(path: str, known: set[str]) -> set[str]:
    """Give what the page has for a path."""
    if path.endswith("?"):
        start = path[:-1]
        near = {one for one in known if one == start or one.startswith((f"{start}.", f"{start}["))}
        return near or matches(start, known)
    return {
        one
        for one in known
        if one == path or (one.endswith(".*") and path.startswith(one.removesuffix("*")))
    }


def test_every_command_with_json_is_on_the_page() -> None:
    """A new one without its fields fails here."""
    with_json = set()
    for name in COMMANDS:
        parser = ArgumentParser()
        command_module(name).arguments(parser)
        if "--json" in parser.format_help():
            with_json.add(name)
    assert with_json == {name.split()[0] for name in FIELDS}


def test_help_names_the_page_and_the_page_shows_all(program: Program) -> None:
    """Each command by itself, too; another one is refused with what was meant."""
    assert "`shopboard fields`" in program.bare("--help").out
    page = program.bare("fields").out
    for name, fields in FIELDS.items():
        assert f"\n{name}\n" in page
        alone = program.bare("fields", name.split()[0]).out
        for path, words in fields.items():
            assert re.search(f"^  {re.escape(path)}  +{re.escape(words)}$", alone, re.MULTILINE)
            assert words
    ran = program.bare("fields", "statsu")
    assert (ran.code, "did you mean status?" in ran.err) == (2, True)


@pytest.fixture
def outputs(program: Program, monkeypatch: pytest.MonkeyPatch) -> dict[str, list[Any]]:
    """What every command gives at a shop with some years and much under way, by its heading."""
    head, jointer, tail = SHOP.rpartition('[[machine]]\nid = "jointer"')
    whole = (head + CUTTERS + WAX + jointer + tail).replace("cutter_near = true", SHOWS_IN)
    program.write("shop.toml", whole + MORE)
    shop, clock = read_shop(program.shop).shop, Clock()
    found: dict[str, list[Any]] = {name: [] for name in FIELDS}

    def keep(*words: str, as_name: str = "") -> None:
        ran = program(*words, "--json")
        assert ran.out, ran.err
        assert ran.json["schema"] == SCHEMA
        found[as_name or words[0]].append(ran.json)

    with closing(open_journal(program.journal, clock)) as journal:
        record_happening(journal, "saw", "hours run", 60)
        check_over_the_years(journal, clock, shop, "saw.blade", GROWING)
        record_happening(journal, "saw", "blade changed")
        check_over_the_years(journal, clock, shop, "saw.blade", [(65 * THOU_PER_FT, 0.0)])
    at = At(program, monkeypatch)
    at.clock.now = clock.now
    keep("history", "saw.blade")
    answers = program.write("a.toml", FENCE_OUT)
    keep("check", "jointer.fence", "--answers", answers, as_name=CHECK)
    for _ in range(2):  # read again at once: what the hand repeats to
        keep("check", "jointer.fence", "--answers", answers, as_name=CHECK)
    keep("history", "jointer.fence")
    uid = program.results("jointer.fence")[0]["uid"]
    at.clock.now += timedelta(days=2)
    program("void", "jointer.fence", uid, "--reason", "wrong leaf")
    program("happened", "saw", "hours run", "30h")
    program("happened", "saw", "knocked")
    program("cutter", "saw.cross", "send", "out")
    program("tag", "jointer", "guard is off")
    program("done", "planer.oil")
    program("round", typed="2\n" * 12)
    program("round", "saw", typed="2\n1\n")
    with closing(open_journal(program.journal, at.clock)) as journal:
        run = TaskSitting(journal, "saw", shop.machines[0].tasks[0], None)
        do_steps(run, 2)
    program("glueup", "box", "lid", "--anyway", "it goes to the back of the shelf")
    for words in (("status",), ("tasks",), ("cutters",), ("project",), ("changes", "5")):
        keep(*words)
    keep("status", "--on", "1", as_name="status --on")
    keep("points", "--best")
    keep("glueup", "box", "lid")
    keep("prep", "--begin")
    keep("prep", "--for", "8 min")
    keep("cost")
    for name, values in EXAMPLES.items():
        keep("work-out", name, *values, as_name="work-out angle" if name == "angle" else "work-out")
    text = program.shop.read_text(encoding="utf-8")
    keep("edit", "saw.blade")
    keep("edit", "saw.blade", "lever", "30 in")
    program.write(
        "shop.toml",
        text.replace('id = "fence"\nname = "Fence at 90"', 'id = "fences"\nname = "Fence at 90"'),
    )
    keep("points", "--retired", as_name="points --retired")
    program.write("shop.toml", whole_ways.shop())
    for name in names():
        blank, _ = whole_ways.asks(program, name)
        care = {"care": "understood"} if "care =" in blank else {}
        typed = {**readings.GOOD, **whole_ways.TYPED}[name] | care
        file = program.write("a.toml", whole_ways.table("", typed))
        keep("check", f"all.{name}", "--answers", file, as_name=CHECK)
    typed = {**readings.GOOD["sweep"], "care": "understood"}
    for front in ("3 thou", "1 thou", "3.5 thou", "2.5 thou", "1.5 thou"):  # your own hand
        second = whole_ways.table("again2", {**readings.GOOD["sweep"], "front": front})
        text = f'{whole_ways.table("", typed)}repeat1 = "yes"\n{second}'
        keep("check", "all.sweep", "--answers", program.write("a.toml", text), as_name=CHECK)
    keep("hand")
    program.write("shop.toml", WHOLE_SHOP.read_text(encoding="utf-8"))
    program("prep", "--end")
    keep("cost")
    keep("prep", "deck-bucket", "--for", "30 min")
    keep("project")
    keep("glueup", "chart-cabinet", "doors")
    stick = program.folder / "stick"
    stick.mkdir()
    keep("explain")
    keep("backup", str(stick))
    program("tag", "saw", "guard is off")
    (copy,) = stick.iterdir()
    keep("move", str(copy), str(program.folder / "moved"))
    keep("restore", str(copy), "--yes")
    keep("restore", str(stick), as_name="restore without FROM")
    whole_file = program.journal.read_bytes()
    broken = bytearray(whole_file)
    broken[broken.index(b"wrong leaf") + 1] ^= 1
    program.journal.write_bytes(broken)
    keep("verify")
    keep("salvage", str(program.journal), str(program.folder / "new"))
    program.journal.write_bytes(whole_file)
    program.journal.unlink()
    open_journal(program.journal, clock).close()  # another one than was open there
    keep("status")
    keep("verify")
    return found


@pytest.mark.parametrize("shop_name", SHOPS)
def test_no_field_is_without_its_words_in_any_shop(program: Program, shop_name: str) -> None:
    program.write("shop.toml", SHOPS[shop_name])
    project = read_shop(program.shop, names()).shop.projects[0]
    program("happened", "saw", "hours run", "3h")
    program("tag", "saw", "guard is off")
    for name, words in {
        "status": ("status",),
        "points": ("points", "--best"),
        "tasks": ("tasks",),
        "cutters": ("cutters",),
        "project": ("project",),
        "changes": ("changes", "5"),
        "glueup": ("glueup", project.id, project.joints[0].id),
        "prep": ("prep", project.id, "--begin"),
    }.items():
        given = program(*words, "--json").json
        told = set(paths({key: value for key, value in given.items() if key != "schema"}))
        assert told
        assert {path for path in told if not matches(path, declared(name))} == set()


CHECK = "check --answers"

SELDOM = {
    "status: damage.entry",
    "status: damage.what",
    "glueup: reasons[].methods.*",
    "project: projects[].joints[].to_do[].check[]",
    "project: projects[].joints[].to_do[].methods.*",
    "project: projects[].joints[].to_do[].minutes",
    "history: wander.usual[].UNIT",
}
"""What only a longer story brings about, told where that is tested."""


def test_page_and_output_go_together(outputs: dict[str, list[Any]]) -> None:
    """No field without its words, no words without a field."""
    unknown, seen = set[str](), {name: set[str]() for name in FIELDS}
    for name, given in outputs.items():
        known = declared(name)
        for one in given:
            for path in paths({key: value for key, value in one.items() if key != "schema"}):
                meant = matches(path, known)
                seen[name] |= meant if not path.endswith("?") else meant & {path[:-1]}
                unknown |= set() if meant else {f"{name}: {path}"}
    seen["work-out"] |= seen["check --answers"]  # which tells more of some methods
    unseen = {
        f"{name}: {path}"
        for name, fields in FIELDS.items()
        for path in fields
        if "(" not in path and path not in seen[name]
    } - SELDOM
    assert (sorted(unknown), sorted(unseen)) == ([], [])
