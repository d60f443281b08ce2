"""Why: the formula with this check's own numbers, and the uncertainty budget."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import CLOSE, HELP, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.base import ShopScreen
from shopboard.checks.outcome import Outcome
from shopboard.checks.working import budget_row, budget_working
from shopboard.metrology.kind import measure
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import percent
from shopboard.record import CheckRecord


class WhyScreen(ShopScreen):
    """Shows lines of working; back leaves it."""

    keys: ClassVar[tuple[Key, ...]] = (CLOSE, HELP)

    def __init__(self, about: str, working: tuple[str, ...]) -> None:
        super().__init__()
        self._about = about
        self._working = working

    def heading(self) -> str:
        """Say what is explained."""
        return f"Why: {self._about}"

    def body(self, width: int, room: int) -> list[Line]:
        """Write the working."""
        lines: list[Line] = [()]
        for words in self._working:
            lines += [((f"  {one}", ""),) for one in wrap_kept(said(words), width - 4)]
        return lines[:room]


def wrap_kept(text: str, cells: int) -> list[str]:
    """Break text, but leave a line that fits as it is, columns and all."""
    return [text] if len(text) <= cells else wrap(text, cells)


def outcome_why(outcome: Outcome, unit: Unit) -> tuple[str, ...]:
    """Write out an outcome: formula, budget, probability."""
    lines = [*outcome.working, "", *budget_working(outcome.estimate.budget, outcome.kind, unit)]
    if outcome.probability is not None and outcome.tolerance is not None:
        lines += [
            "",
            f"within {outcome.tolerance.typed}: {percent(outcome.probability)} sure;"
            f" true from {percent(outcome.level)}, out from {percent(1 - outcome.level)} down",
            "(limits spread evenly, the rest as a normal curve, added)",
        ]
    return tuple(lines)


def record_why(record: CheckRecord, unit: Unit) -> tuple[str, ...]:
    """Write out a recorded result from what was kept with it."""
    total = record.spread.u
    rows = [
        budget_row(name, measure(u, record.kind, unit), (u / total) ** 2 if total else 0)
        for name, u in record.budget
    ]
    u, expanded = (measure(one, record.kind, unit) for one in (total, record.expanded))
    expanded = f"U = k u = {record.k:.2f} x {u} = {expanded}"
    judged = f"tolerance then {record.tolerance}: {record.verdict}"
    void = (f"VOID: {record.void}",) if record.void is not None else ()
    return (*record.working, "", *rows, expanded, judged, *void, record.note)
