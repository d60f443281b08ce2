"""What the fields of the JSON mean of the commands that look after the journal's file."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.commands.json_parts import FieldWords

OF_THE_JOURNAL: Mapping[str, FieldWords] = {
    "verify": {
        "journal": "the file that was looked through",
        "whole": "whether every entry is what was recorded",
        "entries": "how many it holds",
        "damage": "what was found, in words",
        "differs": "from the journal that was last open there: older, empty, other or fork",
        "differs_in": "the same in words",
    },
    "backup": {
        "copy": "the file; null: nothing was recorded yet",
        "made": "whether it was made now; else nothing was recorded since it was",
        "entries": "how many it holds",
        "last": "when the last of them was recorded",
        "same_disk": "whether it lies on the same disk as the journal",
    },
    "restore": {
        "from": "the file that takes the journal's place",
        "entries": "how many it holds",
        "last": "when the last of them was recorded",
        "newer_form": "whether a newer version made it: here it can only be read",
        "journal": "the place",
        "there": "whether a file was there",
        "damaged": "whether that was damaged: what could be read was compared",
        "another": "whether it is another journal than the one there",
        "lost.entries": "of the journal there that it does not hold",
        "lost.first": "when the first of them was recorded",
        "lost.last": "the same of the last",
        "lost.places[]": "what they are about",
        "restored": "whether it was put there; without --yes it is not",
        "kept_as": "the file that was there",
    },
    "restore without FROM": {
        "copies[].copy": "the file",
        "copies[].made": "when, by the clock of that day",
        "copies[].entries": "how many it holds",
        "copies[].another": "whether it is of another journal than the one there",
    },
    "move": {
        "from": "the journal that was carried over; it is as it was",
        "to": "the journal that is like it now",
        "entries": "how many both hold",
        "were_there": "how many of them were there already: an earlier move was cut short",
        "last_seal": "the last seal, which is the same in both",
    },
    "salvage": {
        "from": "the broken file, which is left as it is",
        "to": "the new journal",
        "entries": "how many came back",
        "missing": "how many did not",
        "lost[].first": "old number of the first of some in a row",
        "lost[].last": "the same of the last",
        "lost[].kind": "what they were, where that is known",
        "lost[].machine": "of which machine",
        "lost[].point": "of which point, or what was done or happened",
        "lost[].after": "recorded after this time",
        "lost[].before": "and before this",
        "lost[].certain": "whether an index tells what it was, and nothing speaks against it",
        "unproven": "how many points are until they are checked again",
    },
}
