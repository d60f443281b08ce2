"""Projects in files of their own, beside the shop file that names them."""

from __future__ import annotations

import posixpath
import zlib
from collections.abc import Iterable
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.files import Stamp, UnreadableFileError, decode, read_bytes, stamp_of
from shopboard.shop.made_on import Makers
from shopboard.shop.parse import parse
from shopboard.shop.problems import Problem, ShopFileError, shorten
from shopboard.shop.project import Project
from shopboard.shop.read_project import read_project
from shopboard.shop.report import Fault, Report
from shopboard.shop.table import Table


class OwnFiles(NamedTuple):
    """What stands in the files that the shop file names."""

    projects: tuple[Project, ...]
    problems: tuple[Problem, ...]
    """Sorted by file and place; each knows its file."""
    stamps: dict[Path, Stamp | None]
    """Time and size of each when it was read; None: it is not there."""
    digest: int
    """Checksum of all."""


def read_own_files(
    names: Iterable[str],
    shop_file: str,
    report: Report,
    makers: Makers,
    known: Iterable[Project] = (),
) -> OwnFiles:
    """Read the files; one that cannot be got at is reported where the shop file names it.

    Args:
        names: relative to the folder of the shop file; "" for one that was refused.
        shop_file: path of the shop file.
        report: of the shop file; its unit counts.
        makers: the machines of the shop.
        known: projects of the shop file itself.
    """
    folder, own_name = Path(shop_file).parent, Path(shop_file).name
    projects: list[Project] = []
    problems: list[Problem] = []
    stamps: dict[Path, Stamp | None] = {}
    digest = 0
    where = {project.id: own_name for project in known}
    seen: set[str] = set()
    for index, name in enumerate(names):
        spot = ("shop", "projects", index)
        plain = posixpath.normpath(name)
        if not name or report.has_error(spot):
            continue
        if plain in seen or plain == own_name:
            what = "this file is there twice" if plain in seen else "this is the shop file itself"
            report.add(Fault(spot, what, "name each file once"))
            continue
        seen.add(plain)
        path = folder / plain
        stamps[path] = stamp_of(path)
        try:
            data, stamps[path] = read_bytes(path)
        except UnreadableFileError as error:
            what = f"{shorten(name)}: {error.problem.what}"
            report.add(Fault(spot, what, error.problem.allowed, error.problem.hint))
            continue
        digest = zlib.crc32(data, digest)
        read, found = _read_file(data, plain, report, makers, where)
        projects += read
        problems += (problem._replace(file=plain) for problem in found)
        where |= {project.id: plain for project in read}
    return OwnFiles(tuple(projects), tuple(problems), stamps, digest)


def _read_file(
    data: bytes, name: str, shop: Report, makers: Makers, where: dict[str, str]
) -> tuple[list[Project], tuple[Problem, ...]]:
    """Read one file; what is wrong with it is given back, not raised."""
    report = Report(shop.known_checks, shop.facts, shop.readers)
    report.unit, report.unit_known = shop.unit, shop.unit_known
    try:
        text = decode(data)
        raw = parse(text, name, report)
    except UnreadableFileError as error:
        return [], (error.problem,)
    except ShopFileError as error:
        return [], error.problems
    top = Table(raw, (), "", report)
    projects = top.many("project", lambda below: read_project(below, makers))
    if not raw:
        what, allowed = "no project in this file yet", "begin one with a line [[project]]"
        report.add(Fault((), what, allowed, severity="warning"))
    top.finish()
    report_same_projects(projects, report, where)
    if not report.findings:
        return projects, ()
    from shopboard.shop.locate import locate

    return projects, locate(report.findings, text)


def report_same_projects(
    projects: Iterable[Project], report: Report, elsewhere: dict[str, str]
) -> None:
    """Report each project of a file with the id of one before it, or of one in another file."""
    first: dict[str, int] = {}
    for index, project in enumerate(projects):
        spot = ("project", index, "id")
        what = f"another project has the id {shorten(project.id)}"
        if project.id in first:
            before = ("project", first[project.id], "id")
            report.add(Fault(spot, what, "each id once", first=before))
        elif project.id in elsewhere:
            report.add(Fault(spot, what, f"it is in {elsewhere[project.id]}; each id once"))
        elif project.id:
            first[project.id] = index
