"""Reading a shop file: text in, a shop or every problem out."""

import zlib
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import NamedTuple

import tomli

from shopboard.checks.job import Facts
from shopboard.metrology.conformity import PROOF_LEVEL, RISK
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.quantity import Unit
from shopboard.shop.files import Stamp, UnreadableError, decode, read_bytes
from shopboard.shop.kinds import NAME
from shopboard.shop.links import check_links
from shopboard.shop.measures import PROOF, RISK_TAKEN, UNIT
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.read_drawer import read_drawer
from shopboard.shop.read_machines import read_machine
from shopboard.shop.read_safety import read_not_asked, read_shop_question
from shopboard.shop.report import Report
from shopboard.shop.table import Table, reads
from shopboard.shop.words import check_words, too_many_dots

KNOWN_CHECKS = ("square",)


class Loaded(NamedTuple):
    """A shop file that was read."""

    shop: Shop
    warnings: tuple[Problem, ...]
    """What is odd but can be used, sorted by place."""
    digest: str
    """Checksum of the file's bytes: changes when the file does."""
    stamp: Stamp
    """Time of the last change (ns) and size of the file; zeros when it came as text."""


def read_shop(
    path: Path,
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
    except UnreadableError as error:
        raise ShopFileError(str(path), (error.problem,)) from None
    shop, warnings = _read(text, str(path), known_checks, facts)
    return Loaded(shop, warnings, f"{zlib.crc32(data):08x}", stamp)


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
        shop, warnings = _read(decode(data), name, known_checks, facts)
    except UnreadableError as error:
        raise ShopFileError(name, (error.problem,)) from None
    return Loaded(shop, warnings, f"{zlib.crc32(data):08x}", (0, 0))


def _read(
    text: str, name: str, known_checks: Collection[str], facts: Mapping[str, Facts] | None
) -> tuple[Shop, tuple[Problem, ...]]:
    """Give the shop and the warnings, or raise every problem."""
    data = _parse(text, name)
    report = Report(known_checks, facts)
    if not check_words(data, report):
        raise _not_toml(text, name, RecursionError())
    shop = _read_top(data, report)
    if not report.findings:
        return shop, ()
    from shopboard.shop.locate import locate

    problems = locate(report.findings, text)
    if any(problem.severity == "error" for problem in problems):
        raise ShopFileError(name, problems)
    return shop, problems


def _parse(text: str, name: str) -> dict[str, object]:
    """Let tomli read the text; its one complaint comes out with place and hint."""
    if too_many_dots(text) is not None:
        raise _not_toml(text, name, None)
    try:
        return tomli.loads(text)
    except (ValueError, RecursionError) as error:  # ValueError: also numbers of 5,000 digits
        raise _not_toml(text, name, error) from None


def _not_toml(text: str, name: str, error: Exception | None) -> ShopFileError:
    from shopboard.shop.syntax import syntax_problem

    return ShopFileError(name, (syntax_problem(text, error),))


def _read_top(data: dict[str, object], report: Report) -> Shop:
    """Read the whole file: [shop], [drawer] and every [[machine]]."""
    top = Table(data, (), "", report)
    head = top.one("shop", read_head)
    drawer = top.one("drawer", read_drawer)
    machines = tuple(top.many("machine", read_machine))
    safety = tuple(top.many("safety", read_shop_question))
    if not data:
        top.miss("", "nothing in this file yet", _EXAMPLE)
    elif "shop" not in data:
        top.miss("shop", "[shop] is missing", _EXAMPLE_SHOP)
    if data and not data.get("machine"):
        top.miss("machine", "no machine yet", _EXAMPLE_MACHINE)
    top.finish()
    name, unit, proof, risk, not_asked = head or ("", "inch", PROOF_LEVEL, RISK, ())
    shop = Shop(name, unit, machines, drawer or Drawer(), proof, safety, not_asked, risk)
    check_links(shop, report)
    return shop


_EXAMPLE_SHOP = 'write [shop], name = "Old boathouse", unit = "inch", each on its own line'
_EXAMPLE_MACHINE = 'write [[machine]], id = "jointer", name = "Jointer", each on its own line'
_EXAMPLE = f"{_EXAMPLE_SHOP}, then {_EXAMPLE_MACHINE.removeprefix('write ')}"


@reads("[shop]")
def read_head(t: Table) -> tuple[str, Unit, float, float, tuple[str, ...]]:
    """Read the shop's name, unit, level of proof, risk, and the safety questions it leaves out."""
    name = t.take("name", NAME)
    unit = t.take("unit", UNIT)
    t.report.unit = unit
    t.report.unit_known = "unit" in t.raw and not t.report.has_error((*t.path, "unit"))
    proof = t.take("proof", PROOF, PROOF_LEVEL)
    return name, unit, proof, t.take("risk", RISK_TAKEN, RISK), read_not_asked(t, None)
