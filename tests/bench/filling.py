"""Makes shop files of any number of machines, and journals of any number of entries."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import islice
from pathlib import Path

from shopboard.checks import registry
from shopboard.journal import NewEntry, open_journal
from shopboard.results.record import Holds
from shopboard.shop.machine import HAPPENINGS
from tests.builders import check_body
from tests.shop_head import head

POINTS = ("table", "fence", "stop")
_BATCH = 100

_MACHINE = """
[[machine]]
id = "{id}"
name = "Machine number {number}"

[[machine.task]]
id = "wax"
name = "Clean and wax"
every = "4 weeks"
"""

_POINT = """
[[machine.point]]
id = "{id}"
name = "The {id} at 90"
check = "square"
datum = "table"
face = "face of the {id}"
lever = "4 in"
tolerance = "0.1 deg"
every = "3 months"
undone_by = ["knocked"]
cutter_near = true
"""


def write_shop(path: Path, machines: int) -> None:
    """Write a shop file of so many machines with three points each."""
    text = head(f"Shop of {machines} machines")
    for number in range(1, machines + 1):
        text += _MACHINE.format(id=f"m{number}", number=number)
        text += "".join(_POINT.format(id=point) for point in POINTS)
    path.write_text(text, encoding="utf-8")


def fill_journal(path: Path, machines: int, entries: int) -> None:
    """Record so many entries of every kind, spread over ten years that end an hour ago."""
    end = datetime.now(UTC) - timedelta(hours=1)
    step = timedelta(days=3650) / max(entries / _BATCH, 1)
    clock = [end - timedelta(days=3650)]
    journal = open_journal(path, lambda: clock[0])
    made = islice(visits(machines), entries)
    while batch := list(islice(made, _BATCH)):
        clock[0] = min(clock[0] + step, end)
        journal.append(batch)
    journal.close()


def visits(machines: int) -> Iterator[NewEntry]:
    """Give entries for ever: check after check, each begun, answered, kept and closed."""
    reading = {"refused": "0.004in", "lever": "4in", "light": "top", "tolerance": "0.1deg"}
    method = registry.method("square")
    holds = Holds(80, 2400, 600.0, "it wandered about 1.2 thou/ft a month over 8 checks")
    bodies = [
        check_body(method.reckon({"goes": goes, **reading}), "as-found", holds)
        for goes in ("0.002in", "0.003in")
    ]
    number = 0
    while True:
        number += 1
        machine = f"m{number % machines + 1}"
        point = POINTS[number // machines % len(POINTS)]
        yield from _visit(f"visit-{number}", machine, point, bodies[number % 2])
        if number % 10 == 0:
            what = {"v": 1, "what": HAPPENINGS[number // 10 % len(HAPPENINGS)]}
            yield NewEntry(f"happening-{number}", "happening", machine, str(what["what"]), what)


def _visit(uid: str, machine: str, point: str, body: dict[str, object]) -> Iterator[NewEntry]:
    yield NewEntry(uid, "begin", machine, point, {"v": 1, "method": "square"})
    answers = {"unplugged": "plug in hand", "place": "done", "light": "top", "goes": "0.003 in"}
    for key, text in answers.items():
        answer = {"v": 1, "key": key, "text": text}
        yield NewEntry(f"{uid}-{key}", "answer", machine, point, answer, uid)
    yield NewEntry(f"{uid}-moved", "moved", machine, point, {"v": 1}, uid)
    yield NewEntry(f"{uid}-check", "check", machine, point, body, uid)
    yield NewEntry(f"{uid}-end", "end", machine, point, {"v": 1, "why": "finished"}, uid)
