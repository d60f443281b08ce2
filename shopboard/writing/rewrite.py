"""The text of a shop file with edits made in it, held against what was wanted."""

from __future__ import annotations

from collections.abc import Iterable

import tomli

from shopboard.base.light_tuple import NamedTuple
from shopboard.writing.edits import Edit, same, settled, wanted
from shopboard.writing.in_place import splices
from shopboard.writing.layout import Layout
from shopboard.writing.splice import LineChange, changed_lines, in_order, spliced

MARK = "\ufeff"
"""Of the byte order, at the head of some files."""


class InPlaceError(ValueError):
    """An edit that cannot be made in the way that this text is written."""


class Rewritten(NamedTuple):
    """A new text."""

    text: str
    lines: tuple[LineChange, ...]
    """What it changes; none: nothing."""


def rewritten(text: str, edits: Iterable[Edit]) -> Rewritten:
    """Make edits in a text that is TOML; all else in it stays byte for byte.

    Args:
        text: of a file, with its own line ends.
        edits: by the paths of the text as it is.

    Raises:
        NoSuchPlaceError: when a path leads nowhere.
        InPlaceError: when the new text would not say what is wanted, and that alone.
    """
    mark = MARK if text.startswith(MARK) else ""
    layout = Layout(text.removeprefix(MARK))
    edits = settled(layout.data, edits)
    want = wanted(layout.data, edits)
    try:
        changes = in_order(splices(layout, edits))
        new = spliced(layout.text, changes)
        said = tomli.loads(new)
    except (ValueError, LookupError):
        said = {}
    if not same(said, want):
        what = "this cannot be changed the way the file is written here"
        raise InPlaceError(f"{what}; change it by hand, or write it as the sample does")
    return Rewritten(mark + new, changed_lines(layout.text, changes))
