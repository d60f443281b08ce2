"""Why: the formula with this check's own numbers, and the uncertainty budget."""

from __future__ import annotations

from typing import ClassVar

from rich.cells import cell_len

from shopboard.board.keys import CLOSE, DOWN, HELP, UP, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.base import ShopScreen
from shopboard.checks.correction_working import correction_working
from shopboard.checks.job import Job
from shopboard.checks.outcome import Outcome
from shopboard.checks.working import budget_rows, budget_working
from shopboard.metrology.kind import SAID, measure_to
from shopboard.metrology.limits import in_own_unit
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import percent
from shopboard.record import CheckRecord


class WhyScreen(ShopScreen):
    """Shows lines of working, a screenful at a time; back leaves it."""

    keys: ClassVar[tuple[Key, ...]] = (CLOSE, UP, DOWN, HELP)

    def __init__(self, about: str, working: tuple[str, ...]) -> None:
        super().__init__()
        self._about = about
        self._working = working
        self._first = 0

    def heading(self) -> str:
        """Say what is explained."""
        return f"Why: {self._about}"

    def body(self, width: int, room: int) -> list[Line]:
        """Write the working; what does not fit is a key away, and said to be."""
        lines: list[Line] = [()]
        for words in self._working:
            lines += [((f"  {one}", ""),) for one in wrap_kept(said(words), width - 4)]
        if len(lines) <= room:
            return lines
        self._first = max(0, min(self._first, len(lines) - room + 1))
        more = len(lines) - self._first - (room - 1)
        below = f"↓ 2  {more} more lines" if more else "the end"
        above = f"   ↑ 8  {self._first} above" if self._first else ""
        return [*lines[self._first :][: room - 1], ((f"  {below}{above}", "key"),)]

    def do_down(self) -> None:
        """Show what is below."""
        self._first += self.size.height // 2

    def do_up(self) -> None:
        """Show what is above."""
        self._first -= self.size.height // 2

    def do_digit(self, number: int) -> None:
        """Move by the pad's digits that have the arrows on them."""
        if number in (2, 8):
            (self.do_down if number == 2 else self.do_up)()


def wrap_kept(text: str, cells: int) -> list[str]:
    """Break text, but leave a line that fits as it is, columns and all."""
    return [text] if cell_len(text) <= cells else wrap(text, cells)


def outcome_why(outcome: Outcome, job: Job) -> tuple[str, ...]:
    """Write out an outcome: formula, correction, budget, probability."""
    todo = correction_working(job, outcome)
    budget = budget_working(outcome.estimate.budget, outcome.kind, job.unit)
    lines = [*outcome.working, "", *((*todo, "") if todo else ()), *budget]
    if outcome.kind not in SAID and outcome.probability is not None and outcome.tolerance:
        lines += [
            "",
            f"within {outcome.tolerance.words(job.unit)}: {percent(outcome.probability)} sure;"
            f" true from {percent(outcome.level)}, out from {percent(1 - outcome.level)} down",
            "(limits spread evenly, the rest as a normal curve, added)",
        ]
    return tuple(lines)


def record_why(record: CheckRecord, unit: Unit) -> tuple[str, ...]:
    """Write out a recorded result from what was kept with it."""
    total = record.expanded / record.k if record.k else record.spread.u
    rows = [*budget_rows(record.budget, total, record.kind, unit)]
    if record.kind not in SAID:
        u, expanded = (measure_to(one, one, record.kind, unit) for one in (total, record.expanded))
        rows.append(f"U = k u = {record.k:.2f} x {u} = {expanded}")
    judged = f"tolerance then {in_own_unit(record.tolerance, unit)}: {record.verdict}"
    if record.kind in SAID:
        judged = f"{record.lean}: {record.verdict}"
    void = (f"VOID: {record.void}",) if record.void is not None else ()
    return (*record.working, "", *rows, judged, *void, record.note)
