"""Reading a shop file: text in, a shop or every problem out."""

import zlib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any

from shopboard.checks.job import Facts
from shopboard.metrology.instruments import Drawer
from shopboard.shop.files import Stamp, UnreadableFileError, decode, read_bytes
from shopboard.shop.kept import Loaded
from shopboard.shop.links import check_links
from shopboard.shop.model import Shop
from shopboard.shop.parse import parse
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.read_drawer import read_drawer
from shopboard.shop.read_gauge import read_gauge
from shopboard.shop.read_machines import read_machine
from shopboard.shop.read_safety import read_not_asked, read_shop_question
from shopboard.shop.report import Path, Readers, Report
from shopboard.shop.settings import read_settings
from shopboard.shop.table import READERS, Table, reads
from shopboard.usual.called import id_of

if TYPE_CHECKING:
    from shopboard.shop.made_on import Makers
    from shopboard.shop.own_files import OwnFiles
    from shopboard.shop.project import Project

KNOWN_CHECKS = ("square",)


def read_shop(
    path: FilePath,
    known_checks: Collection[str] = KNOWN_CHECKS,
    facts: Mapping[str, Facts] | None = None,
) -> Loaded:
    """Read the shop file.

    Args:
        path: of the file.
        known_checks: the methods that a point may name.
        facts: what is known of those methods; None: what follows from it is not looked at.

    Raises:
        ShopFileError: with every problem of the file.
    """
    try:
        data, stamp = read_bytes(path)
        text = decode(data)
    except UnreadableFileError as error:
        raise ShopFileError(str(path), (error.problem,)) from None
    return _loaded(data, stamp, *_read(text, str(path), known_checks, facts))


def read_shop_text(
    text: str,
    name: str = "shop.toml",
    known_checks: Collection[str] = KNOWN_CHECKS,
    facts: Mapping[str, Facts] | None = None,
) -> Loaded:
    """Read a shop file that is text already, as if it stood in a file of that name.

    Raises:
        ShopFileError: with every problem of the text.
    """
    data = text.encode("utf-8", "surrogatepass")
    try:
        text = decode(data)
    except UnreadableFileError as error:
        raise ShopFileError(name, (error.problem,)) from None
    return _loaded(data, (0, 0), *_read(text, name, known_checks, facts))


def _loaded(
    data: bytes, stamp: Stamp, shop: Shop, warnings: tuple[Problem, ...], beside: "OwnFiles | None"
) -> Loaded:
    digest = zlib.crc32(data, beside.digest if beside else 0)
    return Loaded(shop, warnings, f"{digest:08x}", stamp, beside.stamps if beside else {})


def _read(
    text: str, name: str, known_checks: Collection[str], facts: Mapping[str, Facts] | None
) -> tuple[Shop, tuple[Problem, ...], "OwnFiles | None"]:
    """Give the shop, the warnings and what is in the files beside it, or raise every problem."""
    report = Report(known_checks, facts, every_reader)
    data = parse(text, name, report)
    shop, beside = read_top(Table(data, (), "", report), name)
    problems: tuple[Problem, ...] = ()
    if report.findings:
        from shopboard.shop.locate import locate

        problems = locate(report.findings, text)
    problems += beside.problems if beside else ()
    if any(problem.severity == "error" for problem in problems):
        raise ShopFileError(name, problems, beside.stamps if beside else {})
    return shop, problems, beside


def read_top(top: Table, name: str = "") -> tuple[Shop, "OwnFiles | None"]:
    """Read the whole file, [shop], [drawer] and every [[machine]], and the files it names."""
    data, report = top.raw, top.report
    head = top.one("shop", read_head) or {"name": "", "unit": "inch", "files": ()}
    drawer = top.one("drawer", read_drawer)
    machines = tuple(top.many("machine", read_machine))
    safety = tuple(top.many("safety", read_shop_question))
    gauges = tuple(top.many("gauge", read_gauge))
    makers = None
    if head["files"] or "project" in data:  # most shop files have none, and start without these
        from shopboard.shop.made_on import Makers

        makers = Makers(machines, whole=not report.has_errors)
    projects = tuple(top.many("project", lambda below: _read_project(below, makers)))
    if not data:
        top.miss("", "nothing in this file yet", _EXAMPLE)
    elif "shop" not in data:
        top.miss("shop", "[shop] is missing", _EXAMPLE_SHOP)
    if data and not data.get("machine"):
        top.miss("machine", "no machine yet", f"{_EXAMPLE_MACHINE}; {_WITHOUT_AN_EDITOR}")
    top.finish()
    beside = None
    if head["files"] and makers is not None:
        from shopboard.shop.own_files import read_own_files

        beside = read_own_files(head["files"], name, report, makers, projects)
    shop = Shop(
        **head,
        machines=machines,
        drawer=drawer or Drawer(),
        safety=safety,
        gauges=gauges,
        projects=projects,
        made_ids=frozenset() if report.has_errors else _made_ids(data, report.made_ids),
    )
    check_links(shop, report)
    if beside is not None:
        shop = replace(shop, projects=(*projects, *beside.projects))
    return shop, beside


def _made_ids(data: Mapping[str, Any], paths: Iterable[Path]) -> frozenset[str]:
    """Name the machines, and what is on them, whose ids are made of their names."""
    found = set()
    for top, at, *below in paths:
        if top == "machine":
            tables = [data["machine"][at]]
            if below:
                tables.append(tables[0][below[0]][below[1]])
            found.add(f"{below[0] if below else top} {'.'.join(map(id_of, tables))}")
    return frozenset(found)


def _read_project(t: Table, makers: "Makers | None") -> "Project":
    from shopboard.shop.read_project import read_project

    return read_project(t, makers)


def every_reader() -> Readers:
    """Give every reader, with those that are only imported where a file has their tables."""
    from shopboard.shop import read_project  # noqa: F401  it declares its own

    return READERS


_EXAMPLE_SHOP = 'write [shop], name = "Old boathouse", unit = "inch", each on its own line'
_EXAMPLE_MACHINE = 'write [[machine]], id = "jointer", name = "Jointer", each on its own line'
_WITHOUT_AN_EDITOR = (
    "without an editor: `shopboard edit shop --add machine name=Jointer kind=jointer`, or give this"
    " file another name, and `shopboard describe` asks for all that is in the shop"
)
_EXAMPLE = f"{_EXAMPLE_SHOP}, then {_EXAMPLE_MACHINE.removeprefix('write ')}"


@reads("[shop]")
def read_head(t: Table) -> dict[str, Any]:
    """Read what holds for the shop as a whole."""
    read = read_settings(t, Shop, not_asked=lambda _: read_not_asked(t, None))
    t.report.unit, t.report.money = read["unit"], read["money"]
    t.report.unit_known = "unit" in t.raw and not t.report.has_error((*t.path, "unit"))
    return read
