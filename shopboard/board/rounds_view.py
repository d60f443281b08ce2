"""What a safety walk can be made of, and what is on record of each. Pure.

It shows what was answered. It never says that this will do, and has no colour for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.glyphs import TAG_MARK
from shopboard.board.large_list import LargeRow, large_list
from shopboard.board.nines import NINE
from shopboard.board.paint import Line, Painted, clip, fit, said, wrap
from shopboard.upkeep.safety_record import DO_NOT_USE, RoundStanding, round_words

_TAG = f" {TAG_MARK} {DO_NOT_USE} "


class RoundPlace(NamedTuple):
    """What a round can be walked of."""

    machine: str
    """Id; empty: the shop itself."""
    name: str
    standing: RoundStanding | None
    tagged: bool = False


def places_lines(
    places: Sequence[RoundPlace], cursor: int, now: datetime, size: tuple[int, int]
) -> list[Line]:
    """List the shop and its machines with what is on record; what is cut stands whole below."""
    width, room = size
    # digits are no nines of a longer list here: each place has its own number
    large = [LargeRow(one.name, *_in_large(one, now)) for one in places if len(places) <= NINE]
    if lines := large_list(large, cursor, [()], size):
        return lines
    lines = [()]
    longest = max((cell_len(said(one.name)) for one in places), default=0)
    digits = len(str(len(places)))
    tags = cell_len(_TAG) + 1 if any(one.tagged for one in places) else 0
    told = max((cell_len(_on_record(one, now)) for one in places), default=0)
    names = min(longest + 1, max(28, width // 3, width - digits - 4 - tags - told))
    left = width - digits - 3 - names - tags
    under = places[cursor]
    is_whole = cell_len(said(under.name)) <= names and cell_len(_on_record(under, now)) < left
    detail = [] if is_whole else _detail(under, now, width)
    seen = max(1, room - len(detail) - 2)
    first = max(0, min(cursor - seen // 2, len(places) - seen))
    for number, one in list(enumerate(places, 1))[first : first + seen]:
        here = number - 1 == cursor
        row = "bar" if here else "bold"
        shown = f" {'►' if here else ' '}{number:>{digits}} "
        name = ((shown, row), *fit(((clip(said(one.name), names), row),), names, row))
        tag: Line = ((" ", ""), (_TAG, "danger bar")) if one.tagged else ()
        style = "out" if _is_wrong(one) else "dim"
        words = clip(f" {_on_record(one, now)}", left)
        lines.append((*name, *fit(tag, tags), (words, style)))
    lines.append(())
    return [fit(line, width) for line in [*lines, *detail][:room]]


def _in_large(one: RoundPlace, now: datetime) -> tuple[Painted, tuple[Painted, ...]]:
    """Put a tag beside its name, and what is on record below."""
    words = (_on_record(one, now).strip(), "out" if _is_wrong(one) else "dim")
    return (_TAG, "danger bar") if one.tagged else ("", ""), (words,)


def _is_wrong(place: RoundPlace) -> bool:
    return place.standing is not None and bool(place.standing.wrong)


def _on_record(place: RoundPlace, now: datetime) -> str:
    return f"{'! ' if _is_wrong(place) else '  '}{said(round_words(place.standing, now))}"


def _detail(place: RoundPlace, now: datetime, width: int) -> list[Line]:
    words = f"{place.name}: {round_words(place.standing, now)}."
    return [((f"  {one}", ""),) for one in wrap(said(words), width - 4, 4)]
