"""What a thing is called: an id made of its name, a name made of its id, where one is not written.

An id that is made follows from the name alone, whatever else stands in the file: as long as the
name stays, the records under it are found. Accents go, ß is ss; what is neither a letter of a to z
nor a digit becomes one -; what stands before the first letter goes, and so does all after 40.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

LONGEST_ID = 40

CALLED = frozenset(
    f"[[{one}]]"
    for one in (
        *("machine", "machine.point", "machine.task", "machine.cutter"),
        *("drawer.square", "drawer.feeler", "drawer.shims", "drawer.straightedge"),
        *("drawer.indicator", "drawer.calliper", "drawer.tape", "project", "project.joint"),
    )
)
"""Headers of the tables that have both."""

ID_WRITTEN = frozenset({"[[project]]", "[[project.joint]]"})
"""Those whose id must be written: nothing finds what was decided under an id that went unseen."""


def id_of_name(name: str) -> str:
    """Make an id of a name; empty where there is nothing in it to make one of."""
    word = name.casefold()
    if not word.isascii():
        from unicodedata import combining, normalize

        word = "".join(one for one in normalize("NFKD", word) if not combining(one))
    word = re.sub(r"[^a-z0-9]+", "-", word)
    return re.sub(r"^[^a-z]+", "", word)[:LONGEST_ID].rstrip("-")


def name_of_id(ident: str) -> str:
    """Make a name of an id: ``blade-90`` is Blade 90."""
    words = re.sub(r"[-_]+", " ", ident).strip()
    return words[:1].upper() + words[1:]


def id_of(table: Mapping[str, Any]) -> str:
    """Give the id of a table, written or made; empty where it has none."""
    ident, name = table.get("id"), table.get("name")
    if isinstance(ident, str):
        return ident.strip()
    return id_of_name(name) if "id" not in table and isinstance(name, str) else ""


def called(table: Mapping[str, Any], header: str) -> Mapping[str, Any]:
    """Give a table, by its header, with the id or the name that is not written in it."""
    ident, name = table.get("id"), table.get("name")
    if "name" not in table and isinstance(ident, str):
        made = name_of_id(ident)
        return {**table, "name": made} if made else table
    if "id" not in table and isinstance(name, str) and header not in ID_WRITTEN:
        made = id_of_name(name)
        return {**table, "id": made} if made else table
    return table
