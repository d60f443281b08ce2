"""Every call of every act of the journal, to be struck at."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import NamedTuple

from tests.journal.acts import ACTS
from tests.journal.calls import Call, Outcome, calls_of


class Strike(NamedTuple):
    """A call of an act, at which something befalls it."""

    name: str
    """Of the act."""
    call: Call
    template: Path
    """The folder as it is before; it is made once, and copied from then on."""

    def set_up(self, folder: Path) -> None:
        """Make the folder of the act."""
        shutil.copytree(self.template, folder)

    def command(self, folder: Path) -> list[str]:
        """Give the program that does it."""
        return ACTS[self.name].command(folder)

    def hold(self, folder: Path, outcome: Outcome, blow: str) -> bool:
        """Hold what is there against what was said; tell whether the act took place."""
        try:
            return ACTS[self.name].after(folder, outcome)
        except Exception as error:
            error.add_note(f"{self.name}, {blow} at {self.call}; {outcome}")
            raise


_calls: dict[str, list[Call]] = {}
"""Those of the acts that were run whole in this process: they are the same each time."""


def strikes(place: Path, *names: str) -> list[Strike]:
    """Give every call by which these acts, or all, touch a file; templates stay at `place`."""
    found = []
    for name in names or ACTS:
        template = place / f"{name} before"
        template.mkdir()
        ACTS[name].ready(template)
        if name not in _calls:
            whole = place / f"{name} done"
            shutil.copytree(template, whole)
            _calls[name] = calls_of(ACTS[name].command(whole), whole)
        found += [Strike(name, one, template) for one in _calls[name]]
    return found
