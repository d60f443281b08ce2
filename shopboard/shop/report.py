"""What is found while the shop file is read: findings know their path, not yet their line."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import TYPE_CHECKING, NoReturn

from shopboard.checks.job import Facts
from shopboard.metrology.quantity import Unit
from shopboard.shop.problems import Severity

if TYPE_CHECKING:
    from shopboard.shop.table import Table

Path = tuple[str | int, ...]
"""The index path into what tomli gives: ``("machine", 0, "point", 2, "lever")``."""


Readers = Mapping[str, "Callable[[Table], object]"]
"""What reads a table, by the header of that: ``[[machine.point]]``."""


class RefusedError(Exception):
    """A value that a kind does not accept; caught where the key is taken."""

    def __init__(self, path: Path, what: str, allowed: str = "", hint: str = "") -> None:
        super().__init__(what)
        self.path, self.what, self.allowed, self.hint = path, what, allowed, hint


class Fault:
    """A problem that knows its path, not yet its line."""

    __slots__ = ("allowed", "at_key", "first", "hint", "path", "severity", "unfit", "what")

    def __init__(
        self,
        path: Path,
        what: str,
        allowed: str = "",
        hint: str = "",
        *,
        severity: Severity = "error",
        at_key: bool = False,
        first: Path | None = None,
        unfit: bool = False,
    ) -> None:
        self.path, self.what, self.allowed, self.hint = path, what, allowed, hint
        self.severity: Severity = severity
        self.at_key = at_key  # point at the key, not at the value
        self.first = first  # where it was written first: its line is told
        self.unfit = unfit  # point at the first character that may not be drawn


class Report:
    """Everything found so far, and what the readers must know of the file as a whole."""

    def __init__(
        self,
        known_checks: Collection[str] = (),
        facts: Mapping[str, Facts] | None = None,
        readers: Callable[[], Readers] = dict,
    ) -> None:
        self.findings: list[Fault] = []
        self.readers = readers  # asked only to say where a key belongs
        self.known_checks = tuple(known_checks)
        self.facts: Mapping[str, Facts] = facts or {}
        self.unit: Unit = "inch"
        self.unit_known = False
        self.money = ""
        self.made_ids: list[Path] = []  # tables that have an id made of their name
        self.written: dict[Path, Collection[str]] = {}  # keys that a table has itself, not filled
        self._refused: set[tuple[Path, bool]] = set()

    def add(self, finding: Fault) -> None:
        """Note a finding; a second error at the same place would only repeat the first."""
        place = (finding.path, finding.at_key)
        alone = (finding.path[:-1], finding.at_key) if finding.path[-1:] == (0,) else place
        if place not in self._refused and alone not in self._refused:
            self.findings.append(finding)
        if finding.severity == "error":
            self._refused.add(place)

    @property
    def has_errors(self) -> bool:
        """Tell whether anything has been refused."""
        return bool(self._refused)

    def has_error(self, path: Path) -> bool:
        """Tell whether the value at a path has been refused."""
        return (path, False) in self._refused


class Spot:
    """Where a value stands while it is read."""

    __slots__ = ("path", "report")

    def __init__(self, path: Path, report: Report) -> None:
        self.path, self.report = path, report

    def refuse(self, what: str, allowed: str = "", hint: str = "") -> NoReturn:
        """Refuse the value."""
        raise RefusedError(self.path, what, allowed, hint)

    def warn(self, what: str, allowed: str = "", hint: str = "") -> None:
        """Accept the value, with a warning."""
        self.report.add(Fault(self.path, what, allowed, hint, severity="warning"))

    def inside(self, index: int) -> Spot:
        """Give the spot of one element of a list."""
        return Spot((*self.path, index), self.report)
