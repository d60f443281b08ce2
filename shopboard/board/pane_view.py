"""One pane of the board: which machine and how it stands, both large, then what is open. Pure.

On a small grid a letter is large by itself; on a large one both are drawn in large letters. What
is not true is a filled bar; what is true is not filled.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import cache

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import STATE_WORDS, WIDEST_STATE, state_word
from shopboard.board.glyphs import (
    STATE_MARKS,
    STATE_PICTURES,
    TAG_MARK,
    TAG_PICTURE,
    big,
    has_form,
    in_large,
    sign,
    sign_width,
)
from shopboard.board.hits import hit
from shopboard.board.paint import Line, clip, fit, said
from shopboard.board.pane_items import least_rows, pane_lines
from shopboard.board.pane_words import worst_of
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.safety_record import DO_NOT_USE

SIGN_ROWS, TALL_ROWS = 4, 7
"""Rows of a word in large letters, and in those that are tall as well."""
BAR_WIDTH = 4 + max(WIDEST_STATE, len(DO_NOT_USE))
"""Columns of the bar of a state in ordinary letters."""
UNFILLED = ("true", "noted", "kept")
"""States in which nothing is to be done."""


class PaneLook(NamedTuple):
    """How all panes of a board are drawn, whatever stands in them."""

    width: int
    height: int
    large: bool = False
    """Whether name and state are in large letters."""
    level: bool = False
    """Whether they stand beside each other."""
    tall: bool = False
    """Whether the large letters are tall, too."""
    names: int = 0
    """Columns of the longest name in large letters: beside it stands the state, however wide the
    pane is; 0: not known, the state stands at the right."""
    fresh: bool = False
    """Whether nothing in the shop is checked yet: no state is shown."""

    @property
    def sign_rows(self) -> int:
        """Rows of name and state in large letters; 0: they are in ordinary ones."""
        rows = TALL_ROWS if self.tall else SIGN_ROWS
        return (rows if self.level else 2 * rows) if self.large else 0


def pane(
    standing: MachineStanding,
    called: tuple[str, str],
    here: bool,
    now: datetime,
    look: PaneLook,
    going: Sequence[str] = (),
    key: str = "",
) -> list[Line]:
    """Draw one pane, exactly as wide and high as its look says.

    Args:
        standing: how the machine stands.
        called: the digit that opens it, if there is one, and its short name.
        here: whether the cursor is on it.
        now: the time, for ages.
        look: how it is drawn.
        going: what is in progress on it, in words.
        key: what a click on it is; empty: nothing.
    """
    inner = look.width - 2
    head = _signs(standing, called, look) if look.large else [_row(standing, called, here, look)]
    room = look.height - len(head)
    fresh = look.fresh and not standing.tag

    def below(room: int, *, told: bool) -> list[Line]:
        size = (inner, room)
        return pane_lines(standing, called[1], going, now, size, fresh=fresh, tag_is_told=told)

    lines = below(room, told=False)
    if standing.tag or standing.state == "out":  # that it cannot be used, and why, comes first
        needed = least_rows(standing, going, now)
    else:
        needed = sum(line[0][1] != "dim" for line in lines)
    why = [] if fresh or not look.large else _large_why(standing, look, room - needed)
    if why:
        lines = below(room - len(why), told=True)
    rows = [*head, *why, *[((" ", ""), *line) for line in lines], *([()] * room)][: look.height]
    side = "danger" if standing.tag else "bold"
    marks = ("►", *("▌" * look.height)) if here else (" ",) * look.height
    lines = [fit(((mark, side), *row), look.width) for mark, row in zip(marks, rows, strict=False)]
    return [hit(line, key) for line in lines] if key else lines


def _row(standing: MachineStanding, called: tuple[str, str], here: bool, look: PaneLook) -> Line:
    """Write name and state in ordinary letters, the state at the same place in every pane."""
    room = look.width - 2 - BAR_WIDTH
    name = f"{called[0] or ' '} {clip(said(called[1]), room - 2)}"
    words, style = state_of(standing, fresh=look.fresh)
    bar = f" {words}" if words else ""
    if standing.tag:
        return fit((*fit(((name, style),), room, style), (bar, style)), look.width - 2, style)
    if here:
        style = style if style.endswith("bar") else "bar"
        return (*fit(((name, "bar"),), room, "bar"), *fit(((bar, style),), BAR_WIDTH, style))
    filled = style if style.endswith("bar") else ""
    return (*fit(((name, "bold"),), room), *fit(((bar, style),), BAR_WIDTH, filled))


def state_of(standing: MachineStanding, *, fresh: bool) -> tuple[str, str]:
    """Give mark and word of how a machine stands, and their style; nothing in a fresh shop."""
    if standing.tag:
        return f"{TAG_MARK}  {DO_NOT_USE}", "danger bar"
    if fresh:
        return "", ""
    words, mark = state_word(standing.state), STATE_MARKS[standing.state]
    if standing.state in UNFILLED:
        return f"{mark}  {words}", standing.state
    return f"{mark}  {words.upper()}", f"{standing.state} bar"


def _signs(standing: MachineStanding, called: tuple[str, str], look: PaneLook) -> list[Line]:
    """Draw name and state in large letters, level or one above the other."""
    inner = look.width - 2
    state, style = _state_sign(standing, look)
    apart = len(state) - look.level  # without colours a bar right below would run into the letters
    name = ("", f" {called[0]} {called[1]}", *[""] * (apart - 2))
    if fits_large(called, inner):
        name = name_sign(called, look.tall)[:apart]
    name_style, fill = ("danger", "danger") if standing.tag else ("bold", "")
    names = [fit(((clip(said(row), inner), name_style),), inner, fill) for row in name]
    if look.fresh and not standing.tag:
        return [*names, ()]
    if not look.level:
        return [*names, *(fit(((row, style),), inner, style) for row in state)]
    right = plate_width()
    left = min(inner - right, look.names or inner)
    rows = [*names, ()]
    return [
        (*fit(line, left, fill), *fit(((row, style),), right, style))
        for line, row in zip(rows, state, strict=True)
    ]


def _large_why(standing: MachineStanding, look: PaneLook, spare: int) -> list[Line]:
    """Say in large letters why it stands so, where that pushes nothing else out."""
    inner = look.width - 2
    large = in_large(worst_of(standing), inner, 2)
    if not large or spare < 4 * len(large):  # a row free below the bar, or they run into it
        return []
    style, fill = ("danger", "danger") if standing.tag else ("bold", "")
    rows = [f" {row}" for words in large for row in ("", *big(words))]
    rows += [""] if spare > len(rows) else []
    return [fit(((row, style),), inner, fill) for row in rows]


def _state_sign(standing: MachineStanding, look: PaneLook) -> tuple[tuple[str, ...], str]:
    if standing.tag:
        return sign(DO_NOT_USE, TAG_PICTURE, look.tall), "danger bar"
    picture, word = STATE_PICTURES[standing.state], state_word(standing.state)
    style = standing.state if standing.state in UNFILLED else f"{standing.state} bar"
    return sign(word, picture, look.tall), style


def name_sign(called: tuple[str, str], tall: bool = False) -> tuple[str, ...]:
    """Draw digit and short name in large letters."""
    return sign(f"{called[0]} {called[1]}" if called[0] else f"  {called[1]}", (), tall)


def fits_large(called: tuple[str, str], width: int) -> bool:
    """Tell whether a short name can be drawn in large letters, all of it, on so many columns."""
    return has_form(called[1]) and len(name_sign(called)[0]) <= width


@cache
def plate_width() -> int:
    """Give the columns of the longest state in large letters."""
    states = (sign_width(word, STATE_PICTURES[state]) for state, word in STATE_WORDS.items())
    return max(*states, sign_width(DO_NOT_USE, TAG_PICTURE))
