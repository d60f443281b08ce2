"""Reading tasks and cutters: what is done again and again, and what wears."""

from __future__ import annotations

from shopboard.shop.machine import Cutter, Task
from shopboard.shop.settings import read_as
from shopboard.shop.table import Table, reads
from shopboard.shop.upkeep_values import RULES


@reads("[[machine.task]]")
def read_task(t: Table) -> Task:
    """Read a recurring task."""
    rules: dict[str, float] = {}

    def every_days(_: object) -> int | None:
        for kind, value in t.take("every", RULES, ()):
            rules[kind] = min(value, rules.get(kind, value))  # whichever comes first
        return int(rules["days"]) if "days" in rules else None

    return read_as(
        t,
        Task,
        every_days=every_days,
        every_minutes=lambda _: rules.get("minutes"),
        every_projects=lambda _: int(rules["projects"]) if "projects" in rules else None,
        every=_typed(t.raw.get("every")),
    )


def _typed(raw: object) -> str:
    if isinstance(raw, list):
        return " or ".join(str(one).strip() for one in raw)
    return str(raw or "").strip()


@reads("[[machine.cutter]]")
def read_cutter(t: Table) -> Cutter:
    """Read a cutter."""
    cutter = read_as(t, Cutter, money=t.report.money)
    if cutter.plate and cutter.kerf and cutter.kerf <= cutter.plate:
        t.refuse("kerf", "kerf is not wider than plate", "a blade cuts wider than its plate")
    if cutter.edges > 1 and cutter.kind != "knives":
        allowed = 'a second edge belongs to knives: kind = "knives"'
        t.refuse("edges", f"a {cutter.kind} with {cutter.edges} edges", allowed)
    if cutter.edge > cutter.edges:
        t.refuse("edge", f"edge {cutter.edge} of {cutter.edges}", f"from 1 to {cutter.edges}")
    return cutter
