"""The years of a shop, told to a journal: results, settings, happenings, each at its time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from shopboard.journal import Entry, NewEntry, SqliteJournal, new_uid, open_journal
from tests.journal.helpers import Clock


def body(error: int, expanded: int, **more: object) -> dict[str, object]:
    """The body of a result, as `shopboard.results.record` documents it; nrad, nm, Pa or us."""
    return {
        "v": 1,
        "method": "square",
        "run": "as-found",
        "kind": "angle",
        "unit": "nrad",
        "error": error,
        "even": [],
        "sigma": round(expanded / 2),
        "expanded": expanded,
        "k": 2.0,
        "dof": None,
        "budget": [["leaf thickness", round(expanded / 2)]],
        "tolerance": {"typed": "0.1 deg", "low": -1745329, "high": 1745329},
        "level": 0.95,
        "probability": 0.99,
        "verdict": "true",
        "lean": "",
        "note": "",
        "working": [],
        "readings": {"square": "Long square", "feelers": "Feeler set, 26 leaves"},
        **more,
    }


@dataclass
class Story:
    """A journal and its clock."""

    path: Path
    clock: Clock = field(default_factory=Clock)

    def __post_init__(self) -> None:
        self.journal: SqliteJournal = open_journal(self.path, self.clock)

    def at(self, when: datetime) -> Story:
        self.clock.now = when
        return self

    def sitting(self, place: str, *runs: Mapping[str, object]) -> list[Entry]:
        """Record a visit: a result a run, the point moved before every later one."""
        machine, _, point = place.partition(".")
        sitting = new_uid()
        entries = [NewEntry(sitting, "begin", machine, point, {"v": 1, "method": "square"})]
        for at, run in enumerate(runs):
            if at:
                uid = f"{sitting}-{len(entries)}"
                entries.append(NewEntry(uid, "moved", machine, point, {"v": 1}, sitting))
            told = {**run, "run": "as-left" if at else "as-found"}
            uid = f"{sitting}-{len(entries)}"
            entries.append(NewEntry(uid, "check", machine, point, told, sitting))
        written = self.journal.append(entries)
        return [one for one in written if one.kind == "check"]

    def moved(self, entry: Entry) -> None:
        """Record that the point was moved after a result, and not measured since."""
        uid = f"{entry.refers}-99"
        place = (entry.machine, entry.point)
        self.journal.append([NewEntry(uid, "moved", *place, {"v": 1}, entry.refers)])

    def happened(self, machine: str, what: str, **more: object) -> Entry:
        told = {"v": 1, "what": what, **more}
        return self.journal.append([NewEntry(new_uid(), "happening", machine, what, told)])[0]
